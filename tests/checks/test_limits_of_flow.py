"""Velocities, surge, a gas line's drop and Mach number: at, just above and just below each limit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from linesizer.catalog.practice import practice_set
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.job import Room
from linesizer.domain.part import Part
from linesizer.domain.result import CircuitResult, LegResult
from linesizer.domain.route import Line, Service
from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.units import STANDARD_ATMOSPHERE_Pa
from tests.checks.limits import assert_words_are_whole, circuit, coded, only
from tests.solver.routes import ORIGIN, chain, condition, job

GAS = chain([ORIGIN, (0.0, 0.0, 6.0), (8.0, 0.0, 6.0)], size=["1-1/8", "1-3/8"])
SOLENOID = Part("s", "solenoid_valve")
# The valve on the middle leg: the legs before it and its own are upstream of it, the last one is not.
LIQUID = chain(
    [ORIGIN, (6.0, 0.0, 0.0), (6.0, 0.0, -4.0), (9.0, 0.0, -4.0)],
    Service.LIQUID,
    size=["7/8", "3/4", "5/8"],
    parts={1: [SOLENOID]},
)
DRAIN = chain([(0.0, 0.0, 4.0), (0.0, 0.0, 3.0), (3.0, 0.0, 2.9)], Service.DRAIN, size="1-1/8")
LOADS = [condition("full", name="Full load"), condition("low", capacity_W=20e3, condensing_C=32.0, name="Night")]
GENERAL = practice_set("general")


def legs_of(line: Line) -> LegResult:
    legs = circuit(line, conditions=LOADS).lines[0].legs
    assert legs is not None
    return legs


# Rule, line, the legs that it looks at, whether it is a floor.
VELOCITIES = [
    ("discharge_velocity_max_m_s", GAS, [0, 1], False),
    ("riser_velocity_flat_m_s", GAS, [0], True),
    ("level_velocity_flat_m_s", GAS, [1], True),
    ("discharge_velocity_low_m_s", GAS, [0, 1], True),
    ("liquid_velocity_fast_valve_m_s", LIQUID, [0, 1], False),
    ("liquid_velocity_max_m_s", LIQUID, [2], False),
    ("drain_velocity_m_s", DRAIN, [0, 1], False),
]


@pytest.mark.parametrize(("rule", "line", "legs", "floor"), VELOCITIES, ids=[case[0] for case in VELOCITIES])
def test_velocity_at_just_above_and_just_below_the_limit(rule: str, line: Line, legs: list[int], floor: bool) -> None:
    speeds = legs_of(line).velocity_m_s[legs]
    worst = float(speeds.min() if floor else speeds.max())
    code = rule.removesuffix("_m_s")
    for limit, broken in ((worst, False), (worst * (1 + 1e-9), floor), (worst * (1 - 1e-9), not floor)):
        found = coded(circuit(line, conditions=LOADS, overrides={rule: limit}), code)
        assert bool(found) == broken, limit
    place = np.argwhere(speeds == worst)[0]
    finding = only(circuit(line, conditions=LOADS, overrides={rule: worst * (1.01 if floor else 0.99)}), code)
    assert finding.leg == f"l{legs[place[0]]}"
    assert finding.condition == ("full", "low")[place[1]]
    assert finding.value == worst
    assert (finding.rule, finding.level) == (rule, GENERAL.rule(rule).level)
    assert finding.source == "the job's own value in place of practice set general"
    assert_words_are_whole(finding)
    assert f"{worst:.2f} m/s" in finding.message()
    assert "fpm" in finding.message("ip")


def test_gas_is_heard_in_an_occupied_room_only() -> None:
    def found(occupied: bool) -> list[Finding]:
        line = replace(GAS, legs=(replace(GAS.legs[0], place="ward"), GAS.legs[1]))
        made = job(line, conditions=LOADS, overrides={"gas_velocity_noise_m_s": 5.0})
        made = replace(made, site=replace(made.site, rooms=(Room("ward", name="Ward", occupied=occupied),)))
        return coded(solve(made).circuits[0], "gas_velocity_noise")

    assert found(False) == []
    (finding,) = found(True)
    assert (finding.leg, finding.level) == ("l0", Level.NOTE)
    assert_words_are_whole(finding)


def test_without_a_fast_valve_only_the_plain_limit_holds() -> None:
    bare = replace(LIQUID, legs=tuple(replace(leg, parts=()) for leg in LIQUID.legs))
    low = {"liquid_velocity_fast_valve_m_s": 0.1, "liquid_velocity_max_m_s": 0.1}
    found = circuit(bare, conditions=LOADS, overrides=low)
    assert coded(found, "liquid_velocity_fast_valve") == []
    assert only(found, "liquid_velocity_max").leg == "l2"
    # A valve that a hand shuts is not fast.
    slow = replace(LIQUID, legs=tuple(replace(leg, parts=(Part("b", "ball_valve"),)) for leg in LIQUID.legs))
    assert coded(circuit(slow, conditions=LOADS, overrides=low), "liquid_velocity_fast_valve") == []


# --- surge


def surge_total_Pa(found: CircuitResult) -> np.ndarray:
    """Working pressure and Joukowsky's rise by hand, gauge: (legs, conditions)."""
    legs = found.lines[0].legs
    assert legs is not None
    sound = load("R134a").liquid_ph(found.conditions.liquid_Pa, found.conditions.liquid_J_kg).sound_speed_m_s
    working = np.maximum(legs.inlet_Pa, legs.outlet_Pa) - STANDARD_ATMOSPHERE_Pa
    return np.asarray(working + legs.density_kg_m3 * sound * legs.velocity_m_s)


