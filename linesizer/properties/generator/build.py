"""Builds one refrigerant's table: what is tabulated, over which region, to what accuracy.

Every quantity is a Chebyshev series.  The pressure variable is x = sqrt(1 - (p/p_c)^(1/4)): saturation temperature
is nearly linear in the fourth root of pressure, and whatever is known on a saturation line goes as the square root of
the distance from the critical point, so that in x nothing bends sharply up to 2 K below it.  The second variable is
enthalpy, scaled so that -1 and +1 are the two edges of the region at that pressure.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version
from typing import Any

import numpy as np
from CoolProp.CoolProp import AbstractState
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from linesizer.properties.components import COMPONENTS
from linesizer.properties.generator.chebyshev import nodes, sampled, series, surface
from linesizer.properties.generator.equation import EquationOfState, Phase, Point, critical_point
from linesizer.properties.generator.recipe import Recipe
from linesizer.properties.generator.saturation import SaturationLine, holes, saturation_line
from linesizer.properties.generator.viscosity import ViscosityModel, rule
from linesizer.properties.table import FORMAT

Array = NDArray[np.float64]

COLDEST_K = 223.15
HOTTEST_K = 348.15
BEYOND_COLDEST_K = 2.0
BEYOND_HOTTEST_K = 1.0
"""The table goes this much further than what may be entered: a line's inlet lies above its outlet."""
SUBCOOLING_SPAN_K = 60.0
FREEZE_MARGIN_K = 1.5

LINE_NODES = 40
X_NODES = 40
Y_NODES = 24

QUANTITIES = ("volume", "temperature_K", "entropy_J_kgK", "viscosity", "sound_speed_m_s")
"""Rows of both regions.  For vapour ``volume`` is p/density, [J/kg], and ``viscosity`` is itself, [Pa s]; for liquid
``volume`` is 1/density, [m3/kg], and ``viscosity`` its reciprocal, [1/(Pa s)]: what is nearly straight in enthalpy."""

TOLERANCE = {"volume": 1e-6, "temperature_K": 2e-4, "entropy_J_kgK": 2e-4, "viscosity": 2e-4, "sound_speed_m_s": 1e-4}
"""Sum of dropped coefficients: temperature and entropy as they are, viscosity relative to the mean of what is
fitted, the others relative to their smallest value."""
LINE_SHARE = 0.05
"""Of these tolerances on the saturation lines, where a few more terms cost nothing."""
EDGE_TOLERANCE_J_KG = 0.2
COLD_EDGE_TERMS = 9


@dataclass(frozen=True, slots=True)
class Frame:
    """The pressure variable of one region."""

    critical_pressure_Pa: float
    low_Pa: float
    high_Pa: float

    def pressure(self, u: float) -> float:
        """Return the pressure at the scaled variable: -1 at the highest pressure, +1 at the lowest."""
        first, last = self._root(self.high_Pa), self._root(self.low_Pa)
        x = 0.5 * (first + last) + 0.5 * (last - first) * u
        return float(self.critical_pressure_Pa * (1.0 - x * x) ** 4)

    def _root(self, pressure_Pa: float) -> float:
        return math.sqrt(1.0 - math.sqrt(math.sqrt(pressure_Pa / self.critical_pressure_Pa)))


def saturation_limits(critical_temperature_K: float, below_critical_K: float) -> tuple[float, float]:
    """Return the lowest and highest saturation temperature that may be entered, [K]."""
    return COLDEST_K, min(HOTTEST_K, critical_temperature_K - below_critical_K)


def _unreported(_stage: str) -> None:
    """Take note of nothing."""


