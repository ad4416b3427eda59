"""The oil-return rows for Qt, and how they are painted: one bar a condition against the criterion and the margin."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.finding import Level
from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.legible import SELECTED, legible
from linesizer.ui.panels.level_mark import draw_level_mark
from linesizer.ui.panels.rows_view import EDGE_px, RowsView, cell_room
from linesizer.ui.plots.oil_return import OilReturnRow, Verdict, holds_words, twin_phrases
from linesizer.ui.theme import STEP_px
from linesizer.units import Kind, System, display, unit_label

AnyIndex = QModelIndex | QPersistentModelIndex
NO_INDEX = QModelIndex()
ROW_ROLE = int(Qt.ItemDataRole.UserRole)
PHRASES_ROLE = ROW_ROLE + 1
LEG, CONDITION, RATIO, BAR, VERDICT, HOLDS, VELOCITY, LEAST = range(8)
COUNT = 8
BAR_px = 9
FULL_BAR = 2.5
"""The ratio at the right end of every bar; more than that is plenty."""

_PHRASE_LEFT_px = EDGE_px + 4 * STEP_px
_BETWEEN = "  \N{MIDDLE DOT}  "

CORNER_MEANING = (
    "A corner of the load grid: the least or the full load at the least or the design condensing temperature. Nobody "
    "stated it as a condition, but the plant may come there, and oil return has to hold there too."
)

_LEVELS = {Verdict.SHORT: Level.STOP, Verdict.NEAR: Level.WARN}


class OilReturnModel(QAbstractTableModel):
    """One row a climbing leg and condition."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[OilReturnRow, ...] = ()
        self._system: System = "si"
        self._practice: PracticeSet | None = None

    @property
    def rows(self) -> tuple[OilReturnRow, ...]:
        """The rows that are shown."""
        return self._rows

    def show(self, rows: tuple[OilReturnRow, ...], practice: PracticeSet, system: System) -> None:
        """Show rows; the table is made anew only where other legs or conditions are shown."""
        same = [_name(row) for row in rows] == [_name(row) for row in self._rows]
        heads = system != self._system or practice != self._practice
        if not same:
            self.beginResetModel()
        before = self._rows
        self._rows, self._system, self._practice = rows, system, practice
        if not same:
            self.endResetModel()
            return
        if rows and (rows != before or heads):
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, COUNT - 1))
        if heads:
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, COUNT - 1)

    def columnCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of columns."""
        return 0 if parent.isValid() else COUNT

    def rowCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of rows."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows and says."""
        if not index.isValid():
            return None
        row, column = self._rows[index.row()], index.column()
        if role == ROW_ROLE:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(row, column)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            if column == LEG:
                return f"leg {row.leg}, {row.size}"
            text = "" if column == BAR else self._text(row, column)
            if column == CONDITION and row.condition is None:
                return f"corner of the load grid: {text}"
            if column == VERDICT and row.twin is not None:
                return "; ".join((text, *twin_phrases(row.twin, self._system)))
            return text
        if role == PHRASES_ROLE:
            return () if row.twin is None else twin_phrases(row.twin, self._system)
        if role == Qt.ItemDataRole.ToolTipRole and column == CONDITION and row.condition is None:
            return CORNER_MEANING
        return self._common(column, role)

    def _text(self, row: OilReturnRow, column: int) -> str:
        if column == LEG:
            return f"{row.leg}  {row.size}" if row.first else ""
        if column == CONDITION:
            return row.title
        if column == RATIO:
            return display(Kind.RATIO, row.ratio, self._system)
        if column == VERDICT:
            return f"{row.verdict.value}, worst" if row.worst else row.verdict.value
        if column == HOLDS:
            return holds_words(row, self._system)
        if column == VELOCITY:
            return display(Kind.VELOCITY, row.velocity_m_s, self._system)
        return display(Kind.VELOCITY, row.least_m_s, self._system) if column == LEAST else ""

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a column's head, and in its tooltip what it means and where its limit comes from."""
        if orientation is not Qt.Orientation.Horizontal or section >= COUNT:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            speed = unit_label(Kind.VELOCITY, self._system)
            heads = (
                "riser",
                "condition",
                "ratio",
                "",
                "",
                "returns oil down to,\nat condensing",
                f"velocity\n{speed}",
                f"least\n{speed}",
            )
            return heads[section]
        return self._common(section, role)

    def _common(self, column: int, role: int) -> object:
        if role == Qt.ItemDataRole.TextAlignmentRole:
            right = column in (RATIO, VELOCITY, LEAST)
            return int(Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft)
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._tip(column)
        return None

    def _tip(self, column: int) -> str:
        if column in (RATIO, BAR, VERDICT) and self._practice is not None:
            words = [
                "Flow over the least flow that carries an oil film up, the worse of the leg's foot and top. The long "
                "tick stands at the criterion, the short one at the margin that practice asks for."
            ]
            for name in ("oil_return_stop_ratio", "oil_return_margin_ratio"):
                rule = self._practice.rule(name)
                source = "the job's own value" if rule.overridden else f"{rule.source} ({rule.status})"
                words.append(f"{self._practice.value(name):g}: practice set {self._practice.name}, {name}; {source}.")
            return "\n".join(words)
        return {
            LEG: "A gas leg that climbs, and its size; of a double riser both sizes.",
            CONDITION: "The running condition; in quiet ink a corner of the load grid that no condition is.",
            HOLDS: "The cooling over the ratio: the least load that would still return oil at the condition's own "
            "temperatures. The least flow does not depend on the load. A double riser goes down to what its small tube "
            "carries alone where its trap holds the seal on the way, else to its changeover.",
            VELOCITY: "Velocity of the gas where it is judged.",
            LEAST: "Velocity that just carries an oil film up.",
        }.get(column, "")


