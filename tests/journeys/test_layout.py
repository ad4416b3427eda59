"""Panels come back as the person left them, and the keyboard finds each."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QTabBar, QTextBrowser
from pytestqt.qtbot import QtBot

from linesizer.domain.resources import resource
from linesizer.ui.help import manual_text
from linesizer.ui.main_window import MainWindow
from tests.journeys.hands import ALT, K, focus, press, settled
from tests.ui.opened import ABOVE, OFFSCREEN
from tests.ui.windows import copy_of, window_over

pytestmark = OFFSCREEN

PANELS = ("job", "sizes", "findings", "profile", "oil-return", "charge", "legs")
PAGES = dict(zip(PANELS, ("job", "size-table", "findings", "profile", "oil-return", "charge", "legs"), strict=True))


def trigger(window: MainWindow, name: str) -> None:
    """Choose an act of a menu."""
    action = window.findChild(QAction, name)
    assert action is not None
    action.trigger()


def tabs(window: MainWindow) -> QTabBar:
    return next(each for each in window.findChildren(QTabBar) if each.count() > 1 and each.parent() is window)


def in_front(window: MainWindow) -> set[str]:
    return {name for name, dock in window.docks.items() if dock.panel.isVisible()}


def test_a_hidden_panel_stays_hidden_in_the_next_window(qtbot: QtBot, tmp_path: Path) -> None:
    path = copy_of(ABOVE, tmp_path)
    window, _ = window_over(qtbot, tmp_path, path)
    trigger(window, "view-findings")
    assert not window.docks["findings"].isVisible()
    window.removeDockWidget(window.docks["charge"])
    window.addDockWidget(Qt.DockWidgetArea.LeftDockWidgetArea, window.docks["charge"])
    window.docks["charge"].show()
    window.resize(780, 740)  # fits the smallest screen that the tests run on
    window.session.use_units("ip")
    window.close()
    again, _ = window_over(qtbot, tmp_path, path, theme=None, units=None)
    assert not again.docks["findings"].isVisible()
    assert again.docks["sizes"].isVisible()
    assert again.dockWidgetArea(again.docks["charge"]) is Qt.DockWidgetArea.LeftDockWidgetArea
    assert (again.width(), again.height()) == (780, 740)
    assert again.session.units == "ip"
    trigger(again, "view-findings")
    assert again.docks["findings"].panel.isVisible()
    trigger(again, "layout")
    assert again.dockWidgetArea(again.docks["charge"]) is Qt.DockWidgetArea.BottomDockWidgetArea


def test_only_the_panel_before_the_other_tabs_is_awake(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    settled(qtbot, window)
    assert in_front(window) == {"job", "sizes", "findings", "profile"}
    bar = tabs(window)
    assert bar.accessibleName()
    legs = next(index for index in range(bar.count()) if bar.tabText(index) == "Legs")
    QTest.mouseClick(bar, Qt.MouseButton.LeftButton, pos=bar.tabRect(legs).center())
    qtbot.waitUntil(lambda: in_front(window) == {"job", "sizes", "findings", "legs"})


@pytest.mark.parametrize("name", PANELS)
def test_the_keyboard_goes_to_a_panel_and_f1_opens_its_page(qtbot: QtBot, tmp_path: Path, name: str) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    settled(qtbot, window)
    window.docks[name].hide()
    press(window, Qt.Key(K.Key_1 + PANELS.index(name)), ALT)
    panel = window.docks[name].panel
    assert panel.isVisible()
    assert focus(window) is panel or panel.isAncestorOf(focus(window))
    assert help_for(qtbot, window) == heading(PAGES[name]) != heading("window")
    press(window, K.Key_0, ALT)
    assert focus(window) is window.sheet


def test_f1_on_the_sheet_opens_the_page_of_the_sheet(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    press(window, K.Key_0, ALT)
    assert help_for(qtbot, window) == heading("sheet")


def help_for(qtbot: QtBot, window: MainWindow) -> str:
    """Press F1 and return the first line of the page that is shown."""
    press(window, K.Key_F1)
    dialog = next(each for each in window.findChildren(QDialog) if each.windowTitle() == "Manual")
    assert dialog.isVisible()
    (text,) = dialog.findChildren(QTextBrowser)
    shown = text.toPlainText().splitlines()[0]
    dialog.close()
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is window)
    return shown


def heading(page: str) -> str:
    """Return the first line of a page of the manual; the page has to be there."""
    assert resource("manual", f"{page}.md").is_file()
    return manual_text(page).splitlines()[0].removeprefix("# ")
