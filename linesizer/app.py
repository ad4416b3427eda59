"""Starts the window; the one place that wires everything."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Literal

from linesizer.errors import UserError
from linesizer.units import System

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from linesizer.ui.main_window import MainWindow

ThemeName = Literal["light", "dark"]

COLLECT_EVERY_ms = 2000
PROBE = "from PySide6.QtWidgets import QApplication; QApplication([])"
PICTURE_WIDTH_px, PICTURE_HEIGHT_px = 1600, 1000


def display_is_there() -> bool:
    """Whether a window can be shown: there is a display, and Qt starts on it in a process of its own.

    A missing system library ends Qt's process at once, without an exception, so it is tried where that does no harm.
    """
    if os.environ.get("QT_QPA_PLATFORM") == "offscreen":
        return False
    if sys.platform.startswith("linux") and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return False
    probe = subprocess.run([sys.executable, "-c", PROBE], capture_output=True, timeout=60, check=False)
    return probe.returncode == 0


def open_window(path: Path | None, theme: ThemeName | None, units: System | None) -> int:
    """Show the window until it is closed.

    Parameters
    ----------
    path : Path or None
        A job file to open; None for an empty job.
    theme, units : optional
        Look and units of this window; the person's own preferences by default.

    Returns
    -------
    int
        0 when it was closed in order.

    Raises
    ------
    UserError
        If the file cannot be used, or there is no display.
    """
    if not display_is_there():
        raise UserError(
            "WINDOW-01",
            what="The window cannot be shown.",
            why="There is no display here, or a system library that Qt needs for one is missing.",
            remedy="Use `linesizer open FILE --picture OUT.png` for a picture, or `linesizer size FILE` for the table.",
        )
    from linesizer.ui.settings import own_folder, preferences

    app = _application()
    folder = own_folder()
    settings = preferences(folder)
    window = _window(app, folder, settings, theme, units, path)
    _collect_on_this_thread(app)
    _catch_faults(window)
    window.show()
    if path is None:
        window.files.offer_lost_work()
    return int(app.exec())


def draw_picture(path: Path | None, picture: Path, theme: ThemeName | None, units: System | None) -> None:
    """Write a picture of the whole window with a job open, without a display.

    Parameters
    ----------
    path : Path or None
        A job file; None for the empty window.
    picture : Path
        The PNG file to write.
    theme, units : optional
        Light and SI by default.

    Raises
    ------
    UserError
        If the job cannot be used or the picture not be written.
    """
    import tempfile

    from PySide6.QtCore import QEvent, QSettings

    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    app = _application()
    with tempfile.TemporaryDirectory() as folder:
        settings = QSettings(str(Path(folder) / "window.ini"), QSettings.Format.IniFormat)
        window = _window(app, Path(folder), settings, theme or "light", units or "si", path)
        window.resize(PICTURE_WIDTH_px, PICTURE_HEIGHT_px)
        window.show()
        for _ in range(5):
            app.processEvents()
        window.sheet.fit()
        for _ in range(5):
            app.processEvents()
        saved = window.grab().save(str(picture), "PNG")
        window.close()
        window.deleteLater()
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    if not saved:
        raise UserError(
            "PICTURE-01",
            what=f"The picture {picture} was not written.",
            why="The folder is not there, or may not be written to.",
            remedy="Choose another folder or name.",
        )


def _application() -> QApplication:
    from PySide6.QtWidgets import QApplication, QStyleFactory

    found = QApplication.instance()
    if isinstance(found, QApplication):
        return found
    app = QApplication(["linesizer"])
    app.setApplicationName("linesizer")
    app.setDesktopFileName("linesizer")
    app.setStyle(QStyleFactory.create("Fusion"))
    return app


def _window(
    app: QApplication,
    folder: Path,
    settings: object,
    theme: ThemeName | None,
    units: System | None,
    path: Path | None,
) -> MainWindow:
    from PySide6.QtCore import QSettings

    from linesizer.document.document import Document
    from linesizer.ui.main_window import MainWindow
    from linesizer.ui.session import Session
    from linesizer.ui.theme import PROSE_px, Theme, font

    if not isinstance(settings, QSettings):
        raise TypeError("settings are QSettings")
    app.setFont(font(PROSE_px))
    remembered_look, remembered_units = settings.value("look", ""), settings.value("units", "si")
    look: ThemeName | None = theme or (remembered_look if remembered_look in ("light", "dark") else None)
    system: System = units or ("ip" if remembered_units == "ip" else "si")
    document = Document()
    if path is not None:
        document.open(path)
    session = Session(document, Theme(look), system)
    window = MainWindow(session, folder, settings)
    if path is not None:
        window.files.recent.add(path)
    return window


def _collect_on_this_thread(app: QApplication) -> None:
    """Collect garbage on the thread of the window only: a collection elsewhere while a widget dies ends the process."""
    from PySide6.QtCore import QTimer

    gc.disable()
    timer = QTimer(app)
    timer.setInterval(COLLECT_EVERY_ms)
    timer.timeout.connect(_collect)
    timer.start()


def _collect() -> None:
    gc.collect()


def _catch_faults(window: MainWindow) -> None:
    """Show a fault of the program instead of dying of it; the journal already has the work."""
    from linesizer.ui.dialogs.crash import CrashDialog, crash_log

    def fault(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            window.close()
            return
        log = crash_log(kind, error, trace)
        sys.stderr.write(log)
        CrashDialog(log, window).open()

    sys.excepthook = fault
