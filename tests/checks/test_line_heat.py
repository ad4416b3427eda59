"""What heat does on the way: condensing, hot surfaces, sweating, warmed liquid; at and around each limit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.domain.finding import Finding, Level
from linesizer.domain.job import Job, Room
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import Line, Service
from linesizer.evaluate import solve
from linesizer.solver.dew_point import dew_point_C
from tests.checks.limits import assert_words_are_whole, coded, only
from tests.solver.routes import ORIGIN, chain, condition, job

CODES = ("gas_condenses", "hot_to_touch", "liquid_line_sweats", "liquid_warms")


def placed(line: Line, place: str, **changes: Any) -> Line:
    return replace(line, legs=tuple(replace(leg, place=place, **changes) for leg in line.legs))


def made(
    line: Line,
    *,
    heat: bool = True,
    room_C: float | None = 30.0,
    overrides: dict[str, float] | None = None,
    **changes: Any,
) -> Job:
    one = condition(name="Summer", **({"ambient_C": -20.0} | changes))
    plain = job(line, conditions=[one], heat_exchange=heat, overrides=overrides or {})
    return replace(plain, site=replace(plain.site, rooms=(Room("plant", name="Plant", ambient_C=room_C),)))


def found(line: Line, code: str, **changes: Any) -> list[Finding]:
    return coded(solve(made(line, **changes)).circuits[0], code)


def circuit(line: Line, **changes: Any) -> CircuitResult:
    return solve(made(line, **changes)).circuits[0]


GAS = chain([ORIGIN, (0.0, 0.0, 3.0), (6.0, 0.0, 3.0)])
LIQUID = chain([(0.0, 0.0, 5.0), ORIGIN, (12.0, 0.0, 0.0)], Service.LIQUID, size="7/8")


def test_nothing_is_said_of_lines_that_keep_their_heat() -> None:
    long = placed(chain([ORIGIN, (60.0, 0.0, 0.0)]), "outdoor")
    for line in (long, placed(LIQUID, "plant")):
        result = circuit(line, heat=False, capacity_W=10e3)
        assert not any(coded(result, code) for code in CODES)


def test_hot_surfaces_at_just_above_and_just_below_the_limit() -> None:
    """Bare tube in a room: its surface has the gas's own temperature, hottest where it leaves the compressor."""
    line = placed(GAS, "plant")
    hottest = float(circuit(line).conditions.discharge_C[0])
    for limit, hot in ((hottest + 1e-6, False), (hottest - 1e-6, True)):
        assert bool(found(line, "hot_to_touch", overrides={"touch_temperature_C": limit})) == hot
    (finding,) = found(line, "hot_to_touch")
    assert (finding.leg, finding.level, finding.limit) == ("l0", Level.WARN, 60.0)
    assert finding.value == pytest.approx(hottest, abs=1e-6)
    assert_words_are_whole(finding)
    assert "Plant" in finding.message()
    assert "140.0 °F" in finding.message("ip")


def test_insulation_makes_it_safe_to_touch() -> None:
    assert found(placed(GAS, "plant", insulation_m=0.013), "hot_to_touch") == []
    # One bare leg is enough to burn.
    mixed = placed(GAS, "plant", insulation_m=0.013)
    mixed = replace(mixed, legs=(mixed.legs[0], replace(mixed.legs[1], insulation_m=0.0)))
    (finding,) = found(mixed, "hot_to_touch")
    assert finding.leg == "l1"


def test_gas_that_condenses_in_the_cold_warns_once_a_line() -> None:
    long = placed(chain([ORIGIN, (30.0, 0.0, 0.0), (60.0, 0.0, 0.0)]), "outdoor")
    (finding,) = found(long, "gas_condenses", capacity_W=12e3, condensing_C=30.0)
    assert (finding.level, finding.condition, finding.leg) == (Level.WARN, "full", None)
    assert_words_are_whole(finding)
    assert found(long, "gas_condenses", capacity_W=12e3, condensing_C=30.0, ambient_C=31.0) == []


def test_a_cold_liquid_line_sweats_below_the_dew_point() -> None:
    """Saturated at 20 C with 6 K of subcooling, the liquid stands at 14 C; air of 30 C and 60 % drops at 21.4 C."""
    line = placed(LIQUID, "plant")
    cold = {"condensing_C": 20.0}
    (finding,) = found(line, "liquid_line_sweats", **cold)
    assert (finding.level, finding.rule, finding.leg) == (Level.NOTE, "air_humidity", "l0")
    assert finding.value == pytest.approx(14.0, abs=0.1)
    assert finding.limit == pytest.approx(21.4, abs=0.1)
    assert finding.limit == float(dew_point_C(30.0, 0.6))
    assert_words_are_whole(finding)
    assert "60 %" in finding.message()
    # The humidity at which its dew point is the liquid's temperature divides the verdicts.
    low, high = 0.05, 0.6
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if float(dew_point_C(30.0, middle)) < float(finding.value or 0.0) else (low, middle)
    assert found(line, "liquid_line_sweats", overrides={"air_humidity": low - 1e-9}, **cold) == []
    assert len(found(line, "liquid_line_sweats", overrides={"air_humidity": high + 1e-9}, **cold)) == 1


def test_what_is_insulated_outdoors_or_in_unknown_air_does_not_sweat() -> None:
    cold = {"condensing_C": 20.0, "ambient_C": 35.0}
    assert found(placed(LIQUID, "plant", insulation_m=0.013), "liquid_line_sweats", **cold) == []
    assert found(placed(LIQUID, "outdoor"), "liquid_line_sweats", **cold) == []
    assert found(placed(LIQUID, "plant"), "liquid_line_sweats", room_C=None, **cold) == []


def test_warmed_liquid_at_just_above_and_just_below_the_limit() -> None:
    line = placed(LIQUID, "plant")
    warm: dict[str, Any] = {"room_C": 55.0, "capacity_W": 5e3}
    flow = circuit(line, **warm).lines[0].flow
    assert flow is not None
    assert flow.budget is not None
    gained = float(flow.budget.heat_K[0])
    assert gained > 1.0
    for limit, said in ((gained, False), (gained + 1e-9, False), (gained - 1e-9, True)):
        assert bool(found(line, "liquid_warms", overrides={"liquid_warming_K": limit}, **warm)) == said
    finding = only(circuit(line, **warm), "liquid_warms")
    assert (finding.level, finding.value) == (Level.NOTE, gained)
    assert_words_are_whole(finding)
    # Air colder than the liquid gives some subcooling back.
    assert found(line, "liquid_warms", room_C=10.0, capacity_W=15e3) == []
