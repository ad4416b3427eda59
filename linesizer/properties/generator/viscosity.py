"""Which viscosity is put into a table, and how far it is to be trusted.

CoolProp's viscosity of liquid mixtures is not used anywhere: against measurements of R410A and R407C it is 19 to
106 % high, and for some blends it is not a number.  The rules:

- pure fluids: CoolProp's correlation, except R22 liquid, which is 17 to 23 % below textbook data there; it is taken
  from the PPDS9 equation with the coefficients of VDI Heat Atlas, 2nd edition (2010), section D3.1, table 7;
- R404A, R407C, R410A, R507A: the correlations of Geller, Bivens and Yokozeki, Purdue 2000, that come with CoolProp's
  pseudo-pure equations;
- other blends, liquid: mole-fraction mean of the logarithms of the components' saturated-liquid viscosities at the
  same temperature (Arrhenius); against the four blends with measurements within 5 %, at worst 10 %;
- other blends, vapour: Wilke's rule for the dilute gas plus the mole-fraction mean of what each component gains
  between no density and the mixture's reduced density; against the same four blends +6 to -9 % on the dew line.
"""

from __future__ import annotations

import contextlib
from dataclasses import dataclass

import numpy as np
from CoolProp import CoolProp
from CoolProp.CoolProp import AbstractState
from numpy.typing import NDArray

from linesizer.properties.components import COMPONENTS
from linesizer.properties.generator.equation import EquationOfState, Phase, UntrustworthyTableError, mole_fractions
from linesizer.properties.generator.recipe import Recipe

Array = NDArray[np.float64]

R22_LIQUID_PPDS9 = (2.50542, 0.00079, 369.199, 56.279, 2.948e-05)
"""A, B, C [K], D [K], E [Pa s]: mu = E exp(A q^(1/3) + B q^(4/3)), q = (C - T)/(T - D)."""

DILUTE_MOL_M3 = 1e-3
FADE_K = 3.0
NEIGHBOURS_K = (0.0, 0.2, 0.7, 2.0)
_GAS_FROM_K = {"R227EA": 300.0}
"""Components whose vapour viscosity CoolProp does not find below a temperature."""
HYPOTHETICAL_FROM = 0.97
"""Share of a component's critical temperature above which its liquid viscosity goes on as a straight line of ln mu
against 1/T: the steep fall just below a component's critical point is not seen in a blend that is still liquid."""


@dataclass(frozen=True, slots=True)
class ViscosityRule:
    """What was done for one phase, in words for the report, and its uncertainty as a fraction."""

    method: str
    uncertainty: float


_BELL = ("entropy scaling, Bell, Purdue 2016 (abstract: within 10 %)", 0.10)
_PURE: dict[str, tuple[tuple[str, float], tuple[str, float]]] = {
    # liquid, vapour; stated errors from memory where no other word stands beside them
    "R22": (
        (
            "PPDS9 equation, VDI Heat Atlas 2010, saturated liquid at the same temperature; "
            "1 to 10 % below textbook values from -13 to 67 C, 15 % at -43 C",
            0.10,
        ),
        _BELL,
    ),
    "R134a": (("Huber, Laesecke, Perkins 2003", 0.03), ("Huber, Laesecke, Perkins 2003", 0.03)),
    "R32": (_BELL, _BELL),
    "R1234yf": (_BELL, _BELL),
    "R1234ze(E)": (_BELL, _BELL),
    "R290": (("Vogel et al. 1998", 0.03), ("Vogel et al. 1998", 0.03)),
    "R1270": (("extended corresponding states, Huber et al. 2003", 0.10),) * 2,
    "R600a": (("Vogel et al. 2000", 0.03), ("Vogel et al. 2000", 0.03)),
    "R717": (("Fenghour et al. 1995", 0.05), ("Fenghour et al. 1995", 0.05)),
    "R744": (("Laesecke, Muzny 2017", 0.04), ("Laesecke, Muzny 2017", 0.04)),
}
_GELLER = ("Geller, Bivens, Yokozeki 2000, fitted to measurements of the blend", 0.03)
_LOG_MIXING = (
    "mole-fraction log mixing of the components' saturated-liquid viscosities at the same temperature; from 97 % of a "
    "component's critical temperature on, its logarithm goes straight on over 1/T",
    0.10,
)
_WILKE = ("Wilke's rule with the components' own excess at the same reduced density", 0.10)


def rule(recipe: Recipe, phase: Phase) -> ViscosityRule:
    """Return the rule that applies to a refrigerant's phase."""
    if recipe.equation == "pseudo-pure":
        return ViscosityRule(*_GELLER)
    if recipe.equation == "mixture":
        return ViscosityRule(*(_LOG_MIXING if phase == "liquid" else _WILKE))
    by_phase = (
        _PURE.get(recipe.name) or _PURE.get(recipe.mass_fractions[0][0]) or ((("CoolProp's correlation", 0.10),) * 2)
    )
    return ViscosityRule(*by_phase[0 if phase == "liquid" else 1])


def r22_liquid_viscosity(temperature_K: float) -> float:
    """Return the viscosity of saturated R22 liquid, [Pa s]."""
    a, b, c, d, e = R22_LIQUID_PPDS9
    q = (c - temperature_K) / (temperature_K - d)
    return float(e * np.exp(a * np.cbrt(q) + b * np.cbrt(q) * q))