def rated(rating_Pa: float) -> CircuitResult:
    return circuit(replace(LIQUID, listed_rating_Pa=rating_Pa), conditions=LOADS)


def test_surge_at_just_above_and_just_below_the_rating() -> None:
    """The last leg, behind the valve, is as fast as any and is not looked at."""
    total = surge_total_Pa(rated(9e6))
    worst = float(total[:2].max())
    assert total[2].max() > worst
    assert coded(rated(worst * (1 + 1e-9)), "surge_limit") == []
    finding = only(rated(worst * (1 - 1e-9)), "surge_limit")
    place = np.argwhere(total[:2] == worst)[0]
    assert (finding.leg, finding.condition, finding.level) == (f"l{place[0]}", ("full", "low")[place[1]], Level.WARN)
    assert finding.value == pytest.approx(worst, rel=1e-12)
    assert_words_are_whole(finding)
    # 10 m of liquid upstream of the valve at 441 m/s (CoolProp at 39 C): 45 ms there and back.
    assert "45 ms" in finding.message()
    assert "bar g" in finding.message()
    assert "psi" in finding.message("ip")


def test_no_surge_without_a_fast_valve() -> None:
    bare = replace(LIQUID, legs=tuple(replace(leg, parts=()) for leg in LIQUID.legs), listed_rating_Pa=1e5)
    assert coded(circuit(bare, conditions=LOADS), "surge_limit") == []


# --- a gas line's drop


def test_drop_fraction_at_just_above_and_just_below_the_limit() -> None:
    flow = circuit(GAS, conditions=LOADS).lines[0].flow
    assert flow is not None
    worst = float((flow.drop_Pa / flow.inlet_Pa).max())

    def found(limit: float) -> list[Finding]:
        return coded(circuit(GAS, conditions=LOADS, overrides={"vapour_drop_fraction": limit}), "vapour_drop_fraction")

    assert found(worst) == found(worst * (1 + 1e-9)) == []
    (finding,) = found(worst * (1 - 1e-9))
    assert (finding.condition, finding.level, finding.value) == ("full", Level.WARN, worst)
    assert_words_are_whole(finding)
    drop = dict(finding.figures)["drop"]
    assert isinstance(drop, Figure)
    assert drop.value == flow.drop_Pa[0]


def test_mach_number_at_just_above_and_just_below_the_limit() -> None:
    legs = legs_of(GAS)
    sound = load("R134a").vapour_pt(legs.outlet_Pa, legs.end_C + 273.15).sound_speed_m_s
    mach = legs.velocity_m_s / sound
    worst = float(mach.max())
    # R134a of 60 to 75 C: 150 to 165 m/s (CoolProp).
    assert 145.0 < sound.min() < sound.max() < 170.0

    def found(limit: float) -> list[Finding]:
        return coded(circuit(GAS, conditions=LOADS, overrides={"mach_limit": limit}), "mach_limit")

    assert found(worst) == found(worst * (1 + 1e-9)) == []
    (finding,) = found(worst * (1 - 1e-9))
    assert (finding.leg, finding.condition, finding.level) == ("l0", "full", Level.WARN)
    assert finding.value == pytest.approx(worst)
    assert_words_are_whole(finding)


def test_a_liquid_line_has_neither() -> None:
    tight: dict[str, Any] = {"overrides": {"mach_limit": 0.05, "vapour_drop_fraction": 0.01}}
    found = circuit(LIQUID, conditions=LOADS, **tight)
    assert coded(found, "mach_limit") == coded(found, "vapour_drop_fraction") == []
