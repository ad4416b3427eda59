"""The bytes of a file that a person names, or a plain reason why they cannot be had."""

from __future__ import annotations

import difflib
import os
import stat
from pathlib import Path

from linesizer.errors import JobFileError, Problem
from linesizer.storage.places import WHOLE_FILE, quoted

LARGEST_BYTES = 20_000_000
"""A file above this is refused unread: a job of a thousand legs has a quarter of a million bytes."""

_LONGEST_PATH = 400


def file_bytes(path: Path) -> bytes:
    """Return what a file holds, at most ``LARGEST_BYTES``; pipes and devices are read no further either.

    Raises
    ------
    JobFileError
        Missing, a folder, not readable, too large.
    """
    try:
        status = os.stat(path)
        if stat.S_ISDIR(status.st_mode):
            raise _refused(path, "a folder", "a job file; name a file in it")
        if status.st_size > LARGEST_BYTES:
            raise _refused(path, f"{status.st_size / 1e6:.0f} MB", _SIZE_ALLOWED)
        with open(path, "rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError as error:
        raise _missing(path) from error
    except PermissionError as error:
        raise _refused(path, "you may not read it", "a file that you may read; ask its owner") from error
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise _refused(path, f"the system cannot read it ({reason})", "a job file") from error
    if len(data) > LARGEST_BYTES:
        raise _refused(path, f"more than {LARGEST_BYTES / 1e6:.0f} MB", _SIZE_ALLOWED)
    return data


_SIZE_ALLOWED = f"up to {LARGEST_BYTES / 1e6:.0f} MB; a job file has seldom more than 1 MB"


def _missing(path: Path) -> JobFileError:
    if path.is_symlink():
        return _refused(
            path, f"a link to {quoted(os.readlink(path), _LONGEST_PATH)}, which is not there", "a link to a job file"
        )
    folder = path.parent
    try:
        names = sorted(os.listdir(folder))
    except OSError:
        return _refused(
            path, f"there is no folder {quoted(str(folder), _LONGEST_PATH)}", "a job file in a folder that is there"
        )
    close = difflib.get_close_matches(path.name, names, n=3, cutoff=0.6)
    jobs = close or [name for name in names if name.endswith(".json")][:3]
    where = "this folder" if folder == Path() else f"the folder {quoted(str(folder), _LONGEST_PATH)}"
    allowed = f"near names there: {', '.join(jobs)}" if jobs else "a job file; none stands there"
    return _refused(path, f"no such file in {where}", allowed)


def _refused(path: Path, found: str, allowed: str) -> JobFileError:
    problem = Problem(WHOLE_FILE, found, allowed)
    return JobFileError("JOB-01", name=str(path), problems=(problem,), remedy="Choose another file.")
