"""Bytes to a file, all of them or none: a failed save leaves the old file as it was."""

from __future__ import annotations

import contextlib
import os
import secrets
import stat
from pathlib import Path

from linesizer.errors import UserError

_BINARY = getattr(os, "O_BINARY", 0)


def save(path: Path, data: bytes) -> None:
    """Write a file by way of a temporary one in the same folder that takes its place when it is safely on the disk.

    A link is followed, so that it still is a link afterwards.  An existing file keeps its mode and, where the system
    lets it, its owner and group; a new one gets the mode that the person's umask gives.

    Raises
    ------
    UserError
        The disk is full, the folder or the file may not be written, the path is no ordinary file.  What stood there
        before still stands there, and the temporary file is gone.
    """
    try:
        target = Path(os.path.realpath(path))
        status = _status(path, target)
        temporary = target.with_name(f".linesizer-{secrets.token_hex(8)}.tmp")
        descriptor = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY, 0o666)
        try:
            try:
                _write_all(descriptor, data)
                os.fsync(descriptor)
            finally:
                os.close(descriptor)
            if status is not None:
                _keep(temporary, status)
            os.replace(temporary, target)
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
            raise
        _settle(target.parent)
    except (OSError, ValueError) as error:
        raise _not_saved(path, error) from error


def _status(path: Path, target: Path) -> os.stat_result | None:
    """Return what is known of the file that is replaced; None for a new one."""
    try:
        status = os.stat(target)
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(status.st_mode):
        kind = "a folder" if stat.S_ISDIR(status.st_mode) else "no ordinary file"
        raise UserError("SAVE-03", what=f"{path} was not saved.", why=f"It is {kind}.", remedy="Choose another name.")
    if not os.access(target, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
        # The folder would let the file be replaced; whoever made it read-only meant it to stay.
        raise UserError(
            "SAVE-04",
            what=f"{path} was not saved.",
            why="The file is read-only for you, and stands there as it was.",
            remedy="Save under another name, or have the file made writable.",
        )
    return status


def _write_all(descriptor: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(descriptor, rest) :]


def _keep(temporary: Path, status: os.stat_result) -> None:
    if hasattr(os, "chown"):
        made = os.stat(temporary)
        if (made.st_uid, made.st_gid) != (status.st_uid, status.st_gid):
            # Only the system's keeper may give a file away; a file that changes its owner is better than none.
            with contextlib.suppress(OSError):
                os.chown(temporary, status.st_uid, status.st_gid)
    os.chmod(temporary, stat.S_IMODE(status.st_mode))


def _settle(folder: Path) -> None:
    """Have the folder's new entry written too, where the system can; the file itself is safe already."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _not_saved(path: Path, error: OSError | ValueError) -> UserError:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return UserError(
        "SAVE-02",
        what=f"{path} was not saved.",
        why=f"The system says: {reason}. What stood there before is untouched.",
        remedy="Make room or choose another place, then save again; the job is still open.",
    )
