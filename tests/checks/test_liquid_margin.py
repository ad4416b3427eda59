"""Subcooling left at the end of the liquid line."""

from __future__ import annotations

from dataclasses import replace

import CoolProp
import pytest
from CoolProp import AbstractState

from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.equipment import Equipment, ReceiverKind, Role
from linesizer.domain.finding import Level
from linesizer.domain.part import Part
from linesizer.domain.remedy import AskForSubcooling
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import LineEnd, Service
from tests.checks.limits import assert_words_are_whole, circuit, coded, only
from tests.solver.routes import ORIGIN, chain, condition

LIFT = chain([ORIGIN, (0.0, 0.0, 9.0), (8.0, 0.0, 9.0)], Service.LIQUID, size="7/8")
CONDITIONS = [condition("full", subcooling_K=7.0), condition("low", capacity_W=25e3, condensing_C=32.0, name="Night")]


def left_K() -> float:
    flow = circuit(LIFT, conditions=CONDITIONS).lines[0].flow
    assert flow is not None
    assert flow.outlet_subcooling_K.argmin() == 1
    return float(flow.outlet_subcooling_K.min())


@pytest.mark.parametrize(
    ("rule", "code"),
    [("liquid_margin_stop_K", "flashing_before_valve"), ("liquid_margin_at_valve_K", "liquid_margin_short")],
)
def test_at_just_above_and_just_below_the_limit(rule: str, code: str) -> None:
    raised = [replace(one, subcooling_K=one.subcooling_K + 3.0) for one in CONDITIONS]
    flow = circuit(LIFT, conditions=raised).lines[0].flow
    assert flow is not None
    value = float(flow.outlet_subcooling_K.min())
    assert value > 1.0
    other = {"liquid_margin_at_valve_K": 0.05} if rule == "liquid_margin_stop_K" else {"liquid_margin_stop_K": 0.0}
    for limit, short in ((value + 1e-9, True), (value, False), (value - 1e-9, False)):
        found = circuit(LIFT, conditions=raised, overrides={rule: limit, **other})
        assert bool(coded(found, code)) == short


def test_liquid_that_boils_stops_and_little_reserve_warns() -> None:
    tall = chain([ORIGIN, (0.0, 0.0, 25.0)], Service.LIQUID, size="7/8")
    stop = only(circuit(tall, conditions=CONDITIONS), "flashing_before_valve")
    assert (stop.level, stop.rule, stop.limit, stop.condition) == (Level.STOP, "liquid_margin_stop_K", 0.0, "low")
    assert stop.value is not None
    assert stop.value < 0.0
    assert_words_are_whole(stop)
    assert f"{-stop.value:.2f} K short" in stop.message()
    assert f"{-stop.value * 1.8:.2f} °F short" in stop.message("ip")
    warn = only(
        circuit(LIFT, conditions=CONDITIONS, overrides={"liquid_margin_at_valve_K": 9.0}), "liquid_margin_short"
    )
    assert (warn.level, warn.rule, warn.limit) == (Level.WARN, "liquid_margin_at_valve_K", 9.0)
    assert warn.value == pytest.approx(left_K())
    assert "Night" in warn.message()
    assert_words_are_whole(warn)


def test_the_budget_adds_up() -> None:
    """Subcooling at the start less lift, tube, parts and the liquid's own warming is what is left at the end."""
    found = circuit(LIFT, conditions=CONDITIONS, overrides={"liquid_margin_at_valve_K": 9.0})
    finding = only(found, "liquid_margin_short")
    figures = {name: figure.value for name, figure in finding.figures if not isinstance(figure, str)}
    assert figures["subcooling"] == pytest.approx(6.0, abs=1e-6)
    lost = sum(figures[name] for name in ("lift", "tube", "parts", "gained"))
    assert figures["subcooling"] - lost == pytest.approx(figures["value"], abs=1e-9)
    flow = found.lines[0].flow
    assert flow is not None
    # Taken off first, the tube's share is that of the penalty.
    assert figures["tube"] + figures["parts"] == pytest.approx(flow.saturation_penalty_K[1], rel=1e-6)
    assert figures["lift"] > 10.0 * figures["tube"]


def test_the_subcooling_that_the_words_ask_for_meets_the_limit() -> None:
    """The remedy rounds up to a tenth; colder liquid is denser, which the flow hardly feels."""
    tall = chain([ORIGIN, (0.0, 0.0, 25.0)], Service.LIQUID, size="7/8")
    remedy = only(circuit(tall, conditions=CONDITIONS), "flashing_before_valve").remedy
    assert isinstance(remedy, AskForSubcooling)
    assert remedy.condition == "low"
    cured = [
        replace(one, subcooling_K=remedy.subcooling_K) if one.id == remedy.condition else one for one in CONDITIONS
    ]
    found = circuit(tall, conditions=cured)
    assert not [one for one in coded(found, "flashing_before_valve") if one.condition == "low"]
    assert not [one for one in coded(found, "liquid_margin_short") if one.condition == "low"]
    flow = found.lines[0].flow
    assert flow is not None
    # Enough, and no more than was needed.
    assert 2.0 <= flow.outlet_subcooling_K[1] < 2.0 + 0.4


