"""Chebyshev fits: as few coefficients as the wanted accuracy needs."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

Array = NDArray[np.float64]

DIGITS = 10
"""Significant digits of every stored coefficient."""


def nodes(count: int) -> Array:
    """Return Chebyshev nodes of the first kind in (-1, 1), ascending."""
    return np.asarray(-np.cos(np.pi * (np.arange(count) + 0.5) / count))


def rounded(values: Array, tolerance: float) -> Array:
    """Return the values as they are stored: no digits below a thousandth of the tolerance, at most ``DIGITS``.

    What is cut off is mostly the last bits of CoolProp's iterations, which another processor may give differently.
    """
    decimals = 3 - math.floor(math.log10(tolerance))
    kept = [float(f"{round(value, decimals):.{DIGITS - 1}e}") + 0.0 for value in values.ravel().tolist()]
    return np.array(kept).reshape(values.shape)


def interpolant(values: Array) -> Array:
    """Return the series through values at ``nodes``, along the first axis."""
    return np.asarray(np.linalg.solve(chebyshev.chebvander(nodes(len(values)), len(values) - 1), values), np.float64)


def series(values: Array, tolerance: float) -> Array:
    """Return the shortest series in one variable whose dropped coefficients sum to less than ``tolerance``.

    ``values`` are given at ``nodes(len(values))``; the result is rounded as it will be stored.
    """
    return rounded(shortened(interpolant(values), tolerance), tolerance)


def shortened(coefficients: Array, tolerance: float) -> Array:
    """Return a series without the tail that sums to less than ``tolerance``."""
    tail = np.cumsum(np.abs(coefficients[::-1]))[::-1]
    kept = int(np.count_nonzero(tail > tolerance))
    return coefficients[: max(kept, 2)]


def surface(values: Array, tolerance: float) -> Array:
    """Return the cheapest double series whose dropped coefficients sum to less than ``tolerance``.

    ``values[i, j]`` are given at ``nodes`` of both variables.  Cheapest is the least number of coefficients; those
    inside that matter to no stored digit of the tolerance are set to 0.  Where the series does not fall that far, a
    tolerance up to 30 times wider is taken; whether that is good enough is for the checks of the table to say.
    """
    full = interpolant(interpolant(values).T).T
    size = np.abs(full)
    dropped = float(size.sum()) - np.cumsum(np.cumsum(size, axis=0), axis=1)
    count = np.multiply.outer(np.arange(len(full)) + 1.0, np.arange(full.shape[1]) + 1.0)
    for wider in (1.0, 3.0, 10.0, 30.0):
        fits = dropped <= wider * tolerance
        if fits[:-4, :-4].any():
            cost = np.where(fits, count, np.inf)
            rows, columns = np.unravel_index(int(np.argmin(cost)), cost.shape)
            kept = full[: rows + 1, : columns + 1].copy()
            kept[np.abs(kept) < 0.01 * tolerance / kept.size] = 0.0
            return rounded(kept, tolerance)
    raise ArithmeticError(f"the series does not converge to {tolerance:.1e}")


def sampled(function: Callable[[float], float], low: float, high: float, count: int) -> Array:
    """Return a function's values at ``nodes`` mapped to [low, high]."""
    points = 0.5 * (low + high) + 0.5 * (high - low) * nodes(count)
    return np.array([function(float(point)) for point in points])
