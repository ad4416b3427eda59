"""Winter flooding: the area balance, which air and which load each condition counts with, and what it lacks."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesizer.domain.circuit import HeadPressureControl, HeadPressureControlKind, TemperatureBasis
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment
from linesizer.domain.job import Job, Site
from linesizer.domain.result import CircuitResult
from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.solver.charge import vessel_charge
from linesizer.solver.flooding import active_fraction
from linesizer.solver.receiver_level import fill_of_charge
from tests.solver.circuits import condenser, gas, receiver
from tests.solver.routes import condition, job, numbers

FLOODED = condenser(volume_m3=0.028, mean_liquid_fraction=0.2, design_td_K=15.0)
CONTROL = HeadPressureControl(HeadPressureControlKind.FLOODING, minimum_condensing_C=32.0)
FULL = condition("full", capacity_W=100e3, condensing_C=32.0, ambient_C=-20.0)
QUARTER = condition("quarter", capacity_W=25e3, condensing_C=32.0, ambient_C=-20.0)


def flooded_job(
    *conditions: Condition,
    equipment: tuple[Equipment, ...] = (FLOODED,),
    winter_C: float | None = None,
    control: HeadPressureControl = CONTROL,
    **changes: Any,
) -> Job:
    made = job(conditions=conditions, equipment=equipment, head_pressure_control=control, **changes)
    return replace(made, site=Site(winter_ambient_C=winter_C))


def solved(*conditions: Condition, **changes: Any) -> CircuitResult:
    return solve(flooded_job(*conditions, **changes)).circuits[0]


def active(found: CircuitResult) -> list[float]:
    assert found.charge.flooding is not None
    return [float(value) for value in found.charge.flooding.condensers[0].active]


@given(numbers(1.0, 30.0), numbers(0.0, 1.5), numbers(10.0, 60.0), numbers(-40.0, 80.0))
def test_the_balance_holds_wherever_some_surface_is_idle(
    design_td_K: float, rejection: float, condensing_C: float, ambient_C: float
) -> None:
    part = float(active_fraction(design_td_K, rejection, condensing_C, ambient_C))
    assert 0.0 <= part <= 1.0
    if part < 1.0:
        assert part * (condensing_C - ambient_C) == pytest.approx(design_td_K * rejection)
    else:
        assert design_td_K * rejection >= condensing_C - ambient_C


def test_nothing_floods_without_the_control() -> None:
    for kind in HeadPressureControlKind:
        charge = solved(FULL, QUARTER, control=HeadPressureControl(kind, 32.0)).charge
        assert (charge.flooding is not None) == (kind is HeadPressureControlKind.FLOODING)
        assert (charge.flooding_kg == 0.0) == (kind is not HeadPressureControlKind.FLOODING)


def test_the_least_rejection_meets_the_coldest_air() -> None:
    """A part load that states mild air still counts with the site's winter: 15 x 0.25 / (32 + 30)."""
    mild = replace(QUARTER, ambient_C=10.0)
    found = solved(FULL, mild, winter_C=-30.0)
    assert active(found) == pytest.approx([15.0 / 52.0, 3.75 / 62.0], rel=1e-9)
    assert found.charge.flooding is not None
    assert found.charge.flooding.ambient_C.tolist() == [-20.0, -30.0]
    assert found.charge.flooding.coldest_index == 1
    # Without a site's winter, the coldest of the conditions: 15 x 0.25 / (32 + 20).
    assert active(solved(FULL, mild)) == pytest.approx([15.0 / 52.0, 3.75 / 52.0], rel=1e-9)


def test_the_least_condensing_temperature_counts() -> None:
    """The control holds 28 C, less than any condition states; without it, the least of the conditions'."""
    low = replace(CONTROL, minimum_condensing_C=28.0)
    assert active(solved(FULL, QUARTER, control=low)) == pytest.approx([15.0 / 48.0, 3.75 / 48.0], rel=1e-9)
    unset = replace(CONTROL, minimum_condensing_C=None)
    assert active(solved(FULL, QUARTER, control=unset)) == pytest.approx([15.0 / 52.0, 3.75 / 52.0], rel=1e-9)


def test_a_condition_without_air_floods_only_at_what_the_control_holds() -> None:
    hot = replace(condition("hot", capacity_W=60e3, condensing_C=50.0), ambient_C=None)
    cool = replace(FULL, ambient_C=None)
    assert active(solved(hot, cool, QUARTER))[:2] == pytest.approx([1.0, 15.0 / 52.0], rel=1e-9)


