"""Dew point of air."""

from __future__ import annotations

import numpy as np

from linesizer.solver.arrays import ArrayLike, FloatArray

_A, _B_C = 17.625, 243.04


def dew_point_C(air_C: ArrayLike, relative_humidity: ArrayLike) -> FloatArray:
    r"""Return the temperature at which air of some humidity begins to drop water.

    .. math:: \gamma = \ln\varphi + \frac{17.625\,T}{243.04 + T}, \quad T_d = \frac{243.04\,\gamma}{17.625 - \gamma}

    The arguments broadcast together; call the common shape S.

    Parameters
    ----------
    air_C : array_like, shape S
        Air temperature, -40 to 50, [C].
    relative_humidity : array_like, shape S
        Above 0 to 1.

    Returns
    -------
    ndarray, shape S
        Dew point, [C], within 0.4 K.

    References
    ----------
    .. [1] Alduchov and Eskridge, "Improved Magnus form approximation of saturation vapor pressure", J. Appl. Meteor.
       35, 1996 (from memory).

    Examples
    --------
    Room air of 25 C and 60 % has its dew point at 16.7 C (psychrometric chart).

    >>> round(float(dew_point_C(25.0, 0.6)), 1)
    16.7
    """
    air = np.asarray(air_C, dtype=np.float64)
    gamma = np.log(np.asarray(relative_humidity, dtype=np.float64)) + _A * air / (_B_C + air)
    return np.asarray(_B_C * gamma / (_A - gamma))