def build(recipe: Recipe, report: Callable[[str], None] = _unreported) -> dict[str, Any]:
    """Return a refrigerant's table as plain values, ready to be written.

    Parameters
    ----------
    recipe : Recipe
        What it is made of.
    report : callable, optional
        Told what is being done: the critical point, then two stages a phase.

    Raises
    ------
    UntrustworthyTableError
        If CoolProp gives no state where one is needed.
    """
    report("critical point")
    critical_K, critical_Pa = critical_point(recipe)
    lowest, highest = saturation_limits(critical_K, recipe.below_critical_K)
    table: dict[str, Any] = {
        "format": FORMAT,
        "name": recipe.name,
        "mass_fractions": dict(recipe.mass_fractions),
        "equation": recipe.equation,
        "coolprop_version": version("CoolProp"),
        "molar_mass_kg_mol": _digits(EquationOfState(recipe, "vapour").molar_mass_kg_mol),
        "critical_temperature_K": _digits(critical_K),
        "critical_pressure_Pa": _digits(critical_Pa),
        "minimum_saturation_temperature_K": _digits(lowest),
        "maximum_saturation_temperature_K": _digits(highest),
    }
    table["vapour_span_K"] = recipe.vapour_span_K
    table["liquid_span_K"] = SUBCOOLING_SPAN_K
    table["bridged"] = []
    phases: tuple[Phase, Phase] = ("vapour", "liquid")
    for phase in phases:
        range_K = (lowest - BEYOND_COLDEST_K, highest + BEYOND_HOTTEST_K)
        line = saturation_line(recipe, phase)
        report(f"{phase}: saturation and states beside it")
        table[phase] = _region(recipe, phase, line, range_K, table["critical_pressure_Pa"])
        report(f"{phase}: where CoolProp's own call fails")
        table["bridged"] += holes(recipe, phase, line, range_K)
        viscosity = rule(recipe, phase)
        table[phase]["viscosity_method"] = viscosity.method
        table[phase]["viscosity_uncertainty"] = viscosity.uncertainty
    return table


def _region(
    recipe: Recipe, phase: Phase, line: SaturationLine, range_K: tuple[float, float], critical_Pa: float
) -> dict[str, Any]:
    """Return the saturation line and the single-phase region beside it."""
    low, high = (_digits(line.at_temperature(temperature).pressure_Pa) for temperature in range_K)
    frame = Frame(critical_Pa, low, high)
    inverse = (_digits(1.0 / range_K[1]), _digits(1.0 / range_K[0]))
    log_pressure = sampled(lambda q: math.log(line.at_temperature(1.0 / q).pressure_Pa), *inverse, LINE_NODES)
    equation, viscosity = EquationOfState(recipe, phase), ViscosityModel(recipe, phase)
    on_line = [line.at_pressure(frame.pressure(float(u))) for u in nodes(LINE_NODES)]
    saturated = {
        quantity: series(values, LINE_SHARE * tolerance).tolist()
        for quantity, values, tolerance in _rows(phase, on_line, viscosity)
    } | {"enthalpy_J_kg": _saturated_enthalpy(on_line).tolist()}
    edge = _edge(recipe, phase, frame, line, equation)
    middle, half = _enthalpy_scale(phase, on_line, edge)
    states = _grid(frame, phase, line, equation, middle, half)
    flat = [state for row in states for state in row]
    return {
        "pressure_Pa": [low, high],
        "inverse_temperature_1_K": list(inverse),
        "log_pressure": series(log_pressure, 2e-8).tolist(),
        "saturated": saturated,
        "middle_enthalpy_J_kg": middle.tolist(),
        "half_enthalpy_J_kg": half.tolist(),
        "beside": {
            quantity: _without_end_zeros(surface(values.reshape(X_NODES, Y_NODES), tolerance))
            for quantity, values, tolerance in _rows(phase, flat, viscosity)
        },
    }


def _rows(phase: Phase, states: list[Point], viscosity: ViscosityModel) -> list[tuple[str, Array, float]]:
    """Return each quantity's values in the form that is fitted, with its absolute tolerance."""
    density = np.array([state.density_kg_m3 for state in states])
    pressure = np.array([state.pressure_Pa for state in states])
    friction = np.array([viscosity.at(state.temperature_K, state.density_kg_m3) for state in states])
    columns = (
        pressure / density if phase == "vapour" else 1.0 / density,
        np.array([state.temperature_K for state in states]),
        np.array([state.entropy_J_kgK for state in states]),
        friction if phase == "vapour" else 1.0 / friction,
        np.array([state.sound_speed_m_s for state in states]),
    )
    rows = []
    for quantity, values in zip(QUANTITIES, columns, strict=True):
        if quantity in ("temperature_K", "entropy_J_kgK"):
            scale = 1.0
        else:
            scale = float(values.mean() if quantity == "viscosity" else values.min())
        rows.append((quantity, values, TOLERANCE[quantity] * scale))
    return rows


