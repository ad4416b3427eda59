"""How much refrigerant the circuit needs, where it is, what to add on site, and how sure that is."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem, QVBoxLayout, QWidget

from linesizer.catalog.practice import practice_set
from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.charge_model import ROW_ROLE, ChargeModel
from linesizer.ui.panels.charge_rows import NITROGEN, ChargeRow, Weight, charge_rows, explanation, headline, level_rows
from linesizer.ui.panels.notes import Prose
from linesizer.ui.panels.panel import Panel
from linesizer.ui.panels.rows_view import RowsView, cell_room
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

EMPTY_JOB = (
    "What the lines and the equipment hold, what the unit brings, and what to add on site stand here. First say "
    "what the unit does."
)
NOTHING_YET = "No charge yet: the job cannot be calculated as it is."


class ChargeDelegate(QStyledItemDelegate):
    """One cell of the charge's table; sums are bold beneath a rule."""

    def __init__(self, view: RowsView) -> None:
        super().__init__(view)
        self._view = view
        self.stale = False
        view.row_ground = self.ground

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """Return the size of the text."""
        letters = self._view.letters
        font = letters.label if index.column() == 1 else letters.bold
        return QSize(letters.width(font, str(index.data())), letters.height(letters.figure) + STEP_px + 2)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint one cell."""
        row = index.data(ROW_ROLE)
        if not isinstance(row, ChargeRow):
            return
        letters, theme = self._view.letters, self._view.theme
        room = cell_room(option.rect, index.column(), index.model().columnCount())
        quiet = self.stale or index.column() in (1, 2) or (row.kg is None and row.fill is None)
        painter.setPen(theme.colour(Ink.QUIET if quiet else Ink.INK))
        if index.column() == 1:
            painter.setFont(letters.label)
        else:
            painter.setFont(letters.figure if row.weight is Weight.PLAIN else letters.bold)
        align = Qt.AlignmentFlag.AlignRight if index.column() >= 2 else Qt.AlignmentFlag.AlignLeft
        painter.drawText(room, align | Qt.AlignmentFlag.AlignVCenter, str(index.data()))

    def ground(self, painter: QPainter, rect: QRect, index: QModelIndex) -> None:
        """Draw the rule above a sum, and shade what to add."""
        row = index.data(ROW_ROLE)
        if not isinstance(row, ChargeRow) or row.weight is Weight.PLAIN:
            return
        theme = self._view.theme
        if row.weight is Weight.RESULT:
            painter.fillRect(rect, theme.colour(Ink.FACE))
        painter.setPen(QPen(theme.colour(Ink.QUIET), 1))
        painter.drawLine(rect.left(), rect.top() - 1, rect.right(), rect.top() - 1)


class ChargePanel(Panel):
    """The charge of the shown circuit."""

    title = "Charge"
    help_page = "charge"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.model = ChargeModel()
        self.view = RowsView(session.theme, stretch=(1,), most_extra_px=16 * STEP_px)
        self.view.setObjectName("charge")
        self.view.setAccessibleName("Charge")
        self.view.setAccessibleDescription("What holds how much. Enter goes to a line or piece of equipment.")
        self.delegate = ChargeDelegate(self.view)
        self.view.setItemDelegate(self.delegate)
        self.view.setModel(self.model)
        self.view.taken.connect(self._go)
        self.head = Prose(session)
        self.caution = Prose(session)
        self.caution.say(NITROGEN)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, STEP_px, 0, STEP_px)
        column.setSpacing(2 * STEP_px)
        column.addLayout(_inset(self.head))
        column.addWidget(self.view, 1)
        column.addLayout(_inset(self.caution))
        self.refresh()

    def refresh(self) -> None:
        """Show the charge of the last good result."""
        session = self.session
        circuit = session.shown_circuit
        if circuit is None:
            self.say_empty(EMPTY_JOB)
            return
        found = session.circuit_result(circuit.id)
        if found is None or session.result is None:
            self.say_empty(NOTHING_YET)
            return
        choice = session.result.job.practice
        practice = practice_set(choice.set, choice.overrides)
        self.delegate.stale = not session.current
        self.show_body()
        self.head.say(explanation(found, practice, session.units), headline(found, session.units))
        rows = charge_rows(found, session.units) + level_rows(found, practice, session.units)
        self.model.show(rows, session.units)
        self.view.viewport().update()
        title = found.circuit.conditions[found.charge.condition_index].title
        self.set_subtitle(f"{circuit.title}, at {title}")

    def _go(self, index: QModelIndex) -> None:
        row, circuit = self.model.rows[index.row()], self.session.shown_circuit
        if circuit is None:
            return
        if row.line is not None:
            self.session.select(Selection(circuit.id, row.line))
        elif row.equipment is not None:
            self.session.select(Selection(circuit.id, equipment=row.equipment))


def _inset(words: Prose) -> QVBoxLayout:
    box = QVBoxLayout()
    box.setContentsMargins(4 * STEP_px, 0, 4 * STEP_px, 0)
    box.addWidget(words)
    return box
