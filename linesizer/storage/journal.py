"""The autosave journal: what an open job looked like after each act, so that a crash loses the last act at most.

One file for each open job with unsaved work, in a folder beside the preferences.  It begins with a header (the job's
file, the digest of that file as it was opened or saved, the program's version, the process) and is only ever appended
to: one whole state an act, each with its length and digest, each on the disk before the next act.  A kill at any byte
leaves at most the last record torn, and a torn record is passed over.  When the file has grown large it is replaced,
whole or not at all, by one that holds the latest state alone.

A journal is its process's own as long as its lock is held (``journal_lock``); one whose lock is free was left by a
crash.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import linesizer
from linesizer.domain.job import Job
from linesizer.errors import JobFileError, UserError
from linesizer.storage.job_file import canonical, parse
from linesizer.storage.journal_lock import JournalLock
from linesizer.storage.opening import file_bytes
from linesizer.storage.saving import save

LARGEST_BYTES = 8_000_000
"""A journal is made small again above this, or above four times its latest state where that is more."""

_MAGIC = b"linesizer-journal 1\n"
_HEADER, _STATE, _CLEAN = b"header", b"state", b"clean"
_BINARY = getattr(os, "O_BINARY", 0)
_STALE_S = 3600.0


@dataclass(frozen=True, slots=True)
class JournalHeader:
    """Whose states a journal holds.

    ``path`` is the job's file, None for a job that was never saved; ``file_digest`` the SHA-256 of that file as it
    was when the work began.
    """

    path: Path | None
    file_digest: str | None
    version: str
    process_id: int


@dataclass(frozen=True, slots=True)
class LostWork:
    """What a crash left behind: the journal, whose it was, the last state, when it was reached, after how many acts."""

    journal: Path
    header: JournalHeader
    job: Job
    reached: datetime
    acts: int


class Journal:
    """The journal of one open job; made by ``begin``, ended by ``close``."""

    def __init__(self, file: Path, lock: JournalLock, header: bytes) -> None:
        self._file = file
        self._lock = lock
        self._header = header
        self._descriptor = os.open(file, os.O_WRONLY | os.O_APPEND | _BINARY)
        self._size = len(_MAGIC) + len(header)

    @property
    def file(self) -> Path:
        """Where it is kept."""
        return self._file

    @classmethod
    def begin(cls, folder: Path, *, path: Path | None, file_digest: str | None) -> Journal:
        """Begin a journal.

        Parameters
        ----------
        folder : Path
            Where journals are kept; made if need be.
        path : Path or None
            The job's file.
        file_digest : str or None
            SHA-256 of that file as it was opened or saved.

        Raises
        ------
        UserError
            JOURNAL-01 where the folder cannot be written.
        """
        facts = {
            "path": None if path is None else str(path.absolute()),
            "file_digest": file_digest,
            "version": linesizer.__version__,
            "process_id": os.getpid(),
        }
        header = _record(_HEADER, json.dumps(facts).encode())
        file = folder / f"{secrets.token_hex(8)}.journal"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            # The lock comes first: a journal that is there without one would look like a dead program's.
            lock = JournalLock.take(_lock_of(file))
        except OSError as error:
            raise _not_kept(folder, error) from error
        assert lock is not None, "a name drawn at random is nobody else's"
        try:
            save(file, _MAGIC + header)
            return cls(file, lock, header)
        except (OSError, UserError) as error:
            lock.release()
            raise _not_kept(folder, error) from error

    def record(self, job: Job, *, unsaved: bool = True) -> None:
        """Keep the job as it is after an act; it is on the disk when this returns.

        Parameters
        ----------
        job : Job
            The whole job.
        unsaved : bool
            False where it is again what the file holds, so that nothing of it can be lost.

        Raises
        ------
        UserError
            JOURNAL-01 where it could not be written; what was kept before is kept still.
        """
        new = _record(_STATE, canonical(job)) if unsaved else _record(_CLEAN, b"")
        try:
            if self._size + len(new) > max(LARGEST_BYTES, 4 * len(new)):
                self._begin_anew(new)
            else:
                self._append(new)
        except (OSError, UserError) as error:
            raise _not_kept(self._file.parent, error) from error

    def close(self) -> None:
        """End the journal, since nothing is left that could be lost: its file is gone."""
        if self._descriptor >= 0:
            os.close(self._descriptor)
            self._descriptor = -1
        with contextlib.suppress(OSError):
            os.unlink(self._file)
        self._lock.release()

    def _append(self, record: bytes) -> None:
        try:
            rest = memoryview(record)
            while rest:
                rest = rest[os.write(self._descriptor, rest) :]
            os.fsync(self._descriptor)
        except OSError:
            # Half a record would hide those behind it.
            with contextlib.suppress(OSError):
                os.truncate(self._file, self._size)
            raise
        self._size += len(record)

    def _begin_anew(self, record: bytes) -> None:
        # Closed first: some systems replace no file that is open.
        os.close(self._descriptor)
        self._descriptor = -1
        data = _MAGIC + self._header + record
        try:
            save(self._file, data)
            self._size = len(data)
        finally:
            self._descriptor = os.open(self._file, os.O_WRONLY | os.O_APPEND | _BINARY)


def recoverable(folder: Path) -> list[LostWork]:
    """Return the work that programs which are gone left behind, latest first.

    A journal counts if its process is gone and its last state is not what its file holds; any other dead one has
    nothing to give and is taken away.  A journal that cannot be understood is left where it is.
    """
    found = []
    for file in sorted(folder.glob("*.journal")):
        try:
            lock = JournalLock.take(_lock_of(file))
        except OSError:
            continue
        if lock is None:
            continue
        try:
            lost = _lost(file)
        except ValueError:
            continue
        finally:
            lock.release()
        if lost is None:
            _remove(file)
        else:
            found.append(lost)
    _sweep(folder)
    return sorted(found, key=lambda lost: lost.reached, reverse=True)


def discard(lost: LostWork) -> None:
    """Take a dead program's journal away: its work was taken up, or is not wanted."""
    _remove(lost.journal)


