"""The bubble and dew lines of a refrigerant.

Pure fluids by CoolProp's own saturation calls, the pseudo-pure blends by their own two pressure curves.  Of the
mixtures CoolProp's calls fail in places, so their equality of fugacities is solved here, from the neighbouring point
of the same line; CoolProp's own calls then only start the line and, in the checks, confirm it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from CoolProp import CoolProp
from CoolProp.CoolProp import AbstractState
from numpy.typing import NDArray
from scipy.optimize import brentq, root

from linesizer.properties.components import COMPONENTS
from linesizer.properties.generator.equation import (
    EquationOfState,
    Phase,
    Point,
    UntrustworthyTableError,
    abstract_state,
    mole_fractions,
)
from linesizer.properties.generator.recipe import Recipe

RESIDUAL = 1e-8
"""Largest difference left between ln of the components' fugacities in both phases."""
SHORTEST_STEP = 64.0
"""A step along a line is cut in two until it is this many times shorter than at first."""
GAS_CONSTANT_J_molK = 8.314462618
WORD = {"vapour": "dew", "liquid": "bubble"}


class SaturationLine(Protocol):
    """One line: saturated liquid (bubble) or saturated vapour (dew)."""

    def at_temperature(self, temperature_K: float) -> Point:
        """Return the saturated state at a temperature."""

    def at_pressure(self, pressure_Pa: float) -> Point:
        """Return the saturated state at a pressure."""


class PureLine:
    """A pure fluid's line."""

    def __init__(self, recipe: Recipe, phase: Phase) -> None:
        self._quality = 1.0 if phase == "vapour" else 0.0
        self._flash = abstract_state(recipe)
        self._equation = EquationOfState(recipe, phase)

    def _point(self) -> Point:
        self._equation.set(self._flash.T(), self._flash.rhomass())
        return self._equation.point()

    def at_temperature(self, temperature_K: float) -> Point:
        """Return the saturated state at a temperature."""
        self._flash.update(CoolProp.QT_INPUTS, self._quality, temperature_K)
        return self._point()

    def at_pressure(self, pressure_Pa: float) -> Point:
        """Return the saturated state at a pressure."""
        self._flash.update(CoolProp.PQ_INPUTS, pressure_Pa, self._quality)
        return self._point()


class PseudoPureLine:
    """A line of a blend that CoolProp treats as one fluid with a bubble and a dew pressure curve."""

    def __init__(self, recipe: Recipe, phase: Phase) -> None:
        self._quality = 1.0 if phase == "vapour" else 0.0
        self._flash = abstract_state(recipe)
        self._equation = EquationOfState(recipe, phase)
        self._coldest_K: float = self._flash.Tmin()
        self._hottest_K: float = self._flash.T_critical() - 0.5

    def at_temperature(self, temperature_K: float) -> Point:
        """Return the saturated state at a temperature."""
        self._flash.update(CoolProp.QT_INPUTS, self._quality, temperature_K)
        self._equation.density(self._flash.p(), temperature_K, self._flash.rhomass())
        return self._equation.point()

    def at_pressure(self, pressure_Pa: float) -> Point:
        """Return the saturated state at a pressure."""

        def excess(temperature_K: float) -> float:
            self._flash.update(CoolProp.QT_INPUTS, self._quality, temperature_K)
            return float(np.log(self._flash.p() / pressure_Pa))

        return self.at_temperature(brentq(excess, self._coldest_K, self._hottest_K, xtol=1e-10, rtol=1e-14))


@dataclass(frozen=True, slots=True)
class Equilibrium:
    """Saturated phase at the blend's composition and the first drop or bubble beside it."""

    temperature_K: float
    pressure_Pa: float
    log_ratios: NDArray[np.float64]
    """ln of vapour over liquid mole fraction, one a component."""
    liquid_kg_m3: float
    vapour_kg_m3: float


