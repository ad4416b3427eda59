"""A liquid line with lift, worked by hand: how it fails, by how much, where it boils, and the subcooling that cures it.

Formulas: column rho g dz; Darcy and Weisbach with Colebrook's factor from the fluids library; an elbow by Darby's 3-K
(800, 0.071, 4.2; read); each drop is worth what the bubble temperature falls when it is taken off after those before
it, in the order friction, fittings, parts, lift.  R134a from CoolProp.

60 kW at -5 / 45 C, 3 K of subcooling, 7/8 in ASTM B280 (19.94 mm): 10 m level, an elbow, 15 m up, on the riser's foot a
solenoid valve that loses 14 kPa.
  Bubble point at 45 C 11.599 bar; liquid at 42 C 1139.0 kg/m3, 157.7 uPa s, 259.386 kJ/kg; the evaporator's outlet at
  3 C 402.629 kJ/kg: 60 / 143.243 = 0.41887 kg/s.
  v = 1.1778 m/s, head 790.0 Pa, Re 1.6959e5, f 0.016692: 25 m of tube 16.534 kPa; elbow K 0.3964: 0.313 kPa.
  Lift 15 m x 1139.0 x 9.80665 = 167.5 kPa.
  Bubble point 45.000 - 0.552 (friction) - 0.011 (elbow) - 0.472 (valve) - 6.027 (lift) = 37.938 C; the liquid,
  throttled, has 41.969 C, it has given 0.031 K: 3.00 - 0.552 - 0.011 - 0.472 - 6.027 + 0.031 = -4.03 K.
  Hence 2 K at the valve want 3 + 4.03 + 2 = 9.03 K of subcooling; colder liquid is 2 % denser, so 0.09 K more: 9.12 K.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import CoolProp
import numpy as np
import pytest
from CoolProp import AbstractState
from fluids.friction import friction_factor

from linesizer.domain.finding import Level
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.remedy import AskForSubcooling
from linesizer.domain.result import CircuitResult, LineFlow, LiquidBudget
from linesizer.domain.route import Line, Service
from linesizer.evaluate import solve
from tests.checks.limits import coded, only
from tests.solver.routes import ORIGIN, chain, condition, job

BORE_m, ROUGHNESS_m, G = 0.785 * 0.0254, 1.5e-6, 9.80665
LEVEL_m, LIFT_m, VALVE_Pa, SUBCOOLING_K = 10.0, 15.0, 14e3, 3.0
# The design asks for 0.3 % or 0.002 K of each drop's penalty.
WITHIN, WITHIN_K = 0.003, 0.002
# Liquid above its bubble point exists on paper only.  The program holds its specific heat there, CoolProp's goes on
# growing by about half a per cent a kelvin: over 4 K that makes 0.5 x 0.005 x 4^2 = 0.04 K.
ON_PAPER_K = 0.04


@cache
def by_hand(subcooling_K: float) -> dict[str, float]:
    """The docstring's arithmetic."""
    saturation, state = AbstractState("HEOS", "R134a"), AbstractState("HEOS", "R134a")

    def bubble_K(pressure: float) -> float:
        saturation.update(CoolProp.PQ_INPUTS, pressure, 0.0)
        return float(saturation.T())

    pressures = []
    for celsius in (45.0, -5.0):
        saturation.update(CoolProp.QT_INPUTS, 1.0, celsius + 273.15)
        pressures.append(saturation.p())
    condensing, evaporating = pressures
    start_K = bubble_K(condensing) - subcooling_K
    state.update(CoolProp.PT_INPUTS, condensing, start_K)
    enthalpy, density, viscosity = state.hmass(), state.rhomass(), state.viscosity()
    state.update(CoolProp.PT_INPUTS, evaporating, 276.15)
    flow = 60e3 / (state.hmass() - enthalpy)
    flux = flow / (0.25 * np.pi * BORE_m**2)
    head, reynolds = flux**2 / (2.0 * density), flux * BORE_m / viscosity
    tube_Pa = friction_factor(reynolds, ROUGHNESS_m / BORE_m) * (LEVEL_m + LIFT_m) / BORE_m * head
    elbow_Pa = (800.0 / reynolds + 0.071 * (1.0 + 4.2 / 0.785**0.3)) * head
    level, found = condensing, {"flow": flow, "start": condensing}
    lost = {"friction": tube_Pa, "fittings": elbow_Pa, "parts": VALVE_Pa, "lift": density * G * LIFT_m}
    for name, drop in lost.items():
        found[name] = bubble_K(level) - bubble_K(level - drop)
        level -= drop
    end_K = start_K
    state.specify_phase(CoolProp.iphase_liquid)
    for _ in range(20):
        state.update(CoolProp.PT_INPUTS, level, end_K)
        end_K += (enthalpy - state.hmass()) / state.cpmass()
    found["end_Pa"], found["heat"] = level, end_K - start_K
    found["margin"] = bubble_K(level) - end_K
    state.unspecify_phase()
    state.update(CoolProp.HmassP_INPUTS, enthalpy, level)
    found["fraction"] = state.Q() if 0.0 <= state.Q() <= 1.0 else 0.0
    return found


def line() -> Line:
    points = [ORIGIN, (LEVEL_m, 0.0, 0.0), (LEVEL_m, 0.0, LIFT_m)]
    valve = Part("s", "solenoid_valve", at=0.0, loss=PartLoss(drop_Pa=VALVE_Pa))
    return chain(points, Service.LIQUID, size="7/8", parts={1: [valve]})