class ViscosityModel:
    """The viscosity of one refrigerant's phase by the rules above."""

    def __init__(self, recipe: Recipe, phase: Phase) -> None:
        self._recipe = recipe
        self._phase = phase
        self._equation = EquationOfState(recipe, phase)
        self._fractions = np.array(mole_fractions(recipe))
        components = [COMPONENTS[component] for component, _ in recipe.mass_fractions]
        self._components = [AbstractState("HEOS", component) for component in components]
        self._saturated = [AbstractState("HEOS", component) for component in components]
        for component in self._components:
            component.specify_phase(CoolProp.iphase_gas)
        self._molar_masses = np.array([component.molar_mass() for component in self._components])
        critical = np.array([component.rhomolar_critical() for component in self._components])
        self._critical_mol_m3 = 1.0 / float(np.sum(self._fractions / critical))

    def at(self, temperature_K: float, density_kg_m3: float) -> float:
        """Return the viscosity at a temperature and a density, [Pa s]."""
        value = self._value(temperature_K, density_kg_m3)
        if not (np.isfinite(value) and value > 0.0):
            raise UntrustworthyTableError(
                self._recipe.name, f"{self._phase} viscosity {value} at {temperature_K:.2f} K"
            )
        return value

    def _value(self, temperature_K: float, density_kg_m3: float) -> float:
        if self._recipe.equation == "mixture":
            if self._phase == "liquid":
                return self._log_mixing(temperature_K)
            return self._wilke(temperature_K, density_kg_m3)
        if self._phase == "liquid" and self._recipe.mass_fractions == (("R22", 1.0),):
            return r22_liquid_viscosity(temperature_K)
        self._equation.set(temperature_K, density_kg_m3)
        return float(self._equation.state.viscosity())

    def _log_mixing(self, temperature_K: float) -> float:
        logs = [_log_liquid_viscosity(state, temperature_K) for state in self._saturated]
        return float(np.exp(self._fractions @ np.array(logs)))

    def _wilke(self, temperature_K: float, density_kg_m3: float) -> float:
        reduced = density_kg_m3 / self._equation.molar_mass_kg_mol / self._critical_mol_m3
        pairs = [_gas_viscosity(component, temperature_K, reduced) for component in self._components]
        dilute, dense = np.array(pairs).T
        mass = self._molar_masses
        weight = (1.0 + np.sqrt(dilute[:, None] / dilute) * (mass / mass[:, None]) ** 0.25) ** 2
        weight /= np.sqrt(8.0 * (1.0 + mass[:, None] / mass))
        gas = np.sum(self._fractions * dilute / (weight @ self._fractions))
        return float(gas + self._fractions @ (dense - dilute))


def _gas_viscosity(state: AbstractState, temperature_K: float, reduced_density: float) -> tuple[float, float]:
    """Return a component's viscosity without density and at a share of its critical density, [Pa s].

    Below the temperature where its correlation ends the curve goes straight on, by the slope of the dilute gas.
    """
    name = state.fluid_names()[0]
    inside = _between(temperature_K, _GAS_FROM_K.get(name, state.Tmin()), 10.0 * temperature_K)
    density = reduced_density * state.rhomolar_critical()
    dilute, warmer, dense = (
        _viscosity(state, *at) for at in ((inside, DILUTE_MOL_M3), (inside + 5.0, DILUTE_MOL_M3), (inside, density))
    )
    straight = (warmer - dilute) / 5.0 * (temperature_K - inside)
    return dilute + straight, dense + straight


def _viscosity(state: AbstractState, temperature_K: float, density_mol_m3: float) -> float:
    """Return a viscosity; the mean of two neighbours where CoolProp's corresponding states meet no solution.

    That happens at single points, R143a's above all, with solutions a fraction of a kelvin beside them.
    """

    def at(temperature: float) -> float:
        state.update(CoolProp.DmolarT_INPUTS, density_mol_m3, temperature)
        return float(state.viscosity())

    for beside in NEIGHBOURS_K:
        with contextlib.suppress(ValueError):
            return 0.5 * (at(temperature_K - beside) + at(temperature_K + beside)) if beside else at(temperature_K)
    return at(temperature_K)


def _log_liquid_viscosity(state: AbstractState, temperature_K: float) -> float:
    """Return ln of a component's saturated-liquid viscosity, going straight on in 1/T outside its own range.

    The change to the straight line is spread over some degrees, so that what is fitted has no kink.
    """
    hottest = HYPOTHETICAL_FROM * state.T_critical()
    coldest = state.Tmin() + 2.0 * FADE_K
    inside = _between(temperature_K, coldest, hottest)
    logs = []
    for beside in (inside - 0.5, inside, inside + 0.5):
        state.update(CoolProp.QT_INPUTS, 0.0, beside)
        logs.append(float(np.log(state.viscosity())))
    slope = (logs[2] - logs[0]) / (1.0 / (inside + 0.5) - 1.0 / (inside - 0.5))
    return logs[1] + slope * (1.0 / temperature_K - 1.0 / inside)


def _between(temperature_K: float, coldest_K: float, hottest_K: float) -> float:
    """Return the temperature bent smoothly so that it stays between two others."""
    below = hottest_K - FADE_K * float(np.logaddexp(0.0, (hottest_K - temperature_K) / FADE_K))
    return coldest_K + FADE_K * float(np.logaddexp(0.0, (below - coldest_K) / FADE_K))
