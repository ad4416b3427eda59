"""New, open, save, recent files, a dropped file, a file that someone else changed, the work that a crash cut off."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer, Signal

from linesizer.document.autosave import Autosave
from linesizer.document.change import Change, ChangeKind
from linesizer.document.disk import DiskState
from linesizer.document.recent_files import RecentFiles
from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.properties.own_blends import UnbuiltBlendsError
from linesizer.storage.job_file import unbuilt
from linesizer.storage.journal import LostWork, discard, recoverable
from linesizer.ui.dialogs.questions import Lost, OnDisk, Questions, Unsaved
from linesizer.ui.fields.commit import commit_pending
from linesizer.ui.session import Session

LOOK_AGAIN_ms = 300
"""An editor may write a file in several steps; look at it once that is over."""


class FileActs(QObject):
    """Everything that brings a job into the window and out of it again."""

    said = Signal(str)
    """A line for the status bar."""

    def __init__(self, session: Session, questions: Questions, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.questions = questions
        self._folder = folder
        self.recent = RecentFiles(folder)
        self._autosave = Autosave(session.document, folder, self._journal_failed)
        self._watcher = QFileSystemWatcher(self)
        self._watcher.fileChanged.connect(self._something_wrote)
        self._later = QTimer(self, singleShot=True, interval=LOOK_AGAIN_ms)
        self._later.timeout.connect(self.look_at_disk)
        self._asking = False
        self._declined: str | None = None
        session.changed.connect(self._changed)
        self._watch()

    def new(self) -> bool:
        """Begin an empty job; False where the person would rather stay."""
        if not self.may_leave():
            return False
        self._session.document.new()
        return True

    def open(self, path: Path | None = None, *, as_copy: bool = False) -> bool:
        """Open a file, asked for if none is named, or a copy of it; False where nothing was opened."""
        if not self.may_leave():
            return False
        document = self._session.document
        if path is None:
            path = self.questions.open_path(document.path.parent if document.path is not None else None)
            if path is None:
                return False
        return self._open(path, as_copy=as_copy)

    def open_sample(self) -> bool:
        """Open the sample that shows both lines at their best; a copy without a name, so that the sample stays."""
        if not self.may_leave():
            return False
        return self._open(sample_path(), as_copy=True)

    def save(self) -> bool:
        """Save in the job's own file, asked for if it has none; False where nothing was saved."""
        taken = commit_pending()
        document = self._session.document
        if document.path is None:
            return self.save_as()
        try:
            if document.disk_state() is DiskState.CHANGED:
                if not self.questions.overwrite_changed(document.path):
                    return False
                document.save(force=True)
            else:
                document.save()
        except UserError as error:
            self.questions.tell(error)
            return False
        self._say_saved(document.path, taken)
        return True

    def save_as(self) -> bool:
        """Save under another name; False where nothing was saved."""
        taken = commit_pending()
        document = self._session.document
        folder = document.path.parent if document.path is not None else Path.home()
        title = "".join(c if c.isalnum() or c in " -_" else "-" for c in document.job.info.title).strip()
        name = document.path.name if document.path is not None else f"{title or 'job'}.json"
        path = self.questions.save_path(folder / name)
        if path is None:
            return False
        try:
            document.save(path, force=True)
        except UserError as error:
            self.questions.tell(error)
            return False
        self.remember(path)
        self._say_saved(path, taken)
        return True

    def may_leave(self) -> bool:
        """Whether the open job may be left: it is saved, or the person says so."""
        commit_pending()  # what is refused was never part of the job
        document = self._session.document
        if not document.modified:
            return True
        answer = self.questions.unsaved(document.job.info.title or "the job")
        if answer is Unsaved.SAVE:
            return self.save()
        return answer is Unsaved.DISCARD

    def offer_lost_work(self) -> None:
        """Ask about every piece of work that a crash cut off; the first that is brought back is opened."""
        for lost in recoverable(self._folder):
            answer = self.questions.lost_work(_lost_name(lost), lost.reached, lost.acts)
            if answer is Lost.DISCARD:
                discard(lost)
            elif answer is Lost.RECOVER:
                missing = unbuilt(lost.job)
                if missing and not self.questions.build(missing):
                    return  # asked again next time
                self._session.document.recover(lost.job, lost.header.path)
                discard(lost)
                return

    def look_at_disk(self) -> None:
        """Ask what to do where someone else changed the open file."""
        document = self._session.document
        path = document.path
        if path is None or self._asking:
            return
        state = document.disk_state()
        if state is DiskState.GONE:
            self.said.emit(f"{path.name} is no longer there; saving writes it again.")
        if state is not DiskState.CHANGED:
            self._watch()
            return
        self._asking = True
        try:
            answer = self.questions.changed_on_disk(path, modified=document.modified)
        finally:
            self._asking = False
        if answer is OnDisk.READ_AGAIN:
            self._open(path)
        else:
            self._watch()

    def close(self) -> None:
        """End the journal and look at no file any more: the window goes away in order."""
        self._later.stop()
        if self._watcher.files():
            self._watcher.removePaths(self._watcher.files())
        self._autosave.close()

    def remember(self, path: Path) -> None:
        """Put a file at the head of the recent ones; where that list cannot be kept, only say so."""
        try:
            self.recent.add(path)
        except UserError as error:
            self.said.emit(f"{error.what} {error.remedy}")

    def _say_saved(self, path: Path, taken: bool) -> None:
        without = "" if taken else " without the entry that is marked: it was not taken"
        self.said.emit(f"Saved {path}{without}")

    def _open(self, path: Path, *, as_copy: bool = False) -> bool:
        document = self._session.document
        try:
            try:
                document.open(path, as_copy=as_copy)
            except UnbuiltBlendsError as error:
                if not self.questions.build(error.blends):
                    return False
                document.open(path, as_copy=as_copy)
        except UserError as error:
            self.questions.tell(error)
            return False
        if not as_copy:
            self.remember(path)
        for note in document.notes:
            self.said.emit(note)
        return True

    def _changed(self, change: Change) -> None:
        if change.kind in (ChangeKind.NEW, ChangeKind.OPENED, ChangeKind.SAVED):
            self._watch()

    def _watch(self) -> None:
        watched = self._watcher.files()
        path = self._session.document.path
        wanted = [str(path)] if path is not None and path.exists() else []
        if watched and watched != wanted:
            self._watcher.removePaths(watched)
            watched = []
        if wanted and not watched:
            self._watcher.addPaths(wanted)

    def _something_wrote(self) -> None:
        self._later.start()

    def _journal_failed(self, error: UserError) -> None:
        self.said.emit(f"{error.what} {error.remedy}")


def sample_path() -> Path:
    """Return the sample that a new person is shown."""
    inside = resource().parent / "samples"
    return inside / "condenser-above.json"


def _lost_name(lost: LostWork) -> str:
    if lost.header.path is not None:
        return lost.header.path.name
    return lost.job.info.title or "a job without a name"
