"""What any refrigerant's table has to fulfil, whatever CoolProp answered.

CoolProp returns plausible nonsense in places: saturation below the triple point, an imposed gas in the liquid region.
None of that survives these signs of derivatives on a dense grid.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from linesizer.properties.generator.equation import UntrustworthyTableError
from linesizer.properties.state import State
from linesizer.properties.table import RefrigerantTable

POINTS = 120
SAME_PRESSURE = 4e-6
"""Of an azeotrope the dew pressure is the bubble pressure: they may differ by the errors of both series."""
SAME_TEMPERATURE_K = 2e-3

Array = NDArray[np.float64]


def require_physical(table: RefrigerantTable) -> None:
    """Raise UntrustworthyTableError unless the table's signs and orders are those of a refrigerant."""
    for complaint in complaints(table):
        raise UntrustworthyTableError(table.name, complaint)


def complaints(table: RefrigerantTable) -> Iterator[str]:
    """Yield in words what is wrong with a table."""
    yield from _of_saturation(table)
    pressure = np.geomspace(table.minimum_pressure_Pa, table.maximum_pressure_Pa, POINTS)[:, None]
    for phase, spread in (
        ("vapour", np.linspace(0.0, table.vapour_span_K, POINTS)),
        ("liquid", np.linspace(-table.liquid_span_K, 0.0, POINTS)),
    ):
        if phase == "vapour":
            state = table.vapour_pt(pressure, table.dew_temperature(pressure) + spread)
            inside = table.inside_vapour_ph(state.pressure_Pa, state.enthalpy_J_kg)
        else:
            state = table.liquid_pt(pressure, table.bubble_temperature(pressure) + spread)
            inside = table.inside_liquid_ph(state.pressure_Pa, state.enthalpy_J_kg)
        yield from _of_region(phase, state, inside)
        yield from _along_pressure(table, phase, state, inside)


def _of_saturation(table: RefrigerantTable) -> Iterator[str]:
    temperature = np.linspace(table.minimum_saturation_temperature_K, table.maximum_saturation_temperature_K, 400)
    dew, bubble = table.dew_pressure(temperature), table.bubble_pressure(temperature)
    liquid, vapour = table.saturated_liquid(dew), table.saturated_vapour(dew)
    for wrong, words in (
        (~np.isfinite(dew) | ~np.isfinite(bubble), "saturation pressure is not finite"),
        (np.gradient(dew) <= 0.0, "dew pressure does not rise with temperature"),
        (np.gradient(bubble) <= 0.0, "bubble pressure does not rise with temperature"),
        (dew > bubble * (1.0 + SAME_PRESSURE), "dew pressure lies above bubble pressure"),
        (
            table.bubble_temperature(bubble) > table.dew_temperature(bubble) + SAME_TEMPERATURE_K,
            "bubble temperature lies above dew temperature",
        ),
        (vapour.enthalpy_J_kg <= liquid.enthalpy_J_kg, "evaporation gives off heat"),
        (vapour.entropy_J_kgK <= liquid.entropy_J_kgK, "evaporation lowers entropy"),
        (vapour.density_kg_m3 >= liquid.density_kg_m3, "vapour is denser than liquid"),
        (vapour.viscosity_Pa_s >= liquid.viscosity_Pa_s, "vapour is more viscous than liquid"),
    ):
        if wrong.any():
            yield f"{words} at {temperature[wrong][0] - 273.15:.1f} °C"


def _of_region(phase: str, state: State, inside: NDArray[np.bool_]) -> Iterator[str]:
    for name in ("temperature_K", "density_kg_m3", "viscosity_Pa_s", "sound_speed_m_s"):
        values = getattr(state, name)
        if not (np.isfinite(values) & (values > 0.0)).all():
            yield f"{phase} {name} is not a positive number everywhere"
    risen = inside[:, 1:] & inside[:, :-1]
    heat = np.diff(state.enthalpy_J_kg)
    signs = [("temperature_K", 1.0), ("entropy_J_kgK", 1.0), ("density_kg_m3", -1.0)]
    if phase == "liquid":
        signs += [("viscosity_Pa_s", -1.0), ("sound_speed_m_s", -1.0)]
    for name, sign in signs:
        wrong = risen & ~(sign * np.diff(getattr(state, name)) * heat > 0.0)
        if wrong.any():
            row, column = np.argwhere(wrong)[0]
            yield (
                f"{phase} {name} does not {'rise' if sign > 0.0 else 'fall'} with enthalpy at "
                f"{state.pressure_Pa[row, column] / 1e5:.3f} bar, {state.temperature_K[row, column] - 273.15:.1f} °C"
            )


def _along_pressure(table: RefrigerantTable, phase: str, state: State, inside: NDArray[np.bool_]) -> Iterator[str]:
    """Yield a complaint where density does not rise with pressure at constant enthalpy."""
    higher = state.pressure_Pa * 1.002
    if phase == "vapour":
        density = table.vapour_density_ph(higher, state.enthalpy_J_kg)
        inside = inside & table.inside_vapour_ph(higher, state.enthalpy_J_kg)
        wrong = inside & ~(density > state.density_kg_m3)
        if wrong.any():
            yield f"vapour density does not rise with pressure at {state.pressure_Pa[wrong][0] / 1e5:.3f} bar"
