"""The six directions of a square route, as a person types and reads them."""

from __future__ import annotations

import math
from enum import StrEnum

from linesizer.domain.route import Point


class Direction(StrEnum):
    """A direction of the sheet: x east, y north, z up."""

    NORTH = "N"
    EAST = "E"
    SOUTH = "S"
    WEST = "W"
    UP = "U"
    DOWN = "D"

    @property
    def vector(self) -> Point:
        """The direction as a unit vector."""
        return _VECTORS[self]

    @property
    def word(self) -> str:
        """The direction as a word: ``north``."""
        return self.name.lower()


_VECTORS: dict[Direction, Point] = {
    Direction.NORTH: (0.0, 1.0, 0.0),
    Direction.EAST: (1.0, 0.0, 0.0),
    Direction.SOUTH: (0.0, -1.0, 0.0),
    Direction.WEST: (-1.0, 0.0, 0.0),
    Direction.UP: (0.0, 0.0, 1.0),
    Direction.DOWN: (0.0, 0.0, -1.0),
}


class Axis(StrEnum):
    """An axis of the sheet along which things are moved."""

    EAST = "east"
    NORTH = "north"
    UP = "up"

    @property
    def place(self) -> int:
        """Where in a point the axis stands: 0, 1, 2."""
        return _PLACES[self]


_PLACES = {Axis.EAST: 0, Axis.NORTH: 1, Axis.UP: 2}

_DECIMALS = 9
"""Coordinates are rounded to a nanometre: 1/64 in is still exact, and 1.2 + 2.2 is written as 3.4."""


def added(at_m: Point, offset_m: Point) -> Point:
    """Return a point moved by an offset, [m]; a coordinate that does not move stays as it is to the last bit."""
    x, y, z = (at if not by else round(at + by, _DECIMALS) + 0.0 for at, by in zip(at_m, offset_m, strict=True))
    return x, y, z


def difference(to_m: Point, from_m: Point) -> Point:
    """Return the offset from one point to another, [m]."""
    return to_m[0] - from_m[0], to_m[1] - from_m[1], to_m[2] - from_m[2]


def unit_vector(vector: Point) -> Point | None:
    """Return a vector made one long, None for one without a finite length above zero."""
    length = math.hypot(*vector)
    if not math.isfinite(length) or length == 0.0:
        return None
    return vector[0] / length, vector[1] / length, vector[2] / length


def scaled(direction: Point, length_m: float) -> Point:
    """Return a direction as long as ``length_m``, [m]."""
    return direction[0] * length_m, direction[1] * length_m, direction[2] * length_m
