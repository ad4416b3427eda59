"""A lock that its process holds as long as it lives, however it ends."""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path


class JournalLock:
    """An exclusive lock on a small file.

    The system lets go of it when the process ends, by kill -9 too, and unlike a process number it is never given to
    another program.
    """

    def __init__(self, path: Path, descriptor: int) -> None:
        self._path = path
        self._descriptor: int | None = descriptor

    @classmethod
    def take(cls, path: Path) -> JournalLock | None:
        """Return the lock, or None where another holds it.

        Raises
        ------
        OSError
            The file cannot be made.
        """
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            if sys.platform == "win32":
                import msvcrt

                msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
            else:
                import fcntl

                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except (BlockingIOError, PermissionError):
            os.close(descriptor)
            return None
        except OSError:
            os.close(descriptor)
            raise
        return cls(path, descriptor)

    def release(self) -> None:
        """Let go, and take the file away; a second time does nothing."""
        if self._descriptor is None:
            return
        descriptor, self._descriptor = self._descriptor, None
        # Before letting go where the system allows it, so that nobody locks a file that is about to vanish.
        with contextlib.suppress(OSError):
            os.unlink(self._path)
        os.close(descriptor)
        with contextlib.suppress(OSError):
            os.unlink(self._path)
