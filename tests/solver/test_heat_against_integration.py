"""Lines that give heat to the air, against an integration with CoolProp called directly and the fluids library.

The bounds are what the design asks for: drop within 0.3 %, the temperature at the end within 0.05 K or 0.5 % of its
change along the line.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.result import CircuitResult, LineFlow
from linesizer.domain.route import Line, Service
from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.solver.heat import Surroundings
from linesizer.solver.line_at_work import carried_loss
from linesizer.solver.lost_heat import lost_heat
from linesizer.solver.phase import vapour
from tests.solver.heat_path import Air, Cooled, Plant, cooled, hot_gas, liquid_to_valve
from tests.solver.reference_path import Fluid, Tube
from tests.solver.routes import ORIGIN, chain, condition, job

DROP, END_K, END_PART, FLOW = 0.003, 0.05, 0.005, 0.0005
INSULATION_m, INSULATION_W_mK = 0.019, 0.036
WIND_m_s = 3.0
SIZES = {Service.DISCHARGE: "1-1/8", Service.LIQUID: "5/8"}
POINTS = {"climbing": (9.0, 0.0, 12.0), "level": (25.0, 0.0, 0.0)}
EVAPORATING_C, CONDENSING_C, SUPERHEAT_K, SUBCOOLING_K, EFFICIENCY = -5.0, 40.0, 8.0, 6.0, 0.68
CAPACITY_W = 45e3


@cache
def fluid(refrigerant: str) -> Fluid:
    return Fluid(refrigerant)


def conductance_W_mK(service: Service, insulated: bool) -> float:
    """ISO 12241 by hand, a pipe in wind: h = 8.9 v^0.9 / D^0.1 plus 4.5 W/(m2 K) of radiation (from memory)."""
    tube = tube_catalogue("ASTM-B280-drawn").find(SIZES[service]).outside_diameter_m
    outer = tube + (2.0 * INSULATION_m if insulated else 0.0)
    film = 8.9 * WIND_m_s**0.9 / outer**0.1 + 4.5
    return float(np.pi / (1.0 / (film * outer) + np.log(outer / tube) / (2.0 * INSULATION_W_mK)))


def outdoors(line: Line, insulated: bool) -> Line:
    own = {"insulation_m": INSULATION_m, "insulation_W_mK": INSULATION_W_mK} if insulated else {}
    return replace(line, legs=tuple(replace(leg, place="outdoor", **own) for leg in line.legs))


def calculated(
    refrigerant: str, service: Service, way: str, insulated: bool, ambient_C: float, capacity_W: float
) -> CircuitResult:
    one = condition(
        capacity_W=capacity_W,
        evaporating_C=EVAPORATING_C,
        condensing_C=CONDENSING_C,
        superheat_K=SUPERHEAT_K,
        subcooling_K=SUBCOOLING_K,
        isentropic_efficiency=EFFICIENCY,
        ambient_C=ambient_C,
    )
    line = outdoors(chain([ORIGIN, POINTS[way]], service, size=SIZES[service]), insulated)
    return solve(job(line, refrigerant=refrigerant, conditions=[one], heat_exchange=True)).circuits[0]


def plant(capacity_W: float) -> Plant:
    return Plant(capacity_W, EVAPORATING_C + 273.15, CONDENSING_C + 273.15, SUPERHEAT_K, SUBCOOLING_K, EFFICIENCY)


def tube(service: Service, way: str) -> Tube:
    east, _, up = POINTS[way]
    catalogue = tube_catalogue("ASTM-B280-drawn")
    return Tube(float(np.hypot(east, up)), up, catalogue.find(SIZES[service]).inside_diameter_m, catalogue.roughness_m)


def flow_of(found: CircuitResult) -> LineFlow:
    flow = found.lines[0].flow
    assert flow is not None
    return flow


def assert_agrees(flow: LineFlow, expected: Cooled) -> None:
    assert flow.drop_Pa[0] == pytest.approx(expected.drop_Pa, rel=DROP)
    change_K = abs(expected.inlet_K - expected.outlet_K)
    assert flow.outlet_C[0] == pytest.approx(expected.outlet_K - 273.15, rel=0.0, abs=max(END_K, END_PART * change_K))


@pytest.mark.parametrize("insulated", [False, True], ids=["bare", "insulated"])
@pytest.mark.parametrize("way", POINTS)
@pytest.mark.parametrize("refrigerant", ["R134a", "R407C"])
def test_discharge_lines_in_the_cold(refrigerant: str, way: str, insulated: bool) -> None:
    found = calculated(refrigerant, Service.DISCHARGE, way, insulated, -15.0, CAPACITY_W)
    air = Air(258.15, conductance_W_mK(Service.DISCHARGE, insulated))
    expected = hot_gas(fluid(refrigerant), plant(CAPACITY_W), tube(Service.DISCHARGE, way), air)
    assert expected.saturated_at_m is None
    assert expected.inlet_K - expected.outlet_K > (0.4 if insulated else 3.0)
    assert_agrees(flow_of(found), expected)
    lost_W = found.conditions.mass_flow_kg_s[0] * (expected.inlet_J_kg - expected.outlet_J_kg)
    assert flow_of(found).heat_W[0] == pytest.approx(lost_W, rel=END_PART)


@pytest.mark.parametrize("insulated", [False, True], ids=["bare", "insulated"])
@pytest.mark.parametrize("ambient_C", [-15.0, 50.0], ids=["cooled", "warmed"])
@pytest.mark.parametrize("refrigerant", ["R134a", "R407C"])
def test_liquid_lines_in_cold_and_in_hot_air(refrigerant: str, ambient_C: float, insulated: bool) -> None:
    """Level, so that the warmed liquid stays below its bubble point."""
    found = calculated(refrigerant, Service.LIQUID, "level", insulated, ambient_C, CAPACITY_W)
    air = Air(ambient_C + 273.15, conductance_W_mK(Service.LIQUID, insulated))
    expected, flow_kg_s = liquid_to_valve(fluid(refrigerant), plant(CAPACITY_W), tube(Service.LIQUID, "level"), air)
    assert expected.saturated_at_m is None
    assert_agrees(flow_of(found), expected)
    assert found.conditions.mass_flow_kg_s[0] == pytest.approx(flow_kg_s, rel=FLOW)


@pytest.mark.parametrize("refrigerant", ["R134a", "R407C"])
def test_a_slow_flow_that_cools_down_by_half_its_way_to_the_air(refrigerant: str) -> None:
    """A tenth of the load in an insulated line: the gas loses tens of kelvins in one leg and keeps its phase."""
    load_W = 0.08 * CAPACITY_W
    found = calculated(refrigerant, Service.DISCHARGE, "level", True, 5.0, load_W)
    air = Air(278.15, conductance_W_mK(Service.DISCHARGE, True))
    expected = hot_gas(fluid(refrigerant), plant(load_W), tube(Service.DISCHARGE, "level"), air)
    assert expected.inlet_K - expected.outlet_K > 12.0
    assert expected.saturated_at_m is None
    assert_agrees(flow_of(found), expected)


@pytest.mark.parametrize("refrigerant", ["R134a", "R407C"])
def test_where_a_bare_line_begins_to_condense(refrigerant: str) -> None:
    load_W = 0.5 * CAPACITY_W
    found = calculated(refrigerant, Service.DISCHARGE, "level", False, -20.0, load_W)
    air = Air(253.15, conductance_W_mK(Service.DISCHARGE, False))
    fluid_ = fluid(refrigerant)
    start = hot_gas(fluid_, plant(load_W), replace(tube(Service.DISCHARGE, "level"), length_m=2.0), air)
    # The pressure at the start hardly moves what the air does: it is that of the whole line as the program gives it.
    flow = flow_of(found)
    expected = cooled(
        fluid_,
        "vapour",
        tube(Service.DISCHARGE, "level"),
        air,
        float(found.conditions.mass_flow_kg_s[0]),
        float(flow.inlet_Pa[0]),
        float(found.conditions.discharge_J_kg[0]),
        start.inlet_K,
    )
    assert expected.saturated_at_m is not None
    assert 3.0 < expected.saturated_at_m < 24.0
    # The bound on the temperature there, in metres by the exponential's slope there.
    hot_K, cold_K = (at - air.temperature_K for at in (expected.inlet_K, expected.outlet_K))
    slope_K_m = cold_K * np.log(hot_K / cold_K) / expected.saturated_at_m
    bound_m = END_PART * (hot_K - cold_K) / slope_K_m
    assert flow.turns_at_m[0] == pytest.approx(expected.saturated_at_m, rel=0.0, abs=bound_m)
    # From there on the gas stands at its dew point.
    dew_K = fluid_.saturation_temperature(float(flow.outlet_Pa[0]), 1.0)
    assert flow.outlet_C[0] == pytest.approx(dew_K - 273.15, abs=END_K)


@pytest.mark.parametrize("service", SIZES)
def test_no_conductance_gives_the_very_numbers_of_a_line_that_keeps_its_heat(service: Service) -> None:
    """Legs whose ambient nobody has stated keep their heat."""
    line = chain([ORIGIN, POINTS["level"]], service, size=SIZES[service])
    kept, given = (solve(job(line, heat_exchange=heat)).circuits[0] for heat in (False, True))
    for name in ("drop_Pa", "outlet_C", "saturation_penalty_K", "heat_W", "inlet_Pa"):
        assert getattr(flow_of(kept), name)[0] == getattr(flow_of(given), name)[0], name
    assert flow_of(given).heat_W[0] == 0.0


@pytest.mark.parametrize("service", SIZES)
def test_a_conductance_that_vanishes_goes_to_the_line_that_keeps_its_heat(service: Service) -> None:
    """A kilometre of insulation: what is left of the heat is about a ten-thousandth of that of a bare tube."""
    line = chain([ORIGIN, POINTS["level"]], service, size=SIZES[service])
    thick = replace(
        line, legs=tuple(replace(leg, place="outdoor", insulation_m=1e3, insulation_W_mK=1e-4) for leg in line.legs)
    )
    cold = [condition(ambient_C=-15.0)]
    kept = solve(job(line, conditions=cold)).circuits[0]
    found = solve(job(thick, conditions=cold, heat_exchange=True)).circuits[0]
    assert 0.0 < flow_of(found).heat_W[0] < 1.0
    for name in ("drop_Pa", "outlet_C", "saturation_penalty_K"):
        assert getattr(flow_of(found), name)[0] == pytest.approx(getattr(flow_of(kept), name)[0], rel=1e-4), name


def test_the_warm_start_changes_nothing() -> None:
    """What is lost at the pressures before serves as a start only."""
    table = load("R134a")
    gas = vapour(table)
    pressure = np.array([1.3e6, 1.25e6, 1.2e6])[:, None]
    start = np.array([float(table.vapour_pt(1.3e6, 350.0).enthalpy_J_kg)])
    shape = (2, 1)
    around = Surroundings(np.full(shape, 2.0), np.full(shape, 258.15), np.full(shape, 30.0), np.full(shape, 0.03))
    lengths, flow = np.array([10.0, 4.0]), np.array([0.12])
    cold = lost_heat(gas, pressure, start, flow, lengths, around)
    warm = lost_heat(gas, pressure, start, flow, lengths, around, before=cold)
    np.testing.assert_allclose(warm.at_nodes_J_kg, cold.at_nodes_J_kg, rtol=0.0, atol=2.0)
    assert not warm.differs(cold)
    # At the ends of a leg the law within it gives what the nodes have.
    legs = np.array([0, 0, 1, 1])
    ends = cold.within(legs, np.array([0.0, 1.0, 0.0, 1.0]))
    np.testing.assert_allclose(ends, cold.at_nodes_J_kg[[0, 1, 1, 2]], atol=2.0)


@pytest.mark.parametrize("load_W", [45e3, 9e3, 3e3])
@pytest.mark.parametrize("ambient_C", [-20.0, 50.0])
def test_the_flow_carries_the_heat_that_the_liquid_takes_up(load_W: float, ambient_C: float) -> None:
    """m (h1 - h at the valve) = Q, though at the least load the bare line takes up a third of it."""
    found = calculated("R134a", Service.LIQUID, "level", False, ambient_C, load_W)
    flow = float(found.conditions.mass_flow_kg_s[0])
    table = load("R134a")
    evaporating = float(found.conditions.evaporating_Pa[0])
    outlet = float(table.vapour_pt(evaporating, EVAPORATING_C + SUPERHEAT_K + 273.15).enthalpy_J_kg)
    valve = float(found.conditions.liquid_J_kg[0]) - float(flow_of(found).heat_W[0]) / flow
    assert flow * (outlet - valve) == pytest.approx(load_W, rel=FLOW)
    assert (flow_of(found).heat_W[0] < 0.0) == (ambient_C > 40.0)


def test_more_heat_than_a_kilogram_cools_raises_the_flow_and_breaks_nothing() -> None:
    """Liquid of -82 C in a bare pipe in the heat, with a bypass: the flow is what brings the line's heat along."""
    line = outdoors(chain([ORIGIN, POINTS["level"]], Service.LIQUID, size="2-1/8"), insulated=False)
    for load_W in (1.0, 1e3):
        one = condition(
            capacity_W=load_W, evaporating_C=-25.0, condensing_C=-23.0, subcooling_K=59.0, ambient_C=55.0, bypass=0.3
        )
        found = solve(job(line, refrigerant="R450A", conditions=[one], heat_exchange=True)).circuits[0]
        kept = solve(job(line, refrigerant="R450A", conditions=[one])).circuits[0].conditions
        flow = flow_of(found)
        assert flow.passes_flow.all()
        # Far beyond its bubble point liquid exists on paper only; what counts is that more heat asks for more flow.
        assert -float(flow.heat_W[0]) > load_W
        assert found.conditions.mass_flow_kg_s[0] > 1.5 * kept.mass_flow_kg_s[0]


def test_what_a_kilogram_gains_at_the_flow_that_it_asks_for() -> None:
    """2000 W on 0.01 kg/s where 1000 W of cooling alone ask for 0.005: 3000 W ask for 0.015, 133.3 kJ a kilogram."""
    lost = carried_loss(
        np.array([-200e3, 40e3]), np.array([0.01, 0.01]), np.array([0.005, 0.005]), np.array([1e3, 1e3])
    )
    np.testing.assert_allclose(lost, [-2000.0 / 0.015, 40e3], rtol=1e-12)
    # However much it is, a kilogram keeps some of the 200 kJ that it cools by.
    most = carried_loss(np.array([-1e9]), np.array([1.0]), np.array([0.005]), np.array([1e3]))
    assert -200e3 < most[0] < -199e3
