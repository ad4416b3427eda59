"""Starts the window; the one place that wires everything."""

from __future__ import annotations

import contextlib
import gc
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Literal

from linesizer.errors import UserError
from linesizer.units import System

if TYPE_CHECKING:
    from PySide6.QtCore import QMessageLogContext, QSettings, QtMsgType
    from PySide6.QtWidgets import QApplication

    from linesizer.ui.main_window import MainWindow

ThemeName = Literal["light", "dark"]

COLLECT_EVERY_ms = 2000
PROBE = "from PySide6.QtGui import QGuiApplication; QGuiApplication([])"
PROBE_TIMEOUT_S = 60.0
PICTURE_WIDTH_px, PICTURE_HEIGHT_px = 1600, 1000
PATIENCE_s = 20.0
"""How long a picture waits for what another thread works out."""
DISPLAYS = ("DISPLAY", "WAYLAND_DISPLAY")

NOISE = "This plugin does not support"
"""How Qt's platform without a screen begins to tell what a window on it cannot do; nobody asked it to."""


def display_is_there() -> bool:
    """Whether a window can be shown: there is a display, and Qt starts on it in a process of its own.

    A missing system library ends Qt's process at once, without an exception, so it is tried where that does no harm.
    """
    return _display_is_there(*(os.environ.get(name, "") for name in ("QT_QPA_PLATFORM", *DISPLAYS)))


@cache
def _display_is_there(platform: str, *displays: str) -> bool:
    if platform == "offscreen" or (sys.platform.startswith("linux") and not any(displays)):
        return False
    probe = subprocess.Popen(
        [sys.executable, "-c", PROBE],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    # What the window needs is loaded meanwhile; where a library is missing, the probe will not end well either.
    with contextlib.suppress(ImportError):
        _load()
    try:
        return probe.wait(PROBE_TIMEOUT_S) == 0
    except subprocess.TimeoutExpired:
        probe.kill()
        probe.wait()
        return False


def open_window(
    path: Path | None, theme: ThemeName | None = None, units: System | None = None, *, as_copy: bool = False
) -> int:
    """Show the window until it is closed.

    Parameters
    ----------
    path : Path or None
        A job file to open; None for an empty job.
    theme, units : optional
        Look and units of this window; the person's own preferences by default.
    as_copy : bool
        Open what the file holds as a job without a name; the file stays as it is.

    Returns
    -------
    int
        0 when it was closed in order.

    Raises
    ------
    UserError
        If the file cannot be used, the person's folder neither, or there is no display.
    """
    if not display_is_there():
        raise UserError(
            "WINDOW-01",
            what="The window cannot be shown.",
            why="There is no display here, or a system library that Qt needs for one is missing.",
            remedy="Use `linesizer open FILE --picture OUT.png` for a picture, or `linesizer size FILE` for the table.",
        )
    gc.disable()
    from linesizer.properties.own_blends import UnbuiltBlendsError

    later: Path | None = None
    try:
        app, window = start(path, theme, units, as_copy=as_copy)
    except UnbuiltBlendsError:
        # What the job needs is built in front of the person, who can stop it.
        app, window = start(None, theme, units)
        later = path
    window.show()
    window.files.offer_lost_work()
    if later is not None:
        window.files.open(later, as_copy=as_copy)
    return int(app.exec())


def start(
    path: Path | None, theme: ThemeName | None = None, units: System | None = None, *, as_copy: bool = False
) -> tuple[QApplication, MainWindow]:
    """Make the window with everything that belongs to it, on whatever platform Qt is set to, and do not show it yet.

    Parameters
    ----------
    path, theme, units, as_copy
        As for ``open_window``.

    Returns
    -------
    QApplication, MainWindow
        To be shown, and run.

    Raises
    ------
    UserError
        If the file or the person's folder cannot be used.
    """
    gc.disable()
    _load()
    from linesizer.ui.settings import own_folder, preferences

    app = application()
    folder = own_folder()
    window = make_window(folder, preferences(folder), path, theme, units, as_copy=as_copy)
    _collect_on_this_thread(app)
    show_faults(window)
    return app, window


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

    _load()
    from PySide6.QtCore import QEvent, QEventLoop

    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    with without_noise(), tempfile.TemporaryDirectory() as folder:
        app = application()
        from linesizer.ui.settings import preferences

        window = make_window(Path(folder), preferences(Path(folder)), path, theme or "light", units or "si")
        window.resize(PICTURE_WIDTH_px, PICTURE_HEIGHT_px)
        window.show()
        for _ in range(5):
            app.processEvents()
        window.sheet.fit()
        for _ in range(5):
            app.processEvents()
        latest = time.monotonic() + PATIENCE_s
        while window.waiting and time.monotonic() < latest:
            app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 50)
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


