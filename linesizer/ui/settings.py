"""What a person's window remembers, and where: preferences, journals and recent files in one folder."""

from __future__ import annotations

import os
from pathlib import Path

from PySide6.QtCore import QSettings, QStandardPaths

FOLDER_VARIABLE = "LINESIZER_FOLDER"
"""Names another folder for preferences and journals, for tests and for two people at one desk."""


def own_folder() -> Path:
    """Return the folder beside the person's other preferences, made if it is not there."""
    named = os.environ.get(FOLDER_VARIABLE)
    if named:
        folder = Path(named)
    else:
        place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.GenericConfigLocation)
        folder = Path(place) / "linesizer"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def preferences(folder: Path) -> QSettings:
    """Return the preferences kept in a folder."""
    return QSettings(str(folder / "window.ini"), QSettings.Format.IniFormat)
