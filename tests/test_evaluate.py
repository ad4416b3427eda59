"""A whole circuit: what the conditions mean, what hangs together, and what is not calculated."""

from __future__ import annotations

import json
from typing import Any

import CoolProp
import numpy as np
import pytest
from CoolProp import AbstractState

from linesizer.domain.circuit import Circuit, HeadPressureControl, HeadPressureControlKind, TemperatureBasis
from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.equipment import Equipment, ReceiverKind, Role
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import DoubleRiser, Leg, Line, LineEnd, Node, Service
from linesizer.errors import UserError
from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.solver.static_head import GRAVITY
from linesizer.units import atmospheric_pressure_Pa
from tests.solver.routes import ORIGIN, chain, condition, job

UP = [ORIGIN, (0.0, 0.0, 6.0), (8.0, 0.0, 6.0)]
DOWN = [(8.0, 1.0, 6.0), (8.0, 1.0, 1.0), (1.0, 1.0, 1.0)]


def circuit(*lines: Line, **changes: Any) -> CircuitResult:
    return solve(job(*lines, **changes)).circuits[0]


def gas(**changes: Any) -> Line:
    return chain(UP, Service.DISCHARGE, **changes)


def liquid(**changes: Any) -> Line:
    return chain(DOWN, Service.LIQUID, **({"size": "7/8"} | changes))


def condenser(**changes: Any) -> Equipment:
    return Equipment("cond", Role.CONDENSER, **changes)


def receiver(**changes: Any) -> Equipment:
    return Equipment("rec", Role.RECEIVER, **({"kind": ReceiverKind.THROUGH} | changes))


# --- conditions


@pytest.mark.parametrize("bypass", [0.0, 0.2, 0.5])
@pytest.mark.parametrize("lines", [(), (gas(),)], ids=["no line", "with its line"])
def test_energy_closes_at_any_bypass(bypass: float, lines: tuple[Line, ...]) -> None:
    """Cooling = liquid's rise to the evaporator's outlet less the hot gas; all heat in leaves in the condenser."""
    one = condition(bypass=bypass, suction_heat_K=4.0)
    found = circuit(*lines, conditions=[one]).conditions
    table = load("R134a")
    outlet_K = float(table.dew_temperature(found.evaporating_Pa[0])) + 8.0
    outlet, suction = (
        float(table.vapour_pt(found.evaporating_Pa[0], at).enthalpy_J_kg) for at in (outlet_K, outlet_K + 4.0)
    )
    line, compressor = found.mass_flow_kg_s[0], found.compressor_flow_kg_s[0]
    hot, cold = found.discharge_J_kg[0], found.liquid_J_kg[0]
    assert compressor * (1.0 - bypass) == pytest.approx(line, rel=1e-12)
    cooling_W = line * (outlet - cold) - bypass * compressor * (hot - outlet)
    assert cooling_W == pytest.approx(60e3, rel=1e-9)
    gained_W = compressor * (suction - outlet)
    assert found.compressor_W[0] == pytest.approx(compressor * (hot - suction), rel=1e-9)
    assert 60e3 + gained_W + found.compressor_W[0] == pytest.approx(found.heat_rejection_W[0], rel=1e-9)
    assert found.electric_W[0] == pytest.approx(found.compressor_W[0] / 0.92, rel=1e-12)


def test_bypass_by_hand() -> None:
    """Round enthalpies of R134a, -5 / 45 C: the balance m = Q / [(h2 - h3) - (h2 - h1) / (1 - b)] at b = 0.25."""
    found = circuit(conditions=[condition(bypass=0.25)]).conditions
    state = AbstractState("HEOS", "R134a")

    def enthalpy(pair: int, one: float, two: float) -> float:
        state.update(pair, one, two)
        return float(state.hmass())

    state.update(CoolProp.QT_INPUTS, 1.0, 268.15)
    evaporating = state.p()
    state.update(CoolProp.QT_INPUTS, 1.0, 318.15)
    condensing = state.p()
    outlet = enthalpy(CoolProp.PT_INPUTS, evaporating, 276.15)
    entropy = state.smass()
    ideal = enthalpy(CoolProp.PSmass_INPUTS, condensing, entropy)
    hot = outlet + (ideal - outlet) / 0.68
    cold = enthalpy(CoolProp.PT_INPUTS, condensing, 312.15)
    line = 60e3 / ((hot - cold) - (hot - outlet) / 0.75)
    assert found.mass_flow_kg_s[0] == pytest.approx(line, rel=5e-4)
    assert found.compressor_flow_kg_s[0] == pytest.approx(line / 0.75, rel=5e-4)


