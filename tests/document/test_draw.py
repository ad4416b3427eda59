"""Drawing legs: where they start, which way the flow goes, what they are called and built from."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linesizer.document.commands.draw import DrawLeg, LegRow, PasteLegs
from linesizer.document.commands.line import AddLine
from linesizer.document.direction import Direction
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.job import Job
from linesizer.domain.part import Part
from linesizer.domain.route import Joint, Line, LineEnd, Service
from tests.document.jobs import EXAMPLE, acted, branching, leg_in, line_in, places, refused, route, with_lines


def _draw(start: object, direction: object, length_m: float, **more: object) -> DrawLeg:
    return DrawLeg("c1", "dis", start, direction, length_m, **more)  # type: ignore[arg-type]


def _flow(job: Job, line: str = "dis") -> list[tuple[str, str, str]]:
    return [(leg.id, leg.start, leg.end) for leg in line_in(job, line).legs]


def test_from_where_the_flow_ends_it_goes_on() -> None:
    command = _draw("n5", Direction.UP, 2.0)
    after = acted(command)
    assert command.label == "draw a leg up from n5"
    assert _flow(after)[-1] == ("d5", "n5", "n6")
    assert places(after)["n6"] == (6.0, 4.0, 11.0)
    assert line_in(after).ends == (LineEnd("n1", "unit", "discharge"), LineEnd("n6", "cond"))


def test_from_where_the_flow_begins_it_comes_before() -> None:
    after = acted(_draw("n1", Direction.WEST, 1.5))
    assert _flow(after)[0] == ("d5", "n6", "n1")
    assert places(after)["n6"] == (-1.5, 0.0, 1.2)
    assert line_in(after).ends == (LineEnd("n6", "unit", "discharge"), LineEnd("n5", "cond"))
    geometry = line_geometry(line_in(after))
    assert (geometry.sources, geometry.sinks) == (("n6",), ("n5",))


def test_a_new_leg_is_built_like_the_one_that_it_continues() -> None:
    line = line_in(EXAMPLE)
    last = replace(line.legs[3], size="1-3/8", insulation_m=0.019, joint=Joint.WELDED, tube="ASTM-B88-L", fall=0.01)
    job = with_lines(replace(line, legs=(*line.legs[:3], last)))
    drawn = leg_in(acted(_draw("n5", Direction.NORTH, 1.0), job), "d5")
    assert (drawn.size, drawn.place, drawn.insulation_m, drawn.joint, drawn.tube) == (
        "1-3/8",
        "outdoor",
        0.019,
        Joint.WELDED,
        "ASTM-B88-L",
    )
    assert (drawn.fall, drawn.parts, drawn.double_riser) == (0.0, (), None)


def test_a_branch_that_flows_to_the_line_is_built_like_the_leg_that_it_flows_into() -> None:
    job = with_lines(replace(line_in(EXAMPLE), service=Service.LIQUID))
    assert [leg_in(job, name).place for name in ("d2", "d3")] == ["plant", "outdoor"]
    assert leg_in(acted(_draw("n3", Direction.SOUTH, 1.0), job), "d5").place == "outdoor"
    assert leg_in(acted(_draw("n3", Direction.SOUTH, 1.0)), "d5").place == "plant"


def test_of_two_ends_without_legs_each_flows_as_its_own_equipment_says() -> None:
    nodes = {"n1": (0.0, 0.0, 0.0), "n2": (5.0, 0.0, 0.0)}
    line = route("dis", Service.DISCHARGE, nodes, ends=(LineEnd("n1", "unit"), LineEnd("n2", "cond")))
    after = acted(_draw("n2", Direction.UP, 1.0), with_lines(line))
    assert _flow(after) == [("d1", "n3", "n2")]


def test_behind_a_double_riser_comes_a_single_tube() -> None:
    after = acted(_draw("n4", Direction.EAST, 1.0))
    assert leg_in(after, "d5").double_riser is None
    assert leg_in(after, "d5").place == "outdoor"


@pytest.mark.parametrize(
    ("service", "expected", "shape"),
    [
        (Service.DISCHARGE, ("d5", "n3", "n6"), Shape.SPREADS),
        (Service.LIQUID, ("d5", "n6", "n3"), Shape.GATHERS),
        (Service.DRAIN, ("d5", "n6", "n3"), Shape.GATHERS),
    ],
)
def test_from_the_middle_it_branches_as_the_service_does(
    service: Service, expected: tuple[str, str, str], shape: Shape
) -> None:
    job = with_lines(replace(line_in(EXAMPLE), service=service))
    after = acted(_draw("n3", Direction.SOUTH, 1.0), job)
    assert expected in _flow(after)
    assert line_geometry(line_in(after)).shape is shape


def test_a_line_that_spreads_goes_on_spreading() -> None:
    job = with_lines(replace(line_in(branching()), service=Service.LIQUID))
    after = acted(_draw("n3", Direction.EAST, 1.0), job)
    assert ("d5", "n3", "n6") in _flow(after)


def test_the_flow_can_be_said_and_is_refused_where_it_would_both_gather_and_spread() -> None:
    error = refused(_draw("n3", Direction.EAST, 1.0, upstream=True), branching())
    assert error.code == "EDIT-01"
    assert "gathers" in error.why
    assert "spreads" in error.why


def test_a_point_on_a_leg_splits_it_there() -> None:
    after = acted(_draw((2.0, 0.0, 3.4), Direction.SOUTH, 1.0))
    assert _flow(after)[1:4] == [("d2", "n2", "n6"), ("d6", "n6", "n7"), ("d5", "n6", "n3")]
    assert places(after)["n6"] == (2.0, 0.0, 3.4)
    assert _draw((2.0, 0.0, 3.4), Direction.SOUTH, 1.0).label == "draw a leg south on dis"


@pytest.mark.parametrize("start", ["n1", "n3", "n5", (2.0, 0.0, 3.4)])
def test_the_new_end_is_the_last_node(start: object) -> None:
    after = acted(_draw(start, (1.0, -1.0, 0.0), 1.5))
    line = line_in(after)
    before = places(EXAMPLE).get(start, start)  # type: ignore[call-overload]
    assert math.dist(line.nodes[-1].at_m, before) == pytest.approx(1.5)


def test_a_point_at_a_node_is_that_node() -> None:
    after = acted(_draw((6.0, 4.0, 9.00001), Direction.UP, 1.0))
    assert _flow(after)[-1] == ("d5", "n5", "n6")


def test_a_point_anywhere_else_is_refused() -> None:
    error = refused(_draw((1.0, 1.0, 1.0), Direction.UP, 1.0))
    assert (error.code, error.what) == ("ROUTE-01", 'No leg of line "dis" can start at (1, 1, 1) m.')


def test_an_empty_line_begins_anywhere() -> None:
    job = with_lines(Line("dis", Service.DISCHARGE, (), ()))
    after = acted(_draw((1.0, 2.0, 3.0), (0.0, 3.0, 4.0), 10.0), job)
    assert _flow(after) == [("d1", "n1", "n2")]
    assert places(after) == {"n1": (1.0, 2.0, 3.0), "n2": (1.0, 8.0, 11.0)}


def test_a_line_that_waits_at_its_equipment_begins_where_it_is_drawn_and_stays_tied() -> None:
    waiting = acted(AddLine("c1", Service.DISCHARGE), with_lines())
    assert line_in(waiting).ends == (LineEnd("n1", "unit", "discharge"),)
    after = acted(_draw((0.0, 0.5, 1.2), Direction.UP, 1.0), waiting)
    assert places(after) == {"n1": (0.0, 0.5, 1.2), "n2": (0.0, 0.5, 2.2)}
    assert line_in(after).ends == (LineEnd("n1", "unit", "discharge"),)


@pytest.mark.parametrize(
    ("service", "equipment", "flow"),
    [
        (Service.DISCHARGE, "unit", ("n1", "n2")),
        (Service.DISCHARGE, "cond", ("n2", "n1")),
        (Service.LIQUID, "unit", ("n2", "n1")),
        (Service.LIQUID, "rec", ("n1", "n2")),
        (Service.DRAIN, "cond", ("n1", "n2")),
        (Service.DRAIN, "rec", ("n2", "n1")),
    ],
)
def test_the_first_leg_flows_as_its_equipment_says(service: Service, equipment: str, flow: tuple[str, str]) -> None:
    line = route("dis", service, {"n1": (0.0, 0.0, 0.0)}, ends=(LineEnd("n1", equipment),))
    after = acted(_draw("n1", Direction.UP, 1.0), with_lines(line))
    assert _flow(after)[0][1:] == flow
    assert line_in(after).ends == (LineEnd("n1", equipment),)


@pytest.mark.parametrize(
    ("line", "leg", "node"),
    [
        (route("liq", Service.LIQUID, {"a": (0.0, 0.0, 0.0)}), "l1", "n1"),
        (
            route("liq", Service.LIQUID, {"a7": (0.0, 0.0, 0.0), "a": (0.0, 0.0, 1.0)}, ("run-3", "a7", "a")),
            "run-4",
            "a8",
        ),
        (route("liq", Service.LIQUID, {"n9": (0.0, 0.0, 0.0), "a": (0.0, 0.0, 1.0)}, ("l10", "n9", "a")), "l11", "n10"),
    ],
)
def test_ids_go_on_as_they_began(line: Line, leg: str, node: str) -> None:
    start = line.nodes[-1].id
    after = acted(DrawLeg("c1", "liq", start, Direction.UP, 1.0), with_lines(line))
    assert leg in [item.id for item in line_in(after, "liq").legs]
    assert node in places(after, "liq")


def test_an_id_that_a_comment_points_at_does_not_come_to_mean_another_leg() -> None:
    review = replace(EXAMPLE.review, waivers=({"rule": "x", "about": ["d2", "d7"]},))
    after = acted(_draw("n5", Direction.UP, 1.0), replace(EXAMPLE, review=review))
    assert _flow(after)[-1][0] == "d8"


@pytest.mark.parametrize(
    ("command", "code", "words"),
    [
        (_draw("n5", Direction.UP, 0.0), "ROUTE-02", "above 0.0001 m"),
        (_draw("n5", Direction.UP, -3.0), "ROUTE-02", "-3 m"),
        (_draw("n5", Direction.UP, math.nan), "ROUTE-02", "nan m"),
        (_draw("n5", (0.0, 0.0, 0.0), 1.0), "ROUTE-02", "all three parts are zero"),
        (_draw("n9", Direction.UP, 1.0), "EDIT-02", "n1 to n5"),
        (_draw("n5", Direction.SOUTH, 2.0), "EDIT-01", "lies on leg"),
        (_draw("n5", Direction.UP, 2e4), "EDIT-01", "10000 m"),
        (PasteLegs("c1", "dis", "n5", (LegRow((1.0, 0.0, 0.0)), LegRow((0.0, 0.0, 0.0)))), "ROUTE-02", "Row 2"),
        (PasteLegs("c1", "dis", "n5", (LegRow((1.0, 0.0, 0.0), size="9/9"),)), "EDIT-01", "9/9"),
        (PasteLegs("c1", "dis", "n5", (LegRow((1.0, 0.0, 0.0), place="attic"),)), "EDIT-01", "attic"),
    ],
)
def test_what_cannot_be_drawn_is_refused(command: DrawLeg | PasteLegs, code: str, words: str) -> None:
    error = refused(command)
    assert error.code == code
    assert words in str(error)


def test_a_table_is_drawn_in_one_step() -> None:
    rows = (
        LegRow((0.0, 0.0, 2.0), size="1-1/8", parts=(Part("p1", "ball_valve", 0.25),)),
        LegRow((3.0, 0.0, 0.0), place="indoor", fall=0.01, insulation_m=0.019, insulation_W_mK=0.04, tube="ASTM-B88-L"),
        LegRow((0.0, -1.0, 0.0), joint=Joint.MECHANICAL),
    )
    command = PasteLegs("c1", "dis", "n5", rows)
    after = acted(command)
    assert command.label == "paste 3 legs into dis"
    assert PasteLegs("c1", "dis", "n5", rows[:1]).label == "paste 1 leg into dis"
    assert _flow(after)[-3:] == [("d5", "n5", "n6"), ("d6", "n6", "n7"), ("d7", "n7", "n8")]
    assert places(after)["n8"] == (9.0, 3.0, 11.0)
    d5, d6, d7 = (leg_in(after, name) for name in ("d5", "d6", "d7"))
    assert (d5.size, d5.parts, d5.place) == ("1-1/8", (Part("p1", "ball_valve", 0.25),), "outdoor")
    assert (d6.size, d6.place, d6.fall, d6.tube) == ("1-1/8", "indoor", 0.01, "ASTM-B88-L")
    assert (d7.insulation_m, d7.insulation_W_mK, d7.joint, d7.fall) == (0.019, 0.04, Joint.MECHANICAL, 0.0)


def test_a_table_walked_against_the_flow_is_turned_round() -> None:
    rows = (LegRow((-2.0, 0.0, 0.0), fall=0.01, parts=(Part("p1", "ball_valve", 0.25),)), LegRow((0.0, -2.0, 0.0)))
    after = acted(PasteLegs("c1", "dis", "n1", rows))
    assert _flow(after)[:2] == [("d6", "n7", "n6"), ("d5", "n6", "n1")]
    assert leg_in(after, "d5").fall == -0.01
    assert leg_in(after, "d5").parts == (Part("p1", "ball_valve", 0.75),)
    assert line_in(after).ends[0] == LineEnd("n7", "unit", "discharge")