def test_no_remedy_where_stated_subcooling_is_not_what_the_line_gets() -> None:
    receiver = (Equipment("r", Role.RECEIVER, kind=ReceiverKind.THROUGH),)
    tall = chain([ORIGIN, (0.0, 0.0, 12.0)], Service.LIQUID, size="7/8")
    stop = only(circuit(tall, conditions=CONDITIONS, equipment=receiver), "flashing_before_valve")
    assert stop.remedy is None
    assert_words_are_whole(stop)
    at_line = [replace(one, subcooling_at=SubcoolingAt.LIQUID_LINE) for one in CONDITIONS]
    tall = chain([ORIGIN, (0.0, 0.0, 25.0)], Service.LIQUID, size="7/8")
    stop = only(circuit(tall, conditions=at_line, equipment=receiver), "flashing_before_valve")
    assert isinstance(stop.remedy, AskForSubcooling)


def test_parts_count_in_the_budget() -> None:
    with_valve = chain([ORIGIN, (8.0, 0.0, 0.0)], Service.LIQUID, size="7/8", parts={0: [Part("s", "solenoid_valve")]})
    bare = chain([ORIGIN, (8.0, 0.0, 0.0)], Service.LIQUID, size="7/8")
    flows = [circuit(line).lines[0].flow for line in (bare, with_valve)]
    assert flows[0] is not None
    assert flows[1] is not None
    assert flows[0].outlet_subcooling_K[0] - flows[1].outlet_subcooling_K[0] > 0.3


def test_no_margin_is_asked_of_a_discharge_line() -> None:
    assert not coded(circuit(chain([ORIGIN, (0.0, 0.0, 30.0)])), "flashing_before_valve")


def test_two_liquid_lines_have_a_finding_each() -> None:
    lines = [chain([ORIGIN, (0.0, 0.0, 25.0)], Service.LIQUID, size="7/8", id=name) for name in ("first", "second")]
    found = circuit(*lines, conditions=CONDITIONS)
    assert [one.line for one in coded(found, "flashing_before_valve")] == ["first", "second"]


# --- a receiver at the line's end


def behind(height_m: float, *, subcooling_K: float = 6.0, **overrides: float) -> CircuitResult:
    """Return a job whose liquid line ends in a receiver that stands so high above the unit."""
    line = chain([(0.0, 0.0, 6.0), (0.0, 0.0, height_m), (8.0, 0.0, height_m)], Service.LIQUID, size="7/8")
    line = replace(line, ends=(LineEnd("n2", "tank"),))
    equipment = (
        Equipment("unit", Role.UNIT, at_m=(8.0, 0.0, 0.0)),
        Equipment("tank", Role.RECEIVER, "Tank", kind=ReceiverKind.SURGE, at_m=(8.0, 0.0, height_m)),
    )
    return circuit(line, conditions=[condition(subcooling_K=subcooling_K)], equipment=equipment, overrides=overrides)


def column_K(height_m: float) -> float:
    """What the column behind the receiver gives, by hand: saturated liquid at the line's end, its own bubble line."""
    flow = behind(height_m).lines[0].flow
    assert flow is not None
    saturation = AbstractState("HEOS", "R134a")
    saturation.update(CoolProp.PQ_INPUTS, float(flow.outlet_Pa[0]), 0.0)
    start, density = saturation.T(), saturation.rhomass()
    saturation.update(CoolProp.PQ_INPUTS, float(flow.outlet_Pa[0]) + density * 9.80665 * height_m, 0.0)
    return float(saturation.T() - start)


def test_behind_a_receiver_the_valve_has_its_column_only() -> None:
    """2 m of saturated R134a at 12.0 bar, 1120 kg/m3: 22.0 kPa, 0.71 K, whatever subcooling the line brought."""
    assert column_K(2.0) == pytest.approx(0.71, abs=0.005)
    for subcooling in (6.0, 12.0):
        finding = only(behind(2.0, subcooling_K=subcooling), "receiver_at_line_end")
        assert (finding.level, finding.rule, finding.limit) == (Level.WARN, "liquid_margin_at_valve_K", 2.0)
        assert finding.value == pytest.approx(column_K(2.0), rel=3e-3)
        assert_words_are_whole(finding)
        assert "Tank" in finding.message()
    # The line itself has to bring liquid, and is not judged by the valve's margin.
    little = behind(2.0, subcooling_K=0.3)
    flow = little.lines[0].flow
    assert flow is not None
    assert 0.0 < flow.outlet_subcooling_K[0] < 2.0
    assert not coded(little, "liquid_margin_short")


def test_the_column_at_just_above_and_just_below_the_limit() -> None:
    value = only(behind(2.0), "receiver_at_line_end").value
    assert value is not None
    for limit, short in ((value, False), (value - 1e-9, False), (value + 1e-9, True)):
        assert bool(coded(behind(2.0, liquid_margin_at_valve_K=limit), "receiver_at_line_end")) == short
    assert coded(behind(5.6), "receiver_at_line_end") == []
    assert column_K(5.6) > 2.0


def test_a_receiver_below_the_unit_stops() -> None:
    line = chain(
        [(0.0, 0.0, 6.0), (0.0, 0.0, 0.0), (8.0, 0.0, 0.0)], Service.LIQUID, size="7/8", ends=(LineEnd("n2", "t"),)
    )
    equipment = (
        Equipment("u", Role.UNIT, at_m=(8.0, 0.0, 1.0)),
        Equipment("t", Role.RECEIVER, kind=ReceiverKind.SURGE),
    )
    finding = only(circuit(line, equipment=equipment), "receiver_at_line_end")
    assert (finding.level, finding.rule) == (Level.STOP, "liquid_margin_stop_K")
    assert finding.value is not None
    assert finding.value < 0.0
