"""Practice sets: complete, sourced, in one unit a rule, and guarded against impossible overrides."""

from __future__ import annotations

import math
import pickle
import re

import pytest

from linesizer.catalog.practice import (
    PracticeRule,
    RuleKind,
    override_fault,
    practice_set,
    practice_sets,
    rule_names,
)
from linesizer.domain.extra import Json
from linesizer.domain.finding import Level
from linesizer.errors import UserError

GENERAL = practice_set("general")
NUMBERS = [rule for rule in GENERAL.rules if rule.kind is RuleKind.NUMBER]
STATUSES = {"read", "from memory", "derived", "common practice"}


def test_the_general_set_ships() -> None:
    assert "general" in practice_sets()
    assert len(set(rule_names("general"))) == len(GENERAL.rules)


@pytest.mark.parametrize("rule", GENERAL.rules, ids=lambda rule: rule.name)
def test_every_rule_says_what_it_is(rule: PracticeRule) -> None:
    assert rule.status in STATUSES
    assert isinstance(rule.level, Level)
    assert not rule.overridden
    for words in (rule.unit, rule.unit_ip, rule.value_ip, rule.applies_to, rule.reason, rule.source):
        assert words.strip()


@pytest.mark.parametrize("rule", NUMBERS, ids=lambda rule: rule.name)
def test_every_number_lies_within_its_own_bounds(rule: PracticeRule) -> None:
    assert math.isfinite(rule.least)
    assert math.isfinite(rule.most)
    assert rule.least <= GENERAL.value(rule.name) <= rule.most


# Inch-pound unit -> how many of the stored unit; independent of the program's own factors.
FACTORS = {
    ("K", "F"): 1 / 1.8,
    ("m/s", "fpm"): 0.00508,
    ("m", "ft"): 0.3048,
    ("m", "in"): 0.0254,
    ("Pa", "psi"): 6894.76,
    ("Pa", "micron"): 0.133322,
    ("kg/m3", "lb/ft3"): 16.0185,
    ("kg", "lb"): 0.453592,
    ("m/m", "in/ft"): 1 / 12,
    ("m/m", "in per 10 ft"): 1 / 120,
    ("1/K", "1/F"): 1.8,
}


@pytest.mark.parametrize("rule", NUMBERS, ids=lambda rule: rule.name)
def test_both_systems_mean_the_same(rule: PracticeRule) -> None:
    """The trade rounds each system for itself: 1 K and 2 F, so 12 percent may lie between them."""
    stored = GENERAL.value(rule.name)
    other = float(re.match(r"[-\d.e]+", rule.value_ip).group())  # type: ignore[union-attr]  # a failed match fails here
    if (rule.unit, rule.unit_ip) == ("C", "F"):
        assert stored == pytest.approx((other - 32) / 1.8, abs=0.6)
    else:
        factor = FACTORS.get((rule.unit, rule.unit_ip), 1.0)
        assert stored == pytest.approx(other * factor, rel=0.12)


@pytest.mark.parametrize("rule", NUMBERS, ids=lambda rule: rule.name)
def test_a_unit_in_the_name_is_the_rules_unit(rule: PracticeRule) -> None:
    endings = {
        "_K": "K",
        "_m": "m",
        "_m_s": "m/s",
        "_Pa": "Pa",
        "_C": "C",
        "_kg_m3": "kg/m3",
        "_1_K": "1/K",
        "_kg": "kg",
    }
    fitting = [ending for ending in endings if rule.name.endswith(ending)]
    if fitting:
        assert rule.unit == endings[max(fitting, key=len)]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        # Engineering basis sections 3 to 9; the sources stand in the rules.
        ("discharge_penalty_K", 1.0),
        ("oil_return_stop_ratio", 1.0),
        ("oil_film_density_kg_m3", 950.0),
        ("oil_film_density_mineral_oil_kg_m3", 850.0),
        ("double_riser_seal_least_m", 0.15),
        ("rating_temperature_least_C", 66.0),
        ("rating_temperature_above_discharge_K", 10.0),
        ("pumpdown_temperature_C", 32.0),
        ("receiver_max_fill_pumpdown", 0.9),
        ("offset_modulus_Pa", 117e9),
        ("offset_stress_Pa", 41.4e6),
        ("growth_expansion_1_K", 17.0e-6),
        ("growth_install_temperature_C", 15.0),
    ],
)
def test_values_that_the_calculation_stands_on(name: str, value: float) -> None:
    assert GENERAL.value(name) == value


def test_ranges_bands_and_texts_have_their_own_doors() -> None:
    assert GENERAL.range("suction_velocity_range_m_s") == (4.5, 20.0)
    assert GENERAL.bands("support_spacing_m")[-1] == (math.inf, 3.0)
    assert GENERAL.text("surge_limit")
    for name, door in [
        ("surge_limit", GENERAL.value),
        ("support_spacing_m", GENERAL.value),
        ("suction_velocity_range_m_s", GENERAL.value),
        ("mach_limit", GENERAL.range),
        ("support_spacing_m", GENERAL.range),
        ("suction_velocity_range_m_s", GENERAL.bands),
        ("mach_limit", GENERAL.bands),
        ("mach_limit", GENERAL.text),
    ]:
        with pytest.raises(LookupError, match=name):
            door(name)
    with pytest.raises(KeyError):
        GENERAL.value("no_such_rule")


