"""Lines as a whole: added, reversed, tied, run alongside another."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linesizer.document.command import Command
from linesizer.document.commands.line import AddLine, ReverseLine, RunAlongside, SetLineFields, TieEnd
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.part import Part
from linesizer.domain.route import FittingAt, LineEnd, Node, Service
from tests.document.jobs import EXAMPLE, acted, branching, leg_in, line_in, places, refused, with_lines


@pytest.mark.parametrize(
    ("service", "name", "end"),
    [
        (Service.DISCHARGE, "dis2", LineEnd("n1", "unit", "discharge")),
        (Service.LIQUID, "liq", LineEnd("n1", "rec")),
        (Service.DRAIN, "drain", LineEnd("n1", "cond")),
        (Service.RELIEF, "rel", LineEnd("n1", "rec")),
    ],
)
def test_a_new_line_waits_where_its_flow_comes_from(service: Service, name: str, end: LineEnd) -> None:
    command = AddLine("c1", service)
    after = acted(command)
    assert command.label == f"add a {service.value} line"
    line = line_in(after, name)
    at_m = next(item.at_m for item in after.circuits[0].equipment if item.id == end.equipment)
    assert (line.service, line.nodes, line.legs, line.ends) == (service, (Node("n1", at_m),), (), (end,))


def test_a_new_line_can_start_elsewhere_or_nowhere() -> None:
    at_unit = acted(AddLine("c1", Service.LIQUID, tube="EN-12735-1", default_size="22x1", equipment="unit"))
    line = line_in(at_unit, "liq")
    assert line.ends == (LineEnd("n1", "unit", "liquid"),)
    assert (line.tube, line.default_size) == ("EN-12735-1", "22x1")
    nowhere = acted(AddLine("c1", Service.SUCTION))
    assert line_in(nowhere, "suc").nodes == ()


def test_reversing_turns_legs_parts_and_slopes_and_leaves_the_tube_where_it_is() -> None:
    line = line_in(EXAMPLE)
    valves = (Part("p1", "ball_valve", 0.25), Part("p2", "check_valve", 0.5))
    line = replace(line, legs=(*line.legs[:3], replace(line.legs[3], parts=valves)))
    command = ReverseLine("c1", "dis")
    after = acted(command, with_lines(line))
    assert command.label == "reverse the flow of dis"
    assert places(after) == places(EXAMPLE)
    assert [(leg.id, leg.start, leg.end) for leg in line_in(after).legs] == [
        ("d4", "n5", "n4"),
        ("d3", "n4", "n3"),
        ("d2", "n3", "n2"),
        ("d1", "n2", "n1"),
    ]
    assert [(part.id, part.at) for part in leg_in(after, "d4").parts] == [("p2", 0.5), ("p1", 0.75)]
    assert leg_in(after, "d2").fall == -0.005
    assert math.copysign(1.0, leg_in(after, "d1").fall) == 1.0
    assert acted(command, after) == with_lines(line)


def test_reversing_makes_a_line_that_spreads_gather() -> None:
    after = acted(ReverseLine("c1", "dis"), branching())
    assert line_geometry(line_in(after)).shape is Shape.GATHERS


def test_ends_are_tied_and_untied() -> None:
    command = TieEnd("c1", "dis", "n5", "rec", "inlet")
    after = acted(command)
    assert command.label == "tie n5 to rec"
    assert line_in(after).ends == (LineEnd("n1", "unit", "discharge"), LineEnd("n5", "rec", "inlet"))
    free = acted(TieEnd("c1", "dis", "n1", None), after)
    assert TieEnd("c1", "dis", "n1", None).label == "untie n1"
    assert line_in(free).ends == (LineEnd("n5", "rec", "inlet"),)
    again = acted(TieEnd("c1", "dis", "n1", "unit"), free)
    assert line_in(again).ends[-1] == LineEnd("n1", "unit")


def test_plain_fields_of_a_line() -> None:
    command = SetLineFields("c1", "dis", (("listed_rating_Pa", 4.5e6), ("service", Service.BYPASS)))
    after = acted(command)
    assert command.label == "change listed rating and service of line dis"
    assert (line_in(after).listed_rating_Pa, line_in(after).service) == (4.5e6, Service.BYPASS)
    with pytest.raises(ValueError, match="tube"):
        SetLineFields("c1", "dis", (("tube", "EN-12735-1"),)).apply(EXAMPLE)


def test_a_second_line_runs_alongside_the_first_against_its_flow() -> None:
    command = RunAlongside("c1", "dis", Service.LIQUID, (0.1, 0.2, -0.1))
    after = acted(command)
    assert command.label == "run a liquid line alongside dis"
    first, second = line_in(after), line_in(after, "liq")
    assert first is after.circuits[0].lines[0]
    assert first == line_in(EXAMPLE)
    assert [(leg.id, leg.start, leg.end) for leg in second.legs] == [
        ("l1", "n5", "n4"),
        ("l2", "n4", "n3"),
        ("l3", "n3", "n2"),
        ("l4", "n2", "n1"),
    ]
    for name, at_m in places(after, "liq").items():
        there = places(after)[name]
        assert [a - b for a, b in zip(at_m, there, strict=True)] == pytest.approx([0.1, 0.2, -0.1])
    assert second.ends == (LineEnd("n1", "unit", "liquid"), LineEnd("n5", "cond"))
    assert (second.fittings, second.default_size) == ((), None)
    assert [(leg.size, leg.double_riser, leg.parts) for leg in second.legs] == [(None, None, ())] * 4
    assert [leg.place for leg in second.legs] == [leg.place for leg in reversed(first.legs)]
    assert leg_in(after, "l3", "liq").fall == -0.005


def test_a_line_against_the_flow_leaves_where_the_first_one_enters() -> None:
    ends = (LineEnd("n1", "unit", "discharge"), LineEnd("n5", "cond", "inlet"))
    job = with_lines(replace(line_in(EXAMPLE), ends=ends))
    back = acted(RunAlongside("c1", "dis", Service.LIQUID, (0.1, 0.2, -0.1)), job)
    assert line_in(back, "liq").ends == (LineEnd("n1", "unit", "liquid"), LineEnd("n5", "cond", "outlet"))
    along = acted(RunAlongside("c1", "dis", Service.DISCHARGE, (0.1, 0.2, -0.1), reverse=False), job)
    assert line_in(along, "dis2").ends == ends


def test_a_second_line_can_run_with_the_flow_in_a_tube_of_its_own() -> None:
    first = line_in(EXAMPLE)
    steel = replace(first.legs[1], size="1-1/4", tube="ASME-B36.10-40")
    job = with_lines(replace(first, legs=(first.legs[0], steel, *first.legs[2:])))
    as_before = acted(RunAlongside("c1", "dis", Service.DISCHARGE, (0.1, 0.1, 0.0)), job)
    assert leg_in(as_before, "d3", "dis2").tube == "ASME-B36.10-40"
    command = RunAlongside("c1", "dis", Service.DISCHARGE, (0.1, 0.1, 0.0), reverse=False, tube="EN-12735-1")
    after = acted(command, job)
    assert leg_in(after, "d2", "dis2").tube is None
    second = line_in(after, "dis2")
    assert second.tube == "EN-12735-1"
    assert (second.legs[0].start, second.legs[0].end, second.legs[0].tube) == ("n1", "n2", None)
    assert second.ends[0] == LineEnd("n1", "unit", "discharge")


def test_alongside_a_line_that_spreads_runs_one_that_gathers() -> None:
    after = acted(RunAlongside("c1", "dis", Service.LIQUID, (0.1, 0.1, 0.1)), branching())
    assert line_geometry(line_in(after, "liq")).shape is Shape.GATHERS


@pytest.mark.parametrize(
    ("command", "code", "words"),
    [
        (TieEnd("c1", "dis", "n5", "tank"), "EDIT-02", "unit, cond, rec"),
        (TieEnd("c1", "dis", "n9", "rec"), "EDIT-02", "n1 to n5"),
        (TieEnd("c1", "dis", "n3", "rec"), "EDIT-01", 'flow passes through node "n3"'),
        (AddLine("c1", Service.LIQUID, equipment="tank"), "EDIT-02", "unit, cond, rec"),
        (AddLine("c1", Service.LIQUID, tube="hose"), "EDIT-01", "hose"),
        (AddLine("c1", Service.LIQUID, default_size="9/9"), "EDIT-01", "9/9"),
        (SetLineFields("c1", "dis", (("listed_rating_Pa", 5.0),)), "EDIT-01", "listed rating: 5"),
        (RunAlongside("c1", "liq", Service.LIQUID, (0.1, 0.1, 0.1)), "EDIT-02", "It has dis."),
        (RunAlongside("c1", "dis", Service.LIQUID, (math.inf, 0.1, 0.1)), "EDIT-01", "10000 m"),
    ],
)
def test_what_cannot_be_is_refused(command: Command, code: str, words: str) -> None:
    error = refused(command)
    assert error.code == code
    assert words in str(error)


def test_nothing_runs_alongside_a_line_without_legs() -> None:
    job = with_lines(replace(line_in(EXAMPLE), legs=(), ends=(), fittings=(FittingAt("n2", "trap"),)))
    error = refused(RunAlongside("c1", "dis", Service.LIQUID, (0.1, 0.1, 0.1)), job)
    assert (error.code, error.remedy) == ("ROUTE-07", "Draw dis first.")
