"""Which legs stand before a valve that shuts fast, where a line branches."""

from __future__ import annotations

from dataclasses import replace

from linesizer.domain.geometry import line_geometry
from linesizer.domain.part import Part
from linesizer.solver.surge import upstream_of_fast_valve
from tests.solver.condensers import gas, liquid


def test_a_fast_valve_on_one_branch_stops_what_feeds_it_alone() -> None:
    """Where liquid gathers, a solenoid valve in one branch has that branch's legs before it, one in the trunk all."""
    line = liquid()
    names = [geometry.leg.id for geometry in line_geometry(line).legs]

    def before(leg: str) -> set[str]:
        valve = Part("s", "solenoid_valve")
        legs = tuple(replace(own, parts=(valve,)) if own.id == leg else own for own in line.legs)
        return {name for name, hit in zip(names, upstream_of_fast_valve(replace(line, legs=legs)), strict=True) if hit}

    assert before("dt") == {"cd", "dt"}
    assert before("at") == {"at"}
    assert before("tu") == {"at", "cd", "dt", "tu"}
    assert before("uv") == set(names)


def test_where_flow_spreads_the_trunk_feeds_a_valve_on_either_branch() -> None:
    line = gas()
    names = [geometry.leg.id for geometry in line_geometry(line).legs]
    for leg, feeds in (("fg", {"ab", "bt", "te", "ef", "fg"}), ("cd", {"ab", "bt", "tc", "cd"})):
        legs = tuple(replace(own, parts=(Part("s", "solenoid_valve"),)) if own.id == leg else own for own in line.legs)
        hit = upstream_of_fast_valve(replace(line, legs=legs))
        assert {name for name, stands in zip(names, hit, strict=True) if stands} == feeds
