"""The oil-return map against solving the job at points of it, its safe region, the changeover of a double riser."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from linesizer.catalog.practice import practice_set
from linesizer.domain.circuit import HeadPressureControl, HeadPressureControlKind
from linesizer.domain.job import Job
from linesizer.domain.route import DoubleRiser, Line, Point, Service
from linesizer.evaluate import solve
from linesizer.sizing.oil_return_map import POINTS, OilReturnMap, oil_return_map
from tests.solver.routes import ORIGIN, chain, condition, job

UP: list[Point] = [ORIGIN, (6.0, 0.0, 0.0), (6.0, 0.0, 9.0), (14.0, 0.0, 9.0), (14.0, 0.0, 12.0)]
CONDITIONS = (condition("full"), condition("low", capacity_W=15e3, condensing_C=32.0, superheat_K=5.0))
PRACTICE = practice_set("general")


def gas(**changes: Any) -> Line:
    return chain(UP, **({"size": ["1-3/8", "1-3/8", "1-5/8", "1-3/8"]} | changes))


def paired(seal_m: float = 1.5) -> Line:
    plain = gas()
    riser = replace(plain.legs[1], size=None, double_riser=DoubleRiser("7/8", "1-3/8", seal_m))
    return replace(plain, legs=(plain.legs[0], riser, *plain.legs[2:]))


def mapped(made: Job) -> OilReturnMap:
    found = oil_return_map(solve(made).circuits[0], made.site, PRACTICE)
    assert found is not None
    return found


def in_the_cold(made: Job) -> Job:
    return replace(made, site=replace(made.site, indoor_ambient_C=-10.0))


CASES = {
    "R134a": job(gas(), conditions=CONDITIONS),
    "R410A": job(gas(), refrigerant="R410A", conditions=CONDITIONS),
    "R407C, bypass": job(gas(), refrigerant="R407C", conditions=[replace(c, bypass=0.2) for c in CONDITIONS]),
    "heat": in_the_cold(job(gas(), conditions=CONDITIONS, heat_exchange=True)),
    "double riser": job(paired(), conditions=CONDITIONS),
    "sized by the program": job(gas(size=None), conditions=CONDITIONS),
}


@pytest.mark.parametrize("name", CASES)
def test_random_points_are_what_solving_there_gives(name: str) -> None:
    """Legs are not cut in a map: 0.002 K is what the engineering basis (section 11) allows a penalty."""
    made = CASES[name]
    found = mapped(made)
    if name == "sized by the program":
        line = solve(made).circuits[0].lines[0].line
        made = replace(made, circuits=(replace(made.circuits[0], lines=(line,)),))
    base = next(c for c in made.circuits[0].conditions if c.id == found.base)
    random = np.random.default_rng(1)
    compared = 0
    for head, load in random.integers(0, POINTS, (40, 2)):
        there = replace(
            base,
            id="there",
            capacity_W=float(found.capacity_W[load]),
            condensing_C=float(found.condensing_C[head]),
            discharge_C=None,
        )
        circuit = replace(made.circuits[0], conditions=(*made.circuits[0].conditions, there))
        line_result = solve(replace(made, circuits=(circuit,))).circuits[0].lines[0]
        assert line_result.flow is not None
        assert line_result.legs is not None
        if line_result.flow.drop_Pa[-1] > 0.1 * line_result.flow.inlet_Pa[-1]:
            continue
        compared += 1
        place = line_result.legs.ids.index(found.leg)
        ratio = line_result.legs.oil_return_ratio[place, -1]
        assert found.ratio[head, load] == pytest.approx(ratio, rel=1e-4)
        assert found.penalty_K[head, load] == pytest.approx(line_result.flow.saturation_penalty_K[-1], abs=0.002)
        if found.pattern is not None:
            assert found.pattern[head, load] == line_result.legs.double_risers[0].pattern[-1]
    assert compared > 20


def test_it_is_that_of_the_worst_leg_at_its_condition() -> None:
    found = mapped(CASES["R134a"])
    legs = solve(CASES["R134a"]).circuits[0].lines[0].legs
    assert legs is not None
    leg, index = np.unravel_index(np.nanargmin(legs.oil_return_ratio), legs.oil_return_ratio.shape)
    assert (found.leg, found.base) == (legs.ids[int(leg)], CONDITIONS[int(index)].id)
    assert found.line == "gas"


def test_the_safe_region_keeps_margin_and_penalty() -> None:
    found = mapped(CASES["R134a"])
    margin, limit = PRACTICE.value("oil_return_margin_ratio"), PRACTICE.value("discharge_penalty_K")
    assert (found.margin_ratio, found.limit_K) == (margin, limit)
    np.testing.assert_array_equal(found.safe, (found.ratio >= margin) & (found.penalty_K <= limit))
    assert found.safe.any()
    assert not found.safe.all()
    # More load lifts more oil and costs more: each row has one stretch that is safe.
    assert (np.abs(np.diff(found.safe.astype(int), axis=1)).sum(axis=1) <= 2).all()
    assert (np.diff(found.ratio, axis=1) > 0.0).all()
    assert (np.diff(found.penalty_K, axis=1) > 0.0).all()


def test_the_map_spans_loads_and_heads() -> None:
    held = HeadPressureControl(HeadPressureControlKind.FAN_SPEED, 25.0)
    found = mapped(job(gas(), conditions=CONDITIONS, head_pressure_control=held))
    assert found.ratio.shape == found.penalty_K.shape == (POINTS, POINTS)
    assert found.capacity_W[0] < 15e3
    assert found.capacity_W[-1] > 60e3
    assert found.condensing_C[0] < 25.0
    assert found.condensing_C[-1] > 45.0
    assert mapped(CASES["R134a"]).condensing_C[0] > 25.0


def test_the_changeover_of_a_double_riser_shows() -> None:
    """Above the load of the changeover both tubes flow, below it the small one alone, as the result says too."""
    found = mapped(CASES["double riser"])
    assert found.leg == "l1"
    assert found.pattern is not None
    assert set(np.unique(found.pattern)) == {0, 1}
    riser = solve(CASES["double riser"]).circuits[0].lines[0].legs.double_risers[0]  # type: ignore[union-attr]
    index = [c.id for c in CONDITIONS].index(found.base)
    row = int(np.abs(found.condensing_C - CONDITIONS[index].condensing_C).argmin())
    changes = found.capacity_W[int(np.flatnonzero(found.pattern[row] == 0)[0])]
    step = float(found.capacity_W[1] - found.capacity_W[0])
    assert changes == pytest.approx(riser.changeover_W[index], abs=1.5 * step)
    assert mapped(CASES["R134a"]).pattern is None


def test_a_seal_that_is_blown_out_shows() -> None:
    found = mapped(job(paired(0.02), conditions=CONDITIONS))
    assert found.pattern is not None
    assert 2 in found.pattern
    assert (found.ratio[found.pattern == 2] < 1.0).all()


def test_flows_that_do_not_pass_are_blank() -> None:
    made = job(gas(size="5/8"), conditions=CONDITIONS)
    found = mapped(made)
    blank = np.isnan(found.ratio)
    assert blank.any()
    assert not blank.all()
    np.testing.assert_array_equal(blank, np.isnan(found.penalty_K))
    assert not found.safe[blank].any()


@pytest.mark.parametrize(
    "line",
    [chain([ORIGIN, (5.0, 0.0, 0.0)]), chain(UP, Service.LIQUID), chain(UP, Service.SUCTION)],
    ids=["level", "liquid", "not calculated"],
)
def test_nothing_climbs_no_map(line: Line) -> None:
    made = job(line, conditions=CONDITIONS)
    assert oil_return_map(solve(made).circuits[0], made.site, PRACTICE) is None


def test_near_the_end_of_the_table() -> None:
    """R410A at 60 C condensing: the map ends where the table does, or at the job's own highest."""
    made = job(gas(), refrigerant="R410A", conditions=[condition("hot", condensing_C=60.0)])
    assert mapped(made).condensing_C[-1] >= 60.0
