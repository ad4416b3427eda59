"""The same physics by another way, for straight adiabatic tubes.

CoolProp called directly, the fluids library's friction factor, an adaptive integration along the tube.

From the balance of momentum of a steady flow of flux G in a straight tube of bore D that climbs at an angle theta,

    dp/ds = -f G^2 / (2 rho D) - rho g sin(theta) - G^2 d(1/rho)/ds,

and, the enthalpy being constant, d(1/rho)/ds = -(1/rho^2) (drho/dp)_h dp/ds, so that

    dp/ds = -[f G^2 / (2 rho D) + rho g sin(theta)] / [1 - (G/rho)^2 (drho/dp)_h].
"""

from __future__ import annotations

from dataclasses import dataclass

import CoolProp
import numpy as np
from CoolProp import AbstractState
from fluids.friction import friction_factor
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

GRAVITY = 9.80665
ZERO_C = 273.15
PHASES = {"vapour": CoolProp.iphase_gas, "liquid": CoolProp.iphase_liquid}


class Fluid:
    """A refrigerant straight from CoolProp; blends by the pseudo-pure equations of those names."""

    def __init__(self, name: str) -> None:
        self.saturation = AbstractState("HEOS", name)
        self.states = {phase: AbstractState("HEOS", name) for phase in PHASES}
        for phase, index in PHASES.items():
            self.states[phase].specify_phase(index)

    def pressure(self, temperature_K: float, quality: float) -> float:
        self.saturation.update(CoolProp.QT_INPUTS, quality, temperature_K)
        return float(self.saturation.p())

    def saturation_temperature(self, pressure_Pa: float, quality: float) -> float:
        self.saturation.update(CoolProp.PQ_INPUTS, pressure_Pa, quality)
        return float(self.saturation.T())

    def by_temperature(self, phase: str, pressure_Pa: float, temperature_K: float) -> AbstractState:
        state = self.states[phase]
        state.update(CoolProp.PT_INPUTS, pressure_Pa, temperature_K)
        return state

    def by_enthalpy(self, phase: str, pressure_Pa: float, enthalpy_J_kg: float, start_K: float) -> AbstractState:
        """Newton's steps on the temperature: CoolProp has no flash by enthalpy for pseudo-pure blends."""
        temperature = start_K
        for _ in range(40):
            state = self.by_temperature(phase, pressure_Pa, temperature)
            step = (enthalpy_J_kg - state.hmass()) / state.cpmass()
            temperature += step
            if abs(step) < 1e-9:
                return state
        raise ArithmeticError("no temperature for this enthalpy")

    def by_entropy(self, pressure_Pa: float, entropy_J_kgK: float, start_K: float) -> AbstractState:
        temperature = start_K
        for _ in range(40):
            state = self.by_temperature("vapour", pressure_Pa, temperature)
            step = (entropy_J_kgK - state.smass()) * temperature / state.cpmass()
            temperature += step
            if abs(step) < 1e-9:
                return state
        raise ArithmeticError("no temperature for this entropy")


@dataclass(frozen=True)
class Tube:
    """A straight tube: length and rise along the flow, bore, roughness, [m]."""

    length_m: float
    rise_m: float
    bore_m: float
    roughness_m: float


@dataclass(frozen=True)
class Passed:
    """What a tube does to a flow: pressures at both ends, the terms of the drop, [Pa]."""

    inlet_Pa: float
    outlet_Pa: float
    friction_Pa: float
    static_Pa: float
    acceleration_Pa: float

    @property
    def drop_Pa(self) -> float:
        return self.inlet_Pa - self.outlet_Pa


