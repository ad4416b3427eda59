"""Rules that begin at a charge, at, just below and just above their thresholds."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.domain.circuit import Use
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Finding, Level
from linesizer.domain.job import Job
from linesizer.evaluate import solve
from tests.checks.judged import findings, messages
from tests.solver.routes import ORIGIN, chain, condition, job

CODE = "charge_threshold"
POUND_kg = 0.45359237  # NIST SP 811, exact


def holding(charge_kg: float, refrigerant: str = "R134a", **changes: Any) -> Job:
    """Return a job without lines, whose charge is what its unit holds."""
    unit = Equipment("unit", Role.UNIT, operating_kg=charge_kg, place="outdoor")
    return job(refrigerant=refrigerant, equipment=(unit,), **changes)


def rules(charge_kg: float, refrigerant: str = "R134a", **changes: Any) -> dict[str, Finding]:
    found = findings(holding(charge_kg, refrigerant, **changes), CODE)
    return {finding.title.split(" may apply")[0]: finding for finding in found}


# Thresholds in kg of refrigerant, worked by hand: 50 lb and 15 lb; 5000 kg / 2088 = 2.3946 kg of R410A; 1 kg / 0.56.
@pytest.mark.parametrize(
    ("refrigerant", "rule", "limit_kg"),
    [
        ("R22", "US 40 CFR 82.157", 50.0 * POUND_kg),
        ("R134a", "US 40 CFR 84.106", 15.0 * POUND_kg),
        ("R410A", "EU 2024/573, Article 5 (CO2 equivalent)", 2.3946),
        ("R513A", "EU 2024/573, Article 5 (gases of Annex II)", 1.7857),
        ("R1234yf", "EU 2024/573, Article 5 (gases of Annex II)", 1.0),
    ],
)
def test_just_above_and_just_below(refrigerant: str, rule: str, limit_kg: float) -> None:
    above = rules(1.0001 * limit_kg, refrigerant)[rule]
    assert (above.level, above.line, above.leg) == (Level.NOTE, None, None)
    assert above.value == pytest.approx(1.0001 * limit_kg)
    assert above.limit == pytest.approx(limit_kg, rel=3e-5)  # the printed digits
    assert " reaches the " in above.message()
    below = rules(0.9999 * limit_kg, refrigerant)[rule]
    assert " stays just below, but within its band may reach the " in below.message()
    # The band of a charge that is all equipment's is a tenth or less of it.
    assert rule not in rules(0.8 * limit_kg, refrigerant)


def test_at_the_threshold_itself_it_applies() -> None:
    # "50 or more pounds", "15 or more pounds", "5 tonnes or more": 40 CFR 82.157(a), 84.106(a), EU 2024/573 Article 5.
    assert " reaches " in rules(15.0 * POUND_kg)["US 40 CFR 84.106"].message()


@pytest.mark.parametrize(
    ("charge_kg", "step", "interval"),
    # R134a, GWP 1430: 5 t are 3.497 kg, 50 t are 34.97 kg, 500 t are 349.7 kg.
    [(3.6, "5 t", "every 12 months"), (36.0, "50 t", "every 6 months"), (360.0, "500 t", "every 3 months")],
)
def test_the_highest_step_that_is_reached_sets_the_interval(charge_kg: float, step: str, interval: str) -> None:
    finding = rules(charge_kg)["EU 2024/573, Article 5 (CO2 equivalent)"]
    assert finding.title.endswith(f"from {step} on")
    assert f"the {step} of CO2 equivalent (GWP 1430, IPCC AR4, 100 years)" in finding.message()
    assert interval in finding.message()


@pytest.mark.parametrize(("use", "rate"), [(Use.PROCESS, "30 %"), (Use.COMMERCIAL, "20 %"), (Use.COMFORT, "10 %")])
def test_the_leak_rate_is_that_of_the_use(use: Use, rate: str) -> None:
    assert f"leaks more than {rate} a year" in rules(40.0, use=use)["US 40 CFR 84.106"].message()


def test_words_name_charge_threshold_date_and_source_in_either_system() -> None:
    finding = rules(10.0)["US 40 CFR 84.106"]
    si, ip = messages(finding)
    assert si.startswith("The charge of 10.00 kg reaches the 15 lb of US 40 CFR 84.106, in force since 2026-01-01")
    assert "here 6.80 kg of R134a" in si
    assert ip.startswith("The charge of 22.05 lb reaches the 15 lb")
    assert "here 15.00 lb of R134a" in ip
    assert si.endswith("It may apply: check your local code.")
    assert "read in a secondary page" in finding.source
    assert "GWP: IPCC Fourth Assessment Report" in finding.source


@pytest.mark.parametrize("refrigerant", ["R717", "R290", "R744"])
def test_a_natural_refrigerant_meets_none_of_these_rules(refrigerant: str) -> None:
    assert rules(1000.0, refrigerant, conditions=[condition(condensing_C=20.0)]) == {}


def test_a_charge_that_is_not_known_meets_no_rule() -> None:
    branched = chain([ORIGIN, (4.0, 0.0, 0.0), (4.0, 0.0, 3.0)])
    (first, second) = branched.legs
    branched = replace(
        branched,
        nodes=(*branched.nodes, replace(branched.nodes[2], id="n3", at_m=(8.0, 0.0, 0.0))),
        legs=(first, second, replace(second, id="l2", end="n3")),
    )
    made = holding(100.0)
    made = replace(made, circuits=(replace(made.circuits[0], lines=(branched,)),))
    assert solve(made).circuits[0].charge.total_kg is None
    assert findings(made, CODE) == ()