def _name(row: OilReturnRow) -> tuple[str, str, str, int | None, bool]:
    return row.line, row.leg, row.title, row.condition, row.twin is not None


class OilReturnDelegate(QStyledItemDelegate):
    """One cell of the oil-return table."""

    def __init__(self, view: RowsView) -> None:
        super().__init__(view)
        self._view = view
        self.stale = False
        self.stop, self.margin = 1.0, 1.2
        self.selected: tuple[str, str] | None = None
        view.row_ground = self.ground
        view.over_row = self.rule

    def sizeHint(self, option: QStyleOptionViewItem, index: AnyIndex) -> QSize:
        """Return the size of the text; the bar asks for room of its own."""
        letters = self._view.letters
        font = letters.bold if index.column() in (LEG, RATIO) else letters.figure
        if index.column() in (CONDITION, VERDICT, HOLDS):
            font = letters.strong
        width = letters.width(font, str(index.data()))
        if index.column() == BAR:
            width = 14 * STEP_px
        elif index.column() == VERDICT:
            width += letters.height(letters.label) + STEP_px
        return QSize(width, self._figures_height() + self._phrases_height(index))

    def _figures_height(self) -> int:
        return self._view.letters.height(self._view.letters.figure) + 2 * STEP_px

    def _phrases_height(self, index: AnyIndex) -> int:
        rows = self.phrase_rows(index)
        return len(rows) * self._view.letters.height(self._view.letters.label) + STEP_px if rows else 0

    def phrase_rows(self, index: AnyIndex) -> list[str]:
        """Return what a double riser does, in as many rows as the view is wide."""
        letters = self._view.letters
        room = max(1, self._view.viewport().width() - _PHRASE_LEFT_px - EDGE_px)
        rows: list[str] = []
        for phrase in index.data(PHRASES_ROLE) or ():
            if rows and letters.width(letters.label, joined := f"{rows[-1]}{_BETWEEN}{phrase}") <= room:
                rows[-1] = joined
            else:
                rows.append(phrase)
        return rows

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Paint one cell."""
        row = index.data(ROW_ROLE)
        if not isinstance(row, OilReturnRow):
            return
        room = cell_room(option.rect, index.column(), COUNT)
        room.setHeight(self._figures_height())
        if index.column() == BAR:
            self._bar(painter, QRectF(room), row)
            return
        letters, theme, column = self._view.letters, self._view.theme, index.column()
        short = row.verdict is Verdict.SHORT and not self.stale
        if column == VERDICT and row.verdict in _LEVELS:
            side = letters.height(letters.label) - 4
            mark = QRectF(room.left(), room.top() + (room.height() - side) / 2.0, side, side)
            draw_level_mark(painter, mark, _LEVELS[row.verdict], theme, quiet=self.stale)
            room.setLeft(room.left() + side + STEP_px + 2)
        strong = row.worst and column in (RATIO, CONDITION, VERDICT, HOLDS)
        if column in (CONDITION, VERDICT, HOLDS):
            painter.setFont(letters.strong if strong else letters.prose)
        else:
            painter.setFont(letters.bold if strong or column == LEG else letters.figure)
        corner = column == CONDITION and row.condition is None
        ink = Ink.QUIET if self.stale or corner or column in (VELOCITY, LEAST) else Ink.INK
        if column in (RATIO, VERDICT) and short:
            ink = Ink.STOP
        elif column == VERDICT and row.verdict is Verdict.HOLDS and not self.stale:
            ink = Ink.FITS
        selected = (row.line, row.leg) == self.selected
        painter.setPen(legible(theme, ink) if selected else theme.colour(ink))
        align = Qt.AlignmentFlag.AlignRight if column in (RATIO, VELOCITY, LEAST) else Qt.AlignmentFlag.AlignLeft
        painter.drawText(room, align | Qt.AlignmentFlag.AlignVCenter, str(index.data()))

    def _bar(self, painter: QPainter, room: QRectF, row: OilReturnRow) -> None:
        theme = self._view.theme
        box = QRectF(room.left(), room.center().y() - BAR_px / 2.0, room.width(), BAR_px)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.colour(Ink.RULE, 0.55))
        painter.drawRoundedRect(box, BAR_px / 2.0, BAR_px / 2.0)
        fill = QRectF(box)
        fill.setWidth(max(BAR_px, min(1.0, row.ratio / FULL_BAR) * box.width()))
        ink = {Verdict.SHORT: Ink.STOP, Verdict.NEAR: Ink.DECIDE}.get(row.verdict, Ink.QUIET)
        quiet = self.stale or ink is Ink.QUIET
        painter.setBrush(theme.colour(Ink.QUIET if quiet else ink, 0.75 if quiet else 1.0))
        painter.drawRoundedRect(fill, BAR_px / 2.0, BAR_px / 2.0)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        for ratio, over, width in ((self.stop, 5.0, 2.0), (self.margin, 2.0, 1.0)):
            x = box.left() + ratio / FULL_BAR * box.width()
            painter.setPen(QPen(theme.colour(Ink.QUIET if self.stale else Ink.INK), width, c=Qt.PenCapStyle.FlatCap))
            painter.drawLine(QPointF(x, box.top() - over), QPointF(x, box.bottom() + over))
        painter.restore()

    def ground(self, painter: QPainter, rect: QRect, index: QModelIndex) -> None:
        """Shade the selected leg."""
        row = index.data(ROW_ROLE)
        if isinstance(row, OilReturnRow) and (row.line, row.leg) == self.selected:
            painter.fillRect(rect, self._view.theme.colour(Ink.SELECTION, SELECTED))

    def rule(self, painter: QPainter, rect: QRect, index: QModelIndex) -> None:
        """Say what a double riser does, and draw a stronger rule beneath the last condition of a leg."""
        row = index.data(ROW_ROLE)
        letters, theme = self._view.letters, self._view.theme
        if isinstance(row, OilReturnRow) and row.twin is not None:
            selected = (row.line, row.leg) == self.selected
            painter.setFont(letters.label)
            painter.setPen(legible(theme, Ink.QUIET) if selected else theme.colour(Ink.QUIET))
            high = letters.height(letters.label)
            left = rect.left() + _PHRASE_LEFT_px
            top = rect.top() + self._figures_height() - STEP_px // 2
            for number, words in enumerate(self.phrase_rows(index)):
                room = QRect(left, top + number * high, rect.width() - left, high)
                painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)
                if number == 0 and not self.stale:
                    # Which tubes flow is what the eye looks for.
                    painter.setPen(theme.colour(Ink.INK))
                    pattern = index.data(PHRASES_ROLE)[0]
                    painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, pattern)
                    painter.setPen(legible(theme, Ink.QUIET) if selected else theme.colour(Ink.QUIET))
        if isinstance(row, OilReturnRow) and row.last:
            painter.setPen(QPen(theme.colour(Ink.QUIET), 1))
            painter.drawLine(rect.left(), rect.bottom() - 1, rect.right(), rect.bottom() - 1)