def application() -> QApplication:
    """Return Qt's application, made if there is none yet."""
    from PySide6.QtGui import QIcon
    from PySide6.QtWidgets import QApplication, QStyleFactory

    from linesizer.domain.resources import resource

    found = QApplication.instance()
    if isinstance(found, QApplication):
        return found
    app = QApplication(["linesizer"])
    app.setApplicationName("linesizer")
    app.setDesktopFileName("linesizer")
    app.setWindowIcon(QIcon(str(resource("desktop", "linesizer.svg"))))
    app.setStyle(QStyleFactory.create("Fusion"))
    return app


def make_window(
    folder: Path,
    settings: QSettings,
    path: Path | None = None,
    theme: ThemeName | None = None,
    units: System | None = None,
    *,
    as_copy: bool = False,
) -> MainWindow:
    """Make a window over a job, which remembers what it remembers in a folder and its settings.

    Raises
    ------
    UserError
        If the job cannot be used.
    """
    from PySide6.QtWidgets import QApplication

    from linesizer.document.document import Document
    from linesizer.ui.main_window import MainWindow
    from linesizer.ui.session import Session
    from linesizer.ui.theme import PROSE_px, Theme, font

    QApplication.setFont(font(PROSE_px))
    remembered_look, remembered_units = settings.value("look", ""), settings.value("units", "si")
    look: ThemeName | None = theme or (remembered_look if remembered_look in ("light", "dark") else None)
    system: System = units or ("ip" if remembered_units == "ip" else "si")
    document = Document()
    if path is not None:
        document.open(path, as_copy=as_copy)
    session = Session(document, Theme(look), system)
    window = MainWindow(session, folder, settings)
    if document.path is not None:
        window.files.remember(document.path)
    return window


@contextlib.contextmanager
def without_noise() -> Iterator[None]:
    """Keep what the platform without a screen cannot do from a person's terminal; all else still comes through."""
    from PySide6.QtCore import qFormatLogMessage, qInstallMessageHandler

    def heard(kind: QtMsgType, context: QMessageLogContext, message: str) -> None:
        if message.startswith(NOISE):
            return
        if before is not None:
            before(kind, context, message)
        elif sys.stderr is not None:
            sys.stderr.write(qFormatLogMessage(kind, context, message) + "\n")

    before: Callable[[QtMsgType, QMessageLogContext, str], None] | None = qInstallMessageHandler(heard)
    try:
        yield
    finally:
        qInstallMessageHandler(before)


def show_faults(window: MainWindow) -> None:
    """Show a fault of the program instead of dying of it; the journal already has the work."""
    from PySide6.QtCore import QThread

    from linesizer.ui.dialogs.crash import CrashDialog, crash_log

    def fault(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            window.close()
            return
        log = crash_log(kind, error, trace)
        if sys.stderr is not None:
            sys.stderr.write(log)
        if QThread.currentThread() is not window.thread():
            return
        shown = window.findChild(CrashDialog)
        if shown is not None:
            shown.add(log)
        else:
            CrashDialog(log, window).open()

    sys.excepthook = fault


def _load() -> None:
    """Import what the window stands on, what knows no Qt first.

    Once Qt's Python side is there, it reads the source of every module that is imported after it: a tenth of a second.
    """
    import linesizer.document.document
    import linesizer.drawing.scene
    import linesizer.evaluate
    import linesizer.ui.main_window  # noqa: F401  # for those who come after


def _collect_on_this_thread(app: QApplication) -> None:
    """Collect garbage on the thread of the window only: a collection elsewhere while a widget dies ends the process.

    What is there by now stays, and need not be looked through every time.
    """
    from PySide6.QtCore import QTimer

    gc.disable()
    gc.freeze()
    timer = QTimer(app)
    timer.setInterval(COLLECT_EVERY_ms)
    timer.timeout.connect(_collect)
    timer.start()


def _collect() -> None:
    gc.collect()
