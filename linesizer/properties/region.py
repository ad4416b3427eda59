"""One phase of a refrigerant: its saturation line and the single-phase region beside it.

Pressure enters as x = sqrt(1 - (p/p_c)^(1/4)), enthalpy as y = (h - middle(x)) / half(x), which is -1 at one edge of
the region and +1 at the other.  Each quantity is one double series in x and y.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesizer.properties.series import (
    BLOCK,
    FloatArray,
    horner,
    power_matrix,
    power_row,
    powers,
    product,
    stacked,
    stacked_matrices,
    with_slope,
)

QUANTITIES = ("volume", "temperature_K", "entropy_J_kgK", "viscosity", "sound_speed_m_s")
LINE_QUANTITIES = (*QUANTITIES, "enthalpy_J_kg")
NEWTON_STEPS = 12
CLOSE_ENOUGH = 2e-6
"""Newton's last step in y; what is left after it is about its square."""
EDGE = 1.0 + 1e-7
"""How far outside an edge still counts as on it: some hundredths of a joule."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The quantities that are evaluated together."""

    terms: int
    """Terms in y."""
    quantities: int
    matrix: FloatArray
    """Rows: middle, half, then term by term the quantities; columns: powers of x."""
    straight_on: FloatArray
    """1 where a quantity goes straight on outside the region, 0 where it keeps the edge's value; a column."""


