"""What a length of tube holds."""

from __future__ import annotations

import numpy as np

from linesizer.solver.arrays import ArrayLike, FloatArray


def tube_volume(inner_diameter: ArrayLike, length: ArrayLike) -> FloatArray:
    r"""Return the volume inside a tube, :math:`\pi D^2 L / 4`.

    Parameters
    ----------
    inner_diameter, length : array_like, shape S
        Bore and length, [m].

    Returns
    -------
    ndarray, shape S
        Volume, [m3].
    """
    return np.asarray(0.25 * np.pi * np.asarray(inner_diameter) ** 2 * np.asarray(length))


def vessel_charge(
    volume_m3: float, liquid_fraction: float, liquid_density: FloatArray, vapour_density: FloatArray
) -> FloatArray:
    r"""Return what a vessel holds that is partly full of liquid, :math:`V [\phi \rho_l + (1 - \phi) \rho_v]`.

    Parameters
    ----------
    volume_m3 : float
        Inner volume, [m3].
    liquid_fraction : float
        Part of the volume that is liquid, 0 to 1.
    liquid_density, vapour_density : ndarray, shape (conditions,)
        Saturated densities at the vessel's pressure, [kg/m3].

    Returns
    -------
    ndarray, shape (conditions,)
        Charge, [kg].
    """
    return np.asarray(volume_m3 * (liquid_fraction * liquid_density + (1.0 - liquid_fraction) * vapour_density))
