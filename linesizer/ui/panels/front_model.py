"""The front for Qt: combinations of sizes of which none is better in both tube and penalty, lightest first."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from linesizer.domain.proposal import Combination
from linesizer.drawing.display_list import Ink
from linesizer.output.proposal_words import FigureColumn
from linesizer.ui.panels.legible import SELECTED, legible
from linesizer.ui.panels.rows_view import EDGE_px, END_px, RowsView, cell_room
from linesizer.ui.theme import STEP_px
from linesizer.units import System

AnyIndex = QModelIndex | QPersistentModelIndex
NO_INDEX = QModelIndex()
ROW_ROLE = int(Qt.ItemDataRole.UserRole)


@dataclass(frozen=True, slots=True)
class FrontRow:
    """One combination: its sizes in words, and what it is: ``proposed``, ``looked at``, ``in use`` or nothing."""

    combination: Combination
    sizes: str
    what: str

    @property
    def words(self) -> str:
        """What stands beneath the figures."""
        return f"{self.what}: {self.sizes}" if self.what else self.sizes


class FrontModel(QAbstractTableModel):
    """A column a figure."""

    def __init__(self) -> None:
        super().__init__()
        self._columns: tuple[FigureColumn, ...] = ()
        self._rows: tuple[FrontRow, ...] = ()
        self._system: System = "si"

    @property
    def rows(self) -> tuple[FrontRow, ...]:
        """The rows that are shown."""
        return self._rows

    def show(self, columns: tuple[FigureColumn, ...], rows: tuple[FrontRow, ...], system: System) -> None:
        """Show rows; the table is made anew only where other combinations or figures are shown."""
        same = columns == self._columns and len(rows) == len(self._rows)
        before = (self._rows, self._system)
        if not same:
            self.beginResetModel()
        self._columns, self._rows, self._system = columns, rows, system
        if not same:
            self.endResetModel()
        elif rows and (rows, system) != before:
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(columns) - 1))
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(columns) - 1)

    def columnCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of figures."""
        return 0 if parent.isValid() else len(self._columns)

    def rowCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of combinations."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows and says."""
        if not index.isValid():
            return None
        row, column = self._rows[index.row()], self._columns[index.column()]
        if role == ROW_ROLE:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return column.text(row.combination, self._system)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            figure = f"{column.head(self._system)} {column.text(row.combination, self._system)}"
            return f"{row.words}; {figure}" if index.column() == 0 else figure
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.words
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignRight)
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a column's head, name over unit."""
        if orientation is not Qt.Orientation.Horizontal or section >= len(self._columns):
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignRight)
        if role == Qt.ItemDataRole.DisplayRole:
            return self._columns[section].head(self._system).replace(", ", "\n")
        if role == Qt.ItemDataRole.ToolTipRole:
            return f"{self._columns[section].name.capitalize()} of the whole line, worst of all conditions."
        return None


class FrontDelegate(QStyledItemDelegate):
    """Figures, and the sizes in words beneath them; ``stale`` where they are not current."""

    def __init__(self, view: RowsView) -> None:
        super().__init__(view)
        self._view = view
        self.stale = False
        view.row_ground = self.ground
        view.over_row = self.words

    def sizeHint(self, option: QStyleOptionViewItem, index: AnyIndex) -> QSize:
        """Return the width of the figure and the height of figure and words."""
        letters = self._view.letters
        height = letters.height(letters.figure) + letters.height(letters.label) + 2 * STEP_px
        return QSize(letters.width(letters.figure, str(index.data())), height)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Paint one figure."""
        row, letters = index.data(ROW_ROLE), self._view.letters
        if not isinstance(row, FrontRow):
            return
        room = cell_room(option.rect, index.column(), index.model().columnCount())
        room.setTop(room.top() + STEP_px)
        room.setHeight(letters.height(letters.figure))
        painter.setFont(letters.figure)
        painter.setPen(self._colour(row, Ink.QUIET if self.stale else Ink.INK))
        painter.drawText(room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, str(index.data()))

    def ground(self, painter: QPainter, rect: QRect, index: QModelIndex) -> None:
        """Shade the row that is looked at or proposed."""
        row = index.data(ROW_ROLE)
        if isinstance(row, FrontRow) and row.what:
            painter.fillRect(rect, self._view.theme.colour(Ink.SELECTION, SELECTED))

    def words(self, painter: QPainter, rect: QRect, index: QModelIndex) -> None:
        """Write the sizes, as much of them as there is room for; the tooltip has them all."""
        row, letters = index.data(ROW_ROLE), self._view.letters
        if not isinstance(row, FrontRow):
            return
        height = letters.height(letters.label)
        left = rect.left() + EDGE_px - self._view.horizontalScrollBar().value()
        room = QRect(left, rect.bottom() - STEP_px // 2 - height, rect.right() - left - END_px, height)
        painter.setFont(letters.label)
        painter.setPen(self._colour(row, Ink.QUIET if self.stale or not row.what else Ink.INK))
        text = letters.measure(letters.label).elidedText(row.words, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignLeft, text)

    def _colour(self, row: FrontRow, ink: Ink) -> QColor:
        return legible(self._view.theme, ink) if row.what else self._view.theme.colour(ink)
