"""The keyboard alone does everything: choose, move, resize, split, join, delete, look, pan, zoom."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.node import MoveNode
from linesizer.document.direction import Axis
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M, View
from linesizer.ui.selection import NOTHING, Selection
from linesizer.ui.sheet.sheet import Sheet
from tests.ui.on_sheet import ALT, CTRL, SHIFT, C, geometry_of, key, places, settle, sheet_over
from tests.ui.opened import OFFSCREEN, line_of, select

pytestmark = OFFSCREEN

K = Qt.Key


def size(sheet: Sheet, leg: str) -> str | None:
    return next(each.size for each in line_of(sheet.session, "dis").legs if each.id == leg)


def test_tab_walks_the_legs_in_the_order_of_flow_and_then_leaves(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    seen = []
    for _ in range(8):
        key(sheet, K.Key_Tab)
        seen.append(sheet.session.selection.leg)
    assert seen == ["d1", "d2", "d3", "d4", "l1", "l2", "l3", "l4"]
    assert sheet.hasFocus()
    key(sheet, K.Key_Tab)
    assert sheet.session.selection.leg == "l4"
    assert not sheet.hasFocus()


def test_shift_tab_walks_back(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "liq", "l1")
    key(sheet, K.Key_Backtab, SHIFT)
    assert sheet.session.selection == Selection(C, "dis", "d4")


def test_escape_clears_the_selection(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d2")
    key(sheet, K.Key_Escape)
    assert sheet.session.selection == NOTHING


def test_home_and_end_choose_the_nodes_of_a_leg_and_walk_on(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d2")
    key(sheet, K.Key_End)
    assert sheet.session.selection == Selection(C, "dis", node="n3")
    key(sheet, K.Key_End)
    assert sheet.session.selection.node == "n4"
    key(sheet, K.Key_Home)
    key(sheet, K.Key_Home)
    assert sheet.session.selection.node == "n2"


@pytest.mark.parametrize(
    ("which", "index", "sign"),
    [
        (K.Key_Right, 0, 1),
        (K.Key_Left, 0, -1),
        (K.Key_PageUp, 1, 1),
        (K.Key_PageDown, 1, -1),
        (K.Key_Up, 2, 1),
        (K.Key_Down, 2, -1),
    ],
)
def test_alt_and_an_arrow_moves_a_node_by_a_step(qtbot: QtBot, which: Qt.Key, index: int, sign: int) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", node="n3"))
    before = places(sheet)["n3"]
    key(sheet, which, ALT)
    assert places(sheet)["n3"][index] == pytest.approx(before[index] + 0.1 * sign)


def test_nudges_in_a_row_are_one_step_until_another_act(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", node="n3"))
    before = places(sheet)["n3"]
    for _ in range(3):
        key(sheet, K.Key_Up, ALT)
    key(sheet, K.Key_Up, ALT | SHIFT)
    assert places(sheet)["n3"][2] == pytest.approx(before[2] + 0.31)
    sheet.session.document.undo()
    assert places(sheet)["n3"] == before
    sheet.session.document.redo()
    select(sheet.session, "dis", "d1")
    key(sheet, K.Key_Up, CTRL)
    sheet.session.select(Selection(C, "dis", node="n3"))
    key(sheet, K.Key_Up, ALT)
    sheet.session.document.undo()
    assert places(sheet)["n3"][2] == pytest.approx(before[2] + 0.31)


def test_a_nudge_does_not_take_the_place_of_another_act_on_the_same_node(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", node="n3"))
    before = places(sheet)["n3"]
    sheet.session.do(MoveNode(C, "dis", "n3", Axis.UP, 1.0))
    key(sheet, K.Key_Up, ALT)
    sheet.session.document.undo()
    assert places(sheet)["n3"][2] == pytest.approx(before[2] + 1.0)


def test_equipment_is_nudged_too(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, equipment="cond"))
    before = sheet.session.job.circuits[0].equipment[1].at_m
    key(sheet, K.Key_Right, ALT)
    assert sheet.session.job.circuits[0].equipment[1].at_m[0] == pytest.approx(before[0] + 0.1)


def test_a_part_is_nudged_along_its_leg_only(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    leg = next(each for each in line_of(sheet.session, "liq").legs if each.id == "l3")
    part = leg.parts[0]
    sheet.session.select(Selection(C, "liq", "l3", part=part.id))
    before = sheet.session.job
    key(sheet, K.Key_Up, ALT)
    assert sheet.session.job is before
    along = geometry_of(sheet, "l3", "liq").direction
    assert along == pytest.approx((0.0, -1.0, 0.0))
    key(sheet, K.Key_PageDown, ALT)
    moved = next(each for each in line_of(sheet.session, "liq").legs if each.id == "l3").parts[0]
    assert moved.at == pytest.approx(part.at + 0.1 / geometry_of(sheet, "l3", "liq").length_m)


def test_ctrl_and_an_arrow_changes_the_size_by_one(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d3")
    key(sheet, K.Key_Down, CTRL)
    assert size(sheet, "d3") == "1-3/8"
    key(sheet, K.Key_Up, CTRL)
    key(sheet, K.Key_Up, CTRL)
    assert size(sheet, "d3") == "2-1/8"
    for expected in ("1-5/8", "1-3/8"):
        sheet.session.document.undo()
        assert size(sheet, "d3") == expected


def test_the_smallest_size_says_that_it_is_the_smallest(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d3")
    for _ in range(20):
        key(sheet, K.Key_Down, CTRL)
    assert size(sheet, "d3") == "3/8"
    assert "3/8 is the smallest size" in sheet.typed_line.words


def test_delete_takes_the_leg_and_selects_its_neighbour(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d4")
    key(sheet, K.Key_Delete)
    assert [leg.id for leg in line_of(sheet.session, "dis").legs] == ["d1", "d2", "d3"]
    assert sheet.session.selection == Selection(C, "dis", "d3")
    sheet.session.document.undo()
    assert len(line_of(sheet.session, "dis").legs) == 4


def test_delete_takes_a_part_and_equipment(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    part = next(each for each in line_of(sheet.session, "liq").legs if each.id == "l3").parts[0]
    sheet.session.select(Selection(C, "liq", "l3", part=part.id))
    key(sheet, K.Key_Backspace)
    assert part not in next(each for each in line_of(sheet.session, "liq").legs if each.id == "l3").parts
    assert sheet.session.selection == Selection(C, "liq", "l3")
    sheet.session.select(Selection(C, equipment="cond"))
    key(sheet, K.Key_Delete)
    assert [each.id for each in sheet.session.job.circuits[0].equipment] == ["unit"]


def test_a_node_of_a_straight_run_is_deleted_by_joining_its_legs(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = line_of(sheet.session, "dis")
    select(sheet.session, "dis", "d2")
    key(sheet, K.Key_X)
    assert len(line_of(sheet.session, "dis").legs) == 5
    new = line_of(sheet.session, "dis").nodes[-1].id
    sheet.session.select(Selection(C, "dis", node=new))
    key(sheet, K.Key_Delete)
    assert line_of(sheet.session, "dis") == before


def test_split_and_join_again(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = line_of(sheet.session, "dis")
    select(sheet.session, "dis", "d3")
    key(sheet, K.Key_X)
    assert geometry_of(sheet, "d3").length_m == pytest.approx(2.8)
    key(sheet, K.Key_J)
    assert line_of(sheet.session, "dis") == before


def test_what_is_refused_is_told_on_the_sheet(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d2")
    key(sheet, K.Key_J)
    assert "Cannot join d2 and d3." in sheet.typed_line.words


@pytest.mark.parametrize("which", [K.Key_Delete, K.Key_X, K.Key_J])
def test_without_a_selection_a_key_says_what_to_choose(qtbot: QtBot, which: Qt.Key) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.session.job
    key(sheet, which)
    assert sheet.session.job is before
    assert "Tab walks the legs" in sheet.typed_line.words


def test_keys_change_the_view(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    seen = []
    for which in (K.Key_P, K.Key_V, K.Key_V, K.Key_V, K.Key_V, K.Key_V, K.Key_I, K.Key_V):
        key(sheet, which)
        seen.append(sheet.sight.view)
    assert seen == [
        View.PLAN,
        View.FROM_SOUTH,
        View.FROM_EAST,
        View.FROM_NORTH,
        View.FROM_WEST,
        View.FROM_SOUTH,
        View.ISOMETRIC,
        View.FROM_SOUTH,
    ]


def test_arrows_mean_what_they_show_in_every_view(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", node="n3"))
    for view in View:
        sheet.look(view)
        settle(qtbot, sheet)
        for which, right, down in (
            (K.Key_Right, 1, 0),
            (K.Key_Left, -1, 0),
            (K.Key_Up, 0, -1),
            (K.Key_Down, 0, 1),
        ):
            before = sheet.sight.projection.spot(places(sheet)["n3"])
            key(sheet, which, ALT)
            after = sheet.sight.projection.spot(places(sheet)["n3"])
            towards = (after[0] - before[0]) * right + (after[1] - before[1]) * down
            assert towards > 1.0, (view, which)


def test_shift_and_an_arrow_moves_the_paper(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.sight
    key(sheet, K.Key_Right, SHIFT)
    key(sheet, K.Key_Down, SHIFT)
    assert (sheet.sight.dx - before.dx, sheet.sight.dy - before.dy) == (-64.0, -64.0)
    assert not sheet.typed_line.typing


def test_plus_and_minus_zoom_about_the_middle(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    middle = sheet.sight.spot(500.0, 380.0)
    key(sheet, K.Key_Plus)
    assert sheet.sight.scale == pytest.approx(48.0)
    assert sheet.sight.spot(500.0, 380.0) == pytest.approx((middle[0] * 1.2, middle[1] * 1.2))
    key(sheet, K.Key_Minus)
    assert sheet.sight.scale == pytest.approx(40.0)


def test_f_fits_and_ctrl_1_is_full_size(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, scale=150.0)
    key(sheet, K.Key_F)
    box = sheet.drawn().bounds
    assert box is not None
    box.translate(sheet.sight.dx, sheet.sight.dy)
    assert sheet.rect().contains(box.toAlignedRect())
    key(sheet, K.Key_1, CTRL)
    assert sheet.sight.scale == FULL_SIZE_UNITS_PER_M
    key(sheet, K.Key_0, CTRL)
    assert sheet.sight.scale != FULL_SIZE_UNITS_PER_M


def test_enter_opens_the_length_of_the_selected_leg(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d3")
    key(sheet, K.Key_Return)
    assert sheet.editor.text() == "5.60 m"
    QTest.keyClicks(sheet.editor, "6,1")
    QTest.keyClick(sheet.editor, K.Key_Return)
    assert geometry_of(sheet, "d3").length_m == pytest.approx(6.1)
    assert sheet.editor.isHidden()
    assert sheet.hasFocus()


def test_other_keys_are_left_to_the_window(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = (sheet.session.job, sheet.sight, sheet.session.selection)
    for which, held in ((K.Key_Z, CTRL), (K.Key_Q, Qt.KeyboardModifier.NoModifier), (K.Key_N, CTRL), (K.Key_1, ALT)):
        key(sheet, which, held)
    assert (sheet.session.job, sheet.sight, sheet.session.selection) == before
    assert not sheet.typed_line.typing