def _lost(file: Path) -> LostWork | None:
    """Return what a dead journal holds that its file does not; None for nothing, ValueError for no journal."""
    data = file.read_bytes()
    records = _records(data)
    first = next(records, None)
    if first is None or first[0] != _HEADER:
        raise ValueError(f"{file} is no journal")
    header = _header(first[1])
    states = [payload if kind == _STATE else None for kind, payload in records]
    job = _latest(states)
    if job is None or (header.path is not None and _holds(header.path, job)):
        return None
    reached = datetime.fromtimestamp(file.stat().st_mtime, UTC)
    return LostWork(file, header, job, reached, len(states))


def _latest(states: list[bytes | None]) -> Job | None:
    """Return the last state that can be read, None where the last act led back to what was saved."""
    for state in reversed(states):
        if state is None:
            return None
        # An empty job, or a newer program's, is no state to go on from; the one before may be.
        with contextlib.suppress(JobFileError):
            return parse(state, "journal").job
    return None


def _holds(path: Path, job: Job) -> bool:
    try:
        return parse(file_bytes(path), str(path)).job == job
    except JobFileError:
        return False


def _record(kind: bytes, payload: bytes) -> bytes:
    return b"%s %d %s\n%s\n" % (kind, len(payload), hashlib.sha256(payload).hexdigest().encode(), payload)


def _records(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield the whole records of a journal, up to the first that is torn."""
    if not data.startswith(_MAGIC):
        return
    at = len(_MAGIC)
    while (line_end := data.find(b"\n", at)) >= 0:
        words = data[at:line_end].split(b" ")
        if len(words) != 3 or not words[1].isdigit():
            return
        end = line_end + 1 + int(words[1])
        payload = data[line_end + 1 : end]
        if data[end : end + 1] != b"\n" or hashlib.sha256(payload).hexdigest().encode() != words[2]:
            return
        yield words[0], payload
        at = end + 1


def _header(payload: bytes) -> JournalHeader:
    facts = json.loads(payload)
    if not isinstance(facts, dict):
        raise ValueError("the header is no object")
    path, known = facts.get("path"), facts.get("file_digest")
    return JournalHeader(
        Path(path) if isinstance(path, str) else None,
        known if isinstance(known, str) else None,
        str(facts.get("version", "")),
        int(facts.get("process_id", 0)),
    )


def _lock_of(file: Path) -> Path:
    return file.with_suffix(".lock")


def _remove(file: Path) -> None:
    for path in (file, _lock_of(file)):
        with contextlib.suppress(OSError):
            os.unlink(path)


def _sweep(folder: Path) -> None:
    """Take away what a kill in the middle of making a journal left: old temporary files, locks without a journal."""
    for file in (*folder.glob(".linesizer-*.tmp"), *folder.glob("*.lock")):
        with contextlib.suppress(OSError):
            alone = not file.with_suffix(".journal").exists()
            if alone and time.time() - file.stat().st_mtime > _STALE_S:
                os.unlink(file)


def _not_kept(folder: Path, error: Exception) -> UserError:
    why = (
        error.why if isinstance(error, UserError) else f"The system says: {getattr(error, 'strerror', None) or error}."
    )
    return UserError(
        "JOURNAL-01",
        what=f"The last act was not kept in {folder}.",
        why=why,
        remedy="Save the job now; after a crash it could not be brought back from there.",
    )
