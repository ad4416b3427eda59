"""Density along a line as a cheap function of pressure, whatever heat the line has lost on its way."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from linesizer.solver.arrays import FloatArray
from linesizer.solver.curve import Curve
from linesizer.solver.march import Profile
from linesizer.solver.phase import Phase

StartEnthalpy: TypeAlias = FloatArray | Callable[[FloatArray], FloatArray]
"""Enthalpy at the start of a line, (B), [J/kg]; or that of the gas which a compressor sends into it against a
pressure at its start, (B) from (B)."""

LEAST_OF_START = 0.2
"""Pressure over density goes with the absolute temperature, which no line brings to a fifth."""

_PROBE_J_kg = 500.0
_LEAST_RANGE_J_kg = 50.0


def start_enthalpy(enthalpy: StartEnthalpy, pressure: FloatArray) -> FloatArray:
    """Return the enthalpy at the start of a line whose pressure there is known, (B), [J/kg]."""
    return enthalpy(pressure) if callable(enthalpy) else enthalpy


class DensityAlong:
    """Density at the nodes from pressure at the nodes, (nodes, B).

    The enthalpy at each node is that at the start less what the line has lost up to there, (nodes, B).  Density is
    met at five pressures, and at three enthalpies where heat is lost, over a little more than the range of a first
    guess: as pressure over density, which for a gas hardly bends in either.
    """

    def __init__(self, phase: Phase, enthalpy: StartEnthalpy, lost: FloatArray | None, guess: FloatArray) -> None:
        low, high = guess.min(axis=0), guess.max(axis=0)
        room = 0.25 * (high - low) + 0.005 * high
        self._low = np.maximum(low - room, 0.999 * phase.least_pressure_Pa)
        self._high = np.minimum(high + room, 1.001 * phase.most_pressure_Pa)
        self._enthalpy = enthalpy
        self._at = start_enthalpy(enthalpy, guess[0])
        self._by_enthalpy: FloatArray | None = None
        self._weights: tuple[FloatArray, ...] = ()
        self._most_lost: FloatArray | None = None
        if lost is not None and phase.dew_enthalpy is not None:
            # Gas that condenses stays as dense as at its dew point: beyond that no density of vapour means anything.
            middle = 0.5 * (guess[0] + guess[-1])
            self._most_lost = np.maximum(self._at - phase.dew_enthalpy(middle), 0.0)
            lost = np.minimum(lost, self._most_lost)
        if lost is None:
            self._curves: tuple[Curve, ...] = (self._met(phase, self._at),)
        else:
            self._weights, levels = _levels(lost)
            self._curves = tuple(self._met(phase, self._at - level) for level in levels)
        if callable(enthalpy):
            # From here on the enthalpy at the start moves so little that its effect is a straight factor.
            middle = 0.5 * (self._low + self._high)
            below, above = phase.density(middle, np.stack([self._at - _PROBE_J_kg, self._at + _PROBE_J_kg]))
            self._by_enthalpy = (above - below) / (_PROBE_J_kg * (above + below))

    def __call__(self, pressure: FloatArray) -> FloatArray:
        """Return the density at the nodes, (nodes, B), [kg/m3]."""
        ratio = self._curves[0](pressure)
        if self._weights:
            # Far beyond the dew point a parabola through three levels may leave what any gas can be.
            least = LEAST_OF_START * ratio
            ratio *= self._weights[0]
            for weight, curve in zip(self._weights[1:], self._curves[1:], strict=True):
                ratio += weight * curve(pressure)
            ratio = np.maximum(ratio, least)
        density = pressure / ratio
        if self._by_enthalpy is not None and callable(self._enthalpy):
            grown = self._by_enthalpy * (self._enthalpy(pressure[0]) - self._at)
            # Outside the table the slope means nothing; such a flow does not settle, but has to stay a gas.
            density *= np.clip(1.0 + grown, 0.5, 2.0)
        return density

    def along(self, lost: FloatArray) -> DensityAlong:
        """Return the same curves for other nodes, with what is lost up to each of them."""
        other = object.__new__(DensityAlong)
        other.__dict__.update(self.__dict__)
        if self._weights:
            other._weights = _levels(lost if self._most_lost is None else np.minimum(lost, self._most_lost))[0]
        return other

    def covers(self, profile: Profile) -> bool:
        """Whether the pressures that settled lie in the range over which density was met."""
        pressure = profile.pressure_Pa
        inside = (pressure.min(axis=0) >= self._low) & (pressure.max(axis=0) <= self._high)
        return bool((inside | ~profile.settled).all())

    def _met(self, phase: Phase, enthalpy: FloatArray) -> Curve:
        return Curve(lambda at: at / phase.density(at, enthalpy), self._low, self._high)


def _levels(lost: FloatArray) -> tuple[tuple[FloatArray, ...], tuple[FloatArray, ...]]:
    """Return the weights of three levels of lost enthalpy at every node, (nodes, B), and those levels, (B)."""
    low, high = lost.min(axis=0), lost.max(axis=0)
    middle = 0.5 * (low + high)
    half = np.maximum(0.5 * (high - low), _LEAST_RANGE_J_kg)
    t = (lost - middle) / half
    weights = (0.5 * t * (t - 1.0), 1.0 - t * t, 0.5 * t * (t + 1.0))
    return weights, (middle - half, middle, middle + half)