class MixtureLine:
    """A mixture's line, by equality of the components' fugacities in both phases."""

    def __init__(self, recipe: Recipe, phase: Phase) -> None:
        self._recipe = recipe
        self._phase = phase
        self._whole = np.array(mole_fractions(recipe))
        self._liquid = EquationOfState(recipe, "liquid")
        self._vapour = EquationOfState(recipe, "vapour")
        self._known: list[Equilibrium] = []

    def at_temperature(self, temperature_K: float) -> Point:
        """Return the saturated state at a temperature."""
        return self._point(self._march("temperature", temperature_K))

    def at_pressure(self, pressure_Pa: float) -> Point:
        """Return the saturated state at a pressure."""
        return self._point(self._march("pressure", pressure_Pa))

    def _point(self, found: Equilibrium) -> Point:
        equation = self._vapour if self._phase == "vapour" else self._liquid
        equation.state.set_mole_fractions(self._whole.tolist())
        equation.set(found.temperature_K, found.vapour_kg_m3 if self._phase == "vapour" else found.liquid_kg_m3)
        return equation.point()

    def _start(self) -> Equilibrium:
        """Return the line's first point, at -40 C, where CoolProp's own call is sound for nearly all mixtures."""
        flash = abstract_state(self._recipe)
        try:
            flash.update(CoolProp.QT_INPUTS, 1.0 if self._phase == "vapour" else 0.0, 233.15)
        except ValueError:
            return self._ideal_start(233.15)
        liquid = np.array(flash.mole_fractions_liquid())
        vapour = np.array(flash.mole_fractions_vapor())
        return Equilibrium(
            233.15,
            flash.p(),
            np.log(vapour / liquid),
            flash.saturated_liquid_keyed_output(CoolProp.iDmass),
            flash.saturated_vapor_keyed_output(CoolProp.iDmass),
        )

    def _ideal_start(self, temperature_K: float) -> Equilibrium:
        """Return the point of an ideal mixture (Raoult's law), from which the true one is found."""
        pressures, masses, volumes = [], [], []
        for component, _ in self._recipe.mass_fractions:
            pure = AbstractState("HEOS", COMPONENTS[component])
            pure.update(CoolProp.QT_INPUTS, 0.0, temperature_K)
            pressures.append(pure.p())
            masses.append(pure.molar_mass())
            volumes.append(pure.molar_mass() / pure.rhomass())
        pressure = np.array(pressures)
        whole = self._whole
        total = float(whole @ pressure) if self._phase == "liquid" else 1.0 / float(whole @ (1.0 / pressure))
        ratios = pressure / total
        liquid = whole if self._phase == "liquid" else whole / ratios
        vapour = whole * ratios if self._phase == "liquid" else whole
        return Equilibrium(
            temperature_K,
            total,
            np.log(ratios),
            float(liquid @ np.array(masses)) / float(liquid @ np.array(volumes)),
            total * float(vapour @ np.array(masses)) / (GAS_CONSTANT_J_molK * temperature_K),
        )

    def _march(self, given: str, value: float) -> Equilibrium:
        """Go along the line from the nearest known point in steps of at most 5 K or 12 % in pressure.

        Where a step leads nowhere, shorter ones are tried: near the critical point a straight guess soon misses.
        """
        if not self._known:
            first = self._start()
            self._known.append(self._solve("temperature", first.temperature_K, first))
        limit = 0.015 if given == "temperature" else 0.12
        least = limit / SHORTEST_STEP
        while True:
            nearest = min(self._known, key=lambda known: abs(np.log(_of(known, given) / value)))
            distance = float(np.log(value / _of(nearest, given)))
            if distance == 0.0:
                return nearest
            step = max(-limit, min(limit, distance))
            target = value if step == distance else _of(nearest, given) * float(np.exp(step))
            try:
                found = self._solve(given, target, self._guess(given, target, nearest))
            except (UntrustworthyTableError, ValueError):
                limit = 0.5 * min(limit, abs(step))
                if limit < least:
                    raise
                continue
            self._known.append(found)
            if step == distance:
                return found

    def _guess(self, given: str, target: float, nearest: Equilibrium) -> Equilibrium:
        """Extrapolate from the two known points nearest to the wanted one, in ln of the given variable."""
        others = [known for known in self._known if abs(_of(known, given) / _of(nearest, given) - 1.0) > 1e-6]
        if not others:
            # Trouton and Clausius-Clapeyron: ln p rises by about 10 units of ln T
            ratio = target / _of(nearest, given)
            temperature = nearest.temperature_K * (ratio if given == "temperature" else ratio**0.1)
            pressure = nearest.pressure_Pa * (ratio**10 if given == "temperature" else ratio)
            return Equilibrium(
                temperature,
                pressure,
                nearest.log_ratios,
                nearest.liquid_kg_m3,
                nearest.vapour_kg_m3 * pressure / nearest.pressure_Pa,
            )
        second = min(others, key=lambda known: abs(np.log(_of(known, given) / target)))
        share = np.log(target / _of(nearest, given)) / np.log(_of(second, given) / _of(nearest, given))

        def along(a: float, b: float) -> float:
            return float(a * (b / a) ** share)

        return Equilibrium(
            along(nearest.temperature_K, second.temperature_K),
            along(nearest.pressure_Pa, second.pressure_Pa),
            nearest.log_ratios + share * (second.log_ratios - nearest.log_ratios),
            along(nearest.liquid_kg_m3, second.liquid_kg_m3),
            along(nearest.vapour_kg_m3, second.vapour_kg_m3),
        )

    def _solve(self, given: str, value: float, guess: Equilibrium) -> Equilibrium:
        """Solve ln K_i = ln phi_i(liquid) - ln phi_i(vapour) and the sum of mole fractions being 1."""
        count = len(self._whole)
        densities = [guess.liquid_kg_m3, guess.vapour_kg_m3]

        def residual(unknown: NDArray[np.float64]) -> NDArray[np.float64]:
            log_ratios, other = unknown[:count], float(np.exp(unknown[count]))
            temperature, pressure = (value, other) if given == "temperature" else (other, value)
            incipient = self._whole * np.exp(-log_ratios if self._phase == "vapour" else log_ratios)
            total = float(incipient.sum())
            if not 0.0 < total < 1e6:
                raise self._nothing(given, value)
            liquid_share = incipient / total if self._phase == "vapour" else self._whole
            vapour_share = self._whole if self._phase == "vapour" else incipient / total
            self._liquid.state.set_mole_fractions(liquid_share.tolist())
            self._vapour.state.set_mole_fractions(vapour_share.tolist())
            densities[0] = self._liquid.density(pressure, temperature, densities[0])
            densities[1] = self._vapour.density(pressure, temperature, densities[1])
            wanted = np.array(
                [
                    np.log(
                        self._liquid.state.fugacity_coefficient(index) / self._vapour.state.fugacity_coefficient(index)
                    )
                    for index in range(count)
                ]
            )
            return np.append(log_ratios - wanted, np.log(total))

        other = guess.pressure_Pa if given == "temperature" else guess.temperature_K
        result = root(residual, np.append(guess.log_ratios, np.log(other)), method="hybr", tol=1e-12)
        left = float(np.abs(residual(result.x)).max())
        # Of an azeotrope both phases have one composition; only equal densities betray the trivial solution.
        if not left < RESIDUAL or densities[0] < 1.2 * densities[1]:
            raise self._nothing(given, value)
        other = float(np.exp(result.x[count]))
        temperature, pressure = (value, other) if given == "temperature" else (other, value)
        return Equilibrium(temperature, pressure, result.x[:count], densities[0], densities[1])

    def _nothing(self, given: str, value: float) -> UntrustworthyTableError:
        return UntrustworthyTableError(self._recipe.name, f"no {WORD[self._phase]} point at {given} {value:.6g}")