def test_a_stated_discharge_temperature_holds_at_the_pressure_there() -> None:
    found = circuit(gas(size="7/8"), conditions=[condition(discharge_C=88.0), condition("free")])
    conditions = found.conditions
    assert conditions.discharge_C[0] == pytest.approx(88.0, abs=2e-3)
    assert abs(conditions.discharge_C[1] - 88.0) > 1.0
    assert conditions.discharge_Pa[0] > conditions.condensing_Pa[0] + 5e4
    expected = load("R134a").vapour_pt(conditions.discharge_Pa[0], 361.15).enthalpy_J_kg
    assert conditions.discharge_J_kg[0] == pytest.approx(float(expected), rel=1e-5)


def test_all_conditions_with_a_stated_discharge_temperature() -> None:
    both = [condition("a", discharge_C=88.0), condition("b", discharge_C=75.0)]
    np.testing.assert_allclose(circuit(gas(), conditions=both).conditions.discharge_C, [88.0, 75.0], atol=2e-3)


def test_midpoint_temperatures_of_a_blend() -> None:
    """R407C, pseudo-pure: the pressure at which the mean of bubble and dew temperature is what was stated."""
    state = AbstractState("HEOS", "R407C")
    found = circuit(refrigerant="R407C", temperature_basis=TemperatureBasis.MIDPOINT).conditions
    for pressure, stated in ((found.evaporating_Pa[0], 268.15), (found.condensing_Pa[0], 318.15)):
        temperatures = []
        for quality in (0.0, 1.0):
            state.update(CoolProp.PQ_INPUTS, pressure, quality)
            temperatures.append(state.T())
        assert sum(temperatures) / 2.0 == pytest.approx(stated, abs=1e-3)
    dew = circuit(refrigerant="R407C").conditions
    assert found.condensing_Pa[0] > 1.05 * dew.condensing_Pa[0]


def test_midpoint_is_the_dew_point_of_a_pure_refrigerant() -> None:
    plain, midpoint = (circuit(temperature_basis=basis).conditions for basis in TemperatureBasis)
    np.testing.assert_allclose(plain.condensing_Pa, midpoint.condensing_Pa, rtol=1e-5)


def test_leaving_fluid_and_approach_are_an_evaporating_temperature() -> None:
    entered = condition(leaving_fluid_C=2.5, approach_K=7.5)
    assert entered.evaporating_C is None
    expected, found = circuit(conditions=[condition()]).conditions, circuit(conditions=[entered]).conditions
    assert found.evaporating_Pa[0] == expected.evaporating_Pa[0]
    assert found.mass_flow_kg_s[0] == expected.mass_flow_kg_s[0]


def test_a_conditions_own_efficiency_goes_before_the_compressors() -> None:
    both = circuit(conditions=[condition("a"), condition("b", isentropic_efficiency=0.8)]).conditions
    assert both.compressor_W[1] == pytest.approx(both.compressor_W[0] * 0.68 / 0.8, rel=1e-6)


# --- condenser, receiver, start of the liquid line


def test_the_condensers_own_drop_goes_with_the_flow_squared() -> None:
    conditions = [condition("full"), condition("low", capacity_W=30e3)]
    found = circuit(liquid(), conditions=conditions, equipment=(condenser(drop_Pa=40e3, at_kg_s=0.5),)).conditions
    drop = found.condensing_Pa - found.liquid_Pa
    np.testing.assert_allclose(drop, 40e3 * (found.mass_flow_kg_s / 0.5) ** 2, rtol=1e-6)
    # The stated subcooling is below the bubble point of the pressure that is left.
    bubble_C = load("R134a").bubble_temperature(found.liquid_Pa) - 273.15
    np.testing.assert_allclose(bubble_C - found.liquid_C, 6.0, atol=1e-6)


