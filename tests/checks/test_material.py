"""Tube metal and refrigerant; tube ends and connections."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Finding, Level
from linesizer.domain.route import DoubleRiser, Line, Service
from linesizer.properties.library import names
from tests.checks.judged import findings, job, tied
from tests.solver.routes import chain, condition

COPPER, STEEL = "ASTM-B280-drawn", "ASME-B36.10-40"
POINTS = [(0.0, 0.0, 0.0), (4.0, 0.0, 0.0), (4.0, 3.0, 0.0)]


def gas(**changes: Any) -> Line:
    return chain(POINTS, **changes)


def test_copper_with_ammonia() -> None:
    (found,) = findings(job(gas(size="1-3/8"), refrigerant="R717"), "material_unsuitable")
    assert (found.level, found.line, found.leg) == (Level.STOP, "gas", None)
    for system in ("si", "ip"):
        assert "copper does not go with R717: steel and stainless steel do." in found.message(system)  # type: ignore[arg-type]  # both are systems
    assert "Ammonia attacks copper" in found.message()
    assert "ammonia attacks copper and its alloys" in found.source


def test_steel_with_ammonia() -> None:
    assert findings(job(gas(size="1-1/4", tube=STEEL), refrigerant="R717"), "material_unsuitable") == ()


def test_one_leg_of_copper_in_a_steel_line() -> None:
    made = gas(size="1-1/4", tube=STEEL)
    line = replace(made, legs=(made.legs[0], replace(made.legs[1], size="1-3/8", tube=COPPER)))
    (found,) = findings(job(line, refrigerant="R717"), "material_unsuitable")
    assert found.leg == "l1"


@pytest.mark.parametrize("name", [name for name in names() if name != "R717"])
def test_copper_and_steel_go_with_all_others(name: str) -> None:
    conditions = [condition(condensing_C=20.0)] if name == "R744" else None
    for tube, size in ((COPPER, "1-3/8"), (STEEL, "1-1/4")):
        made = job(gas(size=size, tube=tube), refrigerant=name, conditions=conditions)
        assert findings(made, "material_unsuitable") == ()


# --- connections


def ends(line: Line, **connections: str) -> tuple[Finding, ...]:
    unit = Equipment("unit", Role.UNIT, name="Hall unit", connections=tuple(connections.items()))
    return findings(job(line, equipment=(unit, Equipment("cond", Role.CONDENSER))), "connection_size")


def test_another_size_than_the_connection() -> None:
    (found,) = ends(gas(size=["1-3/8", "1-1/8"]), discharge="1-1/8")
    assert (found.level, found.line, found.leg) == (Level.NOTE, "gas", "l0")
    assert found.message().startswith("Leg l0 is 1-3/8 where the discharge connection of Hall unit is 1-1/8: a reducer")


@pytest.mark.parametrize("connection", ["1-3/8", "35x1.5"])
def test_the_same_size_or_diameter_needs_none(connection: str) -> None:
    assert ends(gas(size="1-3/8"), discharge=connection) == ()


def test_a_port_that_says_nothing_is_left_alone() -> None:
    assert ends(gas(size="1-3/8"), liquid="7/8") == ()


def test_the_port_that_the_end_names() -> None:
    line = tied(gas(size="1-3/8"), n0="unit:hot", n2="cond")
    assert len(ends(line, hot="1-1/8", discharge="1-3/8")) == 1
    assert ends(line, hot="1-3/8", discharge="1-1/8") == ()


def test_the_liquid_lines_end() -> None:
    line = chain(POINTS, Service.LIQUID, size=["7/8", "1-1/8"])
    (found,) = ends(line, liquid="7/8")
    assert found.leg == "l1"
    assert ends(line, liquid="1-1/8") == ()


def test_the_lines_default_size_counts_and_no_size_does_not() -> None:
    assert len(ends(gas(size=None, default_size="7/8"), discharge="1-1/8")) == 1
    assert ends(gas(size=None), discharge="1-1/8") == ()


def test_a_double_riser_is_no_single_size() -> None:
    made = chain([(0.0, 0.0, 0.0), (0.0, 0.0, 4.0)])
    twins = replace(made.legs[0], size=None, double_riser=DoubleRiser("7/8", "1-1/8", 0.3))
    line = replace(made, legs=(twins,), default_size="7/8")
    assert ends(line, discharge="1-3/8") == ()
