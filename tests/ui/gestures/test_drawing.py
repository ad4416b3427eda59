"""Legs are drawn by mouse and by typing; every placed leg is one step, and Escape drops only what is not placed."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.circuit import StartCircuit
from linesizer.document.commands.delete import DeleteLine
from linesizer.domain.route import Service
from linesizer.drawing.display_list import Ink, Target, Text
from linesizer.drawing.projection import View
from linesizer.ui.gestures.draw_leg import DrawByMouse
from linesizer.ui.gestures.starts import chosen_start
from linesizer.ui.selection import NOTHING, Selection
from linesizer.ui.sheet.handles import HandleKind
from linesizer.ui.sheet.sheet import Sheet
from tests.ui.on_sheet import LEFT, C, drag, geometry_of, key, move_to, pos, sheet_over, shown_line, type_run, way
from tests.ui.opened import OFFSCREEN, line_of, select

pytestmark = OFFSCREEN

EAST, NORTH, UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def empty_circuit(qtbot: QtBot) -> Sheet:
    sheet = sheet_over(qtbot, None)
    sheet.session.do(StartCircuit("R134a", 100e3, 2.0, 50.0, 6.0, 5.0, (0.0, 0.0, 0.0), (6.0, 4.0, 9.0)))
    qtbot.waitUntil(lambda: not sheet.settling)
    sheet.fit()
    return sheet


def end_handle(sheet: Sheet) -> QPoint:
    """Return the handle at the end of the discharge line, which becomes selected."""
    select(sheet.session, "dis", line_of(sheet.session, "dis").legs[-1].id)
    handle = [each for each in sheet.handles() if each.kind is HandleKind.DRAW][-1]
    assert handle.start is not None
    assert handle.start.node == line_of(sheet.session, "dis").legs[-1].end
    return pos(sheet, handle.spot)


def end_of(sheet: Sheet) -> QPoint:
    last = line_of(sheet.session, "dis").nodes[-1].id
    return pos(sheet, sheet.scene().nodes[Target(C, "dis", node=last)])


def legs(sheet: Sheet, line: str = "dis") -> list[str]:
    return [each.id for each in line_of(sheet.session, line).legs]


def typing(sheet: Sheet) -> str | None:
    return sheet.typed_line.field.text() if sheet.typed_line.typing else None


# By mouse


def test_a_leg_is_drawn_from_the_end_with_two_clicks(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    QTest.mouseClick(sheet, LEFT, pos=end_handle(sheet))
    at = end_of(sheet) + way(sheet, UP, 2.0) + QPoint(6, 1)
    move_to(sheet, at)
    assert [each.id for each in shown_line(sheet).legs][-1] == "d5"
    assert legs(sheet) == ["d1", "d2", "d3", "d4"]
    QTest.mouseClick(sheet, LEFT, pos=at)
    assert legs(sheet)[-1] == "d5"
    assert geometry_of(sheet, "d5").direction == UP
    assert geometry_of(sheet, "d5").length_m == pytest.approx(2.0)
    assert sheet.session.document.undo_label == "draw a leg up from n5"


def test_the_length_is_shown_live(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    QTest.mouseClick(sheet, LEFT, pos=end_handle(sheet))
    move_to(sheet, end_of(sheet) + way(sheet, UP, 2.3))
    words = [item.text for item in sheet.overlay() if isinstance(item, Text)]
    assert words == ["U  2.30 m"]
    result = sheet.session.line_result(C, "dis")
    assert result is not None
    assert result.legs is not None
    assert result.legs.ids[-1] == "d5"


def test_drawing_goes_on_from_leg_to_leg_and_each_is_one_step(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    QTest.mouseClick(sheet, LEFT, pos=end_handle(sheet))
    for direction in (UP, EAST, UP):
        QTest.mouseClick(sheet, LEFT, pos=end_of(sheet) + way(sheet, direction, 1.0))
    key(sheet, Qt.Key.Key_Return)
    assert legs(sheet)[4:] == ["d5", "d6", "d7"]
    assert [geometry_of(sheet, name).direction for name in ("d5", "d6", "d7")] == [UP, EAST, UP]
    assert not sheet.hand.busy
    for count in (6, 5, 4):
        sheet.session.document.undo()
        assert len(legs(sheet)) == count


def test_escape_drops_the_leg_under_way_and_keeps_the_placed_ones(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    QTest.mouseClick(sheet, LEFT, pos=end_handle(sheet))
    QTest.mouseClick(sheet, LEFT, pos=end_of(sheet) + way(sheet, UP, 1.0))
    move_to(sheet, end_of(sheet) + way(sheet, EAST, 1.0))
    assert len(shown_line(sheet).legs) == 6
    key(sheet, Qt.Key.Key_Escape)
    assert len(shown_line(sheet).legs) == 5
    assert not sheet.session.previewing


def test_a_double_click_places_the_last_leg_and_ends(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    QTest.mouseClick(sheet, LEFT, pos=end_handle(sheet))
    at = end_of(sheet) + way(sheet, UP, 1.0)
    move_to(sheet, at)
    QTest.mouseClick(sheet, LEFT, pos=at)
    QTest.mouseDClick(sheet, LEFT, pos=at)
    assert legs(sheet)[4:] == ["d5"]
    assert not sheet.hand.busy


def test_a_handle_dragged_draws_where_the_button_is_let_go(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    start = end_handle(sheet)
    drag(sheet, start, end_of(sheet) + way(sheet, UP, 3.0) - start)
    assert geometry_of(sheet, "d5").length_m == pytest.approx(3.0)


def test_a_digit_while_drawing_goes_on_by_typing_in_the_shown_direction(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    QTest.mouseClick(sheet, LEFT, pos=end_handle(sheet))
    move_to(sheet, end_of(sheet) + way(sheet, UP, 1.0))
    QTest.keyClicks(sheet, "3")
    assert typing(sheet) == "U 3"
    type_run(sheet, ".25")
    assert geometry_of(sheet, "d5").length_m == pytest.approx(3.25)


def test_a_leg_that_cannot_be_is_shown_as_such_and_not_drawn(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.session.job
    QTest.mouseClick(sheet, LEFT, pos=end_handle(sheet))
    # Back along d4, which comes from the south.
    direction = geometry_of(sheet, "d4").direction
    at = end_of(sheet) - way(sheet, direction, 1.0)
    move_to(sheet, at)
    words = [item for item in sheet.overlay() if isinstance(item, Text)]
    assert words[0].text.endswith("not possible")
    assert words[0].ink is Ink.STOP
    QTest.mouseClick(sheet, LEFT, pos=at)
    assert sheet.session.job is before
    assert "lies on leg" in sheet.typed_line.words
    assert isinstance(sheet.hand.gesture, DrawByMouse)


def test_a_node_in_the_middle_can_be_drawn_from(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", node="n3"))
    handle = next(each for each in sheet.handles() if each.kind is HandleKind.DRAW)
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, handle.spot))
    root = pos(sheet, sheet.scene().nodes[Target(C, "dis", node="n3")])
    QTest.mouseClick(sheet, LEFT, pos=root + way(sheet, EAST, 1.5))
    new = line_of(sheet.session, "dis").legs
    assert {leg.id for leg in new} == {"d1", "d2", "d3", "d4", "d5"}
    assert next(leg for leg in new if leg.id == "d5").start == "n3"


def test_the_legs_drawn_in_plan_are_level(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.look(View.PLAN)
    QTest.mouseClick(sheet, LEFT, pos=end_handle(sheet))
    QTest.mouseClick(sheet, LEFT, pos=end_of(sheet) + way(sheet, EAST, 1.0))
    assert geometry_of(sheet, "d5").direction == pytest.approx(EAST)


# By typing


@pytest.mark.parametrize(
    ("keys", "direction", "length_m"),
    [("u4.5", UP, 4.5), ("e 11'6\"", EAST, 3.5052), ("n3,4", NORTH, 3.4)],
)
def test_a_letter_and_a_length_draw_from_the_selected_leg(
    qtbot: QtBot, keys: str, direction: tuple[float, float, float], length_m: float
) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d4")
    QTest.keyClicks(sheet, keys[0])
    assert typing(sheet) == f"{keys[0].upper()} "
    type_run(sheet, keys[1:])
    assert geometry_of(sheet, "d5").direction == pytest.approx(direction)
    assert geometry_of(sheet, "d5").length_m == pytest.approx(length_m)


def test_what_is_typed_is_drawn_before_enter_but_not_done(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d4")
    QTest.keyClicks(sheet, "U")
    QTest.keyClicks(sheet.typed_line.field, "2")
    assert len(shown_line(sheet).legs) == 5
    QTest.keyClicks(sheet.typed_line.field, " furlongs")
    assert len(shown_line(sheet).legs) == 4
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_Escape)
    assert len(legs(sheet)) == 4
    assert typing(sheet) is None
    assert not sheet.session.previewing


def test_typing_goes_on_from_the_new_end(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d4")
    QTest.keyClicks(sheet, "U")
    type_run(sheet, "1")
    assert sheet.typed_line.words == "draws from d5"
    type_run(sheet, "E 2; U 3")
    assert [geometry_of(sheet, name).length_m for name in ("d5", "d6", "d7")] == pytest.approx([1.0, 2.0, 3.0])
    sheet.session.document.undo()
    assert legs(sheet)[-1] == "d5"
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_Return)
    assert typing(sheet) is None


def test_an_error_is_told_where_it_was_typed_and_the_entry_stays(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d4")
    QTest.keyClicks(sheet, "U")
    type_run(sheet, "4 x")
    assert "Length of the run up" in sheet.typed_line.error
    assert typing(sheet) == "U 4 x"
    assert sheet.editor.isHidden()
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_Backspace)
    assert sheet.typed_line.error == ""
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_Return)
    assert geometry_of(sheet, "d5").length_m == pytest.approx(4.0)


def test_a_bare_number_is_in_the_unit_of_the_screen(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, units="ip")
    select(sheet.session, "dis", "d4")
    QTest.keyClicks(sheet, "U")
    type_run(sheet, "10")
    assert geometry_of(sheet, "d5").length_m == pytest.approx(3.048)


def test_arrows_stand_for_directions_also_in_the_field(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d4")
    key(sheet, Qt.Key.Key_Up)
    assert typing(sheet) == "U "
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_Right)
    assert typing(sheet) == "E "
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_PageUp)
    assert typing(sheet) == "N "
    type_run(sheet, "1.5")
    assert geometry_of(sheet, "d5").direction == pytest.approx(NORTH)


def test_the_line_says_when_it_would_branch(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d2")
    QTest.keyClicks(sheet, "E")
    assert sheet.typed_line.words == "draws from d2, a branch"


def test_a_click_elsewhere_ends_typing(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d4")
    QTest.keyClicks(sheet, "U")
    QTest.keyClicks(sheet.typed_line.field, "2")
    QTest.mouseClick(sheet, LEFT, pos=QPoint(900, 300))
    assert typing(sheet) is None
    assert len(shown_line(sheet).legs) == 4


def test_turning_to_another_field_ends_typing_and_leaves_the_focus_there(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d4")
    QTest.keyClicks(sheet, "U")
    QTest.keyClicks(sheet.typed_line.field, "2")
    elsewhere = sheet.view_words.words[0]
    elsewhere.setFocus()
    assert typing(sheet) is None
    assert len(shown_line(sheet).legs) == 4
    assert elsewhere.hasFocus()


# A line that is not there yet


def test_d_begins_the_discharge_line_at_the_unit(qtbot: QtBot) -> None:
    sheet = empty_circuit(qtbot)
    key(sheet, Qt.Key.Key_D)
    assert sheet.typed_line.words == "draws from Indoor unit"
    type_run(sheet, "U 2")
    type_run(sheet, "D 1")
    assert len(legs(sheet)) == 1
    assert sheet.typed_line.error != ""
    sheet.typed_line.field.clear()
    type_run(sheet, "E 6")
    line = line_of(sheet.session, "dis")
    assert [leg.id for leg in line.legs] == ["d1", "d2"]
    assert line.ends[0].equipment == "unit"


def test_a_click_on_the_condensers_ring_begins_the_liquid_line(qtbot: QtBot) -> None:
    sheet = empty_circuit(qtbot)
    ring = next(each for each in sheet.handles() if each.letter == "L")
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, ring.spot))
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, ring.spot) + way(sheet, UP, -3.0))
    line = line_of(sheet.session, "liq")
    assert len(line.legs) == 1
    assert line.nodes[1].at_m == pytest.approx((6.0, 4.0, 6.0))
    assert (line.legs[0].start, line.ends[0].equipment) == (line.nodes[0].id, "cond")


def test_a_line_that_was_deleted_begins_again_in_one_step(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.do(DeleteLine(C, "liq"))
    sheet.session.select(NOTHING)
    key(sheet, Qt.Key.Key_L)
    assert "Loft condenser" in sheet.typed_line.words
    type_run(sheet, "D 2; W 3")
    line = sheet.session.job.circuits[0].lines[-1]
    assert (line.service, len(line.legs)) == (Service.LIQUID, 2)
    assert sheet.session.document.undo_label == "begin the liquid line"
    sheet.session.document.undo()
    assert len(sheet.session.job.circuits[0].lines) == 1


def test_with_both_lines_drawn_d_means_down(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    QTest.keyClicks(sheet, "D")
    assert typing(sheet) == "D "
    start = chosen_start(sheet.session)
    assert start is not None
    assert start.node == "n5"


def test_without_a_circuit_nothing_is_drawn_and_the_sheet_says_so(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, None)
    QTest.keyClicks(sheet, "U")
    assert typing(sheet) is None
    assert "nothing to draw from" in sheet.typed_line.words
