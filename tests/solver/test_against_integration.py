"""Straight routes against an independent path: CoolProp called directly, fluids, an adaptive integration.

The bounds are what the design asks for: pressure drop within 0.3 %, penalty within 0.3 % or 0.002 K, mass flow within
0.05 %, discharge temperature within 0.05 K.
"""

from __future__ import annotations

from functools import cache

import pytest

from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.result import CircuitResult, LineFlow
from linesizer.domain.route import Service
from linesizer.evaluate import solve
from tests.solver.reference_path import Cycle, Fluid, Passed, Tube, cycle
from tests.solver.routes import ORIGIN, chain, condition, job

REFRIGERANTS = ("R134a", "R410A", "R407C", "R404A", "R32")
WAYS = {
    "climbing": (0.0, 0.0, 15.0),
    "level": (0.0, 25.0, 0.0),
    "falling": (0.0, 0.0, -12.0),
    "at 30 degrees": (17.320508075688775, 0.0, 10.0),
}
LOADS_W = (60e3, 25e3)
SIZES = {Service.DISCHARGE: "1-1/8", Service.LIQUID: "7/8"}
EVAPORATING_C, CONDENSING_C, SUPERHEAT_K, SUBCOOLING_K, EFFICIENCY = -5.0, 45.0, 8.0, 6.0, 0.68
DROP, PENALTY, PENALTY_K, FLOW, DISCHARGE_K = 0.003, 0.003, 0.002, 0.0005, 0.05


@cache
def fluid(refrigerant: str) -> Fluid:
    return Fluid(refrigerant)


def tube(service: Service, way: str) -> Tube:
    catalogue = tube_catalogue("ASTM-B280-drawn")
    east, north, up = WAYS[way]
    length = (east**2 + north**2 + up**2) ** 0.5
    return Tube(length, up, catalogue.find(SIZES[service]).inside_diameter_m, catalogue.roughness_m)


@cache
def independent(refrigerant: str, way: str, capacity_W: float) -> Cycle:
    return cycle(
        fluid(refrigerant),
        capacity_W=capacity_W,
        evaporating_K=EVAPORATING_C + 273.15,
        condensing_K=CONDENSING_C + 273.15,
        superheat_K=SUPERHEAT_K,
        subcooling_K=SUBCOOLING_K,
        efficiency=EFFICIENCY,
        discharge=tube(Service.DISCHARGE, way),
        liquid=tube(Service.LIQUID, way),
    )


@cache
def calculated(refrigerant: str, way: str) -> CircuitResult:
    conditions = [
        condition(
            f"k{index}",
            capacity_W=load,
            evaporating_C=EVAPORATING_C,
            condensing_C=CONDENSING_C,
            superheat_K=SUPERHEAT_K,
            subcooling_K=SUBCOOLING_K,
            isentropic_efficiency=EFFICIENCY,
        )
        for index, load in enumerate(LOADS_W)
    ]
    lines = [chain([ORIGIN, WAYS[way]], service, size=SIZES[service]) for service in SIZES]
    return solve(job(*lines, refrigerant=refrigerant, conditions=conditions)).circuits[0]


def flow_of(refrigerant: str, way: str, service: Service) -> LineFlow:
    (line,) = (line for line in calculated(refrigerant, way).lines if line.line.service is service)
    assert line.flow is not None
    return line.flow


def assert_drop_agrees(flow: LineFlow, index: int, expected: Passed) -> None:
    """The drop, and each term by itself: terms that cancel may not hide each other's errors."""
    assert flow.friction_Pa[index] == pytest.approx(expected.friction_Pa, rel=DROP)
    assert flow.static_Pa[index] == pytest.approx(expected.static_Pa, rel=DROP)
    # Momentum is a small part of the drop, held in proportion to what it goes with.
    small_Pa = 1e-4 * expected.friction_Pa
    assert flow.acceleration_Pa[index] == pytest.approx(expected.acceleration_Pa, rel=DROP, abs=small_Pa)
    assert flow.drop_Pa[index] == pytest.approx(expected.drop_Pa, rel=DROP, abs=0.0)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
def test_straight_lines_agree_with_integration(refrigerant: str, way: str) -> None:
    conditions = calculated(refrigerant, way).conditions
    gas, liquid = (flow_of(refrigerant, way, service) for service in SIZES)
    for index, load in enumerate(LOADS_W):
        expected = independent(refrigerant, way, load)
        assert conditions.mass_flow_kg_s[index] == pytest.approx(expected.mass_flow_kg_s, rel=FLOW)
        assert conditions.discharge_C[index] == pytest.approx(expected.discharge_K - 273.15, rel=0.0, abs=DISCHARGE_K)
        assert conditions.discharge_Pa[index] == gas.inlet_Pa[index]
        assert_drop_agrees(gas, index, expected.discharge)
        assert_drop_agrees(liquid, index, expected.liquid)
        for flow, penalty_K in ((gas, expected.discharge_penalty_K), (liquid, expected.liquid_penalty_K)):
            assert flow.saturation_penalty_K[index] == pytest.approx(penalty_K, rel=PENALTY, abs=PENALTY_K)
        # The lift costs subcooling through the same bubble curve, so it is held like the penalty.
        lost_K = SUBCOOLING_K - expected.outlet_subcooling_K
        assert SUBCOOLING_K - liquid.outlet_subcooling_K[index] == pytest.approx(lost_K, rel=PENALTY, abs=PENALTY_K)


@pytest.mark.parametrize("up", [40.0, -40.0])
def test_a_long_narrow_tube_is_cut_finely_enough(up: float) -> None:
    """R410A loses over a tenth of its pressure, beyond any sensible line, and as much of its density in one leg."""
    size, length = "3/4", 50.0
    point = (30.0, 0.0, up)
    catalogue = tube_catalogue("ASTM-B280-drawn")
    straight = Tube(length, up, catalogue.find(size).inside_diameter_m, catalogue.roughness_m)
    expected = cycle(
        fluid("R410A"),
        capacity_W=60e3,
        evaporating_K=EVAPORATING_C + 273.15,
        condensing_K=CONDENSING_C + 273.15,
        superheat_K=SUPERHEAT_K,
        subcooling_K=SUBCOOLING_K,
        efficiency=EFFICIENCY,
        discharge=straight,
        liquid=straight,
    )
    one = condition(capacity_W=60e3, isentropic_efficiency=EFFICIENCY)
    solved = solve(job(chain([ORIGIN, point], size=size), refrigerant="R410A", conditions=[one])).circuits[0]
    flow = solved.lines[0].flow
    assert flow is not None
    assert expected.discharge.drop_Pa > 0.1 * expected.discharge.inlet_Pa
    assert_drop_agrees(flow, 0, expected.discharge)
    assert flow.saturation_penalty_K[0] == pytest.approx(expected.discharge_penalty_K, rel=PENALTY, abs=PENALTY_K)
    assert solved.conditions.discharge_C[0] == pytest.approx(expected.discharge_K - 273.15, rel=0.0, abs=DISCHARGE_K)