@pytest.mark.parametrize(
    ("outside_diameter_m", "spacing_m"),
    [
        (0.009525, 1.5),
        (0.015875, 1.5),
        (0.022225, 1.8),
        (0.028575, 1.8),
        (0.034925, 2.4),
        (0.054, 2.4),
        (0.0667, 3.0),
        (0.1, 3.0),
    ],
)
def test_supports_by_outside_diameter(outside_diameter_m: float, spacing_m: float) -> None:
    """3/8, 5/8, 7/8, 1-1/8, 1-3/8 in, 54, 66.7 and 100 mm; MSS SP-58 form (from memory)."""
    assert GENERAL.band_value("support_spacing_m", outside_diameter_m) == spacing_m


def test_a_hotter_site_has_a_higher_design_temperature() -> None:
    """EN 378-2 design temperatures, high side, air-cooled (from memory)."""
    values = [
        GENERAL.band_value("design_saturation_by_ambient_C", ambient) for ambient in (25, 32, 38, 39, 43, 44, 55, 60)
    ]
    assert values == [55, 55, 59, 63, 63, 67, 67, 67]


def test_overrides_replace_and_are_marked() -> None:
    own = practice_set(
        "general", [("discharge_penalty_K", 2), ("suction_velocity_range_m_s", [5, 15]), ("support_spacing_m", 1.2)]
    )
    assert own.value("discharge_penalty_K") == 2.0
    assert own.range("suction_velocity_range_m_s") == (5.0, 15.0)
    assert own.band_value("support_spacing_m", 0.1) == 1.2
    assert [rule.name for rule in own.rules if rule.overridden] == [
        "discharge_penalty_K",
        "suction_velocity_range_m_s",
        "support_spacing_m",
    ]
    assert own.rule("discharge_penalty_K").source == GENERAL.rule("discharge_penalty_K").source
    assert GENERAL.value("discharge_penalty_K") == 1.0
    banded = practice_set("general", [("support_spacing_m", [[0.02, 1.0], [None, 2.0]])])
    assert banded.bands("support_spacing_m") == ((0.02, 1.0), (math.inf, 2.0))


BAD: list[tuple[str, Json, str, str]] = [
    ("discharge_penalty_k", 1.0, "no rule named", "discharge_penalty_K"),
    ("zzzzzz", 1.0, "no rule named", "manual"),
    ("discharge_penalty_K", "1.0", '"1.0" is not a number', "a number, 0.05 to 10 K"),
    ("discharge_penalty_K", True, "true is not a number", "a number"),
    ("discharge_penalty_K", None, "null is not a number", "a number"),
    ("discharge_penalty_K", [1.0], "[1.0] is not a number", "a number"),
    ("discharge_penalty_K", math.nan, "not a finite number", "a number"),
    ("discharge_penalty_K", 10**400, "not a finite number", "a number"),
    ("discharge_penalty_K", 500.0, "500.0 is outside", "0.05 to 10 K"),
    ("oil_film_density_kg_m3", 0, "0 is outside", "500 to 1300 kg/m3"),
    ("surge_limit", 1.0, "is a method", "numeric rules"),
    ("suction_velocity_range_m_s", 5.0, "not two numbers", "two rising numbers"),
    ("suction_velocity_range_m_s", [15, 5], "runs downwards", "two rising numbers"),
    ("support_spacing_m", [], "empty", "pairs"),
    ("support_spacing_m", [[1, 2, 3]], "not a pair", "pairs"),
    ("support_spacing_m", [[0.1, 2], [0.05, 3]], "does not rise", "pairs"),
    ("support_spacing_m", [[0.1, 2000]], "outside", "0.1 to 10 m"),
]


@pytest.mark.parametrize(("name", "value", "found", "allowed"), BAD)
def test_impossible_overrides_are_named_with_what_is_allowed(name: str, value: Json, found: str, allowed: str) -> None:
    fault = override_fault("general", name, value)
    assert fault is not None
    assert found in fault.found
    assert allowed in fault.allowed
    with pytest.raises(UserError) as caught:
        practice_set("general", [(name, value)])
    assert caught.value.code == "PRACTICE-02"
    assert name in caught.value.what
    assert found in caught.value.why
    assert allowed in caught.value.remedy


def test_all_faults_are_named_at_once() -> None:
    with pytest.raises(UserError) as caught:
        practice_set("general", [("mach_limt", 1.0), ("mach_limit", 9.0), ("discharge_penalty_K", 1.0)])
    assert caught.value.what == "The job's own value for mach_limt and mach_limit cannot be used."


@pytest.mark.parametrize("rule", NUMBERS, ids=lambda rule: rule.name)
def test_a_sets_own_values_would_pass_as_overrides(rule: PracticeRule) -> None:
    assert override_fault("general", rule.name, GENERAL.value(rule.name)) is None


def test_an_unknown_set_names_those_there_are() -> None:
    with pytest.raises(UserError, match="general") as caught:
        practice_set("generall")
    assert caught.value.code == "PRACTICE-01"


def test_a_set_survives_the_way_to_another_process() -> None:
    assert pickle.loads(pickle.dumps(GENERAL)) == GENERAL
