"""What a person does at a window: keys where the focus is, clicks where things lie."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from linesizer.ui.main_window import MainWindow
from linesizer.ui.panels.sizes_panel import SizesPanel
from tests.ui.opened import click_cell

K = Qt.Key
NO_KEY, CTRL, ALT, SHIFT = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ShiftModifier,
)
MOST_TABS = 120


def focus(window: MainWindow) -> QWidget:
    """Return what has the keyboard."""
    active = QApplication.activeWindow()
    if active is None or not active.isVisible():
        # Without a screen nobody makes a window the active one again once a list that dropped down has closed.
        window.activateWindow()
        QApplication.processEvents()
    return QApplication.focusWidget() or window


def press(window: MainWindow, key: Qt.Key, held: Qt.KeyboardModifier = NO_KEY) -> None:
    """Press a key, wherever it goes."""
    QTest.keyClick(focus(window), key, held)


def type_text(window: MainWindow, text: str) -> None:
    """Type, letter by letter, wherever it goes: the focus may move in between."""
    for letter in text:
        QTest.keyClicks(focus(window), letter)


def tab_to(window: MainWindow, name: str) -> QWidget:
    """Press Tab until something of this name has the keyboard."""
    for _ in range(MOST_TABS):
        if focus(window).accessibleName() == name:
            return focus(window)
        press(window, K.Key_Tab)
    raise AssertionError(f"Tab does not lead to {name}")


def fill_in(window: MainWindow, name: str, text: str) -> None:
    """Tab to a field, and type over what stands in it."""
    tab_to(window, name)
    press(window, K.Key_A, CTRL)
    type_text(window, text)


def sizes(window: MainWindow) -> SizesPanel:
    """Return the panel of sizes."""
    panel = window.docks["sizes"].panel
    assert isinstance(panel, SizesPanel)
    return panel


def size_row(window: MainWindow, size: str) -> QModelIndex:
    """Return the row of a size."""
    model = sizes(window).model
    row = next(index for index, row in enumerate(model.rows) if row.size == size)
    return model.index(row, 0)


def click_size(window: MainWindow, size: str) -> None:
    """Click a size in its table."""
    click_cell(sizes(window).view, size_row(window, size))


def settled(qtbot: QtBot, window: MainWindow) -> None:
    """Wait until the figures are those of the job, and the labels lie where they stay."""
    qtbot.waitUntil(lambda: window.session.current and not window.sheet.settling)
    QApplication.processEvents()
