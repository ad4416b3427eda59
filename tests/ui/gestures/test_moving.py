"""A drag moves nodes, legs, ends, parts and equipment: results follow, one step on release, none on Escape."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from linesizer.drawing.display_list import Circle, Polygon, Target
from linesizer.ui.selection import Selection
from linesizer.ui.sheet.handles import HandleKind
from linesizer.ui.sheet.sheet import Sheet
from tests.ui.on_sheet import (
    LEFT,
    SHIFT,
    C,
    drag,
    geometry_of,
    key,
    leg_pos,
    let_go,
    move_to,
    node_pos,
    places,
    pos,
    pull_out,
    sheet_over,
    shown_line,
    way,
)
from tests.ui.opened import OFFSCREEN, line_of

pytestmark = OFFSCREEN

EAST, NORTH, UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def undo_label(sheet: Sheet) -> str | None:
    return sheet.session.document.undo_label


@pytest.mark.parametrize(("axis", "index", "length_m"), [(EAST, 0, 1.0), (NORTH, 1, -0.7), (UP, 2, 0.5)])
def test_a_node_goes_along_the_axis_that_the_drag_sets_out_on(
    qtbot: QtBot, axis: tuple[float, float, float], index: int, length_m: float
) -> None:
    sheet = sheet_over(qtbot)
    before = places(sheet)
    drag(sheet, node_pos(sheet, "n3"), way(sheet, axis, length_m))
    after = places(sheet)
    moved = tuple(b - a for a, b in zip(before["n3"], after["n3"], strict=True))
    assert moved[index] == pytest.approx(length_m, abs=1e-9)
    assert [part for i, part in enumerate(moved) if i != index] == [0.0, 0.0]
    assert undo_label(sheet) == "move n3"


def test_square_corners_stay_square_while_a_node_moves(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    directions = {name: geometry_of(sheet, name).direction for name in ("d1", "d2", "d3", "d4")}
    drag(sheet, node_pos(sheet, "n3"), way(sheet, UP, 1.0))
    for name, direction in directions.items():
        assert geometry_of(sheet, name).direction == pytest.approx(direction)
    assert geometry_of(sheet, "d1").length_m == pytest.approx(3.2, abs=0.02)


def test_the_result_follows_the_drag_before_it_is_let_go(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    session = sheet.session
    first = session.line_result(C, "dis")
    start, by = node_pos(sheet, "n3"), way(sheet, EAST, 2.0)
    pull_out(sheet, start, by)
    during = session.line_result(C, "dis")
    assert first is not None and during is not None  # noqa: PT018
    assert during.length_m == pytest.approx(first.length_m + 2.0, abs=0.01)
    assert session.previewing
    assert undo_label(sheet) is None
    let_go(sheet, start + by)
    assert not session.previewing
    assert session.document.undo()
    assert undo_label(sheet) is None


def test_escape_in_the_middle_of_a_drag_pushes_nothing_and_restores(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.session.job
    start, by = node_pos(sheet, "n3"), way(sheet, EAST, 2.0)
    pull_out(sheet, start, by)
    assert shown_line(sheet) != line_of(sheet.session, "dis")
    key(sheet, Qt.Key.Key_Escape)
    assert sheet.session.shown_job is before
    let_go(sheet, start + by)
    assert sheet.session.job is before
    assert undo_label(sheet) is None


def test_an_act_from_elsewhere_ends_the_drag_without_a_step_of_its_own(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    drag(sheet, node_pos(sheet, "n3"), way(sheet, EAST, 1.0))
    start, by = node_pos(sheet, "n3"), way(sheet, UP, 1.0)
    pull_out(sheet, start, by)
    sheet.session.document.undo()
    let_go(sheet, start + by)
    assert not sheet.session.previewing
    assert undo_label(sheet) is None


def test_a_short_way_back_lets_the_drag_choose_another_axis(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = places(sheet)["n3"]
    start = node_pos(sheet, "n3")
    pull_out(sheet, start, way(sheet, EAST, 1.0))
    for at in (start + QPoint(2, -2), start + QPoint(1, -11), start + way(sheet, UP, 1.0)):
        move_to(sheet, at, button=LEFT)
    let_go(sheet, start + way(sheet, UP, 1.0))
    after = places(sheet)["n3"]
    assert after[:2] == before[:2]
    assert after[2] == pytest.approx(before[2] + 1.0)


def test_shift_makes_the_steps_finer(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = places(sheet)["n3"]
    drag(sheet, node_pos(sheet, "n3"), QPoint(0, -31), SHIFT)
    rise = places(sheet)["n3"][2] - before[2]
    # 31 px are 0.775 m at 40 px a metre: a hundredth of a metre near it, no tenth.
    assert rise == pytest.approx(0.78, abs=0.011)
    assert round(rise * 10.0) != pytest.approx(rise * 10.0, abs=1e-6)


def test_a_drag_in_inch_pound_goes_by_inches(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, units="ip")
    before = places(sheet)["n3"]
    drag(sheet, node_pos(sheet, "n3"), QPoint(0, -31))
    inches = (places(sheet)["n3"][2] - before[2]) / 0.0254
    assert inches == pytest.approx(30.0, abs=1e-6)  # 0.775 m are 30.5 in; at this zoom by 3 in


def test_an_end_handle_stretches_its_leg_and_what_lies_beyond_moves_along(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", "d3"))
    before = places(sheet)
    handle = next(each for each in sheet.handles() if each.kind is HandleKind.STRETCH)
    drag(sheet, pos(sheet, handle.spot), way(sheet, UP, 1.5))
    after = places(sheet)
    assert undo_label(sheet) == "change length of d3"
    assert geometry_of(sheet, "d3").length_m == pytest.approx(7.1)
    assert after["n3"] == before["n3"]
    for name in ("n4", "n5"):
        assert after[name][2] == pytest.approx(before[name][2] + 1.5)


def test_a_leg_cannot_be_stretched_to_nothing(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", "d3"))
    handle = next(each for each in sheet.handles() if each.kind is HandleKind.STRETCH)
    drag(sheet, pos(sheet, handle.spot), way(sheet, UP, -9.0))
    assert geometry_of(sheet, "d3").length_m == pytest.approx(0.1)


def test_a_leg_dragged_across_itself_moves_whole(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = places(sheet)
    drag(sheet, leg_pos(sheet, "d3", share=0.3), way(sheet, EAST, 1.0))
    after = places(sheet)
    for name in ("n3", "n4"):
        assert after[name][0] == pytest.approx(before[name][0] + 1.0)
    assert geometry_of(sheet, "d3").length_m == pytest.approx(5.6)
    assert geometry_of(sheet, "d2").length_m == pytest.approx(7.0, abs=0.01)


def test_a_leg_is_not_moved_along_itself(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.session.job
    drag(sheet, leg_pos(sheet, "d3", share=0.3), way(sheet, UP, 1.0))
    assert sheet.session.job is before
    assert sheet.session.selection == Selection(C, "dis", "d3")


def test_a_part_slides_along_its_leg_and_stays_on_it(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    line = line_of(sheet.session, "liq")
    owner = next(leg for leg in line.legs if leg.parts)
    part = owner.parts[-1]
    target = Target(C, "liq", owner.id, part=part.id)
    sign = next(
        item for item in sheet.scene().display.items if item.target == target and isinstance(item, Polygon | Circle)
    )
    middle = sign.centre if isinstance(sign, Circle) else _centre(sign.points)
    direction = geometry_of(sheet, owner.id, "liq").direction
    drag(sheet, pos(sheet, middle), way(sheet, direction, -0.3))
    moved = next(each for leg in line_of(sheet.session, "liq").legs for each in leg.parts if each.id == part.id)
    length_m = geometry_of(sheet, owner.id, "liq").length_m
    assert undo_label(sheet) == f"slide {part.id} along {owner.id}"
    assert moved.at * length_m == pytest.approx(part.at * length_m - 0.3, abs=0.051)
    drag(sheet, pos(sheet, middle) + way(sheet, direction, -0.3), way(sheet, direction, 40.0))
    moved = next(each for leg in line_of(sheet.session, "liq").legs for each in leg.parts if each.id == part.id)
    assert moved.at == 1.0


def _centre(points: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    return (math.fsum(x for x, _ in points) / len(points), math.fsum(y for _, y in points) / len(points))


def test_equipment_takes_its_lines_along(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    target = Target(C, equipment="cond")
    face = next(item for item in sheet.scene().display.items if item.target == target and isinstance(item, Polygon))
    before, ends = sheet.session.job.circuits[0], places(sheet)
    drag(sheet, pos(sheet, _centre(face.points)), way(sheet, UP, 1.0))
    after = sheet.session.job.circuits[0]
    assert undo_label(sheet) == "move cond"
    assert after.equipment[1].at_m[2] == pytest.approx(before.equipment[1].at_m[2] + 1.0)
    assert places(sheet)["n5"][2] == pytest.approx(ends["n5"][2] + 1.0)


def test_what_cannot_be_is_said_during_the_drag_and_not_done(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.session.job
    # Down by the whole of d1: that leg would have no length.
    start, by = node_pos(sheet, "n2"), way(sheet, UP, -2.2)
    pull_out(sheet, start, by)
    words = [getattr(item, "text", "") for item in sheet.overlay()]
    assert any("not possible" in word for word in words)
    let_go(sheet, start + by)
    assert sheet.session.job is before
    assert "d1" in sheet.typed_line.words


def test_a_press_that_hardly_moves_is_a_click(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    drag(sheet, node_pos(sheet, "n3"), QPoint(3, 1))
    assert sheet.session.selection == Selection(C, "dis", node="n3")
    assert undo_label(sheet) is None
