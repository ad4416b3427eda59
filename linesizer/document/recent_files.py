"""The files that a person worked on last, kept in a small file beside the preferences."""

from __future__ import annotations

import json
import os
from pathlib import Path

from linesizer.errors import UserError
from linesizer.storage.saving import save

MOST = 10
_NAME = "recent-files.json"


class RecentFiles:
    """The last ten files, newest first, each once.

    The list is read anew each time, so that two windows do not undo each other's entries; what cannot be read is an
    empty list, since nothing is lost with it.
    """

    def __init__(self, folder: Path) -> None:
        self._file = folder / _NAME

    def add(self, path: str | os.PathLike[str]) -> None:
        """Put a file at the head of the list.

        Raises
        ------
        UserError
            The list cannot be written; the file itself is not concerned.
        """
        newest = os.path.abspath(path)
        self._write([newest, *(old for old in self._read() if os.path.normcase(old) != os.path.normcase(newest))])

    def shown(self) -> tuple[Path, ...]:
        """Return the files that are there, newest first; a missing one is only left out: a drive may return."""
        return tuple(Path(name) for name in self._read() if os.path.isfile(name))

    def clear(self) -> None:
        """Forget all.

        Raises
        ------
        UserError
            The list cannot be written.
        """
        self._write([])

    def _read(self) -> list[str]:
        try:
            held = json.loads(self._file.read_bytes())
        except (OSError, ValueError, RecursionError):
            return []
        names = held.get("files") if isinstance(held, dict) else None
        return [name for name in names if isinstance(name, str)][:MOST] if isinstance(names, list) else []

    def _write(self, names: list[str]) -> None:
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise UserError(
                "RECENT-01",
                what="The list of recent files was not kept.",
                why=f"{self._file.parent} cannot be made: {error.strerror or error}.",
                remedy="Make room for it there, or have the folder made writable; the open job is not concerned.",
            ) from error
        save(self._file, f"{json.dumps({'files': names[:MOST]}, indent=2)}\n".encode())
