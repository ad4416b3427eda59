"""Tube strength against the design pressure."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linesizer.domain.finding import Level
from linesizer.domain.route import Joint, Service
from linesizer.properties.library import load
from linesizer.solver.static_head import GRAVITY
from linesizer.units import STANDARD_ATMOSPHERE_Pa
from tests.checks.limits import assert_words_are_whole, circuit, coded, only
from tests.solver.routes import ORIGIN, chain, condition

LEVEL = chain([ORIGIN, (6.0, 0.0, 0.0)], size="1-3/8")


@pytest.mark.parametrize(("above_Pa", "short"), [(-1.0, False), (1.0, True)])
def test_just_below_and_just_above_the_rating(above_Pa: float, short: bool) -> None:
    rows = circuit(LEVEL).lines[0].sweep
    assert rows is not None
    allowed = float(rows.allowable_gauge_Pa[rows.sizes.index("1-3/8")])
    found = circuit(LEVEL, maximum_pressure_Pa=allowed + STANDARD_ATMOSPHERE_Pa + above_Pa)
    assert bool(coded(found, "rating_short")) == short


def test_what_the_finding_says() -> None:
    finding = only(circuit(LEVEL, maximum_pressure_Pa=4.3e6), "rating_short")
    assert (finding.level, finding.line, finding.leg, finding.rule) == (Level.STOP, "gas", "l0", "rating_temper")
    assert finding.limit == pytest.approx(4.3e6 - STANDARD_ATMOSPHERE_Pa)
    assert finding.value is not None
    assert finding.value < finding.limit
    assert finding.unit == "Pa"
    assert_words_are_whole(finding)
    assert f"{finding.value / 1e5:.2f} bar" in finding.message("si")
    assert f"{finding.value / 6894.757:.1f} psi" in finding.message("ip")
    assert "1-3/8, brazed" in finding.message()
    assert "practice set general" in finding.source
    assert "derived" in finding.source


def test_the_weight_of_the_liquid_counts_at_its_foot() -> None:
    """The design pressure stands at the top of a liquid line; 20 m lower it is higher by the column."""
    down = chain([(0.0, 0.0, 20.0), (5.0, 0.0, 20.0), (5.0, 0.0, 0.0)], Service.LIQUID, size=["1-3/8", "1-1/8"])
    found = circuit(down, maximum_pressure_Pa=6.9e6)
    by_leg = {one.leg: one.limit for one in coded(found, "rating_short")}
    density = float(load("R134a").liquid_pt(found.conditions.liquid_Pa[0], 312.15).density_kg_m3)
    assert by_leg["l0"] == pytest.approx(6.9e6 - STANDARD_ATMOSPHERE_Pa, rel=1e-9)
    assert by_leg["l1"] == pytest.approx(by_leg["l0"] + density * GRAVITY * 20.0, rel=1e-4)


def test_one_finding_for_each_size_and_joint_at_its_worst_leg() -> None:
    points = [(0.0, 0.0, 9.0), (3.0, 0.0, 9.0), (3.0, 0.0, 3.0), (3.0, 0.0, 0.0), (9.0, 0.0, 0.0)]
    line = chain(points, Service.LIQUID, size=["1-3/8", "1-3/8", "1-3/8", "1-1/8"])
    mechanical = replace(line.legs[3], joint=Joint.MECHANICAL)
    line = replace(line, legs=(*line.legs[:3], mechanical))
    found = coded(circuit(line, maximum_pressure_Pa=1.6e7), "rating_short")
    assert sorted(one.leg or "" for one in found) == ["l2", "l3"]
    words = {one.leg: one.message() for one in found}
    assert "brazed" in words["l2"]
    assert "mechanical" in words["l3"]


def test_hot_gas_weakens_the_tube() -> None:
    """Rated at the discharge temperature and 10 K, where that is above the least temperature."""
    cool, hot = (
        circuit(LEVEL, conditions=[condition(discharge_C=at)], maximum_pressure_Pa=1.2e7) for at in (55.0, 135.0)
    )
    at_66, at_145 = only(cool, "rating_short"), only(hot, "rating_short")
    assert "66" in at_66.message()
    assert "145" in at_145.message()
    assert at_145.value < at_66.value  # type: ignore[operator]
    own = circuit(
        LEVEL,
        conditions=[condition(discharge_C=135.0)],
        maximum_pressure_Pa=1.2e7,
        overrides={"rating_temperature_above_discharge_K": 0.0},
    )
    assert "135" in only(own, "rating_short").message()


def test_a_listed_rating_decides_alone() -> None:
    strong = replace(LEVEL, listed_rating_Pa=1.3e7)
    assert not coded(circuit(strong, maximum_pressure_Pa=1.2e7), "rating_short")
    weak = replace(LEVEL, listed_rating_Pa=1e6)
    assert only(circuit(weak), "rating_short").value == 1e6


def test_no_design_pressure_is_said_once_and_nothing_is_rated() -> None:
    """Carbon dioxide has no bubble point at the practice set's 55 C."""
    conditions = [condition(condensing_C=20.0, evaporating_C=-20.0)]
    found = circuit(LEVEL, refrigerant="R744", conditions=conditions)
    finding = only(found, "no_design_pressure")
    assert finding.level is Level.STOP
    assert_words_are_whole(finding)
    assert "55" in finding.message()
    assert "131" in finding.message("ip")
    assert not coded(found, "rating_short")
    stated = circuit(LEVEL, refrigerant="R744", conditions=conditions, maximum_pressure_Pa=9e6)
    assert not coded(stated, "no_design_pressure")
