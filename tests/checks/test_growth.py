"""Straight runs that grow, and the bends that take it up."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.domain.finding import Level
from linesizer.domain.job import Job
from linesizer.domain.route import DoubleRiser, Leg, Line, Node, Service
from linesizer.solver.growth import offset_length
from linesizer.solver.straight_runs import straight_runs
from tests.checks.judged import TOO_MUCH, findings, job, messages
from tests.solver.routes import chain

WARMING_K = 66.0 - 15.0
"""A liquid line is rated at 66 C, and built at 15 C."""
LIMIT_LENGTH_m = 0.012 / (17.0e-6 * WARMING_K)
"""The length that grows by 12 mm: 13.84 m."""


def liquid(*points: tuple[float, float, float], **changes: Any) -> Line:
    return chain(points, Service.LIQUID, **({"size": "7/8"} | changes))


def bent(length_m: float, behind_m: float, **changes: Any) -> Line:
    """Return a run of a length with a leg square to it behind the bend."""
    return liquid((0.0, 0.0, 0.0), (length_m, 0.0, 0.0), (length_m, behind_m, 0.0), **changes)


@pytest.mark.parametrize(("factor", "grows"), [(0.9999, False), (1.0001, True)])
def test_just_below_and_just_above_what_needs_no_offset(factor: float, grows: bool) -> None:
    found = findings(job(bent(factor * LIMIT_LENGTH_m, 0.1)), "growth")
    assert [(finding.level, finding.line, finding.leg) for finding in found] == (
        [(Level.WARN, "liquid", "l0")] if grows else []
    )


def test_at_the_limit_nothing_is_asked() -> None:
    """Rules of round numbers, so that the growth is the limit to the last digit: 16 m x 2^-16 /K x 64 K."""
    rules = {
        "growth_expansion_1_K": 2.0**-16,
        "growth_install_temperature_C": 2.0,
        "rating_temperature_least_C": 66.0,
        "growth_without_offset_m": 2.0**-6,
    }
    assert findings(job(bent(16.0, 0.1), overrides=rules), "growth") == ()
    assert len(findings(job(bent(16.001, 0.1), overrides=rules), "growth")) == 1


@pytest.mark.parametrize(("short_by_m", "satisfied"), [(-0.001, True), (0.0, True), (0.001, False)])
def test_the_leg_behind_the_bend_just_long_enough(short_by_m: float, satisfied: bool) -> None:
    growth = 17.0e-6 * 20.0 * WARMING_K
    needed = float(offset_length(growth, 0.875 * 0.0254, 117e9, 41.4e6))
    found = findings(job(bent(20.0, needed - short_by_m)), "growth")
    assert bool(found) is not satisfied


def test_the_leg_before_the_run_counts_too() -> None:
    points = [(0.0, 0.0, 0.0), (0.0, 4.0, 0.0), (20.0, 4.0, 0.0)]
    assert findings(job(liquid(*points)), "growth") == ()


def test_what_it_says() -> None:
    (found,) = findings(job(bent(20.0, 0.5)), "growth")
    si, ip = messages(found)
    assert si.startswith("The straight run of leg l0 in line liquid, 20.00 m, grows by 17.3 mm from 15.0 °C to 66.0 °C")
    assert "practice lets 12.0 mm go without an offset" in si
    assert "and the longest there has 0.50 m" in si
    assert "grows by 0.683 in from 59.0 °F" in ip


def test_legs_in_a_row_grow_together() -> None:
    line = liquid((0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (20.0, 0.0, 0.0), (20.0, 0.5, 0.0))
    (found,) = findings(job(line), "growth")
    assert found.value == pytest.approx(17.0e-6 * 20.0 * WARMING_K)
    assert "legs l0 and l1" in found.message()


@pytest.mark.parametrize(("sideways_m", "count"), [(0.5, 1), (2.0, 2)], ids=["3 degrees", "11 degrees"])
def test_a_slight_kink_is_no_bend(sideways_m: float, count: int) -> None:
    assert len(straight_runs(liquid((0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (20.0, sideways_m, 0.0)))) == count


def test_a_bend_counts_by_how_far_it_goes_sideways() -> None:
    runs = straight_runs(liquid((0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (14.0, 3.0, 0.0)))
    assert [run.offset_m for run in runs] == [pytest.approx(3.0), pytest.approx(6.0)]


def test_a_line_that_runs_straight_from_end_to_end_has_no_offset() -> None:
    (found,) = findings(job(liquid((0.0, 0.0, 0.0), (20.0, 0.0, 0.0))), "growth")
    assert "the longest there has 0.00 m" in found.message()


def test_a_tee_in_the_run_gives_way_with_its_branch() -> None:
    made = liquid((0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (20.0, 0.0, 0.0))
    line = replace(
        made, nodes=(*made.nodes, Node("n3", (10.0, 5.0, 0.0))), legs=(*made.legs, Leg("l2", "n1", "n3", size="7/8"))
    )
    first, branch = straight_runs(line)
    assert ([leg.leg.id for leg in first.legs], first.offset_m) == (["l0", "l1"], 0.0)
    assert branch.offset_m == pytest.approx(20.0)


def test_the_hot_gas_line_grows_from_its_own_temperature() -> None:
    gas = chain([(0.0, 0.0, 0.0), (12.0, 0.0, 0.0), (12.0, 0.3, 0.0)], size="1-5/8")
    (found,) = findings(job(gas), "growth")
    assert found.value is not None
    assert found.value > 17.0e-6 * 12.0 * WARMING_K


def steel(job_length_m: float) -> Job:
    return job(bent(job_length_m, 0.1, size="3/4", tube="ASME-B36.10-40"), refrigerant="R717")


def test_steel_grows_less() -> None:
    """12 millionths for each kelvin (engineering tables, from memory)."""
    at_limit_m = 0.012 / (12.0e-6 * WARMING_K)
    assert findings(steel(0.999 * at_limit_m), "growth") == ()
    (found,) = findings(steel(1.001 * at_limit_m), "growth")
    assert found.value == pytest.approx(0.012, rel=0.01)


def test_a_double_riser_gives_way_by_its_stiffer_tube() -> None:
    made = chain([(0.0, 0.0, 0.0), (0.0, 0.0, 20.0), (0.6, 0.0, 20.0)], size="7/8")
    twins = replace(made.legs[0], size=None, double_riser=DoubleRiser("7/8", "2-1/8", 0.3))
    needs = []
    for first in (made.legs[0], twins):
        (found,) = findings(job(replace(made, legs=(first, made.legs[1]))), "growth")
        needs.append(dict(found.figures)["needed"].value)  # type: ignore[union-attr]  # a figure, not a name
    assert needs[1] / needs[0] == pytest.approx((2.125 / 0.875) ** 0.5, rel=0.05)


def test_overrides_change_the_verdict() -> None:
    assert findings(job(bent(20.0, 0.5), overrides={"growth_without_offset_m": 0.02}), "growth") == ()
    assert findings(job(bent(20.0, 0.5), overrides={"offset_stress_Pa": 2e8}), "growth") != ()
    assert findings(job(bent(20.0, 1.0), overrides={"offset_stress_Pa": 2e8}), "growth") == ()


def test_a_line_that_no_size_fits_is_left_alone() -> None:
    assert findings(job(bent(20.0, 0.5, size=None), conditions=[TOO_MUCH]), "growth") == ()
