"""Surge: the pressure that liquid brings up when a valve stops it at once."""

from __future__ import annotations

import numpy as np

from linesizer.catalog.parts import part_kind
from linesizer.domain.geometry import line_geometry
from linesizer.domain.route import Line
from linesizer.solver.arrays import ArrayLike, BoolArray, FloatArray


def surge_pressure(density: ArrayLike, sound_speed: ArrayLike, velocity: ArrayLike) -> FloatArray:
    r"""Return the pressure rise when liquid is stopped at once, :math:`\Delta p = \rho a v`.

    The full rise comes only where the valve shuts within the time that the wave needs to the far end and back,
    :math:`2 L / a`.  The tube's own stretch, which lowers it by some per cent, is left out.

    Parameters
    ----------
    density : array_like, shape S
        Density of the liquid, [kg/m3].
    sound_speed : array_like, shape S
        Speed of sound in it, [m/s].
    velocity : array_like, shape S
        Velocity that is stopped, [m/s].

    Returns
    -------
    ndarray, shape S
        Pressure rise, [Pa].

    References
    ----------
    .. [1] Joukowsky, "Ueber den hydraulischen Stoss in Wasserleitungsroehren", 1898; textbook form.

    Examples
    --------
    R134a at 40 C, 1147 kg/m3 and 436 m/s, stopped from 1.5 m/s: 7.5 bar.

    >>> round(float(surge_pressure(1147.0, 436.0, 1.5)) / 1e5, 1)
    7.5
    """
    return np.asarray(np.asarray(density) * np.asarray(sound_speed) * np.asarray(velocity))


def return_time(length: ArrayLike, sound_speed: ArrayLike) -> FloatArray:
    """Return the time that a pressure wave needs to the far end of a line and back, :math:`2 L / a`, [s]."""
    return np.asarray(2.0 * np.asarray(length) / np.asarray(sound_speed))


def upstream_of_fast_valve(line: Line) -> BoolArray:
    """Return which legs have a fast-closing valve on them or behind them in the direction of flow, (legs,)."""
    legs = line_geometry(line).legs
    reaches: dict[str, bool] = {}
    found = np.zeros(len(legs), dtype=np.bool_)
    # Legs stand in the order of flow, so what lies behind a leg is known before it when walked from the end.
    for place in range(len(legs) - 1, -1, -1):
        leg = legs[place].leg
        found[place] = reaches.get(leg.end, False) or any(part_kind(part.kind).fast_closing for part in leg.parts)
        reaches[leg.start] = reaches.get(leg.start, False) or bool(found[place])
    return found
