"""Straight tubes that give heat to the air around them, by another way than the program's.

CoolProp called directly, the fluids library's friction factor, an adaptive integration of pressure and enthalpy along
the tube together.  From the balances of momentum and energy of a steady flow of flux G and mass flow m in a tube of
bore D that climbs at an angle theta, with the conductance U to air of temperature T_a per metre,

    dh/ds = -U (T - T_a) / m,
    dp/ds = -[f G^2 / (2 rho D) + rho g sin(theta) + G^2 (dv/dh)_p dh/ds] / [1 + G^2 (dv/dp)_h],    v = 1 / rho.
"""

from __future__ import annotations

from dataclasses import dataclass

import CoolProp
import numpy as np
from fluids.friction import friction_factor
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from tests.solver.reference_path import GRAVITY, Fluid, Tube


@dataclass(frozen=True)
class Air:
    """What surrounds a tube: its temperature, and the conductance to it of one metre."""

    temperature_K: float
    conductance_W_mK: float


@dataclass(frozen=True)
class Cooled:
    """What a tube does to a flow that it cools or warms; ``saturated_at_m`` None where it keeps its phase."""

    inlet_Pa: float
    outlet_Pa: float
    inlet_K: float
    outlet_K: float
    inlet_J_kg: float
    outlet_J_kg: float
    saturated_at_m: float | None

    @property
    def drop_Pa(self) -> float:
        return self.inlet_Pa - self.outlet_Pa


def cooled(
    fluid: Fluid, phase: str, tube: Tube, air: Air, flow_kg_s: float, inlet_Pa: float, inlet_J_kg: float, guess_K: float
) -> Cooled:
    """Integrate along the tube from its start."""
    flux = flow_kg_s / (0.25 * np.pi * tube.bore_m**2)
    sine = tube.rise_m / tube.length_m
    last_K = [guess_K]

    def state_at(pressure_Pa: float, enthalpy: float) -> CoolProp.AbstractState:
        state = fluid.by_enthalpy(phase, pressure_Pa, enthalpy, last_K[0])
        last_K[0] = state.T()
        return state

    def slopes(_: float, values: np.ndarray) -> tuple[float, float]:
        state = state_at(*values)
        density = state.rhomass()
        by_pressure = -state.first_partial_deriv(CoolProp.iDmass, CoolProp.iP, CoolProp.iHmass) / density**2
        by_enthalpy = -state.first_partial_deriv(CoolProp.iDmass, CoolProp.iHmass, CoolProp.iP) / density**2
        reynolds = flux * tube.bore_m / state.viscosity()
        friction = friction_factor(reynolds, tube.roughness_m / tube.bore_m) * flux**2 / (2.0 * density * tube.bore_m)
        warming = -air.conductance_W_mK * (state.T() - air.temperature_K) / flow_kg_s
        pressure = -(friction + density * GRAVITY * sine + flux**2 * by_enthalpy * warming)
        return pressure / (1.0 + flux**2 * by_pressure), warming

    quality = 1.0 if phase == "vapour" else 0.0

    def margin(_: float, values: np.ndarray) -> float:
        saturation = fluid.saturation_temperature(values[0], quality)
        at = state_at(*values).T()
        return at - saturation if phase == "vapour" else saturation - at

    margin.terminal = True  # type: ignore[attr-defined]  # how solve_ivp is told to stop there
    path = solve_ivp(
        slopes,
        (0.0, tube.length_m),
        (inlet_Pa, inlet_J_kg),
        method="DOP853",
        rtol=1e-9,
        atol=(1e-3, 1e-3),
        events=margin,
        max_step=tube.length_m / 10.0,
    )
    assert path.success
    outlet_Pa, outlet_J_kg = path.y[:, -1]
    return Cooled(
        inlet_Pa,
        float(outlet_Pa),
        fluid.by_enthalpy(phase, inlet_Pa, inlet_J_kg, guess_K).T(),
        state_at(outlet_Pa, outlet_J_kg).T(),
        inlet_J_kg,
        float(outlet_J_kg),
        float(path.t_events[0][0]) if len(path.t_events[0]) else None,
    )


@dataclass(frozen=True)
class Plant:
    """One running condition; temperatures in K."""

    capacity_W: float
    evaporating_K: float
    condensing_K: float
    superheat_K: float
    subcooling_K: float
    efficiency: float


def hot_gas(fluid: Fluid, plant: Plant, tube: Tube, air: Air) -> Cooled:
    """Return a discharge line that ends at the condensing pressure, the compressor working against its start."""
    evaporating_Pa = fluid.pressure(plant.evaporating_K, 1.0)
    condensing_Pa = fluid.pressure(plant.condensing_K, 1.0)
    suction = fluid.by_temperature("vapour", evaporating_Pa, plant.evaporating_K + plant.superheat_K)
    suction_h, suction_s = suction.hmass(), suction.smass()
    liquid_K = fluid.saturation_temperature(condensing_Pa, 0.0) - plant.subcooling_K
    flow = plant.capacity_W / (suction_h - fluid.by_temperature("liquid", condensing_Pa, liquid_K).hmass())
    guess_K = plant.condensing_K + 25.0

    def line(inlet_Pa: float) -> Cooled:
        ideal = fluid.by_entropy(inlet_Pa, suction_s, guess_K).hmass()
        hot = suction_h + (ideal - suction_h) / plant.efficiency
        return cooled(fluid, "vapour", tube, air, flow, inlet_Pa, hot, guess_K)

    found = brentq(
        lambda at: line(at).outlet_Pa - condensing_Pa, 0.98 * condensing_Pa, 1.2 * condensing_Pa, xtol=1.0, rtol=1e-10
    )
    return line(found)


def liquid_to_valve(fluid: Fluid, plant: Plant, tube: Tube, air: Air) -> tuple[Cooled, float]:
    """Return a liquid line and its flow, which waits for the enthalpy that reaches the valve."""
    evaporating_Pa = fluid.pressure(plant.evaporating_K, 1.0)
    condensing_Pa = fluid.pressure(plant.condensing_K, 1.0)
    cold = fluid.by_temperature("vapour", evaporating_Pa, plant.evaporating_K + plant.superheat_K).hmass()
    start_K = fluid.saturation_temperature(condensing_Pa, 0.0) - plant.subcooling_K
    start = fluid.by_temperature("liquid", condensing_Pa, start_K).hmass()
    flow = plant.capacity_W / (cold - start)
    for _ in range(20):
        line = cooled(fluid, "liquid", tube, air, flow, condensing_Pa, start, start_K)
        fresh = plant.capacity_W / (cold - line.outlet_J_kg)
        if abs(fresh - flow) < 1e-9 * flow:
            return line, fresh
        flow = fresh
    raise ArithmeticError("the flow does not settle")
