"""Oil return up vapour risers against the criterion and the margin of practice."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.domain.finding import Level
from linesizer.domain.result import LegResult
from linesizer.domain.route import Service
from tests.checks.limits import assert_words_are_whole, circuit, coded
from tests.solver.routes import ORIGIN, chain, condition

RISER = chain([ORIGIN, (0.0, 0.0, 8.0), (6.0, 0.0, 8.0), (6.0, 0.0, 12.0)], size="1-3/8")
CONDITIONS = [condition("full"), condition("low", capacity_W=24e3, name="Low load"), condition("mid", capacity_W=40e3)]


def legs(**changes: float) -> LegResult:
    found = circuit(RISER, conditions=CONDITIONS, overrides=changes).lines[0].legs
    assert found is not None
    return found


def worst(leg: int = 0) -> float:
    return float(legs().oil_return_ratio[leg].min())


@pytest.mark.parametrize(
    ("rule", "code"), [("oil_return_stop_ratio", "oil_return_short"), ("oil_return_margin_ratio", "oil_return_near")]
)
def test_at_just_above_and_just_below_the_limit(rule: str, code: str) -> None:
    """The other of the two limits is put out of the way."""
    value = worst()
    other = {"oil_return_margin_ratio": 0.5} if rule == "oil_return_stop_ratio" else {"oil_return_stop_ratio": 0.5}
    for limit, short in ((value * (1 + 1e-9), True), (value, False), (value * (1 - 1e-9), False)):
        found = circuit(RISER, conditions=CONDITIONS, overrides={rule: limit, **other})
        of_leg = [finding for finding in coded(found, code) if finding.leg == "l0"]
        assert bool(of_leg) == short


def test_below_the_criterion_stops_and_below_the_margin_warns() -> None:
    value = worst()
    stop = circuit(RISER, conditions=CONDITIONS, overrides={"oil_return_stop_ratio": value * 1.01})
    found = next(finding for finding in coded(stop, "oil_return_short") if finding.leg == "l0")
    assert (found.level, found.rule, found.limit) == (Level.STOP, "oil_return_stop_ratio", value * 1.01)
    warn = circuit(RISER, conditions=CONDITIONS, overrides={"oil_return_margin_ratio": value * 1.01})
    found = next(finding for finding in coded(warn, "oil_return_near") if finding.leg == "l0")
    assert (found.level, found.rule, found.limit) == (Level.WARN, "oil_return_margin_ratio", value * 1.01)
    assert not coded(warn, "oil_return_short")


def test_one_finding_a_riser_at_its_worst_condition() -> None:
    found = circuit(RISER, conditions=CONDITIONS, overrides={"oil_return_stop_ratio": 3.0})
    findings = coded(found, "oil_return_short")
    assert sorted(finding.leg or "" for finding in findings) == ["l0", "l2"]
    for finding in findings:
        assert (finding.condition, finding.line) == ("low", "gas")
        assert_words_are_whole(finding)
        assert "Low load" in finding.message()
    assert not coded(found, "oil_return_near")


def test_the_words_give_the_velocity_that_is_and_the_one_that_is_needed() -> None:
    found = circuit(RISER, conditions=CONDITIONS, overrides={"oil_return_stop_ratio": 3.0})
    finding = next(one for one in coded(found, "oil_return_short") if one.leg == "l0")
    shown = legs(oil_return_stop_ratio=3.0)
    velocity, least = shown.velocity_m_s[0, 1], shown.minimum_velocity_m_s[0, 1]
    assert velocity / least == pytest.approx(finding.value)
    assert f"{velocity:.2f} m/s" in finding.message("si")
    assert "fpm" in finding.message("ip")
    assert "(1-3/8)" in finding.message()


def test_the_least_velocity_in_the_words_is_that_of_the_jobs_own_limit() -> None:
    """A job must not read that a velocity is short of a least one that lies below it."""
    assert worst() > 1.0
    limit = worst() * 1.02
    found = circuit(RISER, conditions=CONDITIONS, overrides={"oil_return_stop_ratio": limit})
    finding = next(one for one in coded(found, "oil_return_short") if one.leg == "l0")
    velocity, least = (dict(finding.figures)[name] for name in ("velocity", "least"))
    assert not isinstance(velocity, str)
    assert not isinstance(least, str)
    assert least.value == pytest.approx(velocity.value * 1.02)
    assert least.value == pytest.approx(float(legs().minimum_velocity_m_s[0, 1]) * limit)


def test_the_reserve_is_what_may_be_lost_before_oil_stays() -> None:
    value = worst()
    found = circuit(RISER, conditions=CONDITIONS, overrides={"oil_return_margin_ratio": 3.0})
    finding = next(one for one in coded(found, "oil_return_near") if one.leg == "l0")
    assert_words_are_whole(finding)
    assert f"onset: {100 * (1 - 1 / value):.0f} % of the flow" in finding.message()


def test_level_falling_and_liquid_legs_are_not_judged() -> None:
    low = [condition(capacity_W=1e3)]
    level = chain([ORIGIN, (10.0, 0.0, 0.1), (10.0, 0.0, -5.0)], size="2-1/8")
    riser = chain([ORIGIN, (0.0, 0.0, 9.0)], Service.LIQUID, size="2-1/8")
    found = circuit(level, riser, conditions=low)
    assert not coded(found, "oil_return_short")
    assert not coded(found, "oil_return_near")
    assert np.isnan(found.lines[0].legs.oil_return_ratio).all()  # type: ignore[union-attr]


def test_the_film_density_shifts_the_verdict() -> None:
    """The criterion goes with the root of film less gas density, so a lighter film needs less flow."""
    value = worst()
    limit = {"oil_return_stop_ratio": value * 1.01}
    heavy = circuit(RISER, conditions=CONDITIONS, overrides=limit)
    light = circuit(RISER, conditions=CONDITIONS, overrides=limit | {"oil_film_density_kg_m3": 850.0})
    own = circuit(RISER, conditions=CONDITIONS, overrides=limit, film_density_kg_m3=850.0)
    assert [
        bool([one for one in coded(found, "oil_return_short") if one.leg == "l0"]) for found in (heavy, light, own)
    ] == [
        True,
        False,
        False,
    ]