def test_a_constant_drop_of_the_condenser_and_none() -> None:
    stated = circuit(liquid(), equipment=(condenser(drop_Pa=25e3),)).conditions
    assert stated.condensing_Pa[0] - stated.liquid_Pa[0] == pytest.approx(25e3, rel=1e-9)
    assert circuit(liquid(), equipment=(condenser(),)).conditions.liquid_Pa[0] == stated.condensing_Pa[0]


def test_liquid_is_saturated_behind_a_through_receiver() -> None:
    stated = circuit(liquid(), equipment=(receiver(), condenser(drop_Pa=25e3)))
    bubble_C = float(load("R134a").bubble_temperature(stated.conditions.liquid_Pa[0])) - 273.15
    assert stated.conditions.liquid_C[0] == pytest.approx(bubble_C, abs=1e-6)
    flow = stated.lines[0].flow
    assert flow is not None
    plain = circuit(liquid(), equipment=(condenser(drop_Pa=25e3),)).lines[0].flow
    assert plain is not None
    assert plain.outlet_subcooling_K[0] - flow.outlet_subcooling_K[0] == pytest.approx(6.0, abs=0.2)


@pytest.mark.parametrize(
    ("equipment", "at"),
    [
        (receiver(kind=ReceiverKind.SURGE), SubcoolingAt.CONDENSER),
        (receiver(), SubcoolingAt.LIQUID_LINE),
    ],
    ids=["surge receiver", "stated at the liquid line"],
)
def test_liquid_keeps_its_subcooling_otherwise(equipment: Equipment, at: SubcoolingAt) -> None:
    found = circuit(liquid(), conditions=[condition(subcooling_at=at)], equipment=(equipment,)).conditions
    assert found.liquid_C[0] == pytest.approx(39.0, abs=1e-3)


def test_the_liquids_pressure_and_subcooling_along_a_falling_line() -> None:
    """5 m of fall give the column of liquid back as pressure and as subcooling."""
    flow = circuit(liquid(size="2-1/8")).lines[0].flow
    assert flow is not None
    table = load("R134a")
    density = float(table.liquid_pt(flow.inlet_Pa[0], 312.15).density_kg_m3)
    assert flow.static_Pa[0] == pytest.approx(-density * GRAVITY * 5.0, rel=1e-3)
    assert flow.outlet_subcooling_K[0] > 6.0
    assert flow.outlet_vapour_fraction[0] == 0.0


def test_liquid_that_boils_shows_by_how_much() -> None:
    """Saturated liquid 12 m up: the fraction of vapour from the enthalpy, the temperature between bubble and dew."""
    climbing = chain([ORIGIN, (0.0, 0.0, 12.0)], Service.LIQUID, size="1-1/8")
    found = circuit(climbing, conditions=[condition(subcooling_K=0.0)], refrigerant="R407C")
    flow = found.lines[0].flow
    assert flow is not None
    table = load("R407C")
    assert flow.outlet_subcooling_K[0] < -1.0
    enthalpy = found.conditions.liquid_J_kg[0]
    bubble, dew = (
        float(state(flow.outlet_Pa[0]).enthalpy_J_kg) for state in (table.saturated_liquid, table.saturated_vapour)
    )
    fraction = (enthalpy - bubble) / (dew - bubble)
    assert 0.0 < fraction < 0.1
    assert flow.outlet_vapour_fraction[0] == pytest.approx(fraction, rel=1e-9)
    low, high = (float(line(flow.outlet_Pa[0])) - 273.15 for line in (table.bubble_temperature, table.dew_temperature))
    assert low < flow.outlet_C[0] < high


# --- what the parts list makes of the line


def test_default_parts_hold_at_the_greatest_flow() -> None:
    """A solenoid valve counts with its practice drop at the greatest flow and with the flow squared below it."""
    conditions = [condition("low", capacity_W=20e3), condition("full")]
    found = circuit(liquid(parts={0: [Part("s", "solenoid_valve")]}), conditions=conditions)
    flow = found.lines[0].flow
    assert flow is not None
    np.testing.assert_allclose(flow.parts_Pa, [14e3 / 9.0, 14e3], rtol=1e-6)
    assert flow.tube_penalty_K[1] < flow.saturation_penalty_K[1] - 0.2


