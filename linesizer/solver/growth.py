"""How much a straight run grows as it warms, and how long an offset has to be to take that up."""

from __future__ import annotations

import numpy as np

from linesizer.solver.arrays import ArrayLike, FloatArray

STEEL_EXPANSION_1_K = 12.0e-6
"""Carbon steel from 20 to 100 C, [1/K] (engineering tables, from memory: 11.7e-6 to 12.2e-6)."""

STEEL_MODULUS_Pa = 2.0e11
"""Carbon steel near room temperature, [Pa] (engineering tables, from memory: 195e9 to 207e9)."""


def thermal_growth(length: ArrayLike, expansion: ArrayLike, warming: ArrayLike) -> FloatArray:
    r"""Return how much longer a tube becomes, :math:`\alpha L \Delta T`.

    Parameters
    ----------
    length : array_like, shape S
        Length of the straight run, [m].
    expansion : array_like, shape S
        Coefficient of linear expansion, [1/K].
    warming : array_like, shape S
        Rise of temperature since it was built, [K].

    Returns
    -------
    ndarray, shape S
        Growth, [m]; negative where it cools.

    Examples
    --------
    20 m of copper over 90 K grow 31 mm.

    >>> round(float(thermal_growth(20.0, 17.0e-6, 90.0)), 4)
    0.0306
    """
    return np.asarray(np.asarray(length) * np.asarray(expansion) * np.asarray(warming))


def offset_length(growth: ArrayLike, outside_diameter: ArrayLike, modulus: ArrayLike, stress: ArrayLike) -> FloatArray:
    r"""Return the length of an offset that bends by a growth without more than the allowed stress.

    .. math:: L = \sqrt{3 E D \delta / S}

    The offset is a cantilever, held where it ends and guided so that it stays square to the run.

    Parameters
    ----------
    growth : array_like, shape S
        What the offset has to take up, [m].
    outside_diameter : array_like, shape S
        Outside diameter of the tube, [m].
    modulus, stress : array_like, shape S
        Modulus of elasticity and allowed bending stress, [Pa].

    Returns
    -------
    ndarray, shape S
        Least length of the offset, [m].

    References
    ----------
    .. [1] Copper Development Association, Copper Tube Handbook, expansion loops and offsets (from memory).
    """
    return np.asarray(
        np.sqrt(3.0 * np.asarray(modulus) * np.asarray(outside_diameter) * np.asarray(growth) / np.asarray(stress))
    )