def solved(subcooling_K: float) -> tuple[CircuitResult, LineFlow, LiquidBudget]:
    found = solve(job(line(), conditions=[condition(subcooling_K=subcooling_K)])).circuits[0]
    flow = found.lines[0].flow
    assert flow is not None
    assert flow.budget is not None
    return found, flow, flow.budget


def test_the_hand_calculation_is_that_of_the_docstring() -> None:
    hand = by_hand(SUBCOOLING_K)
    expected = {"friction": 0.552, "fittings": 0.011, "parts": 0.472, "lift": 6.027, "heat": -0.031, "margin": -4.031}
    for name, kelvins in expected.items():
        assert hand[name] == pytest.approx(kelvins, abs=6e-4), name
    assert hand["flow"] == pytest.approx(0.41887, abs=5e-6)


@pytest.mark.parametrize("item", ["friction", "fittings", "parts", "lift", "heat"])
def test_each_item_of_the_budget(item: str) -> None:
    _, _, budget = solved(SUBCOOLING_K)
    within_K = ON_PAPER_K if item == "heat" else WITHIN_K
    assert getattr(budget, f"{item}_K")[0] == pytest.approx(by_hand(SUBCOOLING_K)[item], rel=WITHIN, abs=within_K)


def test_the_items_add_up_to_how_much_it_falls_short() -> None:
    found, flow, budget = solved(SUBCOOLING_K)
    hand = by_hand(SUBCOOLING_K)
    spent = budget.friction_K + budget.fittings_K + budget.parts_K + budget.lift_K + budget.heat_K
    assert budget.subcooling_K[0] == pytest.approx(SUBCOOLING_K, abs=1e-6)
    assert budget.subcooling_K[0] - spent[0] == pytest.approx(budget.margin_K[0], abs=1e-12)
    assert budget.margin_K[0] == pytest.approx(hand["margin"], abs=ON_PAPER_K)
    assert flow.outlet_subcooling_K[0] == pytest.approx(budget.margin_K[0], abs=1e-6)
    assert flow.outlet_vapour_fraction[0] == pytest.approx(hand["fraction"], rel=0.01)
    stop = only(found, "flashing_before_valve")
    assert stop.level is Level.STOP
    assert f"{-budget.margin_K[0]:.2f} K short" in stop.message()


def test_where_it_begins_to_boil() -> None:
    """Friction takes 0.221 K over the level leg: 2.78 K are left at its end.  Elbow and valve 0.483, the riser's own
    tube 0.331 and lift 6.027 K over 15 m: 6.84 K, of which 2.78 are gone after 0.41 of it.  The bubble line bends, so
    that the first metres cost less than the last: the place lies a little beyond 10 + 0.41 x 15 = 16.1 m.
    """
    _, flow, _ = solved(SUBCOOLING_K)
    hand = by_hand(SUBCOOLING_K)
    over_leg = {"tube": hand["friction"] * 0.6, "bend": hand["fittings"], "valve": hand["parts"], "lift": hand["lift"]}
    left = SUBCOOLING_K - 0.4 * hand["friction"]
    straight_m = LEVEL_m + LIFT_m * left / sum(over_leg.values())
    assert straight_m == pytest.approx(16.1, abs=0.05)
    # 6.8 K of bubble line at 11 bar bend by 6 % between the ends, half of which the middle sees.
    assert straight_m < flow.turns_at_m[0] < straight_m * 1.03


def test_the_subcooling_that_cures_it() -> None:
    found, _, _ = solved(SUBCOOLING_K)
    stop = only(found, "flashing_before_valve")
    assert isinstance(stop.remedy, AskForSubcooling)
    # Enough, and no more than a quarter of a kelvin of it for rounding and what is left out.
    assert 9.12 <= stop.remedy.subcooling_K <= 9.12 + 0.25
    assert by_hand(9.12)["margin"] == pytest.approx(2.0, abs=0.01)
    _, enough, budget = solved(9.12)
    assert enough.outlet_subcooling_K[0] == pytest.approx(by_hand(9.12)["margin"], abs=WITHIN * 7.1)
    assert budget.heat_K[0] == pytest.approx(by_hand(9.12)["heat"], abs=WITHIN_K)
    assert np.isnan(enough.turns_at_m[0])
    cured, _, _ = solved(stop.remedy.subcooling_K)
    assert coded(cured, "flashing_before_valve") == coded(cured, "liquid_margin_short") == []


def test_a_falling_line_gives_the_lift_back() -> None:
    """The same line walked downwards: 15 m give what they took, a little less since the bubble line bends."""
    points = [ORIGIN, (LEVEL_m, 0.0, 0.0), (LEVEL_m, 0.0, -LIFT_m)]
    made = replace(line(), nodes=chain(points, Service.LIQUID).nodes)
    found = solve(job(made, conditions=[condition(subcooling_K=SUBCOOLING_K)])).circuits[0].lines[0].flow
    assert found is not None
    assert found.budget is not None
    assert -by_hand(SUBCOOLING_K)["lift"] < found.budget.lift_K[0] < -0.85 * by_hand(SUBCOOLING_K)["lift"]
    assert found.budget.margin_K[0] > SUBCOOLING_K
