"""Whether a file on disk is still the one that was read or written here."""

from __future__ import annotations

import hashlib
from enum import StrEnum
from pathlib import Path


class DiskState(StrEnum):
    """How a file stands against what is known of it."""

    SAME = "same"
    CHANGED = "changed"
    GONE = "gone"


def digest(data: bytes) -> str:
    """Return the SHA-256 of a file's bytes, by which they are recognised."""
    return hashlib.sha256(data).hexdigest()


def disk_state(path: Path, known: str) -> DiskState:
    """Return how a file stands against the digest of its bytes as they were known.

    A file that cannot be read is not known to be the same, and counts as changed.
    """
    try:
        with path.open("rb") as file:
            found = hashlib.file_digest(file, "sha256").hexdigest()
    except (FileNotFoundError, NotADirectoryError):
        return DiskState.GONE
    except OSError:
        return DiskState.CHANGED
    return DiskState.SAME if found == known else DiskState.CHANGED