def passed(
    fluid: Fluid,
    phase: str,
    tube: Tube,
    flow_kg_s: float,
    enthalpy: float,
    known_Pa: float,
    start_K: float,
    *,
    backwards: bool,
) -> Passed:
    """Integrate along the tube, or against the flow from its end where ``backwards``."""
    area = 0.25 * np.pi * tube.bore_m**2
    flux = flow_kg_s / area
    sine = tube.rise_m / tube.length_m
    sign = -1.0 if backwards else 1.0

    def slopes(_: float, values: np.ndarray) -> tuple[float, float, float]:
        state = fluid.by_enthalpy(phase, values[0], enthalpy, start_K)
        density = state.rhomass()
        reynolds = flux * tube.bore_m / state.viscosity()
        friction = friction_factor(reynolds, tube.roughness_m / tube.bore_m) * flux**2 / (2.0 * density * tube.bore_m)
        static = density * GRAVITY * sine
        compressible = state.first_partial_deriv(CoolProp.iDmass, CoolProp.iP, CoolProp.iHmass)
        pressure = -(friction + static) / (1.0 - (flux / density) ** 2 * compressible)
        return sign * pressure, friction, static

    path = solve_ivp(
        slopes, (0.0, tube.length_m), (known_Pa, 0.0, 0.0), method="DOP853", rtol=1e-9, atol=(1e-4, 1e-4, 1e-4)
    )
    assert path.success
    far, friction_Pa, static_Pa = path.y[:, -1]
    inlet, outlet = (far, known_Pa) if backwards else (known_Pa, far)
    volumes = [1.0 / fluid.by_enthalpy(phase, at, enthalpy, start_K).rhomass() for at in (inlet, outlet)]
    return Passed(inlet, outlet, friction_Pa, static_Pa, flux**2 * (volumes[1] - volumes[0]))


@dataclass(frozen=True)
class Cycle:
    """What one condition of a circuit comes to, with its discharge and its liquid tube."""

    mass_flow_kg_s: float
    discharge_K: float
    discharge: Passed
    discharge_penalty_K: float
    liquid: Passed
    liquid_penalty_K: float
    outlet_subcooling_K: float


def cycle(
    fluid: Fluid,
    *,
    capacity_W: float,
    evaporating_K: float,
    condensing_K: float,
    superheat_K: float,
    subcooling_K: float,
    efficiency: float,
    discharge: Tube,
    liquid: Tube,
) -> Cycle:
    """Solve compressor, discharge line and liquid line; the discharge line ends at the condensing pressure."""
    evaporating_Pa = fluid.pressure(evaporating_K, 1.0)
    condensing_Pa = fluid.pressure(condensing_K, 1.0)
    suction = fluid.by_temperature("vapour", evaporating_Pa, evaporating_K + superheat_K)
    suction_h, suction_s = suction.hmass(), suction.smass()
    liquid_K = fluid.saturation_temperature(condensing_Pa, 0.0) - subcooling_K
    liquid_h = fluid.by_temperature("liquid", condensing_Pa, liquid_K).hmass()
    flow = capacity_W / (suction_h - liquid_h)
    guess_K = condensing_K + 25.0

    def compressed(pressure_Pa: float) -> float:
        ideal = fluid.by_entropy(pressure_Pa, suction_s, guess_K).hmass()
        return float(suction_h + (ideal - suction_h) / efficiency)

    def along(pressure_Pa: float) -> Passed:
        enthalpy = compressed(pressure_Pa)
        return passed(fluid, "vapour", discharge, flow, enthalpy, condensing_Pa, guess_K, backwards=True)

    start = along(condensing_Pa).inlet_Pa
    span = 0.2 * (start - condensing_Pa) + 0.02 * condensing_Pa
    inlet_Pa = brentq(lambda at: along(at).inlet_Pa - at, start - span, start + span, xtol=1e-2, rtol=1e-12)
    hot = along(inlet_Pa)
    discharge_K = fluid.by_enthalpy("vapour", hot.inlet_Pa, compressed(inlet_Pa), guess_K).T()
    cold = passed(fluid, "liquid", liquid, flow, liquid_h, condensing_Pa, liquid_K, backwards=False)
    end_K = fluid.by_enthalpy("liquid", cold.outlet_Pa, liquid_h, liquid_K).T()
    return Cycle(
        mass_flow_kg_s=flow,
        discharge_K=discharge_K,
        discharge=hot,
        discharge_penalty_K=_penalty(fluid, hot, 1.0),
        liquid=cold,
        liquid_penalty_K=_penalty(fluid, cold, 0.0),
        outlet_subcooling_K=fluid.saturation_temperature(cold.outlet_Pa, 0.0) - end_K,
    )


def _penalty(fluid: Fluid, run: Passed, quality: float) -> float:
    without_column = run.inlet_Pa - (run.drop_Pa - run.static_Pa)
    return fluid.saturation_temperature(run.inlet_Pa, quality) - fluid.saturation_temperature(without_column, quality)
