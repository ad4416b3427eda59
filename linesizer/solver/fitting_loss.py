"""Losses of bends, tees and changes of size as loss coefficients on the velocity head."""

from __future__ import annotations

import numpy as np

from linesizer.solver.arrays import ArrayLike, FloatArray
from linesizer.units import METRES_PER_INCH


def three_k(reynolds: ArrayLike, inner_diameter: ArrayLike, k1: float, ki: float, kd: float) -> FloatArray:
    r"""Return a fitting's loss coefficient by Darby's 3-K correlation.

    .. math:: K = \frac{K_1}{Re} + K_i \left(1 + \frac{K_d}{D^{0.3}}\right), \quad D \text{ in inches}

    The diameter is taken as the bore.  The first two arguments broadcast together; call the common shape S.

    Parameters
    ----------
    reynolds : array_like, shape S
        Reynolds number, [-].
    inner_diameter : array_like, shape S
        Bore, [m].
    k1, ki, kd : float
        Darby's constants of the fitting; kd in inch^0.3.

    Returns
    -------
    ndarray, shape S
        Loss coefficient on the velocity head, [-].

    References
    ----------
    .. [1] Darby, "Chemical Engineering Fluid Mechanics", 2nd ed., 2001.
    """
    bore_in = np.asarray(inner_diameter, dtype=np.float64) / METRES_PER_INCH
    return np.asarray(k1 / np.asarray(reynolds) + ki * (1.0 + kd / bore_in**0.3))


def two_k(reynolds: ArrayLike, inner_diameter: ArrayLike, k1: float, k_infinity: float) -> FloatArray:
    r"""Return a fitting's loss coefficient by Hooper's 2-K correlation.

    .. math:: K = \frac{K_1}{Re} + K_\infty \left(1 + \frac{1}{D}\right), \quad D \text{ in inches}

    Parameters
    ----------
    reynolds, inner_diameter : array_like, shape S
        Reynolds number, [-]; bore, [m].
    k1, k_infinity : float
        Hooper's constants of the fitting.

    Returns
    -------
    ndarray, shape S
        Loss coefficient on the velocity head, [-].

    References
    ----------
    .. [1] Hooper, "The two-K method predicts head losses in pipe fittings", Chemical Engineering, 24 August 1981, p.
    96.
    """
    bore_in = np.asarray(inner_diameter, dtype=np.float64) / METRES_PER_INCH
    return np.asarray(k1 / np.asarray(reynolds) + k_infinity * (1.0 + 1.0 / bore_in))


def contraction(small_bore: ArrayLike, large_bore: ArrayLike) -> FloatArray:
    r"""Return the loss coefficient of a sudden contraction, on the velocity head in the smaller bore.

    .. math:: K = 0.5 (1 - \beta^2), \quad \beta = d / D

    Both arguments are bores, [m], broadcast to one shape; textbook form.
    """
    beta2 = (np.asarray(small_bore, dtype=np.float64) / np.asarray(large_bore, dtype=np.float64)) ** 2
    return np.asarray(0.5 * (1.0 - beta2))


def expansion(small_bore: ArrayLike, large_bore: ArrayLike) -> FloatArray:
    r"""Return the loss coefficient of a sudden expansion, on the velocity head in the smaller bore.

    .. math:: K = (1 - \beta^2)^2, \quad \beta = d / D

    Both arguments are bores, [m], broadcast to one shape; Borda and Carnot.
    """
    beta2 = (np.asarray(small_bore, dtype=np.float64) / np.asarray(large_bore, dtype=np.float64)) ** 2
    return np.asarray((1.0 - beta2) ** 2)


def angle_weights(angle_deg: float) -> tuple[float, float]:
    """Return the shares of a 45 and of a 90 degree elbow that make a bend of another angle.

    The coefficient runs linearly from nothing at 0 degrees through the 45 degree elbow's to the 90 degree elbow's, and
    beyond 90 degrees on in proportion to the angle (common practice, no source).
    """
    if angle_deg <= 45.0:
        return angle_deg / 45.0, 0.0
    if angle_deg <= 90.0:
        part = (angle_deg - 45.0) / 45.0
        return 1.0 - part, part
    return 0.0, angle_deg / 90.0
