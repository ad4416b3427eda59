"""The corners at which oil return is judged beside the conditions."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from linesizer.domain.circuit import Circuit, HeadPressureControl, HeadPressureControlKind
from linesizer.domain.condition import Condition
from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.solver.load_grid import corner_conditions
from tests.solver.routes import ORIGIN, chain, condition, job

FULL = condition("full", capacity_W=60e3, condensing_C=45.0, superheat_K=8.0)
LOW = condition("low", capacity_W=20e3, condensing_C=32.0, superheat_K=5.0, bypass=0.1)
RISER = chain([ORIGIN, (0.0, 0.0, 9.0)])


def corners(*conditions: Condition, refrigerant: str = "R134a", **changes: Any) -> tuple[Condition, ...]:
    return corner_conditions(Circuit("c1", refrigerant, conditions, **changes), load(refrigerant))


def held(
    celsius: float | None, kind: HeadPressureControlKind = HeadPressureControlKind.FAN_SPEED
) -> HeadPressureControl:
    return HeadPressureControl(kind, celsius)


def test_two_conditions_leave_the_two_corners_across() -> None:
    """The rest of a corner is that of the condition which gave its load."""
    across = corners(FULL, LOW)
    assert [(corner.capacity_W, corner.condensing_C) for corner in across] == [(20e3, 45.0), (60e3, 32.0)]
    assert [(corner.superheat_K, corner.bypass) for corner in across] == [(5.0, 0.1), (8.0, 0.0)]
    assert [corner.name for corner in across] == [
        "design condensing with least load",
        "least condensing with full load",
    ]
    assert len({corner.id for corner in across}) == 2


def test_the_controls_least_pressure_makes_all_four() -> None:
    grid = corners(FULL, LOW, head_pressure_control=held(25.0))
    assert [(corner.capacity_W, corner.condensing_C) for corner in grid] == [
        (20e3, 25.0),
        (20e3, 45.0),
        (60e3, 25.0),
    ]
    assert len(corners(FULL, condition("k", capacity_W=20e3, condensing_C=35.0), head_pressure_control=held(25.0))) == 3


@pytest.mark.parametrize(
    "control",
    [held(40.0), held(None), held(20.0, HeadPressureControlKind.NONE)],
    ids=["above the least", "unstated", "no control"],
)
def test_a_control_that_does_not_go_lower_changes_nothing(control: HeadPressureControl) -> None:
    assert corners(FULL, LOW, head_pressure_control=control) == corners(FULL, LOW)


def test_one_condition_has_no_corner_but_its_control_s() -> None:
    assert corners(FULL) == ()
    (one,) = corners(FULL, head_pressure_control=held(30.0))
    assert (one.capacity_W, one.condensing_C) == (60e3, 30.0)


def test_corners_that_cannot_be_are_left_out() -> None:
    assert corners(FULL, head_pressure_control=held(-5.5)) == ()
    assert corners(FULL, head_pressure_control=held(-100.0)) == ()
    assert corners(condition(leaving_fluid_C=2.0, approach_K=6.0), head_pressure_control=held(-3.5)) == ()
    assert len(corners(condition(leaving_fluid_C=2.0, approach_K=6.0), head_pressure_control=held(-2.0))) == 1


def test_a_stated_discharge_temperature_does_not_go_to_another_head_pressure() -> None:
    (one, _) = corners(FULL, condition("low", capacity_W=20e3, condensing_C=32.0, discharge_C=70.0, hours_per_year=9.0))
    assert one.discharge_C is None
    assert one.hours_per_year is None


def test_corners_judge_oil_return_and_appear_in_no_figure() -> None:
    """The least load against the design's condensing pressure returns least oil, though nobody has stated it."""
    both = solve(job(RISER, conditions=[FULL, LOW]))
    (found,) = both.circuits
    legs, flow, sweep = found.lines[0].legs, found.lines[0].flow, found.lines[0].sweep
    assert legs is not None
    assert flow is not None
    assert sweep is not None
    assert legs.corner_ratio.shape == legs.corner_velocity_m_s.shape == (1, 2)
    for result in (found.conditions, legs, flow):
        for name in type(result).__slots__:
            values = getattr(result, name)
            if isinstance(values, np.ndarray) and values.ndim and not name.startswith("corner_"):
                assert values.shape[-1] in (1, 2), name
    assert flow.drop_Pa.shape == (2,)
    assert [row["id"] for row in json.loads(json.dumps(both.as_dict()))["circuits"][0]["conditions"]] == ["full", "low"]
    # A corner's figures are those of a condition that states the same.
    stated = solve(job(RISER, conditions=[FULL, LOW, *found.corners])).circuits[0]
    assert stated.corners == ()
    again = stated.lines[0].legs
    assert again is not None
    np.testing.assert_allclose(again.oil_return_ratio[0, 2:], legs.corner_ratio[0], rtol=1e-9)
    np.testing.assert_allclose(again.velocity_m_s[0, 2:], legs.corner_velocity_m_s[0], rtol=1e-9)
    assert legs.corner_ratio[0, 0] < legs.oil_return_ratio.min()
    index = sweep.sizes.index("1-3/8")
    assert sweep.oil_return_ratio[index] == pytest.approx(legs.corner_ratio[0, 0], rel=1e-4)
    # And what is not oil return does not see them: charge, penalty, drop, velocity of the sizes.
    alone = solve(job(RISER, conditions=[FULL, LOW], head_pressure_control=held(25.0))).circuits[0]
    assert len(alone.corners) == 3
    for name in ("pressure_drop_Pa", "saturation_penalty_K", "velocity_m_s", "charge_kg", "extra_power_W"):
        left, right = getattr(alone.lines[0].sweep, name), getattr(sweep, name)
        assert (np.isnan(left) == np.isnan(right)).all()
        np.testing.assert_allclose(left, right, rtol=1e-9)
    assert alone.charge.total_kg == pytest.approx(found.charge.total_kg, rel=1e-6)


def test_a_corner_beyond_what_can_be_calculated_does_not_refuse_the_job() -> None:
    """At its own head pressure the bypass leaves cooling; at the design's it would leave none."""
    low = condition("low", capacity_W=10e3, condensing_C=25.0, bypass=0.72)
    with pytest.raises(Exception, match="no net cooling"):
        solve(
            job(
                RISER, conditions=[condition("full", condensing_C=60.0), condition("l", condensing_C=60.0, bypass=0.72)]
            )
        )
    found = solve(job(RISER, conditions=[condition("full", condensing_C=60.0), low]))
    assert found.circuits[0].conditions.mass_flow_kg_s.shape == (2,)
    json.dumps(found.as_dict(), allow_nan=False)