@pytest.mark.parametrize(
    ("kind", "at_full_Pa", "k"),
    [("oil_separator", 15e3, None), ("regulator", 14e3, None), ("strainer", None, 2.0), ("relief_valve", 0.0, None)],
)
def test_each_form_of_a_default_loss(kind: str, at_full_Pa: float | None, k: float | None) -> None:
    """A drop holds at the greatest flow and goes with the flow squared; a K counts on the leg's velocity head."""
    conditions = [condition("low", capacity_W=20e3), condition("full")]
    found = circuit(liquid(parts={0: [Part("p", kind)]}), conditions=conditions)
    legs, flow = found.lines[0].legs, found.conditions.mass_flow_kg_s
    assert legs is not None
    if k is not None:
        density = legs.density_kg_m3[0]
        expected = k * 0.5 * density * (flow / density / (0.25 * np.pi * legs.inner_diameter_m[0] ** 2)) ** 2
    else:
        assert at_full_Pa is not None
        expected = at_full_Pa * (flow / flow[1]) ** 2
    np.testing.assert_allclose(legs.parts_Pa[0], expected, rtol=1e-6)


@pytest.mark.parametrize(
    ("loss", "expected_Pa"),
    [
        (PartLoss(drop_Pa=5e3), 5e3),
        (PartLoss(drop_Pa=5e3, at_kg_s=0.2), None),
        (PartLoss(k=3.0), None),
        (PartLoss(equivalent_length_m=4.0), None),
        (PartLoss(kv_m3_h=8.0), None),
    ],
)
def test_each_form_of_a_stated_loss(loss: PartLoss, expected_Pa: float | None) -> None:
    found = circuit(liquid(parts={1: [Part("p", "ball_valve", loss=loss)]}))
    legs, flow = found.lines[0].legs, found.conditions.mass_flow_kg_s[0]
    assert legs is not None
    density, bore = legs.density_kg_m3[1, 0], legs.inner_diameter_m[1]
    head = 0.5 * density * (flow / density / (0.25 * np.pi * bore**2)) ** 2
    if loss.k is not None:
        expected_Pa = loss.k * head
    elif loss.equivalent_length_m is not None:
        expected_Pa = legs.friction_factor[1, 0] * 4.0 / bore * head
    elif loss.kv_m3_h is not None:
        expected_Pa = 1e5 * density / 1000.0 * (3600.0 * flow / density / 8.0) ** 2
    elif loss.at_kg_s is not None:
        expected_Pa = 5e3 * (flow / 0.2) ** 2
    assert legs.parts_Pa[1, 0] == pytest.approx(expected_Pa, rel=1e-6)
    assert legs.parts_Pa[0, 0] == 0.0


RE_MOVES = 1e-4
"""Another fitting moves the drop, with it the gas and its Reynolds number, a little."""


def bends_m(line: Line) -> list[float]:
    legs = circuit(line).lines[0].legs
    assert legs is not None
    return legs.fitting_length_m[:, 0].tolist()


def test_the_leg_that_leaves_a_node_owns_its_bend() -> None:
    none, bend = bends_m(gas())
    assert none == 0.0
    assert bend > 0.3
    assert bends_m(gas(fittings={"n1": "none"})) == [0.0, 0.0]
    # A trap: three long elbows and six bores of tube.
    _, trap = bends_m(gas(fittings={"n1": "trap"}))
    assert trap == pytest.approx(3.0 * bend + 6.0 * 1.265 * 0.0254, rel=RE_MOVES)


def test_what_stands_at_an_end_belongs_to_the_leg_there() -> None:
    plain = bends_m(gas())
    first, last = bends_m(gas(fittings={"n0": "elbow_90_long", "n2": "elbow_90_long"}))
    assert first == pytest.approx(plain[1], rel=RE_MOVES)
    assert last == pytest.approx(2.0 * plain[1], rel=RE_MOVES)


