"""The strict set: the same rules, never looser than the general one, and never a verdict that general refuses."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from linesizer.catalog.practice import PracticeRule, RuleKind, practice_set, rule_names
from linesizer.domain.job import PracticeChoice
from linesizer.domain.part import Part
from linesizer.domain.result import Result
from linesizer.domain.route import Service
from linesizer.evaluate import solve
from linesizer.storage.job_file import read
from tests.solver.routes import ORIGIN, chain, condition, job

SAMPLES = Path(__file__).parents[2] / "samples"
GENERAL, STRICT = practice_set("general"), practice_set("strict")
STRICTER = [rule for rule in STRICT.rules if rule != GENERAL.rule(rule.name)]

# Which way a rule's number tightens it; a rule of neither list has the same value in both sets.
TIGHTER_BELOW = {
    "discharge_penalty_target_K",
    "discharge_penalty_K",
    "liquid_penalty_K",
    "suction_penalty_K",
    "vapour_drop_fraction",
    "mach_limit",
    "discharge_velocity_max_m_s",
    "gas_velocity_noise_m_s",
    "liquid_velocity_fast_valve_m_s",
    "liquid_velocity_max_m_s",
    "drain_velocity_m_s",
    "riser_trap_spacing_m",
    "flooded_circuit_drop_max_Pa",
    "receiver_max_fill_pumpdown",
    "receiver_max_fill_operating",
    "growth_without_offset_m",
    "touch_temperature_C",
    "discharge_temperature_max_C",
    "equivalent_length_note_m",
    "hp_cutout_fraction",
    "tightness_test_residual_fraction",
    "vacuum_target_Pa",
    "vacuum_rise_Pa",
    "liquid_warming_K",
}
TIGHTER_ABOVE = {
    "oil_return_margin_ratio",
    "double_riser_seal_least_m",
    "liquid_margin_at_valve_K",
    "condenser_drop_assumed_Pa",
    "filter_drier_drop_Pa",
    "solenoid_drop_Pa",
    "valve_pressure_available_Pa",
    "receiver_min_fill",
    "rating_temperature_above_discharge_K",
    "hp_cutout_margin_Pa",
    "vacuum_hold_h",
    "air_humidity",
    "cold_start_pressure_Pa",
}


def test_both_sets_have_the_same_rules_in_the_same_order() -> None:
    assert rule_names("strict") == rule_names("general")


def test_every_rule_that_differs_is_tighter() -> None:
    assert {rule.name for rule in STRICTER} == TIGHTER_BELOW | TIGHTER_ABOVE
    for name in TIGHTER_BELOW:
        assert STRICT.value(name) < GENERAL.value(name), name
    for name in TIGHTER_ABOVE:
        assert STRICT.value(name) > GENERAL.value(name), name
    # Floors and film densities are physics, which no practice set bends.
    for name in ("oil_return_stop_ratio", "liquid_margin_stop_K", "oil_film_density_kg_m3"):
        assert STRICT.value(name) == GENERAL.value(name)


@pytest.mark.parametrize("rule", STRICTER, ids=lambda rule: rule.name)
def test_what_differs_says_why_and_who_says_so(rule: PracticeRule) -> None:
    base = GENERAL.rule(rule.name)
    assert rule.status in ("read", "from memory", "derived", "common practice")
    assert rule.reason.strip()
    assert rule.reason != base.reason
    assert rule.source.strip()
    for name in ("kind", "unit", "unit_ip", "applies_to", "level", "least", "most"):
        assert getattr(rule, name) == getattr(base, name), name
    assert rule.kind is RuleKind.NUMBER
    assert rule.least <= STRICT.value(rule.name) <= rule.most


@pytest.mark.parametrize("rule", STRICTER, ids=lambda rule: rule.name)
def test_both_systems_mean_the_same(rule: PracticeRule) -> None:
    """The trade rounds each system for itself: 12 percent may lie between them.  Factors independent of the program."""
    factors = {
        ("K", "F"): 1 / 1.8,
        ("m/s", "fpm"): 0.00508,
        ("m", "ft"): 0.3048,
        ("m", "in"): 0.0254,
        ("Pa", "psi"): 6894.76,
        ("Pa", "micron"): 0.133322,
    }
    shown = re.match(r"[-\d.e]+", rule.value_ip)
    assert shown is not None
    other = float(shown.group())
    if (rule.unit, rule.unit_ip) == ("C", "F"):
        assert STRICT.value(rule.name) == pytest.approx((other - 32) / 1.8, abs=0.6)
    else:
        factor = factors.get((rule.unit, rule.unit_ip), 1.0)
        assert STRICT.value(rule.name) == pytest.approx(other * factor, rel=0.12)


@cache
def verdicts(name: str, choice: str) -> Result:
    """Solve a sample, or a job of its own kind, under one of the sets."""
    made = PLAIN if name == "plain" else read(SAMPLES / f"{name}.json").job
    return solve(replace(made, practice=PracticeChoice(choice)))


LIQUID = chain(
    [(9.0, 1.0, 2.0), (9.0, 1.0, 0.0), (0.0, 1.0, 0.0), (0.0, 1.0, 3.0)],
    Service.LIQUID,
    size="5/8",
    parts={1: [Part("f", "filter_drier"), Part("s", "solenoid_valve")]},
)
PLAIN = job(
    chain([ORIGIN, (0.0, 0.0, 9.0), (9.0, 0.0, 9.0)], size="7/8"),
    LIQUID,
    refrigerant="R407C",
    conditions=[condition("full", condensing_C=52.0), condition("low", capacity_W=11e3, condensing_C=30.0)],
    heat_exchange=True,
)


@pytest.mark.parametrize("name", ["condenser-above", "condenser-below", "tall-riser-part-load", "plain"])
def test_strict_allows_nothing_that_general_refuses(name: str) -> None:
    general, strict = verdicts(name, "general"), verdicts(name, "strict")
    heavy = {(f.code, f.circuit, f.line, f.leg): f.level.weight for f in strict.findings}
    for finding in general.findings:
        if finding.level.weight > 1:
            place = (finding.code, finding.circuit, finding.line, finding.leg)
            assert heavy.get(place, 0) >= finding.level.weight, place
    for loose, tight in zip(general.circuits, strict.circuits, strict=True):
        for one, other in zip(loose.lines, tight.lines, strict=True):
            assert one.sweep is not None
            assert other.sweep is not None
            allowed = {size for size, by in zip(other.sweep.sizes, other.sweep.excluded_by, strict=True) if by is None}
            fits = {size for size, by in zip(one.sweep.sizes, one.sweep.excluded_by, strict=True) if by is None}
            assert allowed <= fits


def test_strict_refuses_something_that_general_allows() -> None:
    general, strict = (verdicts("condenser-above", choice) for choice in ("general", "strict"))
    assert max(finding.level.weight for finding in general.findings) == 1
    found = {finding.code: finding for finding in strict.findings if finding.level.weight > 1}
    assert "penalty_over_limit" in found
    assert found["penalty_over_limit"].limit == 0.5
    assert "practice set strict" in found["penalty_over_limit"].source
    assert math.isclose(found["penalty_over_limit"].value or 0.0, 0.914, rel_tol=1e-3)