def _saturated_enthalpy(on_line: list[Point]) -> Array:
    return series(np.array([state.enthalpy_J_kg for state in on_line]), EDGE_TOLERANCE_J_KG)


def _edge(
    recipe: Recipe, phase: Phase, frame: Frame, line: SaturationLine, equation: EquationOfState
) -> Callable[[float], float]:
    """Return the enthalpy at the far edge of the region as a function of the scaled pressure variable."""
    floor_K = freezing_floor(recipe)

    def enthalpy(u: float) -> float:
        start = line.at_pressure(frame.pressure(u))
        if phase == "vapour":
            target = start.temperature_K + recipe.vapour_span_K
        else:
            target = _not_below(start.temperature_K - SUBCOOLING_SPAN_K, floor_K)
        state = start
        for temperature in np.linspace(start.temperature_K, target, 13)[1:]:
            # From the dense side of a liquid Newton's steps fall monotonically on the root.
            ratio = state.temperature_K / temperature if phase == "vapour" else 1.1
            equation.density(start.pressure_Pa, float(temperature), ratio * state.density_kg_m3)
            state = equation.point()
        return state.enthalpy_J_kg

    return enthalpy


def freezing_floor(recipe: Recipe) -> float:
    """Return the lowest temperature of a refrigerant's liquid table: where CoolProp's equations end."""
    if recipe.equation == "pseudo-pure":
        coldest = EquationOfState(recipe, "liquid").state.Tmin()
    else:
        coldest = max(AbstractState("HEOS", COMPONENTS[component]).Tmin() for component, _ in recipe.mass_fractions)
    return float(coldest) + FREEZE_MARGIN_K


def _not_below(temperature_K: float, floor_K: float) -> float:
    """Return the temperature, bent smoothly (over some 6 K) so that it stays above the floor."""
    return floor_K + 6.0 * float(np.logaddexp(0.0, (temperature_K - floor_K) / 6.0))


def _enthalpy_scale(phase: Phase, on_line: list[Point], edge: Callable[[float], float]) -> tuple[Array, Array]:
    """Return the series of the middle and the half span of enthalpy; +1 is the hotter edge in both regions.

    The saturated edge is kept to a fraction of a joule; the far edge is only a choice, so a few terms do.
    """
    beside = np.array([state.enthalpy_J_kg for state in on_line])
    far = np.array([edge(float(u)) for u in nodes(LINE_NODES)])
    half = chebyshev.chebfit(nodes(LINE_NODES), 0.5 * np.abs(far - beside), COLD_EDGE_TERMS - 1)
    half = series(np.asarray(chebyshev.chebval(nodes(LINE_NODES), half), np.float64), 1e-6)
    sign = 1.0 if phase == "vapour" else -1.0
    middle = series(beside + sign * np.asarray(chebyshev.chebval(nodes(LINE_NODES), half)), EDGE_TOLERANCE_J_KG)
    return middle, half


def _grid(
    frame: Frame, phase: Phase, line: SaturationLine, equation: EquationOfState, middle: Array, half: Array
) -> list[list[Point]]:
    """Return the states at the nodes of both variables, each row found by walking away from saturation."""
    columns = nodes(Y_NODES) if phase == "vapour" else nodes(Y_NODES)[::-1]
    rows = []
    for u in nodes(X_NODES):
        pressure = frame.pressure(float(u))
        state = line.at_pressure(pressure)
        row = []
        for y in columns:
            enthalpy = float(chebyshev.chebval(u, middle) + chebyshev.chebval(u, half) * y)
            state = equation.at_enthalpy(pressure, enthalpy, state)
            row.append(state)
        rows.append(row if phase == "vapour" else row[::-1])
    return rows


def _without_end_zeros(coefficients: Array) -> list[list[float]]:
    """Return the rows of a matrix, each cut after its last coefficient that is not 0."""
    return [row[: max(np.flatnonzero(row), default=0) + 1].tolist() for row in coefficients]


def _digits(value: float) -> float:
    return float(f"{value:.9e}")
