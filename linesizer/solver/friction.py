"""Friction in a round tube: Darcy's friction factor from Reynolds number and roughness."""

from __future__ import annotations

import numpy as np

from linesizer.solver.arrays import ArrayLike, FloatArray

LAMINAR_TO = 2300.0
"""Reynolds number up to which the flow is taken as laminar (textbook value)."""

TURBULENT_FROM = 4000.0
"""Reynolds number from which Colebrook's equation is taken (textbook value)."""

_LN10_OVER_5 = 0.123968186335417556  # ln(10) / (5.02 * 3.7), Colebrook's constants
_SHIFT = 0.779397488455682028  # ln(5.02 / ln(10))
_HALF_LN10 = 1.151292546497022842


def reynolds_number(mass_flow: ArrayLike, inner_diameter: ArrayLike, viscosity: ArrayLike) -> FloatArray:
    r"""Return the Reynolds number of flow in a full round tube.

    .. math:: Re = \frac{4 \dot m}{\pi D \mu}

    The arguments broadcast together; call the common shape S.

    Parameters
    ----------
    mass_flow : array_like, shape S
        Mass flow, [kg/s].
    inner_diameter : array_like, shape S
        Bore, [m].
    viscosity : array_like, shape S
        Dynamic viscosity, [Pa s].

    Returns
    -------
    ndarray, shape S
        Reynolds number, [-].
    """
    return np.asarray(4.0 / np.pi * np.asarray(mass_flow) / (np.asarray(inner_diameter) * np.asarray(viscosity)))


def friction_factor(reynolds: ArrayLike, relative_roughness: ArrayLike) -> FloatArray:
    r"""Return Darcy's friction factor.

    Turbulent flow obeys Colebrook and White,
    :math:`1/\sqrt f = -2 \log_{10}(\epsilon/(3.7 D) + 2.51/(Re \sqrt f))`, solved by two of Clamond's quartic
    iterations to better than 1e-10 relative.  Laminar flow has 64/Re to Re 2300; between there and 4000 the factor
    runs linearly in Re.

    The arguments broadcast together; call the common shape S.

    Parameters
    ----------
    reynolds : array_like, shape S
        Reynolds number, above 0, [-].
    relative_roughness : array_like, shape S
        Roughness over bore, 0 to 0.1, [-].

    Returns
    -------
    ndarray, shape S
        Darcy friction factor, [-].

    References
    ----------
    .. [1] Colebrook, "Turbulent flow in pipes", J. Inst. Civil Engineers 11, 1939.
    .. [2] Clamond, "Efficient resolution of the Colebrook equation", Ind. Eng. Chem. Res. 48(7), 2009.

    Examples
    --------
    >>> round(float(friction_factor(1e5, 1e-4)), 6)
    0.018514
    """
    given = np.asarray(reynolds, dtype=np.float64)
    roughness = np.asarray(relative_roughness, dtype=np.float64)
    turbulent = _colebrook(np.maximum(given, TURBULENT_FROM), roughness)
    if given.size and given.min() >= TURBULENT_FROM:
        return turbulent
    slow = np.maximum(given, 1e-9)
    laminar = 64.0 / np.minimum(slow, LAMINAR_TO)
    part = np.clip((given - LAMINAR_TO) / (TURBULENT_FROM - LAMINAR_TO), 0.0, 1.0)
    return np.asarray(laminar + part * (turbulent - laminar))


def _colebrook(reynolds: FloatArray, roughness: FloatArray) -> FloatArray:
    x1 = roughness * reynolds * _LN10_OVER_5
    x2 = np.log(reynolds) - _SHIFT
    f = x2 - 0.2
    for _ in range(2):
        total = x1 + f
        one = 1.0 + total
        error = (np.log(total) + f - x2) / one
        f = f - (one + 0.5 * error) * error * total / (one + error * (1.0 + error / 3.0))
    return np.asarray((_HALF_LN10 / f) ** 2)
