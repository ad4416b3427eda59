"""The charge's rows for Qt."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from linesizer.ui.panels.charge_rows import ChargeRow
from linesizer.units import Kind, System, display, unit_label

AnyIndex = QModelIndex | QPersistentModelIndex
NO_INDEX = QModelIndex()
ROW_ROLE = int(Qt.ItemDataRole.UserRole)

_HEADS = (
    ("what", None, "Line, piece of equipment, or sum."),
    ("where the figure comes from", None, "Whether it is calculated from volume and density, stated, or missing."),
    ("per length", Kind.MASS_PER_LENGTH, "Refrigerant in a length of the line as drawn, at the governing condition."),
    ("charge", Kind.MASS, "Refrigerant at the governing condition; of a receiver's level, how full it is."),
)


class ChargeModel(QAbstractTableModel):
    """What, where from, per length, mass."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[ChargeRow, ...] = ()
        self._system: System = "si"

    @property
    def rows(self) -> tuple[ChargeRow, ...]:
        """The rows that are shown."""
        return self._rows

    def show(self, rows: tuple[ChargeRow, ...], system: System) -> None:
        """Show rows; the table is made anew only where other things hold refrigerant."""
        same = [row.what for row in rows] == [row.what for row in self._rows]
        heads = system != self._system
        if not same:
            self.beginResetModel()
        before = self._rows
        self._rows, self._system = rows, system
        if not same:
            self.endResetModel()
            return
        if (rows != before or heads) and rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(_HEADS) - 1))
        if heads:
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(_HEADS) - 1)

    def columnCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return four."""
        return 0 if parent.isValid() else len(_HEADS)

    def rowCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of rows."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows and says."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == ROW_ROLE:
            return row
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            if index.column() == 0:
                return row.what
            if index.column() == 1:
                return row.source
            if index.column() == 2:
                return "" if row.kg_m is None else display(Kind.MASS_PER_LENGTH, row.kg_m, self._system)
            return f"{row.fill:.0%}" if row.fill is not None else display(Kind.MASS, row.kg, self._system)
        return self._common(index.column(), role)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a column's head, and in its tooltip what it means."""
        if orientation is not Qt.Orientation.Horizontal or section >= len(_HEADS):
            return None
        name, kind, _ = _HEADS[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return name if kind is None else f"{name}\n{unit_label(kind, self._system)}"
        return self._common(section, role)

    def _common(self, column: int, role: int) -> object:
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignLeft if _HEADS[column][1] is None else Qt.AlignmentFlag.AlignRight)
        return _HEADS[column][2] if role == Qt.ItemDataRole.ToolTipRole else None
