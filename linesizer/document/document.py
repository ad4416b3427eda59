"""The open job: what is done to it, taken back, saved, and who is told."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

from linesizer.document.change import Change, ChangeKind
from linesizer.document.command import Command, same_act
from linesizer.document.commands.restore import RestoreJob
from linesizer.document.disk import DiskState, digest, disk_state
from linesizer.document.new_job import new_job
from linesizer.document.soundness import carried_out, require_route
from linesizer.domain.job import Job
from linesizer.errors import UserError
from linesizer.storage import job_file
from linesizer.storage.job_file import JobFile

Listener = Callable[[Change], None]


@dataclass(frozen=True, slots=True)
class _Step:
    before: Job
    after: Job
    command: Command


class Listening:
    """Someone's place among the document's listeners; ``stop`` gives it up."""

    __slots__ = ("_listeners", "listener")

    def __init__(self, listeners: list[Listening], listener: Listener) -> None:
        self._listeners = listeners
        self.listener = listener

    def stop(self) -> None:
        """Be told nothing more; a second time does nothing."""
        if self in self._listeners:
            self._listeners.remove(self)


class Document:
    """One open job with its history; what is selected or shown is not its business.

    A job is a frozen value and every step keeps the one before and the one after, so undo gives back the very same job.
    Whatever fails leaves everything as it was.  For one thread: views call it and are told on it.
    """

    def __init__(self) -> None:
        self._listeners: list[Listening] = []
        self._telling = False
        self._job = self._saved = new_job()
        self._path: Path | None = None
        self._opened: JobFile | None = None
        self._on_disk: str | None = None
        self._done: list[_Step] = []
        self._undone: list[_Step] = []

    # What it holds

    @property
    def job(self) -> Job:
        """The job as it is now."""
        return self._job

    @property
    def path(self) -> Path | None:
        """Where it was opened or last saved; None for a new one."""
        return self._path

    @property
    def notes(self) -> tuple[str, ...]:
        """What a person should know about the file as it was opened."""
        return self._opened.notes if self._opened is not None else ()

    @property
    def file_digest(self) -> str | None:
        """The SHA-256 of the file as it was opened or last saved here; None for a new job."""
        return self._on_disk

    @property
    def modified(self) -> bool:
        """Whether the job differs from what is saved; undoing back to that clears it."""
        return self._job is not self._saved and self._job != self._saved

    @property
    def undo_label(self) -> str | None:
        """What undo would take back: ``change length of d3``; None where there is nothing."""
        return self._done[-1].command.label if self._done else None

    @property
    def redo_label(self) -> str | None:
        """What redo would do again; None where there is nothing."""
        return self._undone[-1].command.label if self._undone else None

    # What is done to it

    def do(self, command: Command, *, merge: bool = False) -> bool:
        """Carry out a command as one undo step; return whether the job is another one now.

        Parameters
        ----------
        command : Command
            The act.
        merge : bool
            Let it take the place of the last step where that did the same thing to the same object: the next letter of
            a word, the next notch of a wheel.  The step then goes back to before the first of them.  A step that led to
            what is saved is left alone.

        Raises
        ------
        UserError
            The command cannot be carried out; nothing has changed.
        """
        before = self._job
        after = carried_out(command, before)
        if after is before or after == before:
            return False
        with self._about_to_tell():
            last = self._done[-1] if self._done else None
            kind = ChangeKind.DONE
            if (
                merge
                and last is not None
                and not self._undone
                and last.after is not self._saved
                and same_act(last.command, command)
            ):
                kind = ChangeKind.MERGED
                self._done.pop()
                if last.before == after:
                    after = last.before
                else:
                    self._done.append(_Step(last.before, after, command))
            else:
                self._done.append(_Step(before, after, command))
            self._undone.clear()
            self._job = after
            self._tell(Change(before, after, command, kind))
        return True

    def preview(self, command: Command) -> Job:
        """Return the job that a command would lead to, and do nothing: what a drag shows before it is let go.

        Routes are checked, since an unsound one cannot be solved; ranges and references only by ``do``.

        Raises
        ------
        UserError
            The command cannot be carried out.
        """
        return carried_out(command, self._job, checked=require_route)

    def undo(self) -> bool:
        """Take the last step back; return whether there was one."""
        if not self._done:
            return False
        with self._about_to_tell():
            step = self._done.pop()
            self._undone.append(step)
            self._job = step.before
            self._tell(Change(step.after, step.before, step.command, ChangeKind.UNDONE))
        return True

    def redo(self) -> bool:
        """Do the step again that was taken back last; return whether there was one."""
        if not self._undone:
            return False
        with self._about_to_tell():
            step = self._undone.pop()
            self._done.append(step)
            self._job = step.after
            self._tell(Change(step.before, step.after, step.command, ChangeKind.REDONE))
        return True

    # Where it comes from and goes to

    def new(self) -> None:
        """Begin an empty job; the history is gone."""
        with self._about_to_tell():
            before = self._job
            self._become(new_job(), path=None, opened=None, on_disk=None)
            self._tell(Change(before, self._job, None, ChangeKind.NEW))

    def open(self, path: str | os.PathLike[str], *, as_copy: bool = False) -> None:
        """Open a job file; the history is gone.

        Parameters
        ----------
        path : path-like
            The file.
        as_copy : bool
            Open what it holds as a job without a name, so that saving asks for one and the file stays as it is.

        Raises
        ------
        JobFileError
            With everything wrong with the file; what was open stays open.
        """
        file = job_file.read(path)
        with self._about_to_tell():
            before = self._job
            own, on_disk = (None, None) if as_copy else (file.path, digest(file.raw))
            self._become(file.job, path=own, opened=file, on_disk=on_disk)
            self._tell(Change(before, self._job, None, ChangeKind.OPENED))

    def recover(self, job: Job, path: str | os.PathLike[str] | None) -> None:
        """Open a file and put on top of it, as one step, the work that a crash had cut off.

        The step can be undone, which shows the file as it stands.  A file that is gone or cannot be read is passed
        over: the work then goes on without a name, as a new job.
        """
        try:
            if path is None:
                self.new()
            else:
                self.open(path)
        except UserError:
            self.new()
        self.do(RestoreJob(job))

    def save(self, path: str | os.PathLike[str] | None = None, *, force: bool = False) -> None:
        """Save the job, in its own file or under a new name, whole or not at all.

        A job that equals the one that was opened is saved as the bytes that were read.

        Parameters
        ----------
        path : path-like, optional
            The new name; whether a file of that name may be replaced is for the caller to ask.
        force : bool
            Overwrite the job's own file though someone else changed it.

        Raises
        ------
        UserError
            Nothing was saved: no name yet, no circuit yet, a changed file, no room, no permission.
        """
        target = Path(path) if path is not None else self._path
        if target is None:
            raise UserError(
                "DOCUMENT-01",
                what="The job was not saved.",
                why="It has no file yet.",
                remedy="Choose a folder and a name.",
            )
        if not self._job.circuits:
            raise UserError(
                "DOCUMENT-02",
                what=f"{target} was not saved.",
                why="The job is empty: it has no circuit, and a job file has at least one.",
                remedy="Fill in the refrigerant, what the unit does, and where the two ends stand; then save.",
            )
        own = self._path is not None and _same_place(target, self._path)
        if own and not force and self.disk_state() is DiskState.CHANGED:
            raise UserError(
                "DOCUMENT-03",
                what=f"{target} was not saved.",
                why="Someone else changed the file since it was opened or saved here; saving would lose their work.",
                remedy="Open it again to see what changed, save under another name, or overwrite it knowingly.",
            )
        opened, job = self._opened, self._job
        data = opened.raw if opened is not None and opened.job == job else job_file.canonical(job)
        with self._about_to_tell():
            job_file.write(target, job, unedited=JobFile(target, job, data))
            self._path, self._saved, self._on_disk = target, job, digest(data)
            self._tell(Change(job, job, None, ChangeKind.SAVED))

    def disk_state(self) -> DiskState:
        """Return whether the file is as it was when it was opened or last saved here, judged by what it holds."""
        if self._path is None or self._on_disk is None:
            return DiskState.SAME
        return disk_state(self._path, self._on_disk)

    # Who is told

    def listen(self, listener: Listener) -> Listening:
        """Tell someone of every change from now on, until the returned place is given up with ``stop``.

        All are told, in the order in which they came, even where one of them fails.  A listener may look, but not act
        on the document: an act in the middle of telling would reach the others before its cause.
        """
        place = Listening(self._listeners, listener)
        self._listeners.append(place)
        return place

    @contextmanager
    def _about_to_tell(self) -> Iterator[None]:
        if self._telling:
            raise RuntimeError("a listener acts on the document while the document tells of a change")
        yield

    def _tell(self, change: Change) -> None:
        self._telling = True
        try:
            with ExitStack() as told:
                for place in reversed(self._listeners):
                    told.callback(place.listener, change)
        finally:
            self._telling = False

    def _become(self, job: Job, *, path: Path | None, opened: JobFile | None, on_disk: str | None) -> None:
        self._job = self._saved = job
        self._path, self._opened, self._on_disk = path, opened, on_disk
        self._done.clear()
        self._undone.clear()


def _same_place(one: Path, other: Path) -> bool:
    return os.path.realpath(one) == os.path.realpath(other)
