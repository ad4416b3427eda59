"""Windows that were closed are gone, with everything in them and every thread."""

from __future__ import annotations

import gc
import threading
import weakref
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from linesizer import app
from linesizer.ui.main_window import MainWindow
from linesizer.ui.session import Session
from linesizer.ui.settings import preferences
from linesizer.ui.sheet.sheet import Sheet
from tests.journeys.hands import ALT, CTRL, K, press
from tests.ui.opened import ABOVE, OFFSCREEN
from tests.ui.windows import Answers, copy_of

pytestmark = OFFSCREEN

WINDOWS = 20
LONG_LIVED = (MainWindow, Sheet, Session)


def opened_and_closed(folder: Path, path: Path) -> tuple[weakref.ref[object], ...]:
    """Open a window, work in it a little, close it; return weak references to what must be gone."""
    own = folder / "own"
    own.mkdir(exist_ok=True)
    window = app.make_window(own, preferences(own), path, "light", "si")
    window.files.questions = Answers()
    window.show()
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window)
    # The other thread is made and used too.
    window.session._worker._took_s = 1.0
    press(window, K.Key_0, ALT)
    press(window, K.Key_Tab)
    press(window, K.Key_Up, CTRL)
    for name in ("oil-return", "charge", "legs"):
        window.docks[name].go_to()
        QApplication.processEvents()
    press(window, K.Key_I, CTRL)
    press(window, K.Key_F1)
    window.close()
    window.deleteLater()
    return weakref.ref(window), weakref.ref(window.sheet), weakref.ref(window.session), weakref.ref(window.files)


def test_twenty_windows_leave_nothing_behind(qtbot: QtBot, tmp_path: Path) -> None:
    app.application()
    path = copy_of(ABOVE, tmp_path)
    gc.collect()
    before = {id(each) for each in gc.get_objects() if type(each) in LONG_LIVED}  # what failed tests hold
    threads = set(threading.enumerate())
    widgets = len(QApplication.allWidgets())
    left = [reference for _ in range(WINDOWS) for reference in opened_and_closed(tmp_path, path)]
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    QApplication.processEvents()
    gc.collect()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert [type(reference()).__name__ for reference in left if reference() is not None] == []
    kept = [type(each) for each in gc.get_objects() if type(each) in LONG_LIVED and id(each) not in before]
    assert kept == []
    assert set(threading.enumerate()) == threads
    assert len(QApplication.allWidgets()) <= widgets
