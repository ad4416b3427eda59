"""CoolProp's equation of state of one refrigerant, driven by temperature and density.

Calls by temperature and density are explicit: no flash, so no phase is ever guessed.  What is asked by pressure is
found here by Newton steps from a neighbouring state, which keeps liquid liquid and vapour vapour.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from CoolProp import CoolProp
from CoolProp.CoolProp import AbstractState

from linesizer.errors import UserError
from linesizer.properties.components import COMPONENTS
from linesizer.properties.generator.recipe import Recipe

Phase = Literal["liquid", "vapour"]


class UntrustworthyTableError(UserError):
    """The equation of state, or what was made of it, failed a check; no table is written."""

    def __init__(self, name: str, why: str) -> None:
        super().__init__(
            "PROP-12",
            what=f"No table of {name} was written.",
            why=f"A check failed: {why}.",
            remedy="Correct the composition, or choose another refrigerant; the older table, if any, is untouched.",
        )
        self._given = (name, why)

    def __reduce__(self) -> tuple[type[UntrustworthyTableError], tuple[str, str]]:
        """Come back whole from another process."""
        return type(self), self._given


@dataclass(frozen=True, slots=True)
class Point:
    """A single-phase state in SI units, per kilogram."""

    temperature_K: float
    pressure_Pa: float
    density_kg_m3: float
    enthalpy_J_kg: float
    entropy_J_kgK: float
    sound_speed_m_s: float


class EquationOfState:
    """One refrigerant's Helmholtz equation, one phase."""

    def __init__(self, recipe: Recipe, phase: Phase, mole_fractions: tuple[float, ...] | None = None) -> None:
        self.recipe = recipe
        self.phase = phase
        self.state = abstract_state(recipe)
        if mole_fractions is not None:
            self.state.set_mole_fractions(mole_fractions)
        self.state.specify_phase(CoolProp.iphase_gas if phase == "vapour" else CoolProp.iphase_liquid)
        self.molar_mass_kg_mol: float = self.state.molar_mass()

    def set(self, temperature_K: float, density_kg_m3: float) -> None:
        """Bring the equation to a temperature and a density."""
        self.state.update(CoolProp.DmassT_INPUTS, density_kg_m3, temperature_K)

    def point(self) -> Point:
        """Return the present state."""
        state = self.state
        return Point(state.T(), state.p(), state.rhomass(), state.hmass(), state.smass(), state.speed_sound())

    def density(self, pressure_Pa: float, temperature_K: float, guess_kg_m3: float) -> float:
        """Return the density at a pressure and a temperature, from a neighbouring density; leaves the state there."""
        density = guess_kg_m3
        for _ in range(60):
            self.set(temperature_K, density)
            slope = self.state.first_partial_deriv(CoolProp.iP, CoolProp.iDmass, CoolProp.iT)
            if not slope > 0.0:
                break
            step = (pressure_Pa - self.state.p()) / slope
            density += max(-0.3 * density, min(0.3 * density, step))
            if abs(step) <= 1e-13 * density:
                self.set(temperature_K, density)
                return density
        raise UntrustworthyTableError(
            self.recipe.name, f"no {self.phase} density at {pressure_Pa:.6g} Pa, {temperature_K:.3f} K"
        )

    def at_enthalpy(self, pressure_Pa: float, enthalpy_J_kg: float, start: Point) -> Point:
        """Return the state at a pressure and an enthalpy, from a neighbouring state."""
        temperature, density = start.temperature_K, start.density_kg_m3
        state = self.state
        for _ in range(60):
            self.set(temperature, density)
            p_rho = state.first_partial_deriv(CoolProp.iP, CoolProp.iDmass, CoolProp.iT)
            p_t = state.first_partial_deriv(CoolProp.iP, CoolProp.iT, CoolProp.iDmass)
            h_rho = state.first_partial_deriv(CoolProp.iHmass, CoolProp.iDmass, CoolProp.iT)
            h_t = state.first_partial_deriv(CoolProp.iHmass, CoolProp.iT, CoolProp.iDmass)
            dp, dh = pressure_Pa - state.p(), enthalpy_J_kg - state.hmass()
            determinant = p_rho * h_t - p_t * h_rho
            step_rho = (dp * h_t - p_t * dh) / determinant
            step_t = (p_rho * dh - dp * h_rho) / determinant
            shrink = min(1.0, 0.3 * density / max(abs(step_rho), 1e-300), 20.0 / max(abs(step_t), 1e-300))
            density += shrink * step_rho
            temperature += shrink * step_t
            if abs(step_rho) <= 1e-11 * density and abs(step_t) <= 1e-10 * temperature:
                self.set(temperature, density)
                return self.point()
        raise UntrustworthyTableError(
            self.recipe.name, f"no {self.phase} state at {pressure_Pa:.6g} Pa, {enthalpy_J_kg:.6g} J/kg"
        )


def abstract_state(recipe: Recipe) -> AbstractState:
    """Return CoolProp's state object of a refrigerant, its composition set."""
    if recipe.equation == "pseudo-pure":
        return AbstractState("HEOS", recipe.name)
    components = [COMPONENTS[component] for component, _ in recipe.mass_fractions]
    state = AbstractState("HEOS", "&".join(components))
    if len(components) > 1:
        state.set_mole_fractions(mole_fractions(recipe))
    return state


def mole_fractions(recipe: Recipe) -> tuple[float, ...]:
    """Return the mole fractions of a blend's components."""
    moles = [
        share / AbstractState("HEOS", COMPONENTS[component]).molar_mass() for component, share in recipe.mass_fractions
    ]
    return tuple(amount / sum(moles) for amount in moles)


def critical_point(recipe: Recipe) -> tuple[float, float]:
    """Return the critical temperature and pressure, [K], [Pa].

    Of a mixture CoolProp finds several stationary points; the vapour-liquid one is the stable one at the highest
    temperature.
    """
    state = abstract_state(recipe)
    if recipe.equation != "mixture":
        return state.T_critical(), state.p_critical()
    stable = [point for point in state.all_critical_points() if point.stable and point.p > 0.0]
    if not stable:
        raise UntrustworthyTableError(recipe.name, "no stable critical point")
    highest = max(stable, key=lambda point: point.T)
    return highest.T, highest.p