def test_an_inverted_loop_adds_four_elbows_and_its_rise_twice() -> None:
    bend = bends_m(gas())[1]
    _, loop = bends_m(gas(fittings={"n2": "loop"}, id="gas"))
    assert loop - bend == pytest.approx(4.0 * bend + 2.0 * 0.15, rel=RE_MOVES)


# --- oil, pressure, charge


def test_the_film_is_lighter_for_mineral_oil_with_ammonia() -> None:
    def ratio(**changes: Any) -> float:
        legs = circuit(gas(tube="ASME-B36.10-40", size="1-1/2"), refrigerant="R717", **changes).lines[0].legs
        assert legs is not None
        assert np.isnan(legs.oil_return_ratio[1, 0])
        return float(legs.oil_return_ratio[0, 0])

    assert ratio(oil="MO") > 1.04 * ratio(oil="PAO")
    assert ratio(film_density_kg_m3=850.0) == pytest.approx(ratio(oil="mineral"), rel=1e-12)


def test_a_leg_is_judged_by_oil_return_above_one_in_fifty() -> None:
    points = [ORIGIN, (10.0, 0.0, 0.19), (20.0, 0.0, 0.41), (20.0, 0.0, -3.0)]
    legs = circuit(chain(points)).lines[0].legs
    assert legs is not None
    assert legs.climbs.tolist() == [False, True, False]
    assert np.isfinite(legs.oil_return_ratio[1, 0])
    assert legs.minimum_velocity_m_s[1, 0] * legs.oil_return_ratio[1, 0] == pytest.approx(legs.velocity_m_s[1, 0])
    flowing = circuit(chain(points, Service.LIQUID)).lines[0].legs
    assert flowing is not None
    assert not flowing.climbs.any()


def equipment() -> tuple[Equipment, ...]:
    return (
        Equipment("unit", Role.UNIT, operating_kg=4.0, holds_kg=1.5),
        condenser(volume_m3=0.03, mean_liquid_fraction=0.2),
        receiver(kind=ReceiverKind.SURGE, volume_m3=0.05, operating_fill=0.3),
    )


def test_the_charge_by_hand() -> None:
    conditions = [condition("full"), condition("low", capacity_W=20e3, condensing_C=30.0)]
    found = circuit(gas(), liquid(), conditions=conditions, equipment=equipment())
    table, charge = load("R134a"), found.charge
    per_condition = np.zeros(2)
    for line in found.lines:
        assert line.legs is not None
        assert line.flow is not None
        area = 0.25 * np.pi * line.legs.inner_diameter_m**2
        per_condition += ((area * line.legs.length_m)[:, None] * line.legs.density_kg_m3).sum(axis=0)
        np.testing.assert_allclose(line.flow.charge_kg, line.legs.charge_kg.sum(axis=0), rtol=1e-12)
    at = found.conditions.condensing_Pa
    heavy, light = table.saturated_liquid(at).density_kg_m3, table.saturated_vapour(at).density_kg_m3
    vessels = 4.0 + 0.03 * (0.2 * heavy + 0.8 * light) + 0.05 * (0.3 * heavy + 0.7 * light)
    needed = per_condition + vessels
    # Liquid is denser when it is colder.
    assert needed.argmax() == 1
    assert charge.condition == "low"
    assert charge.lines_kg == pytest.approx(per_condition[1], rel=1e-9)
    assert charge.equipment_kg == pytest.approx(vessels[1], rel=1e-9)
    assert charge.total_kg == pytest.approx(needed[1], rel=1e-9)
    assert charge.held_kg == 1.5
    assert charge.to_add_kg == pytest.approx(needed[1] - 1.5, rel=1e-9)
    assert charge.flooding_kg == 0.0
    # Quadrature of 3 % of the lines, 10 % of the equipment and liquid 5 K colder.
    colder, there = (
        float(table.liquid_pt(found.conditions.liquid_Pa[1], found.conditions.liquid_C[1] + 273.15 - by).density_kg_m3)
        for by in (5.0, 0.0)
    )
    liquid_kg = found.lines[1].flow.charge_kg[1]  # type: ignore[union-attr]
    terms = 0.03 * per_condition[1], 0.1 * vessels[1], liquid_kg * (colder / there - 1.0)
    band = float(np.sqrt(sum(term**2 for term in terms)))
    assert charge.high_kg == pytest.approx(needed[1] + band, rel=1e-6)
    assert charge.low_kg == pytest.approx(needed[1] - band, rel=1e-6)


