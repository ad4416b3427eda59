"""The findings for Qt, changed in place while the same things are found at the same places."""

from __future__ import annotations

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt

from linesizer.domain.finding import Finding
from linesizer.domain.job import Job
from linesizer.ui.panels.finding_words import LEVEL_WORDS, place, source
from linesizer.units import System

AnyIndex = QModelIndex | QPersistentModelIndex
NO_INDEX = QModelIndex()
FINDING_ROLE = int(Qt.ItemDataRole.UserRole)
MESSAGE_ROLE = FINDING_ROLE + 1
PLACE_ROLE = FINDING_ROLE + 2
SOURCE_ROLE = FINDING_ROLE + 3

Key = tuple[str, str, str | None, str | None, str]


def key(finding: Finding) -> Key:
    """Return what makes a finding the same one in the next result: its code and place, whatever its figures."""
    return finding.circuit, finding.code, finding.line, finding.leg, finding.title


class FindingsModel(QAbstractListModel):
    """One row a finding."""

    def __init__(self) -> None:
        super().__init__()
        self._findings: tuple[Finding, ...] = ()
        self._job = Job(())
        self._system: System = "si"

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings that are shown, heaviest first."""
        return self._findings

    def show(self, findings: tuple[Finding, ...], job: Job, system: System) -> None:
        """Show findings of a job."""
        same = [key(finding) for finding in findings] == [key(finding) for finding in self._findings]
        changed = findings != self._findings or system != self._system
        if not same:
            self.beginResetModel()
        self._findings, self._job, self._system = findings, job, system
        if not same:
            self.endResetModel()
        elif changed and findings:
            self.dataChanged.emit(self.index(0), self.index(len(findings) - 1))

    def row_of(self, wanted: Key | None) -> int:
        """Return the row of a finding by its key, -1 where it is no longer found."""
        return next((row for row, finding in enumerate(self._findings) if key(finding) == wanted), -1)

    def rowCount(self, parent: AnyIndex = NO_INDEX) -> int:
        """Return the number of findings."""
        return 0 if parent.isValid() else len(self._findings)

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a row shows and says."""
        if not index.isValid():
            return None
        finding = self._findings[index.row()]
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


_LEVEL_MEANING = {
    "stop": "do not build it so.",
    "decide": "a person must decide.",
    "note": "good to know.",
}
