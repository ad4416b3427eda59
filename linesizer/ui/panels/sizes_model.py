"""The size table's rows for Qt, changed in place while the sizes stay the same."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from linesizer.catalog.practice import PracticeSet
from linesizer.ui.panels.size_rows import SIZE_MEANING, SizeColumn, SizeRow, column_tip
from linesizer.units import System

AnyIndex = QModelIndex | QPersistentModelIndex
NO_INDEX = QModelIndex()
ROW_ROLE = int(Qt.ItemDataRole.UserRole)


class SizesModel(QAbstractTableModel):
    """First the size, then one column a figure."""

    def __init__(self) -> None:
        super().__init__()
        self._columns: tuple[SizeColumn, ...] = ()
        self._rows: tuple[SizeRow, ...] = ()
        self._practice: PracticeSet | None = None
        self._system: System = "si"

    def show(
        self, columns: tuple[SizeColumn, ...], rows: tuple[SizeRow, ...], practice: PracticeSet, system: System
    ) -> None:
        """Show rows; the table is made anew only where other sizes or columns are shown."""
        same = columns is self._columns and [row.size for row in rows] == [row.size for row in self._rows]
        heads = system != self._system or practice != self._practice
        if not same:
            self.beginResetModel()
        before = self._rows
        self._columns, self._rows, self._practice, self._system = columns, rows, practice, system
        if not same:
            self.endResetModel()
            return
        if rows != before and rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(columns)))
        if heads:
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(columns))

    @property
    def rows(self) -> tuple[SizeRow, ...]:
        """The rows that are shown."""
        return self._rows

    def columnCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of columns, the size included."""
        return 0 if parent.isValid() else len(self._columns) + 1

    def rowCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of sizes."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows and says."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == ROW_ROLE:
            return row
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft if index.column() == 0 else Qt.AlignmentFlag.AlignRight)
        if index.column() == 0:
            if role == Qt.ItemDataRole.DisplayRole:
                return row.size
            if role == Qt.ItemDataRole.AccessibleTextRole:
                return ", ".join(text for text in (row.size, row.in_use, row.verdict, row.proposed) if text)
            return SIZE_MEANING if role == Qt.ItemDataRole.ToolTipRole else None
        cell, column = row.cells[index.column() - 1], self._columns[index.column() - 1]
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            beneath = f", beneath it {cell.beneath}" if cell.beneath else ""
            head = column.head(self._system).replace("\n", " ")
            return f"{head} {cell.text}{', over its limit' * cell.broken}{beneath}"
        if role == Qt.ItemDataRole.ToolTipRole:
            tip = column_tip(column, self._practice, self._system)
            return f"{cell.tip}\n{tip}" if cell.tip else tip
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a column's head, and in its tooltip what it means and where its limit comes from."""
        if orientation is not Qt.Orientation.Horizontal or section > len(self._columns):
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft if section == 0 else Qt.AlignmentFlag.AlignRight)
        if section == 0:
            if role == Qt.ItemDataRole.DisplayRole:
                return "size"
            return SIZE_MEANING if role == Qt.ItemDataRole.ToolTipRole else None
        column = self._columns[section - 1]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.head(self._system)
        if role == Qt.ItemDataRole.ToolTipRole:
            return column_tip(column, self._practice, self._system)
        return None