def test_the_charge_at_the_condition_that_the_circuit_names() -> None:
    conditions = [condition("full"), condition("low", capacity_W=20e3, condensing_C=30.0)]
    found = circuit(gas(), liquid(), conditions=conditions, equipment=equipment(), charge_condition="full")
    assert found.charge.condition == "full"
    row = solve(job(gas(), liquid(), conditions=conditions, equipment=equipment(), charge_condition="full")).as_dict()
    assert row["circuits"][0]["charge"]["condition"] == "full"
    flow = found.lines[1].flow
    assert flow is not None
    assert row["circuits"][0]["lines"][1]["charge_kg"] == flow.charge_kg[0] != flow.charge_kg[1]


def test_what_is_held_beyond_the_need_is_not_added() -> None:
    holds = Equipment("unit", Role.UNIT, operating_kg=4.0, holds_kg=50.0)
    assert circuit(gas(), liquid(), equipment=(holds,)).charge.to_add_kg == 0.0


def test_the_design_pressure_is_gauge_by_the_altitude() -> None:
    def demand(**changes: Any) -> float:
        found = circuit(gas(size="4-1/8"), refrigerant="R410A", **changes)
        (short,) = (finding for finding in found.findings if finding.code == "rating_short" and finding.leg == "l0")
        assert short.limit is not None
        return short.limit

    bubble = float(load("R410A").bubble_pressure(328.15))
    assert demand() == pytest.approx(bubble - 101325.0, rel=1e-6)
    assert demand(altitude_m=2000.0) == pytest.approx(bubble - float(atmospheric_pressure_Pa(2000.0)), rel=1e-6)
    assert demand(maximum_pressure_Pa=4.2e6) == pytest.approx(4.2e6 - 101325.0, rel=1e-9)


# --- several lines


def test_several_lines_of_a_service() -> None:
    """The compressor works against the discharge line that asks most; every liquid line starts alike."""
    wide, narrow = gas(id="wide", size="2-1/8"), gas(id="narrow", size="7/8")
    found = circuit(wide, narrow, liquid(id="a"), liquid(id="b", size="1-1/8"))
    flows = {line.line.id: line.flow for line in found.lines}
    assert found.conditions.discharge_Pa[0] == flows["narrow"].inlet_Pa[0] > flows["wide"].inlet_Pa[0]  # type: ignore[union-attr]
    assert flows["wide"].outlet_Pa[0] == flows["narrow"].outlet_Pa[0] == found.conditions.condensing_Pa[0]  # type: ignore[union-attr]
    assert flows["a"].inlet_Pa[0] == flows["b"].inlet_Pa[0] == found.conditions.liquid_Pa[0]  # type: ignore[union-attr]


# --- what is not calculated


def branched() -> Line:
    plain = gas()
    nodes = (*plain.nodes, Node("n3", (0.0, 5.0, 6.0)))
    return Line("gas", Service.DISCHARGE, nodes, (*plain.legs, Leg("l2", "n1", "n3", size="1-3/8")))


def double_riser() -> Line:
    plain = gas()
    riser = Leg("l0", "n0", "n1", double_riser=DoubleRiser("7/8", "1-3/8", 0.3))
    return Line("gas", Service.DISCHARGE, plain.nodes, (riser, plain.legs[1]))


def stops(found: CircuitResult) -> list[tuple[str | None, str | None]]:
    return [(finding.line, finding.leg) for finding in found.findings if finding.code == "not_calculated"]


