"""Level gas runs that fall in the direction of flow, or do not."""

from __future__ import annotations

from dataclasses import replace
from math import nextafter

import pytest

from linesizer.document.remedies import remedy_command
from linesizer.domain.finding import Level
from linesizer.domain.remedy import GiveFall
from linesizer.domain.route import Line, Service
from tests.checks.judged import findings, job, messages
from tests.solver.routes import chain

UP = [(0.0, 0.0, 0.0), (0.0, 0.0, 2.0), (6.0, 0.0, 2.0), (6.0, 4.0, 2.0)]
LIMIT = 0.0042
"""Half an inch in ten feet, to the digits of the practice set."""


def gas(first: float, second: float, service: Service = Service.DISCHARGE) -> Line:
    made = chain(UP, service)
    return replace(
        made, legs=tuple(replace(leg, fall={"l1": first, "l2": second}.get(leg.id, 0.0)) for leg in made.legs)
    )


@pytest.mark.parametrize(
    ("fall", "short"), [(nextafter(LIMIT, 0.0), True), (LIMIT, False), (nextafter(LIMIT, 1.0), False), (-0.001, True)]
)
def test_at_just_above_and_just_below_the_fall(fall: float, short: bool) -> None:
    found = findings(job(gas(fall, 0.01)), "gas_fall_short")
    assert [(finding.level, finding.leg, finding.value) for finding in found] == (
        [(Level.NOTE, "l1", fall)] if short else []
    )


def test_what_it_says_and_the_fall_that_cures_it() -> None:
    before = job(gas(0.0, 0.001))
    (found,) = findings(before, "gas_fall_short")
    si, ip = messages(found)
    assert si.startswith(
        "Legs l1 and l2 of gas line gas run level and the worst falls by 0.00 % in the direction of flow"
    )
    assert "practice asks for 0.42 %" in si
    assert "practice asks for 0.050 in/ft" in ip
    assert found.remedy == GiveFall("gas", ("l1", "l2"), LIMIT)
    assert findings(remedy_command("c1", found.remedy).apply(before), "gas_fall_short") == ()


def test_an_override_changes_the_verdict() -> None:
    assert findings(job(gas(0.0, 0.0), overrides={"gas_fall_in_flow": 0.0}), "gas_fall_short") == ()
    (found,) = findings(job(gas(0.005, 0.02), overrides={"gas_fall_in_flow": 0.01}), "gas_fall_short")
    assert found.message().startswith("Leg l1 of gas line gas runs level and falls by 0.50 %")


@pytest.mark.parametrize(("rise_m", "level"), [(0.09, True), (0.25, False)], ids=["1.8 in 100", "5 in 100"])
def test_a_riser_is_not_a_level_run(rise_m: float, level: bool) -> None:
    """Steeper than 1 in 50 it is judged as a riser."""
    found = findings(job(chain([(0.0, 0.0, 0.0), (5.0, 0.0, rise_m)])), "gas_fall_short")
    assert bool(found) is level
    if found:
        assert found[0].remedy is None


def test_liquid_lines_need_no_slope() -> None:
    assert findings(job(gas(0.0, 0.0, Service.LIQUID)), "gas_fall_short") == ()
