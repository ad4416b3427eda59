"""The section of the title block."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtWidgets import QWidget

from linesizer.document.commands.job import SetJobInfo
from linesizer.domain.job import JobInfo
from linesizer.ui.fields.text import NotesField
from linesizer.ui.panels.job.form import Form
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.notes_row import NotesRow
from linesizer.ui.session import Session

_ROWS = (
    ("title", "Title", "What the job is called; heads the window and the report."),
    ("number", "Number", "The job's number in your own books."),
    ("prepared_by", "Prepared by", "Who answers for the figures."),
    ("revision", "Revision", "Letter or number of the state that is sent out."),
)


class InfoSection(Form):
    """What the title block says."""

    def __init__(self, session: Session, memory: PanelMemory, parent: QWidget | None = None) -> None:
        super().__init__(session, memory, "info", parent)
        info = self.of("job", self._value, self._set)
        for key, words, tip in _ROWS:
            info.text(key, words, tip)
        info.text("date", "Date", "Year, month, day; printed in the title block.", date=True)
        notes = NotesField(
            session,
            "Notes",
            partial(self._set, "notes"),
            "Whatever a reader of the report has to know: sources of makers' data, agreements, assumptions.",
        )
        self.bind("notes", NotesRow(session, "Notes", notes), notes, partial(self._value, "notes"))

    def summary(self, info: JobInfo) -> str:
        """Return what the folded section says."""
        return ", ".join(part for part in (info.number, info.revision and f"rev {info.revision}", info.date) if part)

    def _value(self, key: str) -> Any:
        return getattr(self.session.shown_job.info, key)

    def _set(self, key: str, value: Any, merge: bool) -> None:
        self.session.do(SetJobInfo(((key, value),)), merge=merge)
