"""A fault of the program shows its log, keeps the window and the work, and does not bury the person in boxes."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from linesizer import app
from linesizer.storage.journal import recoverable
from linesizer.ui.dialogs.crash import MOST_FAULTS, CrashDialog
from linesizer.ui.main_window import MainWindow
from tests.journeys.hands import ALT, CTRL, K, press, settled
from tests.ui.on_sheet import LEFT
from tests.ui.opened import ABOVE, OFFSCREEN
from tests.ui.windows import copy_of, window_over

pytestmark = OFFSCREEN


class Slots:
    """A slot that fails."""

    def divide(self) -> None:
        raise ZeroDivisionError("the planted fault")


def happen(window: MainWindow, slot: object, times: int = 1) -> None:
    """Let a slot fail as it would in the running program: out of the event loop."""
    for _ in range(times):
        timer = QTimer(window, singleShot=True, interval=0)
        timer.timeout.connect(slot)
        timer.start()
    QTest.qWait(50)


def test_the_log_is_shown_the_window_stays_and_the_work_is_kept(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    settled(qtbot, window)
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    app.show_faults(window)
    press(window, K.Key_0, ALT)
    press(window, K.Key_Tab)
    press(window, K.Key_Up, CTRL)
    slots = Slots()
    happen(window, slots.divide)
    (dialog,) = window.findChildren(CrashDialog)
    assert dialog.isVisible()
    log = dialog.log.toPlainText()
    assert "ZeroDivisionError: the planted fault" in log
    assert "test_fault.py" in log
    assert "linesizer" in log.splitlines()[0]
    assert "the planted fault" in capsys.readouterr().err
    QTest.mouseClick(dialog.copy, LEFT)
    assert QApplication.clipboard().text() == log
    # The window goes on, and so does the journal.
    dialog.close()
    assert window.isVisible()
    press(window, K.Key_Z, CTRL)
    assert not window.isWindowModified()
    press(window, K.Key_Z, CTRL)
    assert (tmp_path / "own").is_dir()


def test_a_fault_that_comes_again_and_again_has_one_box(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    app.show_faults(window)
    slots = Slots()
    happen(window, slots.divide, MOST_FAULTS + 5)
    (dialog,) = window.findChildren(CrashDialog)
    assert dialog.log.toPlainText().count("ZeroDivisionError: the planted fault") == MOST_FAULTS
    dialog.close()
    qtbot.waitUntil(lambda: window.findChildren(CrashDialog) == [])
    happen(window, slots.divide)
    assert len(window.findChildren(CrashDialog)) == 1


def test_the_work_of_a_window_that_met_a_fault_can_be_brought_back(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    app.show_faults(window)
    press(window, K.Key_0, ALT)
    press(window, K.Key_Tab)
    press(window, K.Key_Up, CTRL)
    happen(window, Slots().divide)
    journals = list((tmp_path / "own").glob("*.journal"))
    assert len(journals) == 1
    # This process holds it still: no second window takes it for a dead one's.
    assert recoverable(tmp_path / "own") == []


def test_an_interrupt_from_the_terminal_closes_in_order(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    app.show_faults(window)
    sys.excepthook(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert not window.isVisible()
    assert window.findChildren(CrashDialog) == []
