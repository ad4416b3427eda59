"""Where a drawn leg ends: at equipment, on another line of its service, or where it would close a loop."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linesizer.document.commands.draw import DrawLeg, LegRow, PasteLegs
from linesizer.document.commands.equipment import AddEquipment
from linesizer.document.commands.line import AddLine
from linesizer.document.direction import Direction
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.job import Job
from linesizer.domain.route import LineEnd, Point, Service
from tests.document.jobs import (
    EXAMPLE,
    acted,
    branching,
    circuit_in,
    leg_in,
    line_in,
    places,
    refused,
    route,
    with_lines,
)

SECOND: Point = (9.0, 4.0, 9.0)
"""Three metres east of the example's condenser, level with n4 and n5 of its discharge line."""


def two_condensers(*lines: object) -> Job:
    """Return the example, or one with other lines, with a second condenser ``cond2`` three metres east of the first."""
    job = with_lines(*lines) if lines else EXAMPLE  # type: ignore[arg-type]
    return acted(AddEquipment("c1", Equipment("", Role.CONDENSER, "Condenser 2", at_m=SECOND, place="outdoor")), job)


def gathering() -> Job:
    """Return two condensers and a liquid line down from the first: one metre, west, down to the unit's level."""
    nodes = {"n1": (6.0, 4.0, 9.0), "n2": (6.0, 4.0, 8.0), "n3": (0.0, 4.0, 8.0), "n4": (0.0, 4.0, 1.0)}
    legs = (("l1", "n1", "n2"), ("l2", "n2", "n3"), ("l3", "n3", "n4"))
    line = route("liq", Service.LIQUID, nodes, *legs, ends=(LineEnd("n1", "cond"), LineEnd("n4", "unit", "liquid")))
    return two_condensers(line)


def test_a_branch_that_ends_at_a_condenser_is_tied_to_its_inlet() -> None:
    rows = (LegRow((3.0, 0.0, 0.0)), LegRow((0.0, 4.0, 0.0)))
    after = acted(PasteLegs("c1", "dis", "n4", rows), two_condensers())
    line = line_in(after)
    assert line.ends[-1] == LineEnd("n7", "cond2", "inlet")
    assert LineEnd("n5", "cond") in line.ends
    assert line_geometry(line).shape is Shape.SPREADS
    assert set(line_geometry(line).sinks) == {"n5", "n7"}


def test_a_branch_of_a_liquid_line_flows_from_the_condenser_to_the_junction_and_is_tied_to_its_outlet() -> None:
    rows = (LegRow((3.0, 0.0, 0.0)), LegRow((0.0, 0.0, 1.0)))
    after = acted(PasteLegs("c1", "liq", "n2", rows), gathering())
    line = line_in(after, "liq")
    assert {(leg.start, leg.end) for leg in line.legs} >= {("n5", "n2"), ("n6", "n5")}
    assert line.ends[-1] == LineEnd("n6", "cond2", "outlet")
    assert line_geometry(line).shape is Shape.GATHERS
    assert line_geometry(line).sinks == ("n4",)


def test_an_end_apart_from_its_equipment_is_tied_where_the_person_says() -> None:
    command = DrawLeg("c1", "dis", "n4", Direction.EAST, 2.0, equipment="cond2")
    assert line_in(acted(command, two_condensers())).ends[-1] == LineEnd("n6", "cond2", "inlet")


def test_an_end_that_only_passes_near_equipment_is_not_tied() -> None:
    rows = (LegRow((3.0, 0.0, 0.0)), LegRow((0.0, 3.99, 0.0)))
    line = line_in(acted(PasteLegs("c1", "dis", "n4", rows), two_condensers()))
    assert [end.equipment for end in line.ends] == ["unit", "cond"]


def test_flow_cannot_leave_a_discharge_line_at_the_unit() -> None:
    error = refused(DrawLeg("c1", "dis", "n4", Direction.EAST, 2.0, equipment="unit"), two_condensers())
    assert error.code == "ROUTE-09"
    assert error.why == "Indoor unit is a unit; a discharge line does not end there."


