"""The program in the menus of a person's desktop, and job files that open with it: the way of freedesktop.org.

Three files below the person's own data folder (XDG_DATA_HOME, as a rule ~/.local/share): the entry, the icon and the
file type.  Nothing outside it is touched, and ``unregister`` takes them away again.

References
----------
.. [1] freedesktop.org: Desktop Entry Specification 1.5, Shared MIME-info Database 0.21, Icon Theme 0.13, Base Directory
   0.8 (from memory).
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.storage.saving import save

ENTRY = Path("applications", "linesizer.desktop")
ICON = Path("icons", "hicolor", "scalable", "apps", "linesizer.svg")
TYPE = Path("mime", "packages", "linesizer.xml")
PLACES = (ENTRY, ICON, TYPE)

_REFRESH = (("update-mime-database", "mime"), ("update-desktop-database", "applications"))
_QUOTED = str.maketrans({'"': '\\"', "`": "\\`", "$": "\\$", "\\": "\\\\"})


def data_home(environment: Mapping[str, str] = os.environ) -> Path:
    """Return the folder of a person's own data; a relative one in the environment does not count."""
    named = environment.get("XDG_DATA_HOME", "")
    return Path(named) if os.path.isabs(named) else Path.home() / ".local" / "share"


def register(home: Path | None = None, python: str = sys.executable, system: str = sys.platform) -> tuple[Path, ...]:
    """Put the program into the desktop's menus, and let it open job files.

    Parameters
    ----------
    home : Path, optional
        The person's data folder.
    python : str
        The Python that starts the program, with its whole path: a desktop knows no virtual environment.
    system : str
        As ``sys.platform`` names it.

    Returns
    -------
    tuple of Path
        What was written.

    Raises
    ------
    UserError
        REGISTER-01 where the system has other ways; REGISTER-02 where a file cannot be written.
    """
    _require_linux(system)
    home = home or data_home()
    entry = resource("desktop", "linesizer.desktop").read_text(encoding="utf-8")
    entry = entry.replace("Exec=linesizer open %f", f"Exec={_argument(python)} -m linesizer open %f")
    contents = {
        ENTRY: entry.encode(),
        ICON: resource("desktop", "linesizer.svg").read_bytes(),
        TYPE: resource("desktop", "linesizer.xml").read_bytes(),
    }
    for place, content in contents.items():
        try:
            (home / place).parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise UserError(
                "REGISTER-02",
                what="The program was not put into the desktop's menus.",
                why=f"{(home / place).parent} cannot be made: {error.strerror or error}.",
                remedy="Have the folder made writable; the program works without.",
            ) from error
        save(home / place, content)
    _refresh(home)
    return tuple(home / place for place in PLACES)


def unregister(home: Path | None = None, system: str = sys.platform) -> tuple[Path, ...]:
    """Take the program out of the desktop's menus again.

    Returns
    -------
    tuple of Path
        What was taken away.

    Raises
    ------
    UserError
        REGISTER-01 where the system has other ways; REGISTER-02 where a file cannot be taken away.
    """
    _require_linux(system)
    home = home or data_home()
    gone = []
    for place in PLACES:
        try:
            (home / place).unlink()
        except FileNotFoundError:
            continue
        except OSError as error:
            raise UserError(
                "REGISTER-02",
                what=f"{home / place} was not taken away.",
                why=f"The system says: {error.strerror or error}.",
                remedy="Delete it yourself.",
            ) from error
        gone.append(home / place)
    _refresh(home)
    return tuple(gone)


def _require_linux(system: str) -> None:
    if not system.startswith("linux"):
        raise UserError(
            "REGISTER-01",
            what="Menus and file types are registered on Linux only.",
            why=f"This system ({system}) has ways of its own, which this program does not use.",
            remedy="Start it by `linesizer open FILE`, or make a link to that on your desktop.",
        )


def _argument(text: str) -> str:
    """Return a word of a command as the specification has it: in quotes, and quoted once more as a value of the file.

    A percent sign is doubled, since a single one begins a field code.
    """
    return '"' + text.translate(_QUOTED).replace("\\", "\\\\").replace("%", "%%") + '"'


def _refresh(home: Path) -> None:
    """Let the desktop notice at once where it has the tools; elsewhere it does at the next login."""
    for tool, folder in _REFRESH:
        found = shutil.which(tool)
        if found and (home / folder).is_dir():
            subprocess.run([found, str(home / folder)], capture_output=True, check=False)
