"""The blends of a person's own: their tables in the person's data folder, one file for each name and composition.

A file is named after the blend and the key of its composition, so that two compositions of one name never stand for
each other.  What cannot be read, or holds another blend than its name says, counts as not there and is built anew.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from linesizer.domain.blend import Blend
from linesizer.domain.blend_record import BlendRecord
from linesizer.errors import UserError
from linesizer.properties.table import RefrigerantTable

DATA_VARIABLE = "LINESIZER_DATA"
"""Names another folder for what is made for a person, blends of their own among it."""

_SUFFIX = ".json"


@dataclass(frozen=True, slots=True)
class StoredBlend:
    """A blend of the person's own that has a table: its name, where that lies, the table itself."""

    name: str
    path: Path
    table: RefrigerantTable
    record: BlendRecord

    @property
    def blend(self) -> Blend:
        """What it is made of."""
        return self.record.blend


OwnBlends: TypeAlias = tuple[tuple[str, Blend], ...]
"""Names of blends with what they are made of."""


class UnbuiltBlendsError(UserError):
    """A job whose own blends have no table here; ``blends`` holds their names with what they are made of."""

    def __init__(self, blends: OwnBlends) -> None:
        self.blends = blends
        listed = " and ".join(f"{name} ({blend.words})" for name, blend in blends)
        one = len(blends) == 1
        super().__init__(
            "PROP-06",
            what=f"{listed} cannot be calculated yet.",
            why=f"{'It is a blend' if one else 'They are blends'} of somebody's own, and your data folder has no table "
            f"of {'this composition' if one else 'these compositions'}.",
            remedy="Open the job in the window, or calculate it on the command line: both build what is missing. "
            "From Python: linesizer.properties.blend_building.build_blend.",
        )

    def __reduce__(self) -> tuple[type[UnbuiltBlendsError], tuple[OwnBlends]]:
        """Come back whole from another process."""
        return type(self), (self.blends,)


def data_folder() -> Path:
    """Return the folder for what is made for this person; it need not be there yet."""
    named = os.environ.get(DATA_VARIABLE)
    if named:
        return Path(named)
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = str(Path.home() / "Library" / "Application Support")
    else:
        given = os.environ.get("XDG_DATA_HOME", "")
        # A relative one is to be ignored (XDG Base Directory Specification).
        base = given if os.path.isabs(given) else str(Path.home() / ".local" / "share")
    return Path(base) / "linesizer"


def folder() -> Path:
    """Return the folder of the blends' tables; it need not be there yet."""
    return data_folder() / "blends"


def path_of(name: str, blend: Blend) -> Path:
    """Return where the table of a blend lies, or would lie."""
    return folder() / f"{name}-{blend.key}{_SUFFIX}"


_read: dict[tuple[Path, int, int], RefrigerantTable] = {}
"""Tables by file, time of writing and length."""


_used: dict[Path, RefrigerantTable] = {}
"""Tables that were asked for: whoever works with one keeps it where its file is taken away meanwhile."""


def table_of(name: str, blend: Blend) -> RefrigerantTable | None:
    """Return the table of a blend, None where there is none of this name and composition."""
    path = path_of(name, blend)
    table = _table(path)
    if table is None and not path.exists():
        return _used.get(path)
    if table is None or table.own is None or table.name != name or table.own.blend.key != blend.key:
        return None
    _used[path] = table
    return table


def stored() -> tuple[StoredBlend, ...]:
    """Return the person's blends, by name; files that cannot be read are passed over."""
    found = []
    with contextlib.suppress(OSError):
        for path in sorted(folder().iterdir()):
            table = _table(path) if path.suffix == _SUFFIX else None
            if table is not None and table.own is not None and path == path_of(table.name, table.own.blend):
                found.append(StoredBlend(table.name, path, table, table.own))
    return tuple(found)


def named(name: str) -> tuple[StoredBlend, ...]:
    """Return the person's blends of a name, in upper or lower case."""
    return tuple(one for one in stored() if one.name.casefold() == name.casefold())


def keep(name: str, blend: Blend, text: str) -> StoredBlend:
    """Put the text of a table into the folder, whole or not at all, and return what is there now.

    Raises
    ------
    UserError
        PROP-14 if the folder cannot be written; PROP-12 if the text is not the table of this blend.
    """
    import tempfile  # only who builds pays for it

    path = path_of(name, blend)
    beside = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        descriptor, beside = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
        with os.fdopen(descriptor, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.replace(beside, path)
        beside = None
    except OSError as error:
        raise unwritable(error) from error
    finally:
        if beside is not None:
            with contextlib.suppress(OSError):
                os.unlink(beside)
    table = table_of(name, blend)
    if table is None or table.own is None:
        remove(path)
        raise UserError(
            "PROP-12",
            what=f"No table of {name} was kept.",
            why="What was built is not the table of this blend.",
            remedy="Build it again; if that happens twice, install the program again.",
        )
    return StoredBlend(name, path, table, table.own)


def remove(path: Path) -> None:
    """Take a blend's table away.

    Raises
    ------
    UserError
        PROP-14 if the system does not let it.
    """
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise unwritable(error) from error


def unwritable(error: OSError) -> UserError:
    """Return the error for a data folder that cannot be written."""
    return UserError(
        "PROP-14",
        what=f"The folder {folder()} for blends of your own cannot be written.",
        why=f"The system says: {error.strerror or error}.",
        remedy=f"Have it made writable, or name another folder in the environment variable {DATA_VARIABLE}.",
    )


def _table(path: Path) -> RefrigerantTable | None:
    try:
        status = path.stat()
        at = (path, status.st_mtime_ns, status.st_size)
        if at not in _read:
            _read[at] = RefrigerantTable(json.loads(path.read_text(encoding="utf-8")))
        return _read[at]
    except (OSError, ValueError, KeyError, TypeError, IndexError):
        return None