@pytest.mark.parametrize(
    ("line", "place"),
    [
        (branched(), ("gas", None)),
        (double_riser(), ("gas", "l0")),
        (chain(DOWN, Service.DRAIN), ("drain", None)),
        (chain(UP, Service.SUCTION), ("suction", None)),
    ],
    ids=["branched", "double riser", "drain", "suction"],
)
def test_lines_that_are_not_calculated_stay_empty(line: Line, place: tuple[str, str | None]) -> None:
    result = solve(job(line, liquid()))
    found = result.circuits[0]
    assert place in stops(found)
    assert found.lines[0].legs is found.lines[0].flow is found.lines[0].sweep is None
    assert found.charge.total_kg is found.charge.lines_kg is None
    row = json.loads(json.dumps(result.as_dict(), allow_nan=False))["circuits"][0]["lines"][0]
    assert (row["legs"], row["by_condition"], row["sizes"]) == ([], [], [])
    assert row["charge_kg"] is row["equivalent_length_m"] is row["volume_m3"] is None
    assert row["length_m"] > 0.0
    # The other line is there as ever.
    assert found.lines[1].flow is not None


def test_a_leg_without_a_size_has_a_sweep_and_no_figures() -> None:
    found = circuit(gas(size=[None, "1-3/8"]), liquid())
    assert stops(found) == [("gas", "l0")]
    line = found.lines[0]
    assert line.legs is line.flow is None
    assert line.sweep is not None
    assert None in line.sweep.excluded_by
    assert circuit(gas(size=[None, "1-3/8"], default_size="1-5/8"), liquid()).lines[0].legs.sizes == ("1-5/8", "1-3/8")  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"heat_exchange": True}, "Heat exchange"),
        ({"head_pressure_control": HeadPressureControl(HeadPressureControlKind.FLOODING)}, "floods"),
        ({"equipment": (Equipment("s", Role.SUBCOOLER, "Cooler {x}"),)}, "Cooler {x}"),
        ({"equipment": (condenser(), Equipment("c2", Role.CONDENSER))}, "2 condensers"),
    ],
)
def test_what_a_circuit_states_and_is_left_out_stops(changes: dict[str, Any], word: str) -> None:
    found = circuit(gas(), liquid(), **changes)
    (stop,) = (finding for finding in found.findings if finding.code == "not_calculated")
    assert word in stop.message()
    assert word in stop.message("ip")
    assert stop.level == "stop"
    assert found.lines[0].flow is not None


def test_flooding_leaves_the_total_open() -> None:
    control = HeadPressureControl(HeadPressureControlKind.FLOODING)
    charge = circuit(gas(), liquid(), head_pressure_control=control).charge
    assert charge.flooding_kg is charge.total_kg is charge.to_add_kg is charge.low_kg is charge.high_kg is None
    assert charge.lines_kg is not None


def test_a_receiver_at_the_end_of_a_liquid_line_stops() -> None:
    found = circuit(gas(), liquid(ends=(LineEnd("n2", "rec"),)), equipment=(receiver(name="Tank {"),))
    (stop,) = (finding for finding in found.findings if finding.code == "not_calculated")
    assert "Tank {" in stop.message()
    at_start = circuit(gas(), liquid(ends=(LineEnd("n0", "rec"),)), equipment=(receiver(),))
    assert stops(at_start) == []


@pytest.mark.parametrize("service", Service)
def test_a_line_without_legs_is_no_trouble(service: Service) -> None:
    result = solve(job(Line("new", service, (), ()), liquid()))
    json.dumps(result.as_dict(), allow_nan=False)
    assert result.circuits[0].lines[0].flow is None
    assert result.circuits[0].conditions.discharge_Pa[0] == result.circuits[0].conditions.condensing_Pa[0]


# --- what cannot be


def test_a_line_that_cannot_pass_the_flow_leaves_open_what_hangs_on_it() -> None:
    """The other condition, the flow and the liquid line do not suffer."""
    conditions = [condition("full", capacity_W=400e3), condition("low", capacity_W=4e3)]
    result = solve(job(gas(size="1/2"), liquid(), conditions=conditions))
    found = result.circuits[0]
    flow, other = found.lines[0].flow, found.lines[1].flow
    assert flow is not None
    assert other is not None
    assert flow.passes_flow.tolist() == [False, True]
    for name in ("drop_Pa", "saturation_penalty_K", "inlet_Pa", "outlet_C", "charge_kg"):
        assert np.isfinite(getattr(flow, name)).tolist() == [False, True], name
    for name in ("discharge_C", "discharge_Pa", "discharge_J_kg", "compressor_W", "electric_W", "heat_rejection_W"):
        assert np.isfinite(getattr(found.conditions, name)).tolist() == [False, True], name
    assert np.isfinite(found.conditions.mass_flow_kg_s).all()
    assert np.isfinite(other.drop_Pa).all() == other.passes_flow.all()
    row = json.loads(json.dumps(result.as_dict(), allow_nan=False))
    assert row["circuits"][0]["conditions"][0]["compressor_W"] is None
    assert "flow_does_not_pass" in {finding.code for finding in found.findings}


