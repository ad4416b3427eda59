"""Open a sample, draw by mouse and by typing, choose a size, undo all of it, save: the very same bytes."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from linesizer.storage.job_file import read
from linesizer.ui.main_window import MainWindow
from linesizer.ui.sheet.handles import HandleKind
from linesizer.ui.sheet.pointing import target_at
from tests.journeys.hands import CTRL, SHIFT, K, click_size, press, settled, sizes, type_text
from tests.ui.on_sheet import LEFT, drag, leg_pos, move_to, node, node_pos, pos, way
from tests.ui.opened import ABOVE, BELOW, OFFSCREEN, TALL, line_of
from tests.ui.windows import copy_of, window_over

pytestmark = OFFSCREEN

UP = (0.0, 0.0, 1.0)


def legs(window: MainWindow, line: str = "dis") -> list[str]:
    return [each.id for each in line_of(window.session, line).legs]


def end_handle(window: MainWindow) -> None:
    """Click the last leg of the discharge line, then the handle at its end."""
    sheet = window.sheet
    QTest.mouseClick(sheet, LEFT, pos=leg_pos(sheet, legs(window)[-1], share=0.3))
    handle = [each for each in sheet.handles() if each.kind is HandleKind.DRAW][-1]
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, handle.spot))


def open_node(window: MainWindow) -> QPoint:
    """Return the place of an inner node of the discharge line that nothing else covers."""
    sheet = window.sheet
    for each in line_of(window.session, "dis").nodes[1:-1]:
        at = node_pos(sheet, each.id)
        if target_at(sheet.scene(), sheet.sight.spot(at.x(), at.y())) == node(each.id):
            return at
    raise AssertionError("every node is covered")


@pytest.mark.parametrize("sample", [ABOVE, BELOW, TALL])
def test_all_acts_undone_and_saved_are_the_bytes_that_were_opened(qtbot: QtBot, tmp_path: Path, sample: str) -> None:
    path = copy_of(sample, tmp_path)
    opened = path.read_bytes()
    window, answers = window_over(qtbot, tmp_path, path)
    sheet, document = window.sheet, window.session.document
    settled(qtbot, window)
    first = legs(window)

    # By mouse: from the end of the line upwards.
    end_handle(window)
    last = line_of(window.session, "dis").nodes[-1].id
    at = node_pos(sheet, last) + way(sheet, UP, 1.5)
    move_to(sheet, at)
    QTest.mouseClick(sheet, LEFT, pos=at)
    press(window, K.Key_Escape)
    assert len(legs(window)) == len(first) + 1
    assert document.modified
    assert window.isWindowModified()

    # By typing: from the selected end.
    type_text(window, "U 2.25")
    press(window, K.Key_Return)
    press(window, K.Key_Escape)
    assert len(legs(window)) == len(first) + 2

    # A node dragged, a size clicked.
    drag(sheet, open_node(window), way(sheet, UP, 0.6))
    assert (document.undo_label or "").startswith("move n")
    press(window, K.Key_Escape)
    press(window, K.Key_Tab)
    assert window.session.selection.leg == first[0]
    settled(qtbot, window)
    size = sizes(window).model.rows[-3].size
    click_size(window, size)
    assert line_of(window.session, "dis").default_size == size
    settled(qtbot, window)
    steps = 0
    while document.undo_label is not None:
        press(window, K.Key_Z, CTRL)
        steps += 1
        assert steps < 20
    assert steps == 4
    assert not window.isWindowModified()
    assert legs(window) == first
    press(window, K.Key_S, CTRL)
    assert path.read_bytes() == opened
    assert answers.told == []
    assert answers.asked == []

    # And all of it again.
    while document.redo_label is not None:
        press(window, K.Key_Z, CTRL | SHIFT)
    assert len(legs(window)) == len(first) + 2
    press(window, K.Key_S, CTRL)
    assert path.read_bytes() != opened
    assert read(path).job == window.session.job
    assert not window.isWindowModified()


def test_escape_in_the_middle_of_a_leg_leaves_the_job_alone(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    settled(qtbot, window)
    before = window.session.job
    end_handle(window)
    last = line_of(window.session, "dis").nodes[-1].id
    move_to(window.sheet, node_pos(window.sheet, last) + way(window.sheet, UP, 1.5))
    assert window.session.previewing
    press(window, K.Key_Escape)
    QApplication.processEvents()
    assert window.session.shown_job is before
    assert not window.isWindowModified()


def test_a_finding_that_is_clicked_lights_its_leg(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(TALL, tmp_path))
    settled(qtbot, window)
    view = window.docks["findings"].panel.view  # type: ignore[attr-defined]  # the panel of findings
    index = view.model().index(0, 0)
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=view.visualRect(index).center())
    selection = window.session.selection
    assert selection.line == "dis"
    assert selection.leg in legs(window)
