"""Liquid that boils on its way: an indicative pressure for the remainder of its line."""

from __future__ import annotations

import numpy as np

from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import ArrayLike, FloatArray
from linesizer.solver.friction import friction_factor, reynolds_number
from linesizer.solver.static_head import GRAVITY

STEPS_PER_LEG = 8


def two_phase_gradient(
    liquid_gradient: ArrayLike, vapour_gradient: ArrayLike, vapour_fraction: ArrayLike
) -> FloatArray:
    r"""Return the friction gradient of two phases in one tube.

    .. math:: \frac{dp}{dz} = G (1 - x)^{1/3} + B x^3, \quad G = A + 2 (B - A) x

    with A and B the gradients of the whole flow as liquid and as vapour.  The arguments broadcast to one shape S.

    Parameters
    ----------
    liquid_gradient, vapour_gradient : array_like, shape S
        Friction gradient of the whole flow as liquid and as vapour, [Pa/m].
    vapour_fraction : array_like, shape S
        Mass fraction of vapour, 0 to 1.

    Returns
    -------
    ndarray, shape S
        Friction gradient, [Pa/m].

    References
    ----------
    .. [1] Mueller-Steinhagen and Heck, "A simple friction pressure drop correlation for two-phase flow in pipes", Chem.
       Eng. Process. 20, 1986.

    Examples
    --------
    >>> float(two_phase_gradient(100.0, 1000.0, 0.0)), float(two_phase_gradient(100.0, 1000.0, 1.0))
    (100.0, 1000.0)
    """
    a = np.asarray(liquid_gradient, dtype=np.float64)
    b = np.asarray(vapour_gradient, dtype=np.float64)
    x = np.asarray(vapour_fraction, dtype=np.float64)
    return np.asarray((a + 2.0 * (b - a) * x) * np.cbrt(1.0 - x) + b * x**3)


def homogeneous_density(liquid_density: ArrayLike, vapour_density: ArrayLike, vapour_fraction: ArrayLike) -> FloatArray:
    r"""Return the density of two phases that move together, :math:`1/\rho = x/\rho_v + (1-x)/\rho_l`, [kg/m3]."""
    x = np.asarray(vapour_fraction, dtype=np.float64)
    return np.asarray(1.0 / (x / np.asarray(vapour_density) + (1.0 - x) / np.asarray(liquid_density)))


def boiling_outlet(
    table: RefrigerantTable,
    *,
    pressure_Pa: FloatArray,
    enthalpy_J_kg: FloatArray,
    single_drop_Pa: FloatArray,
    static_Pa: FloatArray,
    length_m: FloatArray,
    rise_m: FloatArray,
    bore_m: FloatArray,
    roughness_m: FloatArray,
    mass_flow: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Return pressure and vapour fraction at the end of a liquid line part of which boils; indicative.

    Each leg is walked in steps.  While its liquid stays below its bubble point a step costs its share of the leg's
    single-phase drop; once it boils, friction grows as the correlation says, fittings and parts in the same
    proportion, and the column weighs what the homogeneous mixture does.

    Parameters
    ----------
    table : RefrigerantTable
        Properties.
    pressure_Pa : ndarray, shape (conditions,)
        Pressure at the line's start, [Pa].
    enthalpy_J_kg : ndarray, shape (legs + 1, conditions)
        Enthalpy at the nodes, [J/kg].
    single_drop_Pa, static_Pa : ndarray, shape (legs, conditions)
        The single-phase drop of each leg and its static part, [Pa].
    length_m, rise_m, bore_m, roughness_m : ndarray, shape (legs,)
        The legs, [m].
    mass_flow : ndarray, shape (conditions,) or (legs, conditions)
        Flow, [kg/s].

    Returns
    -------
    tuple of ndarray, shape (conditions,)
        Pressure [Pa] and vapour fraction at the end; the pressure is held at the table's least.
    """
    pressure = np.array(pressure_Pa, dtype=np.float64)
    flows = np.broadcast_to(mass_flow, (len(bore_m), *pressure.shape))
    flux2 = [(flow / (0.25 * np.pi * bore**2)) ** 2 for flow, bore in zip(flows, bore_m, strict=True)]
    fraction = np.zeros_like(pressure)
    for leg in range(len(length_m)):
        other = (single_drop_Pa[leg] - static_Pa[leg]) / STEPS_PER_LEG
        for number in range(STEPS_PER_LEG):
            part = (number + 0.5) / STEPS_PER_LEG
            enthalpy = enthalpy_J_kg[leg] + part * (enthalpy_J_kg[leg + 1] - enthalpy_J_kg[leg])
            fraction = np.asarray(table.vapour_fraction_ph(pressure, enthalpy))
            liquid, vapour = table.saturated_liquid(pressure), table.saturated_vapour(pressure)
            gradients = []
            for state in (liquid, vapour):
                reynolds = reynolds_number(flows[leg], bore_m[leg], state.viscosity_Pa_s)
                factor = friction_factor(reynolds, roughness_m[leg] / bore_m[leg])
                gradients.append(factor / bore_m[leg] * 0.5 * flux2[leg] / state.density_kg_m3)
            grown = two_phase_gradient(gradients[0], gradients[1], fraction) / gradients[0]
            mixture = homogeneous_density(liquid.density_kg_m3, vapour.density_kg_m3, fraction)
            boils = fraction > 0.0
            column = np.where(boils, mixture * GRAVITY * rise_m[leg] / STEPS_PER_LEG, static_Pa[leg] / STEPS_PER_LEG)
            pressure = pressure - np.where(boils, other * grown, other) - column
            pressure = np.maximum(pressure, table.minimum_pressure_Pa)
    return pressure, np.asarray(table.vapour_fraction_ph(pressure, enthalpy_J_kg[-1]))
