"""Keep a journal of the open document, so that a crash loses the last act at most."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from linesizer.document.change import Change, ChangeKind
from linesizer.document.document import Document
from linesizer.errors import UserError
from linesizer.storage.journal import Journal

_ACTS = frozenset((ChangeKind.DONE, ChangeKind.MERGED, ChangeKind.UNDONE, ChangeKind.REDONE))


class Autosave:
    """Listens to a document and keeps a journal from its first unsaved act until it is saved, closed or left.

    A journal that cannot be written must not keep a person from working: ``failed`` is told once, and again only
    after it had worked in between.
    """

    def __init__(self, document: Document, folder: Path, failed: Callable[[UserError], None]) -> None:
        self._document = document
        self._folder = folder
        self._failed = failed
        self._failing = False
        self._journal: Journal | None = None
        self._listening = document.listen(self._told)

    def close(self) -> None:
        """End: the person has saved, or does not want to."""
        self._listening.stop()
        self._end()

    def _told(self, change: Change) -> None:
        if change.kind in _ACTS:
            try:
                if self._journal is None:
                    document = self._document
                    self._journal = Journal.begin(self._folder, path=document.path, file_digest=document.file_digest)
                self._journal.record(change.after, unsaved=self._document.modified)
                self._failing = False
            except UserError as error:
                if not self._failing:
                    self._failing = True
                    self._failed(error)
        else:
            self._end()

    def _end(self) -> None:
        if self._journal is not None:
            self._journal.close()
            self._journal = None
