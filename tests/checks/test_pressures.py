"""Discharge temperature, cut-out, the valve's pressure, flooding control, cold start: at and around each limit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.catalog.practice import practice_set
from linesizer.domain.circuit import HeadPressureControl, HeadPressureControlKind
from linesizer.domain.equipment import Equipment, ReceiverKind, Role
from linesizer.domain.finding import Finding, Level
from linesizer.domain.job import Room
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import Service
from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.units import STANDARD_ATMOSPHERE_Pa, atmospheric_pressure_Pa
from tests.checks.limits import assert_words_are_whole, circuit, coded, only
from tests.solver.routes import ORIGIN, chain, condition, job

GAS = chain([ORIGIN, (0.0, 0.0, 6.0), (8.0, 0.0, 6.0)])
LIQUID = chain([(8.0, 1.0, 6.0), (8.0, 1.0, 1.0), (1.0, 1.0, 1.0)], Service.LIQUID, size="7/8")
LOADS = [condition("full", name="Full load"), condition("low", capacity_W=20e3, condensing_C=28.0, name="Night")]
GENERAL = practice_set("general")
BOTH: dict[str, Any] = {"conditions": LOADS}


def test_discharge_temperature_at_just_above_and_just_below_the_limit() -> None:
    worst = float(circuit(GAS, **BOTH).conditions.discharge_C.max())

    def found(limit: float) -> list[Finding]:
        return coded(circuit(GAS, **BOTH, overrides={"discharge_temperature_max_C": limit}), "discharge_too_hot")

    assert found(worst) == found(worst + 1e-9) == []
    (finding,) = found(worst - 1e-9)
    assert (finding.condition, finding.level, finding.value, finding.line) == ("full", Level.WARN, worst, None)
    assert_words_are_whole(finding)
    assert "°F" in finding.message("ip")
    assert coded(circuit(GAS, **BOTH), "discharge_too_hot") == []


@pytest.mark.parametrize("altitude_m", [0.0, 1500.0])
def test_cutout_at_just_above_and_just_below_the_limit(altitude_m: float) -> None:
    """Cut-out at 0.9 of the gauge design pressure, 0.5 bar kept free below it."""
    atmosphere = float(atmospheric_pressure_Pa(altitude_m))
    against = float(circuit(GAS, **BOTH, altitude_m=altitude_m).conditions.discharge_Pa.max()) - atmosphere
    just = (against + 5e4) / 0.9 + atmosphere

    def found(maximum_Pa: float) -> list[Finding]:
        return coded(circuit(GAS, **BOTH, altitude_m=altitude_m, maximum_pressure_Pa=maximum_Pa), "cutout_near")

    assert found(just + 1e-3) == []
    (finding,) = found(just - 1e-3)
    assert (finding.condition, finding.level, finding.rule) == ("full", Level.WARN, "hp_cutout_fraction")
    assert finding.value == pytest.approx(against)
    assert finding.limit == pytest.approx(against, abs=1.0)
    assert_words_are_whole(finding)
    assert "90 %" in finding.message()


def test_the_jobs_own_cutout_changes_the_verdict() -> None:
    tight = circuit(GAS, **BOTH, maximum_pressure_Pa=1.7e6, overrides={"hp_cutout_fraction": 0.6})
    assert only(tight, "cutout_near").source.startswith("the job's own value")
    assert coded(circuit(GAS, **BOTH, maximum_pressure_Pa=1.7e6), "cutout_near") == []
    wide = circuit(GAS, **BOTH, maximum_pressure_Pa=1.7e6, overrides={"hp_cutout_margin_Pa": 9e5})
    assert len(coded(wide, "cutout_near")) == 1


def test_valve_pressure_at_just_above_and_just_below_the_limit() -> None:
    """At the least condensing temperature there is least: R134a between 28 and -5 C has 484 kPa gross (CoolProp)."""
    found = circuit(LIQUID, **BOTH)
    flow = found.lines[0].flow
    assert flow is not None
    across = flow.outlet_Pa - found.conditions.evaporating_Pa
    assert across.argmin() == 1
    worst = float(across[1])
    assert found.conditions.condensing_Pa[1] - found.conditions.evaporating_Pa[1] == pytest.approx(484e3, abs=1e3)

    def said(limit: float) -> list[Finding]:
        overrides = {"valve_pressure_available_Pa": limit}
        return coded(circuit(LIQUID, **BOTH, overrides=overrides), "valve_pressure_low")

    assert said(worst) == said(worst - 1e-3) == []
    (finding,) = said(worst + 1e-3)
    assert (finding.condition, finding.level, finding.line) == ("low", Level.WARN, "liquid")
    assert finding.value == worst
    assert_words_are_whole(finding)


# --- flooding control


def flooding(differential_Pa: float | None, limit: float | None = None, drop_Pa: float = 40e3) -> CircuitResult:
    control = HeadPressureControl(HeadPressureControlKind.FLOODING, 28.0, differential_Pa)
    condenser = Equipment("cond", Role.CONDENSER, drop_Pa=drop_Pa)
    overrides = {} if limit is None else {"flooded_circuit_drop_max_Pa": limit}
    return circuit(GAS, **BOTH, head_pressure_control=control, equipment=(condenser,), overrides=overrides)


def drop_of(found: CircuitResult) -> float:
    flow = found.lines[0].flow
    assert flow is not None
    return float((flow.drop_Pa - flow.static_Pa).max()) + 40e3


def test_a_flooding_controls_bypass_at_just_above_and_just_below_the_limit() -> None:
    """Line and condenser together, without the column of gas, which the valve does not see."""
    worst = drop_of(flooding(None))
    for limit, broken in ((worst + 1e-3, False), (worst - 1e-3, True)):
        assert bool(coded(flooding(None, limit), "flooding_bypass_opens")) == broken
    finding = only(flooding(None, worst - 1e-3), "flooding_bypass_opens")
    assert (finding.condition, finding.level) == ("full", Level.STOP)
    assert finding.value == pytest.approx(worst)
    assert_words_are_whole(finding)


def test_a_valve_with_a_higher_setting_bears_more() -> None:
    """The limit goes with the opening difference: 97 of 140 kPa."""
    worst = drop_of(flooding(None))
    at = worst / 97e3 * 140e3
    assert coded(flooding(at * (1 + 1e-6)), "flooding_bypass_opens") == []
    assert len(coded(flooding(at * (1 - 1e-6)), "flooding_bypass_opens")) == 1


def test_no_flooding_control_has_no_bypass() -> None:
    condenser = Equipment("cond", Role.CONDENSER, drop_Pa=5e5)
    assert coded(circuit(GAS, **BOTH, equipment=(condenser,)), "flooding_bypass_opens") == []


# --- cold start


def soaked(
    place: str = "outdoor", *, winter_C: float | None = -10.0, high_m: float = 0.0, **overrides: float
) -> CircuitResult:
    equipment = (
        Equipment("unit", Role.UNIT, at_m=(0.0, 0.0, 1.0 + high_m)),
        Equipment("rec", Role.RECEIVER, "Tank 1", kind=ReceiverKind.THROUGH, at_m=(3.0, 0.0, 1.0), place=place),
    )
    made = job(LIQUID, conditions=LOADS, equipment=equipment, overrides=overrides)
    rooms = (Room("plant", ambient_C=0.0),)
    site = replace(made.site, winter_ambient_C=winter_C, indoor_ambient_C=24.0, rooms=rooms)
    return solve(replace(made, site=site)).circuits[0]


def test_a_soaked_receiver_at_just_above_and_just_below_the_limit() -> None:
    """R134a at -10 C stands at 2.006 bar, the evaporator at -5 C at 2.434 (CoolProp): 43 kPa too little."""
    finding = only(soaked(), "cold_start")
    assert finding.value == pytest.approx(200.6e3 - 243.4e3, abs=200.0)
    assert (finding.level, finding.rule, finding.limit) == (Level.WARN, "cold_start_pressure_Pa", 5e4)
    assert_words_are_whole(finding)
    assert "Tank 1, soaked at -10.0 °C" in finding.message()
    warm = only(soaked(winter_C=0.0), "cold_start")
    assert warm.value is not None
    assert warm.value == pytest.approx(292.8e3 - 243.4e3, abs=200.0)
    for limit, broken in ((warm.value, False), (warm.value + 1e-3, True)):
        assert bool(coded(soaked(winter_C=0.0, cold_start_pressure_Pa=limit), "cold_start")) == broken


def test_lift_takes_what_a_cold_receiver_has() -> None:
    """3 m of liquid at 0 C, 1294.8 kg/m3 (CoolProp): 38.1 kPa."""
    level, high = (only(soaked(winter_C=0.0, high_m=metres), "cold_start") for metres in (0.0, 3.0))
    assert level.value is not None
    assert high.value is not None
    assert level.value - high.value == pytest.approx(1294.8 * 9.80665 * 3.0, rel=1e-3)


def test_the_coldest_air_of_its_place_counts() -> None:
    assert coded(soaked("indoor"), "cold_start") == []
    in_plant = only(soaked("plant"), "cold_start")
    assert "soaked at 0.0 °C" in in_plant.message()
    # Outdoors without a winter ambient that of the conditions; nobody's word, no verdict.
    assert coded(soaked(winter_C=None), "cold_start") == []
    known = [replace(one, ambient_C=celsius) for one, celsius in zip(LOADS, (30.0, -7.0), strict=True)]
    receiver = Equipment("rec", Role.RECEIVER, kind=ReceiverKind.THROUGH, place="outdoor")
    found = circuit(LIQUID, conditions=known, equipment=(receiver,))
    assert "-7.0 °C" in only(found, "cold_start").message()


def test_colder_than_the_refrigerants_table_is_taken_at_its_end() -> None:
    finding = only(soaked(winter_C=-60.0), "cold_start")
    table = load("R134a")
    least = float(table.bubble_pressure(table.minimum_saturation_temperature_K))
    evaporating = float(table.dew_pressure(268.15))
    assert finding.value == pytest.approx(least - evaporating, rel=1e-6)
    assert least < STANDARD_ATMOSPHERE_Pa
    assert_words_are_whole(finding)
