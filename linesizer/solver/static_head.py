"""The weight of the column: pressure that a rise costs."""

from __future__ import annotations

import numpy as np

from linesizer.solver.arrays import ArrayLike, FloatArray

GRAVITY = 9.80665
"""Standard acceleration of gravity, [m/s2] (ISO 80000-3)."""


def static_drop(density: ArrayLike, rise: ArrayLike) -> FloatArray:
    r"""Return the pressure lost to a rise, :math:`\rho g \Delta z`; negative where the run falls.

    Parameters
    ----------
    density : array_like, shape S
        Mean density of the column, [kg/m3].
    rise : array_like, shape S
        Rise in the direction of flow, [m].

    Returns
    -------
    ndarray, shape S
        Pressure drop, [Pa].
    """
    return np.asarray(GRAVITY * np.asarray(density) * np.asarray(rise))