class Region:
    """Evaluates one phase; all arguments are flat arrays of one length, which the caller sees to.

    ``reach`` is how far beyond y = -1 and y = +1 the quantities go straight on before they stand still.
    """

    def __init__(self, data: Mapping[str, Any], critical_pressure_Pa: float, reach: tuple[float, float]) -> None:
        low, high = data["pressure_Pa"]
        self.low_Pa, self.high_Pa = float(low), float(high)
        self._reach = reach
        self._per_critical = 1.0 / critical_pressure_Pa
        first, last = (
            float(np.sqrt(1.0 - np.sqrt(np.sqrt(pressure * self._per_critical)))) for pressure in (high, low)
        )
        self._x_scale = 2.0 / (last - first)
        self._x_shift = -1.0 - first * self._x_scale
        self._inverse_K: tuple[float, float] = tuple(data["inverse_temperature_1_K"])
        self._log_pressure = power_row(data["log_pressure"])
        self._line = stacked([power_row(data["saturated"][quantity]) for quantity in LINE_QUANTITIES])
        self._scale = [power_row(data[name]) for name in ("middle_enthalpy_J_kg", "half_enthalpy_J_kg")]
        self._matrices = {quantity: power_matrix(data["beside"][quantity]) for quantity in QUANTITIES}
        self.plan = lru_cache(maxsize=None)(self._plan)

    def _plan(self, quantities: tuple[str, ...]) -> Plan:
        """Return the plan of some quantities; kept, since the same few are asked for again and again."""
        body = stacked_matrices([self._matrices[quantity] for quantity in quantities])
        rows = [*self._scale, *body.reshape(-1, body.shape[2])]
        straight = [[0.0 if quantity == "sound_speed_m_s" else 1.0] for quantity in quantities]
        return Plan(body.shape[0], len(quantities), stacked(rows), np.array(straight))

    def scaled_pressure(self, pressure_Pa: FloatArray) -> FloatArray:
        """Return the pressure variable, -1 at the highest and +1 at the lowest pressure, clamped to both."""
        root = np.minimum(np.maximum(pressure_Pa, self.low_Pa), self.high_Pa)
        root *= self._per_critical
        np.sqrt(root, out=root)
        np.sqrt(root, out=root)
        np.subtract(1.0, root, out=root)
        np.sqrt(root, out=root)
        root *= self._x_scale
        root += self._x_shift
        return root

    def by_enthalpy(self, plan: Plan, pressure_Pa: FloatArray, enthalpy_J_kg: FloatArray) -> FloatArray:
        """Return the plan's quantities at pressures and enthalpies, shape (quantities, points)."""
        result = np.empty((plan.quantities, pressure_Pa.size))
        for block in _blocks(pressure_Pa.size, plan.quantities):
            terms, middle, half = self._terms(plan, pressure_Pa[block])
            y = enthalpy_J_kg[block] - middle
            y /= half
            if y.min() >= -1.0 and y.max() <= 1.0:
                result[:, block] = horner(terms, y)
            else:
                result[:, block] = self._beyond(plan, terms, y)
        return result

    def enthalpy_where(self, quantity: str, pressure_Pa: FloatArray, value: FloatArray) -> FloatArray:
        """Return the enthalpy at which a quantity that rises with enthalpy has the given value, [J/kg]."""
        plan = self.plan((quantity,))
        result = np.empty(pressure_Pa.size)
        for block in _blocks(pressure_Pa.size):
            terms, middle, half = self._terms(plan, pressure_Pa[block])
            result[block] = middle + half * self._solve(terms[:, 0], value[block])
        return result

    def position(self, pressure_Pa: FloatArray, enthalpy_J_kg: FloatArray) -> FloatArray:
        """Return y: -1 and +1 at the edges of the region, the smaller one at the lower enthalpy."""
        x = self.scaled_pressure(pressure_Pa)
        middle, half = (horner(row, x) for row in self._scale)
        return np.asarray((enthalpy_J_kg - middle) / half)

    def inside(self, pressure_Pa: FloatArray, enthalpy_J_kg: FloatArray) -> NDArray[np.bool_]:
        """Return where a state lies inside the region, edges included."""
        within = (pressure_Pa >= self.low_Pa) & (pressure_Pa <= self.high_Pa)
        return np.asarray(within & (np.abs(self.position(pressure_Pa, enthalpy_J_kg)) <= EDGE))

    def saturated(self, pressure_Pa: FloatArray, quantities: Sequence[str]) -> FloatArray:
        """Return quantities on the saturation line, shape (quantities, points)."""
        if len(quantities) == 1:
            row = self._line[LINE_QUANTITIES.index(quantities[0])]
            return horner(row, self.scaled_pressure(pressure_Pa))[None]
        rows = self._line[[LINE_QUANTITIES.index(quantity) for quantity in quantities]]
        result = np.empty((len(quantities), pressure_Pa.size))
        for block in _blocks(pressure_Pa.size):
            result[:, block] = product(rows, powers(self.scaled_pressure(pressure_Pa[block]), rows.shape[1] - 1))
        return result

    def saturation_pressure(self, temperature_K: FloatArray) -> FloatArray:
        """Return the pressure on the saturation line, clamped to the table's range, [Pa]."""
        first, last = self._inverse_K
        inverse = 1.0 / np.clip(temperature_K, 1.0 / last, 1.0 / first)
        return np.asarray(np.exp(horner(self._log_pressure, (2.0 * inverse - first - last) / (last - first))))

    def _terms(self, plan: Plan, pressure_Pa: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return the series in y at each pressure, shape (terms, quantities, points), and the enthalpy scale."""
        rows = product(plan.matrix, powers(self.scaled_pressure(pressure_Pa), plan.matrix.shape[1] - 1))
        return rows[2:].reshape(plan.terms, plan.quantities, -1), rows[0], rows[1]

    def _beyond(self, plan: Plan, terms: FloatArray, y: FloatArray) -> FloatArray:
        """Return the quantities where some states lie outside: straight on as far as the reach, then still."""
        edge = np.clip(y, -1.0, 1.0)
        further = np.clip(y, -1.0 - self._reach[0], 1.0 + self._reach[1]) - edge
        value, slope = horner(with_slope(terms), edge)
        return np.asarray(value + plan.straight_on * further * slope)

    def _solve(self, terms: FloatArray, value: FloatArray) -> FloatArray:
        """Return y by Newton's steps, never leaving the region on the way, then straight on like ``_beyond``."""
        both = with_slope(terms)
        even, odd = terms[::2].sum(axis=0), terms[1::2].sum(axis=0)
        coldest, hottest = even - odd, even + odd
        y = np.clip(2.0 * (value - coldest) / (hottest - coldest) - 1.0, -1.0, 1.0)
        for _ in range(NEWTON_STEPS):
            found, slope = horner(both, y)
            moved = np.clip(y + (value - found) / slope, -1.0, 1.0)
            moving = np.abs(moved - y) > CLOSE_ENOUGH
            y = moved
            if not moving.any():
                break
        if np.abs(y).max(initial=0.0) < 1.0:
            return np.asarray(y)
        found, slope = horner(both, y)
        return np.asarray(np.clip(y + (value - found) / slope, -1.0 - self._reach[0], 1.0 + self._reach[1]))


def _blocks(size: int, quantities: int = 1) -> list[slice]:
    step = BLOCK // quantities
    return [slice(start, start + step) for start in range(0, size, step)]
