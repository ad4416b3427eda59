"""The legs for Qt, changed in place while the same legs are shown."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from linesizer.domain.job import Job
from linesizer.ui.panels.leg_columns import COLUMNS, LegColumn
from linesizer.ui.panels.leg_entries import LegEntry
from linesizer.units import System, to_display

AnyIndex = QModelIndex | QPersistentModelIndex
NO_INDEX = QModelIndex()


class LegsModel(QAbstractTableModel):
    """One row a leg."""

    def __init__(self) -> None:
        super().__init__()
        self._entries: tuple[LegEntry, ...] = ()
        self._job = Job(())
        self._system: System = "si"

    @property
    def entries(self) -> tuple[LegEntry, ...]:
        """The rows that are shown."""
        return self._entries

    def show(self, entries: tuple[LegEntry, ...], job: Job, system: System) -> None:
        """Show rows of a job."""
        same = [_name(entry) for entry in entries] == [_name(entry) for entry in self._entries]
        heads = system != self._system
        if not same:
            self.beginResetModel()
        self._entries, self._job, self._system = entries, job, system
        if not same:
            self.endResetModel()
        elif entries:
            self.dataChanged.emit(self.index(0, 0), self.index(len(entries) - 1, len(COLUMNS) - 1))
        if same and heads:
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(COLUMNS) - 1)

    def row_of(self, circuit: str | None, line: str | None, leg: str | None) -> int:
        """Return the row of a leg, -1 where it is not shown."""
        wanted = (circuit, line, leg)
        return next((row for row, entry in enumerate(self._entries) if _name(entry) == wanted), -1)

    def text(self, entry: LegEntry, shown: LegColumn) -> str:
        """Return what a row shows in a column."""
        return shown.text(entry, self._job, self._system)

    def columnCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of columns."""
        return 0 if parent.isValid() else len(COLUMNS)

    def rowCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of legs."""
        return 0 if parent.isValid() else len(self._entries)

    def flags(self, index: AnyIndex) -> Qt.ItemFlag:
        """Let cells be edited that can be."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return flags | Qt.ItemFlag.ItemIsEditable if COLUMNS[index.column()].editable else flags

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows and says."""
        if not index.isValid():
            return None
        entry, shown = self._entries[index.row()], COLUMNS[index.column()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return shown.text(entry, self._job, self._system)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignRight if shown.figure else Qt.AlignmentFlag.AlignLeft)
        if role == Qt.ItemDataRole.ToolTipRole:
            return shown.meaning
        if role == Qt.ItemDataRole.AccessibleTextRole:
            head = shown.plain_head(self._system)
            return f"leg {entry.leg.id}, {head}: {shown.text(entry, self._job, self._system)}"
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a column's head, and in its tooltip what it means."""
        if orientation is not Qt.Orientation.Horizontal or section >= len(COLUMNS):
            return None
        shown = COLUMNS[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return shown.head(self._system)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignRight if shown.figure else Qt.AlignmentFlag.AlignLeft)
        return shown.meaning if role == Qt.ItemDataRole.ToolTipRole else None

    def copied(self, rows: list[int]) -> str:
        """Return rows with heads, tabs between the cells, figures with six digits as a spreadsheet takes them."""
        lines = ["\t".join(shown.plain_head(self._system) for shown in COLUMNS)]
        for row in rows:
            entry = self._entries[row]
            cells = []
            for shown in COLUMNS:
                if shown.value is not None and shown.kind is not None:
                    number = float(to_display(shown.kind, shown.value(entry), self._system))
                    cells.append("" if number != number else f"{number:.6g}")
                else:
                    cells.append((shown.copied or shown.text)(entry, self._job, self._system))
            lines.append("\t".join(cells))
        return "\n".join(lines) + "\n"


def _name(entry: LegEntry) -> tuple[str, str, str]:
    return entry.circuit, entry.line.id, entry.leg.id
