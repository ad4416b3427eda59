"""The gauge pressure that a tube may bear."""

from __future__ import annotations

import numpy as np

from linesizer.solver.arrays import ArrayLike, FloatArray


def allowable_gauge_pressure(
    stress: ArrayLike, wall: ArrayLike, outside_diameter: ArrayLike, least_wall_fraction: ArrayLike = 0.9
) -> FloatArray:
    r"""Return the gauge pressure that stresses a tube's wall to its allowable stress.

    .. math:: P = \frac{2 S t}{D - 0.8 t}, \quad t = w \, s

    with S the allowable stress, D the outside diameter, s the nominal wall and w the least fraction of it that the
    tube's standard leaves.  No allowance for corrosion, threads or grooves.  The arguments broadcast together; call the
    common shape S.

    Parameters
    ----------
    stress : array_like, shape S
        Allowable stress of the metal at its temperature and in the temper that its joints leave, [Pa].
    wall : array_like, shape S
        Nominal wall, [m].
    outside_diameter : array_like, shape S
        Outside diameter, [m].
    least_wall_fraction : array_like, shape S
        Least wall over nominal wall, [-]: 0.9 for copper tube, 0.875 for seamless steel pipe.

    Returns
    -------
    ndarray, shape S
        Allowable gauge pressure, [Pa].

    Raises
    ------
    ValueError
        If an argument is not positive, or the wall does not fit into the diameter.

    References
    ----------
    .. [1] Copper Development Association, Copper Tube Handbook, pressure ratings; the form of ASME B31 (read).

    Examples
    --------
    Type L tube of 2-1/8 in, brazed, at 100 F: 364 psi in the Copper Tube Handbook.

    >>> from linesizer.units import METRES_PER_INCH, PASCALS_PER_PSI
    >>> rating = allowable_gauge_pressure(6000 * PASCALS_PER_PSI, 0.070 * METRES_PER_INCH, 2.125 * METRES_PER_INCH)
    >>> round(float(rating / PASCALS_PER_PSI))
    364
    """
    stresses, walls, diameters, fractions = (
        np.asarray(item, dtype=np.float64) for item in (stress, wall, outside_diameter, least_wall_fraction)
    )
    # "not greater" rather than "smaller" so that NaN is refused too.
    if not all(np.all(item > 0.0) for item in (stresses, walls, diameters, fractions)):
        raise ValueError("stress, wall, outside diameter and least wall fraction must be positive")
    if not np.all(2.0 * walls < diameters):
        raise ValueError("twice the wall must be less than the outside diameter")
    least = fractions * walls
    return np.asarray(2.0 * stresses * least / (diameters - 0.8 * least))
