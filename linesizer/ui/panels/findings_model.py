"""The findings for Qt, changed in place while the same things are found at the same places."""

from __future__ import annotations

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt

from linesizer.domain.finding import Finding, Level
from linesizer.domain.job import Job
from linesizer.ui.panels.finding_words import LEVEL_WORDS, place, source
from linesizer.units import System

AnyIndex = QModelIndex | QPersistentModelIndex
NO_INDEX = QModelIndex()
FINDING_ROLE = int(Qt.ItemDataRole.UserRole)
MESSAGE_ROLE = FINDING_ROLE + 1
PLACE_ROLE = FINDING_ROLE + 2
SOURCE_ROLE = FINDING_ROLE + 3
FOLDED_ROLE = FINDING_ROLE + 4

Key = tuple[str, str, str | None, str | None, str]


def key(finding: Finding) -> Key:
    """Return what makes a finding the same one in the next result: its code and place, whatever its figures."""
    return finding.circuit, finding.code, finding.line, finding.leg, finding.title


FOLD_FROM = 4
"""So many notes fold away beneath what stops or has to be decided; fewer are read at a glance."""


class FindingsModel(QAbstractListModel):
    """One row a finding, heaviest first.

    Where there is something to stop or to decide, many notes fold away beneath a row of their own that counts them.
    """

    def __init__(self) -> None:
        super().__init__()
        self._findings: tuple[Finding, ...] = ()
        self._rows: tuple[Finding | None, ...] = ()
        self._folded = True
        self._job = Job(())
        self._system: System = "si"

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, heaviest first, folded away or not."""
        return self._findings

    @property
    def folded(self) -> bool:
        """Whether notes are folded away, where there are enough to fold."""
        return self._folded

    @property
    def fold_row(self) -> int:
        """The row that counts the notes, -1 where they do not fold."""
        return next((row for row, finding in enumerate(self._rows) if finding is None), -1)

    def show(self, findings: tuple[Finding, ...], job: Job, system: System) -> None:
        """Show findings of a job."""
        rows = self._laid_out(findings)
        same = [_row_key(row) for row in rows] == [_row_key(row) for row in self._rows]
        changed = findings != self._findings or system != self._system
        if not same:
            self.beginResetModel()
        self._findings, self._rows, self._job, self._system = findings, rows, job, system
        if not same:
            self.endResetModel()
        elif changed and rows:
            self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))

    def fold(self, *, folded: bool) -> None:
        """Fold the notes away, or show them."""
        if folded == self._folded:
            return
        self._folded = folded
        at = self.fold_row
        if at < 0:
            return
        rows = self._laid_out(self._findings)
        if folded:
            self.beginRemoveRows(NO_INDEX, at + 1, len(self._rows) - 1)
            self._rows = rows
            self.endRemoveRows()
        else:
            self.beginInsertRows(NO_INDEX, at + 1, len(rows) - 1)
            self._rows = rows
            self.endInsertRows()
        self.dataChanged.emit(self.index(at), self.index(at))

    def _laid_out(self, findings: tuple[Finding, ...]) -> tuple[Finding | None, ...]:
        """Return the rows, None for the one that counts the notes."""
        heavy = tuple(finding for finding in findings if finding.level is not Level.NOTE)
        notes = tuple(finding for finding in findings if finding.level is Level.NOTE)
        if not heavy or len(notes) < FOLD_FROM:
            return findings
        return (*heavy, None, *(() if self._folded else notes))

    def finding_at(self, row: int) -> Finding | None:
        """Return the finding of a row, None for the row that counts the notes and outside the list."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def row_of(self, wanted: Key | None) -> int:
        """Return the row of a finding by its key, -1 where it is no longer found or folded away."""
        return next((row for row, finding in enumerate(self._rows) if finding and key(finding) == wanted), -1)

    def rowCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of rows."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a row shows and says."""
        if not index.isValid():
            return None
        finding = self._rows[index.row()]
        if finding is None:
            return self._fold_data(role)
        if role == FINDING_ROLE:
            return finding
        if role == Qt.ItemDataRole.DisplayRole:
            return finding.title
        if role == MESSAGE_ROLE:
            return finding.message(self._system)
        if role == PLACE_ROLE:
            return place(finding, self._job)
        if role == SOURCE_ROLE:
            return source(finding)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            parts = [LEVEL_WORDS[finding.level], finding.title, finding.message(self._system)]
            parts += [place(finding, self._job), source(finding)]
            if finding.remedy is not None:
                parts.append(f"Remedy: {finding.remedy.label}, key R")
            return ". ".join(part for part in parts if part)
        if role == Qt.ItemDataRole.ToolTipRole:
            return (
                f"{LEVEL_WORDS[finding.level]}: {_LEVEL_MEANING[LEVEL_WORDS[finding.level]]}\n{source(finding)}\n"
                "Enter or a click goes to its place" + ("; R carries out the remedy." if finding.remedy else ".")
            )
        return None

    def _fold_data(self, role: int) -> object:
        notes = [finding for finding in self._findings if finding.level is Level.NOTE]
        head = f"{len(notes)} notes"
        if role == Qt.ItemDataRole.DisplayRole:
            return head
        if role == MESSAGE_ROLE:
            return ", ".join(finding.title for finding in notes)
        if role == FOLDED_ROLE:
            return self._folded
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{head}, {'folded away; Enter shows them' if self._folded else 'shown; Enter folds them away'}"
        if role == Qt.ItemDataRole.ToolTipRole:
            act = "shows" if self._folded else "folds away"
            return f"What is good to know. Enter or a click {act} the notes."
        return None


def _row_key(row: Finding | None) -> Key | None:
    return None if row is None else key(row)


_LEVEL_MEANING = {
    "stop": "do not build it so.",
    "decide": "a person must decide.",
    "note": "good to know.",
}