def test_a_stated_content_stands_for_the_liquid_fraction() -> None:
    """Half a condenser that holds 7 kg in 28 L, 250 kg/m3, and floods with liquid of 6 C."""
    stated = condenser(volume_m3=0.028, operating_kg=7.0, design_td_K=26.0)
    charge = solved(FULL, equipment=(stated,)).charge
    table = load("R134a")
    liquid = float(table.saturated_liquid(table.bubble_pressure(279.15)).density_kg_m3)
    assert charge.flooding_kg == pytest.approx(0.5 * 0.028 * (liquid - 250.0), rel=1e-9)
    assert charge.equipment_kg == 7.0


def test_each_condenser_floods_by_its_own_data() -> None:
    other = replace(FLOODED, id="c2", volume_m3=0.014, design_td_K=26.0)
    charge = solved(FULL, equipment=(FLOODED, other)).charge
    assert charge.flooding is not None
    one, two = charge.flooding.condensers
    assert (float(one.active[0]), float(two.active[0])) == pytest.approx((15.0 / 52.0, 0.5))
    assert one.extra_kg[0] / two.extra_kg[0] == pytest.approx(2.0 * (37.0 / 52.0) / 0.5, rel=1e-9)
    assert charge.flooding_kg == pytest.approx(one.extra_kg[0] + two.extra_kg[0], rel=1e-12)


@pytest.mark.parametrize("basis", TemperatureBasis)
def test_a_glide_counts_from_the_temperature_that_is_stated(basis: TemperatureBasis) -> None:
    """R407C: the condenser's own content is that at the stated condensing temperature, on the same basis."""
    charge = solved(FULL, refrigerant="R407C", temperature_basis=basis).charge
    table = load("R407C")
    flooded = float(table.saturated_liquid(table.bubble_pressure(279.15)).density_kg_m3)
    assert charge.equipment_kg is not None
    assert charge.flooding_kg == pytest.approx(37.0 / 52.0 * (0.028 * flooded - charge.equipment_kg), rel=1e-7)


@pytest.mark.parametrize(
    "missing",
    [
        {"equipment": ()},
        {"equipment": (replace(FLOODED, volume_m3=None),)},
        {"equipment": (replace(FLOODED, design_td_K=None),)},
        {"equipment": (replace(FLOODED, mean_liquid_fraction=None),)},
        {"conditions": (replace(FULL, ambient_C=None),)},
    ],
    ids=["condenser", "volume", "difference", "liquid fraction", "air"],
)
def test_what_is_missing_leaves_flooding_and_total_open(missing: dict[str, Any]) -> None:
    charge = solved(*missing.pop("conditions", (FULL,)), **missing).charge
    assert charge.flooding is charge.flooding_kg is charge.total_kg is None
    assert np.isnan(charge.by_condition.total_kg).all()


def test_the_governing_condition_counts_flooding() -> None:
    """Hot gas and warm liquid weigh less than what floods: without it the hot condition would govern."""
    summer = condition("summer", capacity_W=90e3, condensing_C=50.0, ambient_C=35.0)
    pieces = (FLOODED, receiver(volume_m3=0.05, operating_fill=0.0))
    for kind, governs in ((HeadPressureControlKind.FLOODING, "quarter"), (HeadPressureControlKind.NONE, "summer")):
        control = replace(CONTROL, kind=kind)
        assert solved(summer, FULL, QUARTER, equipment=pieces, control=control).charge.condition == governs


def test_a_gas_line_that_cannot_pass_leaves_no_guess() -> None:
    made = flooded_job(FULL)
    narrow = replace(made.circuits[0], lines=(gas(size="1/2"),))
    charge = solve(replace(made, circuits=(narrow,))).circuits[0].charge
    assert charge.total_kg is charge.flooding_kg is None


@given(numbers(0.001, 0.2), st.floats(0.0, 1.0), numbers(800.0, 1300.0), numbers(1.0, 90.0))
def test_a_level_is_what_the_content_makes(volume: float, fill: float, heavy: float, light: float) -> None:
    content = vessel_charge(volume, fill, np.array(heavy), np.array(light))
    assert float(fill_of_charge(content, volume, heavy, light)) == pytest.approx(fill, abs=1e-9)