def test_where_a_line_cannot_pass_the_flow_it_is_that_of_a_compressor_without_it() -> None:
    """Flow and liquid hang on the discharge gas through a bypass, and on each other through the condenser's drop."""
    changes: dict[str, Any] = {
        "conditions": [condition(bypass=0.5)],
        "equipment": (condenser(drop_Pa=40e3, at_kg_s=0.5),),
    }
    blocked = circuit(gas(size="3/8"), liquid(), **changes)
    alone = circuit(liquid(), **changes)
    assert blocked.lines[0].flow is not None
    assert not blocked.lines[0].flow.passes_flow.any()
    assert blocked.conditions.mass_flow_kg_s[0] == alone.conditions.mass_flow_kg_s[0]
    assert blocked.conditions.liquid_Pa[0] == alone.conditions.liquid_Pa[0] < alone.conditions.condensing_Pa[0]
    assert blocked.conditions.compressor_flow_kg_s[0] == alone.conditions.compressor_flow_kg_s[0]
    assert blocked.lines[1].flow.drop_Pa[0] == alone.lines[0].flow.drop_Pa[0]  # type: ignore[union-attr]


def test_hot_gas_that_a_drop_heats_beyond_all_cooling_is_a_flow_that_does_not_pass() -> None:
    """At 0.7 of bypass some cooling is left against the condensing pressure, none against what a small tube asks."""
    found = circuit(gas(size="4-1/8"), conditions=[condition(bypass=0.7, evaporating_C=2.0)])
    assert found.lines[0].flow is not None
    assert found.lines[0].flow.passes_flow.all()
    assert found.lines[0].sweep is not None
    assert found.lines[0].sweep.excluded_by[0] == "flow_does_not_pass"


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("CYCLE-01", {"bypass": 0.9}),
        ("CYCLE-03", {"isentropic_efficiency": 0.2}),
        ("CYCLE-04", {"subcooling_K": 100.0}),
        ("PROP-04", {"superheat_K": 150.0}),
        ("PROP-04", {"superheat_K": 80.0, "suction_heat_K": 60.0}),
        ("PROP-04", {"discharge_C": 30.0}),
        ("PROP-04", {"discharge_C": 240.0}),
        ("PROP-02", {"condensing_C": 110.0}),
        ("PROP-03", {"evaporating_C": -70.0}),
    ],
)
def test_what_the_table_does_not_reach_is_refused_by_name(code: str, changes: dict[str, Any]) -> None:
    with pytest.raises(UserError) as caught:
        circuit(gas(), conditions=[condition("fine"), condition("k2", name="Winter night", **changes)])
    assert caught.value.code == code
    assert "Winter night" in str(caught.value)


def test_neither_evaporating_nor_leaving_fluid_is_refused() -> None:
    with pytest.raises(UserError) as caught:
        solve(job(conditions=[condition(leaving_fluid_C=None)]))
    assert caught.value.code == "CYCLE-02"


def test_a_job_of_several_circuits_keeps_them_apart() -> None:
    first = job(gas(), liquid())
    second = Circuit("c2", "R410A", (condition(),), lines=(gas(),))
    both = solve(type(first)((*first.circuits, second)))
    assert [found.circuit.id for found in both.circuits] == ["c1", "c2"]
    assert both.circuits[0].conditions.condensing_Pa[0] == circuit(gas()).conditions.condensing_Pa[0]
    assert {finding.circuit for finding in both.findings} <= {"c1", "c2"}
