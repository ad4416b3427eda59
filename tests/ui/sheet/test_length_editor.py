"""A double click on a leg edits its length where it stands."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.ui.sheet.pointing import label_boxes
from tests.ui.on_sheet import LEFT, geometry_of, leg, leg_pos, pos, sheet_over
from tests.ui.opened import OFFSCREEN

pytestmark = OFFSCREEN


def test_a_double_click_on_the_pipe_or_on_its_label_opens_the_field(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    for at in (leg_pos(sheet, "d3", share=0.4), pos(sheet, label_boxes(sheet.scene(), leg("d3"))[0].centre)):
        QTest.mouseDClick(sheet, LEFT, pos=at)
        assert not sheet.editor.isHidden()
        assert sheet.editor.text() == "5.60 m"
        assert sheet.editor.accessibleName() == "Length of d3"
        QTest.keyClick(sheet.editor, Qt.Key.Key_Escape)
        assert sheet.editor.isHidden()


@pytest.mark.parametrize(("units", "typed", "length_m"), [("si", "11'6\"", 3.5052), ("ip", "12", 3.6576)])
def test_either_unit_may_be_typed(qtbot: QtBot, units: str, typed: str, length_m: float) -> None:
    sheet = sheet_over(qtbot, units="si" if units == "si" else "ip")
    QTest.mouseDClick(sheet, LEFT, pos=leg_pos(sheet, "d3", share=0.4))
    QTest.keyClicks(sheet.editor, typed)
    QTest.keyClick(sheet.editor, Qt.Key.Key_Return)
    assert geometry_of(sheet, "d3").length_m == pytest.approx(length_m)
    assert sheet.session.document.undo_label == "change length of d3"


def test_a_bad_length_is_marked_where_it_stands_and_changes_nothing(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.session.job
    QTest.mouseDClick(sheet, LEFT, pos=leg_pos(sheet, "d3", share=0.4))
    for typed, why in (("five", "Length of d3"), ("0", "Cannot change length of d3")):
        sheet.editor.selectAll()
        QTest.keyClicks(sheet.editor, typed)
        QTest.keyClick(sheet.editor, Qt.Key.Key_Return)
        assert why in sheet.typed_line.words
        assert why in sheet.editor.toolTip()
        assert not sheet.editor.isHidden()
    assert sheet.session.job is before
    QTest.keyClicks(sheet.editor, "5")
    assert sheet.typed_line.words == "" or "Cannot" not in sheet.typed_line.words


def test_enter_without_a_change_is_no_step(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, units="ip")
    before = sheet.session.job
    QTest.mouseDClick(sheet, LEFT, pos=leg_pos(sheet, "d3", share=0.4))
    QTest.keyClick(sheet.editor, Qt.Key.Key_Return)
    assert sheet.session.job is before
    assert sheet.editor.isHidden()


def test_turning_to_something_else_gives_up(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.session.job
    QTest.mouseDClick(sheet, LEFT, pos=leg_pos(sheet, "d3", share=0.4))
    QTest.keyClicks(sheet.editor, "9")
    QTest.mouseClick(sheet, LEFT, pos=QPoint(930, 300))
    assert sheet.editor.isHidden()
    assert sheet.session.job is before