def _of(known: Equilibrium, given: str) -> float:
    return known.temperature_K if given == "temperature" else known.pressure_Pa


def saturation_line(recipe: Recipe, phase: Phase) -> SaturationLine:
    """Return the bubble line (``"liquid"``) or the dew line (``"vapour"``)."""
    if recipe.equation == "pure":
        return PureLine(recipe, phase)
    if recipe.equation == "pseudo-pure":
        return PseudoPureLine(recipe, phase)
    return MixtureLine(recipe, phase)


def holes(recipe: Recipe, phase: Phase, line: SaturationLine, range_K: tuple[float, float]) -> tuple[str, ...]:
    """Return in words where CoolProp's own saturation call of a mixture fails or contradicts the line's.

    It is asked every half kelvin; a difference of more than 1e-6 in pressure counts as failed.
    """
    if recipe.equation != "mixture":
        return ()
    flash = abstract_state(recipe)
    missing = []
    for temperature in np.arange(np.ceil(2.0 * range_K[0] - 0.3) / 2.0 + 0.15, range_K[1], 0.5):
        found = saturation_call(flash, phase, float(temperature))
        own = line.at_temperature(float(temperature)).pressure_Pa
        missing.append((float(temperature), found is None or abs(found / own - 1.0) > 1e-6))
    runs = [
        f"{low - 273.15:.1f}" if low == high else f"{low - 273.15:.1f} to {high - 273.15:.1f}"
        for low, high in _runs(missing)
    ]
    if not runs:
        return ()
    return (
        f"{WORD[phase]} points at {', '.join(runs)} °C, where CoolProp's own saturation call fails: "
        "from equal fugacities in both phases",
    )


def saturation_call(flash: AbstractState, phase: Phase, temperature_K: float) -> float | None:
    """Return the pressure CoolProp's own saturation call gives, [Pa], or None where it gives up."""
    try:
        flash.update(CoolProp.QT_INPUTS, 1.0 if phase == "vapour" else 0.0, temperature_K)
    except ValueError:
        return None
    return float(flash.p())


def _runs(marked: list[tuple[float, bool]]) -> list[tuple[float, float]]:
    """Return the first and last value of each unbroken run of marked ones."""
    runs: list[tuple[float, float]] = []
    before = False
    for value, mark in marked:
        if mark:
            runs = [*runs[:-1], (runs[-1][0], value)] if before else [*runs, (value, value)]
        before = mark
    return runs
