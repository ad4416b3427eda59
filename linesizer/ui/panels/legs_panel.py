"""The route as a table that can be edited, copied and pasted: the twin of the drawing for the keyboard."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QVBoxLayout, QWidget

from linesizer.document.commands.delete import DeleteLeg
from linesizer.document.commands.draw import PasteLegs, Start
from linesizer.domain.geometry import line_geometry
from linesizer.domain.route import Line
from linesizer.drawing.display_list import Ink
from linesizer.errors import UserError
from linesizer.ui.panels.leg_columns import PLACE_OF, Column
from linesizer.ui.panels.leg_entries import leg_entries
from linesizer.ui.panels.leg_paste import pasted_rows
from linesizer.ui.panels.legs_delegate import LegsDelegate
from linesizer.ui.panels.legs_model import LegsModel
from linesizer.ui.panels.legs_view import LegsView
from linesizer.ui.panels.notes import Prose
from linesizer.ui.panels.panel import Panel
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

EMPTY_JOB = (
    "The legs of the lines stand here as a table that mirrors the drawing. First say what the unit does; then draw, or "
    "paste rows with direction and length from a spreadsheet."
)
NO_LINE = "This circuit has no line yet. Add a line, then draw its legs or paste rows with direction and length here."
NO_LEGS = (
    "Line {line} has no legs yet. Draw on the sheet, or copy rows with direction and length (U, 2.2) in a spreadsheet "
    "and press Ctrl+V here."
)
SHOWN_PROBLEMS = 6


class LegsPanel(Panel):
    """The legs of the shown circuit."""

    title = "Legs"
    help_page = "legs"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.model = LegsModel()
        self.view = LegsView(session.theme)
        self.view.setObjectName("legs")
        self.view.setAccessibleName("Legs")
        self.view.setAccessibleDescription(
            "The route leg by leg. Arrow keys walk the cells, typing or Enter edits one, Ctrl+C copies rows, Ctrl+V "
            "pastes rows, Delete takes a leg away."
        )
        self.delegate = LegsDelegate(session, self.view, self.model, session.do)
        self.view.setItemDelegate(self.delegate)
        self.view.setModel(self.model)
        self.view.copy_wanted.connect(self.copy)
        self.view.paste_wanted.connect(self.paste)
        self.view.delete_wanted.connect(self.delete)
        self.view.selectionModel().currentChanged.connect(self._walked)
        self.view.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.view.customContextMenuRequested.connect(self._offer)
        self.problems = Prose(session, Ink.INK)
        self._dismiss = QPushButton("Close")
        self._dismiss.setAccessibleName("Close the list of problems")
        self._dismiss.setToolTip("Close this list; nothing was pasted.")
        self._dismiss.clicked.connect(self._close_problems)
        self._strip = QWidget()
        row = QHBoxLayout(self._strip)
        row.setContentsMargins(4 * STEP_px, 2 * STEP_px, 4 * STEP_px, 2 * STEP_px)
        row.addWidget(self.problems, 1)
        row.addWidget(self._dismiss, 0, Qt.AlignmentFlag.AlignTop)
        self._strip.hide()
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._strip)
        column.addWidget(self.view, 1)
        self._following = False
        # With no rows there is no table to press Ctrl+V in.
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        session.shown.connect(self.refresh_if_seen)
        self.refresh()

    def refresh(self) -> None:
        """Show the legs as they are."""
        session = self.session
        circuit = session.shown_circuit
        if circuit is None:
            self.model.show((), session.shown_job, session.units)
            self.say_empty(EMPTY_JOB)
            return
        entries = leg_entries(circuit, session.circuit_result(circuit.id), session.condition)
        self.delegate.letters = self.view.letters
        self.delegate.stale = not session.current
        self._following = True
        try:
            self.model.show(entries, session.shown_job, session.units)
            # Widths can wait until a drag is over; measuring 60 legs takes longer than drawing them.
            if not session.previewing:
                self.view.fit()
            self._follow_selection()
        finally:
            self._following = False
        if not entries and self._strip.isHidden():
            line = session.shown_line
            self.say_empty(NO_LINE if line is None else NO_LEGS.format(line=line.id))
            return
        self.show_body()
        self.view.viewport().update()
        title = circuit.conditions[session.condition].title if circuit.conditions else ""
        self.set_circuit_subtitle(f"{len(entries)} legs, quiet figures at {title}" if title else f"{len(entries)} legs")

    def _follow_selection(self) -> None:
        selection = self.session.selection
        row = self.model.row_of(selection.circuit, selection.line, selection.leg)
        current = self.view.currentIndex()
        if row >= 0 and row != current.row():
            column = current.column() if current.isValid() else PLACE_OF[Column.LENGTH]
            index = self.model.index(row, column)
            self.view.setCurrentIndex(index)
            self.view.scrollTo(index)

    def _walked(self, current: QModelIndex, previous: QModelIndex) -> None:
        if self._following or not current.isValid() or current.row() == previous.row():
            return
        entry = self.model.entries[current.row()]
        self.session.select(Selection(entry.circuit, entry.line.id, entry.leg.id))

    # Copy, paste, delete

    def copy(self) -> None:
        """Copy the selected rows, with heads, as a spreadsheet takes them."""
        rows = sorted(index.row() for index in self.view.selectionModel().selectedRows())
        self._copy_rows(rows or list(range(self.model.rowCount())))

    def copy_all(self) -> None:
        """Copy all rows."""
        self._copy_rows(list(range(self.model.rowCount())))

    def _copy_rows(self, rows: list[int]) -> None:
        QGuiApplication.clipboard().setText(self.model.copied(rows))

    def paste(self) -> None:
        """Draw the rows on the clipboard from the selected node, or from where the line's flow ends, as one step."""
        circuit, line = self.session.shown_circuit, self.session.shown_line
        if circuit is None or line is None:
            return
        text = QGuiApplication.clipboard().text()
        pasted = pasted_rows(text, self.session.job, line, self.session.units)
        if pasted.problems:
            self._tell(f"Nothing was pasted into line {line.id}.", pasted.problems)
            return
        try:
            self.session.do(PasteLegs(circuit.id, line.id, self._start(line), pasted.rows))
        except UserError as error:
            self._tell(f"Nothing was pasted into line {line.id}.", (f"{error.what} {error.why} {error.remedy}",))
            return
        self._close_problems()
        if pasted.left_out:
            listed = " and ".join(pasted.left_out)
            self._tell(f"Pasted {len(pasted.rows)} legs.", (f"Not taken over from the table: {listed}.",))

    def _start(self, line: Line) -> Start:
        node = self.session.selection.node
        if any(item.id == node for item in line.nodes) and node is not None:
            return node
        sinks = line_geometry(line).sinks
        if sinks:
            return sinks[-1]
        return line.nodes[0].id if line.nodes else (0.0, 0.0, 0.0)

    def delete(self) -> None:
        """Take the current leg away."""
        row = self.view.currentIndex().row()
        if 0 <= row < len(self.model.entries):
            entry = self.model.entries[row]
            self.session.try_do(DeleteLeg(entry.circuit, entry.line.id, entry.leg.id))

    def _tell(self, head: str, problems: tuple[str, ...]) -> None:
        shown = list(problems[:SHOWN_PROBLEMS])
        if len(problems) > SHOWN_PROBLEMS:
            shown.append(f"and {len(problems) - SHOWN_PROBLEMS} more.")
        self.problems.say("\n".join(shown), head)
        self.problems.setToolTip("\n".join(problems))
        self._strip.show()
        self.show_body()

    def _close_problems(self) -> None:
        self._strip.hide()
        self.refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Paste where there is no row yet."""
        if event.matches(QKeySequence.StandardKey.Paste) and self.is_empty:
            self.paste()
            event.accept()
            return
        super().keyPressEvent(event)

    def _offer(self, at: QPoint) -> None:
        menu = self.menu(self.view.indexAt(at))
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self.view.viewport().mapToGlobal(at))

    def menu(self, index: QModelIndex) -> QMenu:
        """Return what can be done with a row, and with all of them."""
        menu = QMenu(self)
        if index.isValid():
            self.view.setCurrentIndex(index)
            if index.flags() & Qt.ItemFlag.ItemIsEditable:
                menu.addAction("Change\tEnter", self._edit_current)
            menu.addAction(f"Delete leg {self.model.entries[index.row()].leg.id}\tDel", self.delete)
            menu.addAction("Copy rows\tCtrl+C", self.copy)
        menu.addAction("Copy all rows", self.copy_all)
        menu.addAction("Paste rows behind the line\tCtrl+V", self.paste)
        return menu

    def _edit_current(self) -> None:
        self.view.edit(self.view.currentIndex())
