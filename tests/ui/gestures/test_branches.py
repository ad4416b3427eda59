"""Branches are drawn by mouse and keyboard: from nodes and legs out to a condenser, and from a condenser back."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.equipment import MoveEquipment
from linesizer.document.commands.parallel import AddAnother
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.route import LineEnd
from linesizer.drawing.display_list import Target, Text
from linesizer.drawing.projection import Spot
from linesizer.ui.selection import Selection
from linesizer.ui.sheet.handles import HandleKind
from linesizer.ui.sheet.sheet import Sheet
from tests.ui.on_sheet import (
    LEFT,
    SHIFT,
    C,
    geometry_of,
    key,
    move_to,
    node_pos,
    places,
    pos,
    sheet_over,
    type_run,
    way,
)
from tests.ui.opened import OFFSCREEN, line_of, select

pytestmark = OFFSCREEN

EAST, NORTH, SOUTH, UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)


def two_condensers(qtbot: QtBot) -> Sheet:
    """Show the sample with the condenser above, and a second one three metres east of it, at (8.2, 5.4, 9.0)."""
    sheet = sheet_over(qtbot)
    sheet.session.do(AddAnother(C, "cond"))
    return sheet


def begin_at(sheet: Sheet, name: str, line: str = "dis") -> None:
    """Select a node and click the plus that stands beside it."""
    sheet.session.select(Selection(C, line, node=name))
    (handle,) = (each for each in sheet.handles() if each.kind is HandleKind.DRAW)
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, handle.spot))


def newest(sheet: Sheet, line: str = "dis") -> QPoint:
    return node_pos(sheet, line_of(sheet.session, line).nodes[-1].id, line)


def body_of(sheet: Sheet, equipment: str) -> Spot:
    """Return the middle of the body of a piece of equipment on the drawing."""
    target = Target(C, equipment=equipment)
    corners = [
        spot for item in sheet.scene().display.items if item.target == target for spot in getattr(item, "points", ())
    ]
    xs, ys = [spot[0] for spot in corners], [spot[1] for spot in corners]
    return ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)


def flow(sheet: Sheet, line: str = "dis") -> list[tuple[str, str, str]]:
    return [(leg.id, leg.start, leg.end) for leg in line_of(sheet.session, line).legs]


def shape(sheet: Sheet, line: str = "dis") -> Shape:
    return line_geometry(line_of(sheet.session, line)).shape


def test_a_discharge_line_spreads_from_a_node_to_the_second_condenser(qtbot: QtBot) -> None:
    sheet = two_condensers(qtbot)
    begin_at(sheet, "n4")
    QTest.mouseClick(sheet, LEFT, pos=node_pos(sheet, "n4") + way(sheet, EAST, 3.0))
    assert ("d5", "n4", "n6") in flow(sheet)
    assert sheet.session.document.undo_label == "draw a leg east from n4"
    at = pos(sheet, body_of(sheet, "cond2"))
    move_to(sheet, at)
    words = [item.text for item in sheet.overlay() if isinstance(item, Text)]
    assert words == ["N  5.40 m to Loft condenser 2"]
    QTest.mouseClick(sheet, LEFT, pos=at)
    assert line_of(sheet.session, "dis").ends[-1] == LineEnd("n7", "cond2", "inlet")
    assert places(sheet)["n7"] == (9.0, 5.4, 9.0)
    assert shape(sheet) is Shape.SPREADS
    assert not sheet.hand.busy
    sheet.session.document.undo()
    assert [end.equipment for end in line_of(sheet.session, "dis").ends] == ["unit", "cond"]


def test_a_point_of_a_leg_is_branched_from_by_its_plus(qtbot: QtBot) -> None:
    sheet = two_condensers(qtbot)
    select(sheet.session, "dis", "d2")
    (plus,) = (each for each in sheet.handles() if each.start is not None and each.start.branches)
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, plus.spot))
    middle = pos(sheet, plus.root)
    QTest.mouseClick(sheet, LEFT, pos=middle + way(sheet, SOUTH, 2.0))
    key(sheet, Qt.Key.Key_Return)
    assert flow(sheet)[1:4] == [("d2", "n2", "n6"), ("d6", "n6", "n7"), ("d5", "n6", "n3")]
    assert places(sheet)["n6"] == (3.0, 0.0, 3.4)
    assert geometry_of(sheet, "d6").direction == SOUTH
    assert sheet.session.document.undo_label == "draw a leg south on dis"
    sheet.session.document.undo()
    assert [name for name, _, _ in flow(sheet)] == ["d1", "d2", "d3", "d4"]


def test_escape_leaves_the_leg_whole(qtbot: QtBot) -> None:
    sheet = two_condensers(qtbot)
    select(sheet.session, "dis", "d2")
    (plus,) = (each for each in sheet.handles() if each.start is not None and each.start.branches)
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, plus.spot))
    move_to(sheet, pos(sheet, plus.root) + way(sheet, SOUTH, 2.0))
    assert len(sheet.session.shown_job.circuits[0].lines[0].legs) == 6
    key(sheet, Qt.Key.Key_Escape)
    assert len(sheet.session.shown_job.circuits[0].lines[0].legs) == 4


def test_keys_alone_draw_a_branch_from_a_node(qtbot: QtBot) -> None:
    sheet = two_condensers(qtbot)
    select(sheet.session, "dis", "d3")
    key(sheet, Qt.Key.Key_End)
    assert sheet.session.selection.node == "n4"
    key(sheet, Qt.Key.Key_E)
    assert sheet.typed_line.words == "draws from d3, a branch"
    type_run(sheet, "2.2; N 5.4")
    assert line_of(sheet.session, "dis").ends[-1] == LineEnd("n7", "cond2", "inlet")
    assert shape(sheet) is Shape.SPREADS


def test_b_begins_a_branch_in_the_middle_of_the_selected_leg(qtbot: QtBot) -> None:
    sheet = two_condensers(qtbot)
    key(sheet, Qt.Key.Key_B)
    assert not sheet.typed_line.typing
    assert "Choose a leg to branch off from" in sheet.typed_line.words
    select(sheet.session, "dis", "d2")
    key(sheet, Qt.Key.Key_B)
    type_run(sheet, "S 1.5")
    assert places(sheet)["n6"] == (3.0, 0.0, 3.4)
    assert places(sheet)["n7"] == (3.0, -1.5, 3.4)
    type_run(sheet, "U 1")
    assert places(sheet)["n8"] == (3.0, -1.5, 4.4)


def test_a_liquid_line_gathers_what_is_drawn_from_the_junction_out(qtbot: QtBot) -> None:
    sheet = two_condensers(qtbot)
    begin_at(sheet, "m2", "liq")
    QTest.mouseClick(sheet, LEFT, pos=node_pos(sheet, "m2", "liq") + way(sheet, EAST, 3.0))
    at = newest(sheet, "liq")
    QTest.mouseClick(sheet, LEFT, pos=at + way(sheet, UP, 5.0))
    key(sheet, Qt.Key.Key_Return)
    assert {(start, end) for _, start, end in flow(sheet, "liq")} >= {("m6", "m2"), ("m7", "m6")}
    assert shape(sheet, "liq") is Shape.GATHERS


def test_a_selected_condenser_has_rings_for_the_lines_that_do_not_reach_it(qtbot: QtBot) -> None:
    sheet = two_condensers(qtbot)
    sheet.session.select(Selection(C, equipment="cond"))
    assert sheet.handles() == ()
    sheet.session.select(Selection(C, equipment="cond2"))
    assert [each.letter for each in sheet.handles()] == ["D", "L"]


def test_a_line_drawn_from_the_condenser_ends_as_a_branch_where_it_meets_the_other(qtbot: QtBot) -> None:
    """From (8.2, 5.4, 9): north to y 6.8, down to z 3.0, west to m2 at (4.4, 6.8, 3.0)."""
    sheet = two_condensers(qtbot)
    sheet.session.select(Selection(C, equipment="cond2"))
    key(sheet, Qt.Key.Key_L)
    assert sheet.typed_line.words == "draws from Loft condenser 2"
    type_run(sheet, "N 1.4")
    assert [line.id for line in sheet.session.job.circuits[0].lines] == ["dis", "liq", "liq2"]
    type_run(sheet, "D 6")
    type_run(sheet, "W 3.8")
    assert [line.id for line in sheet.session.job.circuits[0].lines] == ["dis", "liq"]
    assert not sheet.typed_line.typing
    assert shape(sheet, "liq") is Shape.GATHERS
    assert line_of(sheet.session, "liq").ends[-1].equipment == "cond2"
    sheet.session.document.undo()
    assert [line.id for line in sheet.session.job.circuits[0].lines] == ["dis", "liq", "liq2"]


def test_a_line_drawn_by_mouse_from_the_condenser_meets_a_leg_exactly(qtbot: QtBot) -> None:
    """The riser d3 stands at (6, 0): from (8.2, 5.4, 9) south by 5.4 and west by 2.2 the pointer comes close enough."""
    sheet = two_condensers(qtbot)
    sheet.session.select(Selection(C, equipment="cond2"))
    ring = next(each for each in sheet.handles() if each.letter == "D")
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, ring.spot))
    root = pos(sheet, ring.root)
    QTest.mouseClick(sheet, LEFT, pos=root + way(sheet, SOUTH, 5.4))
    QTest.mouseClick(sheet, LEFT, pos=root + way(sheet, SOUTH, 5.4) + way(sheet, EAST, -2.22))
    assert [line.id for line in sheet.session.job.circuits[0].lines] == ["dis", "liq"]
    assert shape(sheet) is Shape.SPREADS
    assert {start for _, start, end in flow(sheet) if end == "n7"} == {"n4"}
    assert not sheet.hand.busy


@pytest.mark.parametrize("text", ["E 2; N 4; W 2", "E 2; N 2; W 2"])
def test_what_would_close_a_loop_is_refused_in_a_sentence(qtbot: QtBot, text: str) -> None:
    sheet = two_condensers(qtbot)
    sheet.session.select(Selection(C, "dis", node="n4"))
    key(sheet, Qt.Key.Key_E)
    sheet.typed_line.field.clear()
    type_run(sheet, text)
    assert "which closes a loop; a line is a tree." in sheet.typed_line.words
    assert len(flow(sheet)) == 4


def test_a_leg_ends_level_with_equipment_at_no_round_figure(qtbot: QtBot) -> None:
    """The second condenser stands 2.237 m east of n4: a pointer within a step means it, with Shift it does not."""
    sheet = two_condensers(qtbot)
    sheet.session.do(MoveEquipment(C, "cond2", (8.237, 5.4, 9.0)))
    begin_at(sheet, "n4")
    QTest.mouseClick(sheet, LEFT, pos=node_pos(sheet, "n4") + way(sheet, EAST, 2.2))
    assert places(sheet)["n6"] == (8.237, 0.0, 9.0)
    sheet.session.document.undo()
    begin_at(sheet, "n4")
    QTest.mouseClick(sheet, LEFT, SHIFT, node_pos(sheet, "n4") + way(sheet, EAST, 2.2))
    assert places(sheet)["n6"][0] == pytest.approx(8.2, abs=0.03)
    assert places(sheet)["n6"][0] != 8.237


def test_shift_draws_over_the_body_of_equipment_without_ending_there(qtbot: QtBot) -> None:
    sheet = two_condensers(qtbot)
    begin_at(sheet, "n4")
    QTest.mouseClick(sheet, LEFT, pos=node_pos(sheet, "n4") + way(sheet, EAST, 3.0))
    at = pos(sheet, body_of(sheet, "cond2"))
    move_to(sheet, at, SHIFT)
    assert all("Loft" not in item.text for item in sheet.overlay() if isinstance(item, Text))
    QTest.mouseClick(sheet, LEFT, SHIFT, at)
    assert [end.equipment for end in line_of(sheet.session, "dis").ends] == ["unit", "cond"]
    assert sheet.hand.busy
