"""Units and look change while the person works, and the job does not."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QPushButton
from pytestqt.qtbot import QtBot

from linesizer.drawing.display_list import Ink
from linesizer.output.palette import PALETTES
from linesizer.ui.main_window import MainWindow
from tests.journeys.hands import ALT, CTRL, K, focus, press, settled, sizes, tab_to, type_text
from tests.ui.on_sheet import LEFT
from tests.ui.opened import ABOVE, OFFSCREEN
from tests.ui.windows import copy_of, window_over

pytestmark = OFFSCREEN


def test_units_change_in_the_middle_of_an_entry_and_the_entry_keeps_its_own(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    session = window.session
    settled(qtbot, window)
    before = session.job
    condition = before.circuits[0].conditions[0]
    field = window.docks["job"].panel.conditions.table.field(condition.id, "condensing_C")  # type: ignore[attr-defined]
    press(window, K.Key_1, ALT)
    tab_to(window, field.accessibleName())
    press(window, K.Key_A, CTRL)
    type_text(window, "4")
    press(window, K.Key_I, CTRL)
    assert session.units == "ip"
    assert session.job is before
    assert focus(window) is field
    assert field.text() == "4"
    type_text(window, "7")
    press(window, K.Key_Return)
    # Begun in degrees Celsius, and so they are; shown in degrees Fahrenheit from then on.
    assert session.job.circuits[0].conditions[0].condensing_C == 47.0
    assert field.text() == "116.6"
    press(window, K.Key_A, CTRL)
    type_text(window, "118,4 F")
    press(window, K.Key_Return)
    assert abs(session.job.circuits[0].conditions[0].condensing_C - 48.0) < 1e-9
    press(window, K.Key_Z, CTRL)
    press(window, K.Key_Z, CTRL)
    assert session.job is before


def test_the_switch_in_the_head_shows_every_figure_in_the_other_units(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    settled(qtbot, window)
    before = window.session.job
    across = Qt.Orientation.Horizontal
    heads = [sizes(window).model.headerData(i, across) for i in range(3)]
    button = next(each for each in window.findChildren(QPushButton) if each.text() == "inch-pound")
    QTest.mouseClick(button, LEFT)
    assert window.session.units == "ip"
    assert [sizes(window).model.headerData(i, across) for i in range(3)] != heads
    assert window.session.job is before
    assert not window.isWindowModified()


def test_light_and_dark_from_the_menu_and_remembered(qtbot: QtBot, tmp_path: Path) -> None:
    path = copy_of(ABOVE, tmp_path)
    window, _ = window_over(qtbot, tmp_path, path)
    settled(qtbot, window)
    for words, name in (("Da&rk", "dark"), ("&Light", "light"), ("Da&rk", "dark")):
        choose(window, words)
        assert window.session.theme.name == name
        QApplication.processEvents()
        assert ground(window) == PALETTES[name][Ink.PANEL].lower()
    window.close()
    again, _ = window_over(qtbot, tmp_path, path, theme=None)
    assert again.session.theme.choice == "dark"
    assert ground(again) == PALETTES["dark"][Ink.PANEL].lower()


def choose(window: MainWindow, words: str) -> None:
    """Choose an act of the menus by its words."""
    looks = next(each for each in window.findChildren(QMenu) if each.title() == "&Look")
    looks.aboutToShow.emit()
    next(each for each in looks.actions() if each.text() == words).trigger()


def ground(window: MainWindow) -> str:
    """Return the colour that most of the window has, and see that Qt's own widgets have it too."""
    picture = window.grab().toImage()
    found: dict[str, int] = {}
    for x in range(2, picture.width(), 40):
        for y in range(2, picture.height(), 40):
            name = picture.pixelColor(x, y).name()
            found[name] = found.get(name, 0) + 1
    most = max(found, key=lambda name: found[name])
    assert window.palette().color(QPalette.ColorRole.Window).name() == most
    return most
