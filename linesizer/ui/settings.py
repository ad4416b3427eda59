"""What a person's window remembers, and where: preferences, journals and recent files in one folder."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from PySide6.QtCore import QSettings, QStandardPaths

from linesizer.errors import UserError

FOLDER_VARIABLE = "LINESIZER_FOLDER"
"""Names another folder for preferences and journals, for tests and for two people at one desk."""


def own_folder() -> Path:
    """Return the folder beside the person's other preferences, made if it is not there.

    Raises
    ------
    UserError
        If it cannot be made or written to: without a journal a crash would cost the work.
    """
    named = os.environ.get(FOLDER_VARIABLE)
    if named:
        folder = Path(named)
    else:
        place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.GenericConfigLocation)
        folder = Path(place) / "linesizer"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass  # may be written: the permission alone does not tell, on a full or read-only disk
    except OSError as error:
        raise UserError(
            "FOLDER-01",
            what=f"{folder} cannot be used for preferences and for the journal of unsaved work.",
            why=f"The system says: {error.strerror or error}.",
            remedy=f"Have it made writable, or name another folder in the environment variable {FOLDER_VARIABLE}.",
        ) from error
    return folder


def preferences(folder: Path) -> QSettings:
    """Return the preferences kept in a folder."""
    return QSettings(str(folder / "window.ini"), QSettings.Format.IniFormat)
