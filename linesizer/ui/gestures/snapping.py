"""How far and which way: the pointer's travel as a direction and a length in round steps."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesizer.document.direction import Axis, Direction
from linesizer.drawing.projection import Projection
from linesizer.units import METRES_PER_FOOT, METRES_PER_INCH, System

_LEAST_STEP_px = 3.0
"""A step shorter than this cannot be aimed at."""

_STEPS_m: dict[System, tuple[tuple[float, float], ...]] = {
    "si": ((0.1, 0.01), (0.2, 0.02), (0.5, 0.05), (1.0, 0.1), (2.0, 0.2)),
    "ip": (
        (METRES_PER_INCH, METRES_PER_INCH / 8.0),
        (3.0 * METRES_PER_INCH, METRES_PER_INCH / 2.0),
        (6.0 * METRES_PER_INCH, METRES_PER_INCH),
        (METRES_PER_FOOT, METRES_PER_INCH),
        (2.0 * METRES_PER_FOOT, 3.0 * METRES_PER_INCH),
        (5.0 * METRES_PER_FOOT, 6.0 * METRES_PER_INCH),
    ),
}
"""Ordinary and fine steps: tenths of a metre, or inches as a tape has them."""


def step_m(scale: float, system: System, fine: bool = False) -> float:
    """Return the step that lengths are rounded to at a scale, [sheet units a metre]; Shift makes it ``fine``."""
    steps = _STEPS_m[system]
    ordinary, finer = next((pair for pair in steps if pair[0] * scale >= _LEAST_STEP_px), steps[-1])
    return finer if fine else ordinary


def in_steps(length_m: float, step: float) -> float:
    """Return a length rounded to whole steps, [m]."""
    return round(round(length_m / step) * step, 9)


@dataclass(frozen=True, slots=True)
class Pull:
    """A drag read along one of the six directions; the length is above 0, [m]."""

    direction: Direction
    length_m: float

    @property
    def axis(self) -> Axis:
        """The axis that it runs along."""
        return _AXES[self.direction][0]

    @property
    def distance_m(self) -> float:
        """The length, negative towards west, south or down."""
        return _AXES[self.direction][1] * self.length_m


_AXES: dict[Direction, tuple[Axis, float]] = {
    Direction.EAST: (Axis.EAST, 1.0),
    Direction.WEST: (Axis.EAST, -1.0),
    Direction.NORTH: (Axis.NORTH, 1.0),
    Direction.SOUTH: (Axis.NORTH, -1.0),
    Direction.UP: (Axis.UP, 1.0),
    Direction.DOWN: (Axis.UP, -1.0),
}


def axis_of(direction: Direction) -> tuple[Axis, float]:
    """Return a direction as an axis and a sign."""
    return _AXES[direction]


def pull(projection: Projection, dx: float, dy: float, step: float, along: Axis | None = None) -> Pull | None:
    """Return the pull of a drag, the best of the six directions or of the two along an axis; None for no length."""
    best: tuple[float, float, Direction] | None = None
    for direction in Direction:
        if along is not None and _AXES[direction][0] is not along:
            continue
        vx, vy = projection.vector(direction.vector)
        square = vx * vx + vy * vy
        if square < 1e-12:
            continue
        length = (dx * vx + dy * vy) / square
        miss = abs(dx * vy - dy * vx) / math.sqrt(square)
        if length > 0.0 and (best is None or miss < best[0] - 1e-9):
            best = (miss, length / projection.scale, direction)
    if best is None:
        return None
    length_m = in_steps(best[1], step)
    return Pull(best[2], length_m) if length_m > 0.0 else None
