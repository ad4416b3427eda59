"""Smooth functions of pressure, met at a few points and followed between them: what makes a march cheap."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np

from linesizer.solver.arrays import FloatArray


@cache
def _nodes(count: int) -> FloatArray:
    """Chebyshev points of the first kind on -1 to 1."""
    return np.cos(np.pi * (np.arange(count) + 0.5) / count)


@cache
def _to_powers(count: int) -> FloatArray:
    """Matrix from values at the nodes to coefficients of the powers of t."""
    return np.asarray(np.linalg.inv(np.vander(_nodes(count), increasing=True)))


class Curve:
    """A batch of polynomials in pressure, each through a function's values at Chebyshev points of its own range.

    For density at constant enthalpy five points keep the error below 1e-7 over a range of 1 to 1.3 in pressure and
    below 1e-5 over 1 to 2 (compared with the table in the tests).
    """

    __slots__ = ("_coefficients", "_middle", "_scale")

    def __init__(
        self, function: Callable[[FloatArray], FloatArray], low: FloatArray, high: FloatArray, points: int = 5
    ) -> None:
        """Meet ``function`` at ``points`` points.

        Parameters
        ----------
        function : callable
            From pressure (points, B) to values (points, B).
        low, high : ndarray, shape (B)
            Range of pressure, [Pa]; low below high.
        points : int
            How many.
        """
        self._middle = 0.5 * (low + high)
        half = 0.5 * (high - low)
        self._scale = 1.0 / half
        behind = (slice(None),) + (None,) * np.ndim(low)
        values = function(self._middle + half * _nodes(points)[behind])
        self._coefficients = np.tensordot(_to_powers(points), values, axes=1)

    def __call__(self, pressure: FloatArray) -> FloatArray:
        """Return the values at pressures (..., B)."""
        t = (pressure - self._middle) * self._scale
        coefficients = self._coefficients
        value = t * coefficients[-1]
        for coefficient in coefficients[-2:0:-1]:
            value += coefficient
            value *= t
        value += coefficients[0]
        return np.asarray(value)

    def column(self) -> Curve:
        """Return the same for pressures of shape (..., B, n), one curve for all n."""
        other = object.__new__(Curve)
        other._middle, other._scale = self._middle[..., None], self._scale[..., None]
        other._coefficients = self._coefficients[..., None]
        return other
