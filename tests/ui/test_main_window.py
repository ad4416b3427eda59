"""The window's own work: names, menus, undo's words, what the status line says, the manual, leaving."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QAction, QCloseEvent
from PySide6.QtWidgets import QApplication, QDialog, QLabel, QMenu, QTextBrowser, QWidget
from pytestqt.qtbot import QtBot

from linesizer.document.commands.job import SetJobInfo
from linesizer.document.commands.node import SetLegLength
from linesizer.document.commands.size import SetLineSize
from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.ui.help import manual_text
from linesizer.ui.main_window import CALCULATING, MainWindow
from linesizer.ui.panels.sizes_panel import SizesPanel
from tests.ui.opened import ABOVE, OFFSCREEN
from tests.ui.windows import copy_of, window_over

pytestmark = OFFSCREEN

TITLED = SetJobInfo((("title", "Wharf Cold Store"),))
IMPOSSIBLE = SetLegLength("c1", "dis", "d3", -1.0)


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> MainWindow:
    return window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))[0]


def action(window: MainWindow, name: str) -> QAction:
    found = window.findChild(QAction, name)
    assert found is not None
    return found


def status(window: MainWindow) -> str:
    found = window.statusBar().findChild(QLabel)
    assert found is not None
    return found.text()


def test_it_bears_the_jobs_title_and_what_it_is_about(window: MainWindow) -> None:
    assert window.windowTitle() == f"{window.session.job.info.title}[*] — remote condenser lines"
    assert not window.isWindowModified()
    window.session.do(TITLED)
    assert window.windowTitle() == "Wharf Cold Store[*] — remote condenser lines"
    assert window.isWindowModified()
    window.session.document.new()
    assert window.windowTitle() == "Untitled job[*] — remote condenser lines"
    assert window.windowFilePath() == ""


def test_undo_and_redo_name_the_act_and_are_off_without_one(window: MainWindow) -> None:
    undo, redo = action(window, "undo"), action(window, "redo")
    assert (undo.isEnabled(), redo.isEnabled()) == (False, False)
    window.session.do(TITLED)
    label = window.session.document.undo_label
    assert label
    assert undo.text() == f"&Undo {label}"
    undo.trigger()
    assert (undo.isEnabled(), redo.text()) == (False, f"&Redo {label}")
    redo.trigger()
    assert undo.isEnabled()


def test_what_is_refused_is_said_in_the_status_line(window: MainWindow) -> None:
    assert not window.session.try_do(IMPOSSIBLE)
    assert "d3" in status(window)


def test_busy_is_said_and_taken_back_without_wiping_what_else_was_said(window: MainWindow) -> None:
    window.session.busy.emit(True)
    assert status(window) == CALCULATING
    window.session.busy.emit(False)
    assert status(window) == ""
    window.session.refused.emit(UserError("TEST-01", what="A.", why="B.", remedy="C."))
    window.session.busy.emit(False)
    assert status(window) == "A. B. C."


def test_every_act_has_words_and_a_tip_and_no_two_share_a_key(window: MainWindow) -> None:
    keys: dict[str, str] = {}
    seen = 0
    for menu in window.findChildren(QMenu):
        menu.aboutToShow.emit()
        for each in menu.actions():
            if each.isSeparator():
                continue
            seen += 1
            assert each.text()
            for sequence in each.shortcuts():
                assert keys.setdefault(sequence.toString(), each.objectName()) == each.objectName()
    assert seen > 25
    assert {"Ctrl+S", "Ctrl+Z", "Ctrl+Shift+Z", "Ctrl+I", "F1", "Alt+1", "Alt+0"} <= set(keys)


def test_every_panel_has_a_page_a_title_and_a_name_for_those_who_hear(window: MainWindow) -> None:
    for widget in (window.sheet, *(dock.panel for dock in window.docks.values())):
        page = getattr(widget, "help_page", "")
        assert resource("manual", f"{page}.md").is_file(), widget
        assert widget.accessibleName()
        assert getattr(widget, "title", "")


def test_every_control_that_the_keyboard_reaches_has_a_name(window: MainWindow) -> None:
    nameless = [
        f"{type(each).__name__} in {type(each.parentWidget()).__name__}"
        for each in window.findChildren(QWidget)
        if each.focusPolicy() & Qt.FocusPolicy.TabFocus
        and each.isVisible()
        and each.focusProxy() is None
        and not each.accessibleName()
        and not getattr(each, "text", str)()
    ]
    assert nameless == []


def test_an_unknown_page_of_the_manual_is_that_of_the_window() -> None:
    assert manual_text("no such page") == manual_text("window")


def test_about_names_version_licences_and_cautions(window: MainWindow) -> None:
    action(window, "about").trigger()
    (dialog,) = (each for each in window.findChildren(QDialog) if each.windowTitle() == "About linesizer")
    (text,) = dialog.findChildren(QTextBrowser)
    words = text.toPlainText()
    for expected in ("linesizer 0.1.0", "LGPL-3.0", "BSD-3-Clause", "MIT", "CoolProp", "local codes", "licensed"):
        assert expected in words
    dialog.close()


def test_a_layout_of_another_kind_of_window_is_passed_over(qtbot: QtBot, tmp_path: Path) -> None:
    (tmp_path / "own").mkdir()
    settings = QSettings(str(tmp_path / "own" / "window.ini"), QSettings.Format.IniFormat)
    settings.setValue("layout/state", "not a layout")
    settings.setValue("layout/geometry", 7)
    settings.setValue("units", "cubits")
    settings.setValue("look", "sepia")
    settings.sync()
    window, _ = window_over(qtbot, tmp_path, None, theme=None, units=None)
    assert window.docks["sizes"].isVisible()
    assert window.session.units == "si"
    assert window.session.theme.choice is None


def test_closing_twice_asks_once(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    window.session.do(TITLED)
    assert window.close()
    # Qt itself sends no second one to a hidden window, but a desktop that ends its session does.
    QApplication.sendEvent(window, QCloseEvent())
    assert len(answers.asked) == 1


def test_it_waits_for_the_proposal_of_a_panel_that_can_be_seen_and_for_no_other(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    qtbot.waitUntil(lambda: not window.waiting)
    panel = window.docks["sizes"].panel
    assert isinstance(panel, SizesPanel)
    panel.proposals._worker.forget()  # the next one goes to the thread
    window.session.do(SetLineSize("c1", "dis", "2-1/8"))
    qtbot.waitUntil(lambda: window.session.current)
    assert window.waiting
    window.docks["sizes"].hide()
    assert not window.waiting
    window.docks["sizes"].show()
    qtbot.waitUntil(lambda: not window.waiting)
    assert panel.proposals.words.text.startswith("Proposed for least tube: ")
