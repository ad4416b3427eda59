"""Rules on charge: the codes' printed numbers, their dates, and which refrigerant each is about."""

from __future__ import annotations

from datetime import date

import pytest

from linesizer.catalog.rules import charge_thresholds, concentration_rules
from linesizer.properties.library import facts, names

NATURAL = {"R290", "R1270", "R600a", "R717", "R744"}
US_82, US_84 = "us-40-cfr-82-157", "us-40-cfr-84-106"
EU_I, EU_II = "eu-2024-573-annex-i", "eu-2024-573-annex-ii"
BY_ID = {rule.id: rule for rule in charge_thresholds()}


@pytest.mark.parametrize(
    ("name", "unit", "steps", "since"),
    [
        # 40 CFR 82.157(a): "50 or more pounds", from 10 April 2020 class I and II alone (read).
        (US_82, "lb", [50], date(2020, 4, 10)),
        # 40 CFR 84.106: 15 lb, GWP above 53, from 1 January 2026 (read in a secondary page).
        (US_84, "lb", [15], date(2026, 1, 1)),
        # EU 2024/573, Article 5 (from memory; 5 t read in secondary pages).
        (EU_I, "t", [5, 50, 500], date(2024, 3, 11)),
        (EU_II, "kg", [1, 10, 100], date(2024, 3, 11)),
    ],
)
def test_printed_numbers_and_dates(name: str, unit: str, steps: list[float], since: date) -> None:
    rule = BY_ID[name]
    assert (rule.unit, [step.at for step in rule.steps], rule.since) == (unit, steps, since)
    # NIST SP 811: the pound is 0.45359237 kg exactly.
    kilograms = {"lb": 0.45359237, "t": 1000.0, "kg": 1.0}[unit]
    assert [step.at_kg for step in rule.steps] == [pytest.approx(at * kilograms, rel=1e-12) for at in steps]


def test_gwp_that_the_american_rule_begins_above() -> None:
    rule = BY_ID[US_84]
    assert rule.gwp_above == 53
    assert not rule.covers({"R32": 1.0}, 53.0)
    assert rule.covers({"R32": 1.0}, 53.1)


@pytest.mark.parametrize("name", [US_82, US_84])
def test_leak_rates_by_use(name: str) -> None:
    # 40 CFR 82.157(c)(2) (read): 30 % industrial process, 20 % commercial refrigeration, 10 % comfort cooling; 84.106
    # has the same three (read in a secondary page).
    assert BY_ID[name].leak_rates == {"process": 0.3, "commercial": 0.2, "comfort": 0.1}
    assert all("{rate}" in step.asks for step in BY_ID[name].steps)


@pytest.mark.parametrize(
    ("refrigerant", "covered"),
    [
        ("R22", {US_82}),
        ("R134a", {US_84, EU_I}),
        ("R32", {US_84, EU_I}),
        ("R1234yf", {EU_II}),
        ("R513A", {US_84, EU_I, EU_II}),
        ("R455A", {US_84, EU_I, EU_II}),
        *((name, set()) for name in sorted(NATURAL)),
    ],
)
def test_which_refrigerants_a_rule_is_about(refrigerant: str, covered: set[str]) -> None:
    known = facts(refrigerant)
    found = {name for name, rule in BY_ID.items() if rule.covers(known.mass_fractions.value, known.gwp.value)}
    assert found == covered


def test_every_component_that_is_not_natural_belongs_to_a_rule() -> None:
    components = {component for name in names() for component in facts(name).mass_fractions.value}
    listed = {component for name in (US_82, EU_I, EU_II) for component in BY_ID[name].components}
    assert components - NATURAL <= listed
    assert not listed & NATURAL


def test_what_a_kilogram_counts_for() -> None:
    known = facts("R513A")
    shares, gwp = known.mass_fractions.value, known.gwp.value
    assert BY_ID[US_84].counted(shares, gwp) == 1.0
    assert BY_ID[EU_I].counted(shares, gwp) == 631
    assert BY_ID[EU_II].counted(shares, gwp) == 0.56


def test_every_rule_has_its_source_and_claims_nothing() -> None:
    for rule in charge_thresholds():
        assert rule.source
        assert rule.status
        assert rule.beside.endswith(".")
        assert [step.at for step in rule.steps] == sorted(step.at for step in rule.steps)
        for step in rule.steps:
            assert "complies" not in step.asks


def test_both_concentrations_are_facts_of_a_refrigerant() -> None:
    assert [rule.id for rule in concentration_rules()] == ["ashrae-34-rcl", "en-378-practical-limit"]
    for rule in concentration_rules():
        assert getattr(facts("R134a"), rule.fact.value).source