def test_a_line_from_the_second_condenser_becomes_a_branch_where_it_meets_the_first() -> None:
    waiting = acted(AddLine("c1", Service.LIQUID, equipment="cond2"), gathering())
    name = circuit_in(waiting).lines[-1].id
    assert name == "liq2"
    dropped = acted(DrawLeg("c1", name, "n1", Direction.DOWN, 1.0), waiting)
    assert len(circuit_in(dropped).lines) == 2
    after = acted(DrawLeg("c1", name, "n2", Direction.WEST, 3.0), dropped)
    (line,) = circuit_in(after).lines
    assert line.id == "liq"
    assert [(leg.id, leg.start, leg.end) for leg in line.legs][3:] == [("l4", "n5", "n6"), ("l5", "n6", "n2")]
    assert places(after, "liq")["n5"] == SECOND
    assert line.ends[-1] == LineEnd("n5", "cond2")
    assert line_geometry(line).shape is Shape.GATHERS


def test_it_meets_the_first_on_a_leg_too_which_is_split_there() -> None:
    waiting = acted(AddLine("c1", Service.LIQUID, equipment="cond2"), gathering())
    rows = (LegRow((0.0, -1.0, 0.0)), LegRow((0.0, 0.0, -1.0)), LegRow((-7.0, 0.0, 0.0)), LegRow((0.0, 1.0, 0.0)))
    after = acted(PasteLegs("c1", "liq2", "n1", rows), waiting)
    (line,) = circuit_in(after).lines
    geometry = line_geometry(line)
    assert geometry.shape is Shape.GATHERS
    assert len(line.legs) == 3 + 1 + 4
    assert places(after, "liq")["n5"] == (2.0, 4.0, 8.0)
    assert {leg.start for leg in line.legs if leg.end == "n5"} == {"n2", "n9"}


def test_a_discharge_line_drawn_from_the_condenser_to_the_first_one_spreads_from_there() -> None:
    waiting = acted(AddLine("c1", Service.DISCHARGE, equipment="cond2"), two_condensers())
    rows = (LegRow((0.0, -4.0, 0.0)), LegRow((-3.0, 0.0, 0.0)))
    after = acted(PasteLegs("c1", "dis2", "n1", rows), waiting)
    (line,) = circuit_in(after).lines
    geometry = line_geometry(line)
    assert geometry.shape is Shape.SPREADS
    assert geometry.sources == ("n1",)
    assert {leg.start for leg in line.legs if leg.end == "n7"} == {"n4"}
    assert line.ends[-1].equipment == "cond2"


def test_what_is_joined_keeps_its_size_and_tube() -> None:
    job = gathering()
    first = replace(line_in(job, "liq"), default_size="7/8")
    job = replace(job, circuits=(replace(circuit_in(job), lines=(first,)),))
    waiting = acted(AddLine("c1", Service.LIQUID, "ASTM-B88-L", "5/8", equipment="cond2"), job)
    rows = (LegRow((0.0, 0.0, -1.0)), LegRow((-3.0, 0.0, 0.0)))
    after = acted(PasteLegs("c1", "liq2", "n1", rows), waiting)
    assert {(leg.size, leg.tube) for leg in (leg_in(after, name, "liq") for name in ("l4", "l5"))} == {
        ("5/8", "ASTM-B88-L")
    }
    assert {(leg_in(after, name, "liq").size, leg_in(after, name, "liq").tube) for name in ("l1", "l2")} == {
        (None, None)
    }


def test_lines_of_two_services_that_meet_stay_two() -> None:
    waiting = acted(AddLine("c1", Service.DRAIN, equipment="cond2"), gathering())
    rows = (LegRow((0.0, 0.0, -1.0)), LegRow((-3.0, 0.0, 0.0)))
    assert len(circuit_in(acted(PasteLegs("c1", "drain", "n1", rows), waiting)).lines) == 2


@pytest.mark.parametrize(
    ("rows", "met"),
    [
        # Round by the north: ends exactly at n5; then one metre short of it, on d4 from n3 to n5.
        (((-3.0, 4.0, 0.0), (10.0, 0.0, 0.0), (0.0, -2.0, 0.0)), "node n5"),
        (((-3.0, 1.0, 0.0), (10.0, 0.0, 0.0)), "leg d4"),
        # Over the corner n2 on the way to somewhere else.
        (((0.0, 3.0, 0.0), (3.0, 0.0, 0.0), (0.0, -3.0, 0.0), (0.0, -3.0, 0.0)), "node n2"),
    ],
)
def test_a_leg_that_would_close_a_loop_is_refused(rows: tuple[Point, ...], met: str) -> None:
    error = refused(PasteLegs("c1", "dis", "n4", tuple(LegRow(row) for row in rows)), branching())
    assert error.code == "ROUTE-08"
    assert error.why == f"Line dis would meet its own {met}, which closes a loop; a line is a tree."
