"""Legs split, joined and taken away."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linesizer.document.commands.delete import DeleteLeg, DeleteLine
from linesizer.document.commands.draw import DrawLeg
from linesizer.document.commands.split import JoinLegs, SplitLeg
from linesizer.document.direction import Direction
from linesizer.domain.job import Job
from linesizer.domain.part import Part
from linesizer.domain.route import FittingAt, LineEnd, Service
from tests.document.jobs import EXAMPLE, acted, branching, leg_in, length_m, line_in, places, refused, route, with_lines


def _flow(job: Job) -> list[tuple[str, str, str]]:
    return [(leg.id, leg.start, leg.end) for leg in line_in(job).legs]


def _three_valves() -> Job:
    line = line_in(EXAMPLE)
    valves = tuple(Part(f"p{number}", "ball_valve", at) for number, at in ((1, 0.1), (2, 0.25), (3, 0.8)))
    return with_lines(replace(line, legs=(line.legs[0], replace(line.legs[1], parts=valves), *line.legs[2:])))


def test_a_leg_is_split_where_asked_and_its_parts_stay_where_they_are() -> None:
    command = SplitLeg("c1", "dis", "d2", 0.25)
    after = acted(command, _three_valves())
    assert command.label == "split d2"
    assert _flow(after) == [
        ("d1", "n1", "n2"),
        ("d2", "n2", "n6"),
        ("d5", "n6", "n3"),
        ("d3", "n3", "n4"),
        ("d4", "n4", "n5"),
    ]
    assert places(after)["n6"] == (1.5, 0.0, 3.4)
    assert [(part.id, part.at) for part in leg_in(after, "d2").parts] == [("p1", pytest.approx(0.4))]
    assert [(part.id, part.at) for part in leg_in(after, "d5").parts] == [
        ("p2", 0.0),
        ("p3", pytest.approx(0.55 / 0.75)),
    ]
    assert (leg_in(after, "d5").size, leg_in(after, "d5").fall) == ("1-5/8", 0.005)


def test_a_split_leg_joined_again_is_the_old_one() -> None:
    split = acted(SplitLeg("c1", "dis", "d2", 0.25), _three_valves())
    command = JoinLegs("c1", "dis", "d2", "d5")
    after = acted(command, split)
    assert command.label == "join d2 and d5"
    assert acted(JoinLegs("c1", "dis", "d5", "d2"), split) == after
    assert _flow(after) == _flow(EXAMPLE)
    assert places(after) == places(EXAMPLE)
    before = leg_in(_three_valves(), "d2")
    assert [part.id for part in leg_in(after, "d2").parts] == ["p1", "p2", "p3"]
    assert [part.at for part in leg_in(after, "d2").parts] == pytest.approx([part.at for part in before.parts])


def test_parts_of_one_name_keep_apart_when_their_legs_are_joined() -> None:
    line = route(
        "dis", Service.DISCHARGE, {"a": (0.0, 0.0, 0.0), "b": (1.0, 0.0, 0.0), "c": (4.0, 0.0, 0.0)},
        ("d1", "a", "b"), ("d2", "b", "c"), fittings=(FittingAt("b", "none"), FittingAt("c", "trap")),
    )  # fmt: skip
    valve = Part("p1", "ball_valve", 1.0)
    other = replace(valve, id="p1-2", at=0.5)
    legs = (replace(line.legs[0], parts=(valve,)), replace(line.legs[1], parts=(other, valve)))
    line = replace(line, legs=legs)
    joined = acted(JoinLegs("c1", "dis", "d1", "d2"), with_lines(line))
    assert [(part.id, part.at) for part in leg_in(joined, "d1").parts] == [
        ("p1", 0.25),
        ("p1-2", 0.625),
        ("p1-3", 1.0),
    ]
    assert line_in(joined).fittings == (FittingAt("c", "trap"),)


@pytest.mark.parametrize(
    ("command", "job", "code", "words"),
    [
        (SplitLeg("c1", "dis", "d3"), EXAMPLE, "ROUTE-03", "double riser"),
        (SplitLeg("c1", "dis", "d2", 0.0), EXAMPLE, "ROUTE-04", "above 0 and below 1"),
        (SplitLeg("c1", "dis", "d2", 1.0), EXAMPLE, "ROUTE-04", "above 0 and below 1"),
        (SplitLeg("c1", "dis", "d2", 1e-6), EXAMPLE, "EDIT-01", "no length"),
        (SplitLeg("c1", "dis", "d9"), EXAMPLE, "EDIT-02", "d1 to d4"),
        (JoinLegs("c1", "dis", "d1", "d2"), EXAMPLE, "ROUTE-05", 'turns 90° at node "n2"'),
        (JoinLegs("c1", "dis", "d1", "d4"), EXAMPLE, "ROUTE-05", "do not follow each other"),
        (JoinLegs("c1", "dis", "d1", "d1"), EXAMPLE, "ROUTE-05", "do not follow each other"),
        (JoinLegs("c1", "dis", "d2", "d3"), EXAMPLE, "ROUTE-05", "double riser"),
        (JoinLegs("c1", "dis", "d1", "d2"), branching(), "ROUTE-05", 'branches off at node "n2"'),
        (DeleteLeg("c1", "dis", "d9"), EXAMPLE, "EDIT-02", "d1 to d4"),
        (DeleteLine("c1", "liq"), EXAMPLE, "EDIT-02", "It has dis."),
    ],
)
def test_what_cannot_be_is_refused(command: SplitLeg, job: Job, code: str, words: str) -> None:
    error = refused(command, job)
    assert error.code == code
    assert words in str(error)


def test_a_leg_at_the_end_goes_and_the_tie_stays_with_the_line() -> None:
    command = DeleteLeg("c1", "dis", "d4")
    after = acted(command)
    assert command.label == "delete d4"
    assert _flow(after) == _flow(EXAMPLE)[:3]
    assert "n5" not in places(after)
    assert line_in(after).ends == (LineEnd("n1", "unit", "discharge"), LineEnd("n4", "cond"))


def test_a_leg_at_the_start_goes_and_the_rest_stays_where_it_is() -> None:
    after = acted(DeleteLeg("c1", "dis", "d1"))
    assert {name: at for name, at in places(EXAMPLE).items() if name != "n1"} == places(after)
    assert line_in(after).ends[0] == LineEnd("n2", "unit", "discharge")


def test_a_leg_drawn_at_the_end_and_deleted_leaves_the_job_as_it_was() -> None:
    for start in ("n1", "n5"):
        drawn = acted(DrawLeg("c1", "dis", start, Direction.WEST, 1.0))
        assert acted(DeleteLeg("c1", "dis", "d5"), drawn) == EXAMPLE


def test_a_gap_in_the_middle_is_closed() -> None:
    after = acted(DeleteLeg("c1", "dis", "d2"))
    assert _flow(after) == [("d1", "n1", "n2"), ("d3", "n2", "n4"), ("d4", "n4", "n5")]
    assert places(after) == {
        "n1": (0.0, 0.0, 1.2),
        "n2": (0.0, 0.0, 3.4),
        "n4": (0.0, 0.0, 9.0),
        "n5": (0.0, 4.0, 9.0),
    }
    for leg in ("d1", "d3", "d4"):
        assert length_m(after, leg) == pytest.approx(length_m(EXAMPLE, leg))
    # The trap stood at the node that is gone.
    assert [fitting.node for fitting in line_in(after).fittings] == ["n2"]


def test_a_gap_before_branches_is_closed_with_all_of_them() -> None:
    after = acted(DeleteLeg("c1", "dis", "d2"), branching())
    assert _flow(after) == [("d1", "n1", "n2"), ("d3", "n2", "n4"), ("d4", "n2", "n5")]
    assert places(after)["n5"] == (0.0, 2.0, 5.0)


def test_a_gap_where_flow_gathers_is_closed_too() -> None:
    line = line_in(branching())
    turned = tuple(replace(leg, start=leg.end, end=leg.start) for leg in line.legs)
    after = acted(DeleteLeg("c1", "dis", "d2"), with_lines(replace(line, service=Service.LIQUID, legs=turned)))
    assert sorted(_flow(after)) == [("d1", "n3", "n1"), ("d3", "n4", "n3"), ("d4", "n5", "n3")]


def test_a_branch_goes_with_its_own_tie() -> None:
    after = acted(DeleteLeg("c1", "dis", "d4"), branching())
    assert line_in(after).ends == (LineEnd("n1", "unit", "discharge"), LineEnd("n3", "cond"))
    again = acted(DeleteLeg("c1", "dis", "d2"), after)
    # Flow passes through n2 to the other branch: no end, so no tie.
    assert line_in(again).ends == (LineEnd("n1", "unit", "discharge"),)


def test_closing_a_gap_may_not_lay_two_legs_on_each_other() -> None:
    line = route(
        "dis", Service.DISCHARGE,
        {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 3.0), "c": (2.0, 0.0, 3.0), "d": (2.0, 0.0, 1.0)},
        ("d1", "a", "b"), ("d2", "b", "c"), ("d3", "c", "d"),
    )  # fmt: skip
    error = refused(DeleteLeg("c1", "dis", "d2"), with_lines(line))
    assert error.what == "Cannot delete d2."
    assert "lies on leg" in error.why


def test_the_last_leg_leaves_the_line_waiting_where_it_began() -> None:
    job = EXAMPLE
    for leg in ("d4", "d3", "d2", "d1"):
        job = acted(DeleteLeg("c1", "dis", leg), job)
    line = line_in(job)
    assert (line.legs, places(job)) == ((), {"n1": (0.0, 0.0, 1.2)})
    assert line.ends == (LineEnd("n1", "unit", "discharge"),)


def test_a_line_is_deleted_whole() -> None:
    command = DeleteLine("c1", "dis")
    assert command.label == "delete line dis"
    assert acted(command).circuits[0].lines == ()
