"""Density as a curve of pressure against the table it stands for, with and without heat lost on the way."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.properties.library import load
from linesizer.solver.arrays import FloatArray
from linesizer.solver.curve import Curve
from linesizer.solver.density_along import DensityAlong, start_enthalpy
from linesizer.solver.phase import Phase, liquid, vapour

# Of the 0.3 % that the design asks of a pressure drop.
A_TENTH, A_HUNDREDTH = 3e-4, 3e-5
REFRIGERANTS = ("R134a", "R407C", "R32", "R717")


def gas(refrigerant: str) -> tuple[Phase, FloatArray, FloatArray]:
    """Vapour, enthalpies and pressures of a hot-gas line at three conditions: 30 K above a dew point of 45 C."""
    table = load(refrigerant)
    pressure = table.dew_pressure(np.array([308.15, 318.15, 328.15]))
    enthalpy = table.vapour_pt(pressure, table.dew_temperature(pressure) + 30.0).enthalpy_J_kg
    return vapour(table), enthalpy, pressure


def falling(pressure: FloatArray, by: float, nodes: int = 9) -> FloatArray:
    return pressure * np.linspace(1.0, 1.0 - by, nodes)[:, None]


@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
@pytest.mark.parametrize(("ratio", "within"), [(1.3, 1e-7), (2.0, 1e-5)])
def test_a_curve_over_its_range(refrigerant: str, ratio: float, within: float) -> None:
    """The bounds that the curve's own words state."""
    phase, enthalpy, pressure = gas(refrigerant)
    curve = Curve(lambda at: phase.density(at, enthalpy), pressure / ratio, pressure)
    at = falling(pressure, 1.0 - 1.0 / ratio, 41)
    np.testing.assert_allclose(curve(at), phase.density(at, enthalpy), rtol=within)


@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
def test_along_an_adiabatic_line(refrigerant: str) -> None:
    phase, enthalpy, pressure = gas(refrigerant)
    nodes = falling(pressure, 0.1)
    along = DensityAlong(phase, enthalpy, None, nodes)
    np.testing.assert_allclose(along(nodes), phase.density(nodes, enthalpy), rtol=1e-6)


@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
@pytest.mark.parametrize("part", [0.05, 0.5, 0.95])
def test_along_a_line_that_cools(refrigerant: str, part: float) -> None:
    """Down to a part of the way to its dew point: within a tenth of the 0.3 % that the design asks of a drop."""
    phase, enthalpy, pressure = gas(refrigerant)
    table = load(refrigerant)
    nodes = falling(pressure, 0.1)
    spare = enthalpy - table.saturated_vapour(pressure).enthalpy_J_kg
    lost = part * spare * np.linspace(0.0, 1.0, len(nodes))[:, None] ** 0.7
    along = DensityAlong(phase, enthalpy, lost, nodes)
    np.testing.assert_allclose(along(nodes), phase.density(nodes, enthalpy - lost), rtol=A_TENTH)
    # The same curves serve other places along the same line.
    finer = falling(pressure, 0.1, 33)
    lost_finer = part * spare * np.linspace(0.0, 1.0, len(finer))[:, None] ** 0.7
    np.testing.assert_allclose(
        along.along(lost_finer)(finer), phase.density(finer, enthalpy - lost_finer), rtol=A_TENTH
    )


@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
def test_along_liquid_that_warms(refrigerant: str) -> None:
    table = load(refrigerant)
    phase, pressure = liquid(table), table.dew_pressure(np.array([308.15, 318.15]))
    enthalpy = table.liquid_pt(pressure, table.bubble_temperature(pressure) - 20.0).enthalpy_J_kg
    nodes, lost = falling(pressure, 0.1), -15e3 * np.linspace(0.0, 1.0, 9)[:, None] * np.ones(2)
    along = DensityAlong(phase, enthalpy, lost, nodes)
    np.testing.assert_allclose(along(nodes), phase.density(nodes, enthalpy - lost), rtol=A_HUNDREDTH)


def test_lost_heat_of_nothing_is_an_adiabatic_line() -> None:
    phase, enthalpy, pressure = gas("R134a")
    nodes = falling(pressure, 0.1)
    still, plain = (
        DensityAlong(phase, enthalpy, np.zeros_like(nodes), nodes),
        DensityAlong(phase, enthalpy, None, nodes),
    )
    np.testing.assert_allclose(still(nodes), plain(nodes), rtol=1e-7)


def test_the_gas_of_a_compressor_follows_the_pressure_at_the_start() -> None:
    """Half a per cent more pressure at the start than guessed brings hotter gas."""
    phase, enthalpy, pressure = gas("R134a")

    def compressed(at: FloatArray) -> FloatArray:
        return np.asarray(enthalpy + 0.02 * (at - pressure))

    guess = falling(pressure, 0.1)
    along = DensityAlong(phase, compressed, None, guess)
    nodes = falling(1.005 * pressure, 0.1)
    exact = phase.density(nodes, start_enthalpy(compressed, nodes[0]))
    np.testing.assert_allclose(along(nodes), exact, rtol=A_HUNDREDTH)
    assert np.abs(phase.density(nodes, enthalpy) / exact - 1.0).max() > 1e-4
