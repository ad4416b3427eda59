"""From the world to the sheet and back: isometric, plan and elevations, as pure maths."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from linesizer.domain.route import Point

Spot: TypeAlias = tuple[float, float]
"""A place on the sheet: right, down, in sheet units."""

FULL_SIZE_UNITS_PER_M = 40.0
"""Sheet units a metre at 100 % zoom; one sheet unit is a logical pixel, 1/96 in on paper."""

_C30 = math.sqrt(0.75)


class View(StrEnum):
    """How the sheet looks at the route; an elevation is named by the side from which one looks."""

    ISOMETRIC = "isometric"
    PLAN = "plan"
    FROM_SOUTH = "elevation from south"
    FROM_EAST = "elevation from east"
    FROM_NORTH = "elevation from north"
    FROM_WEST = "elevation from west"


class Direction(Enum):
    """The six directions in which a run of pipe is drawn, with the letter that a person types."""

    NORTH = ("N", (0.0, 1.0, 0.0))
    EAST = ("E", (1.0, 0.0, 0.0))
    SOUTH = ("S", (0.0, -1.0, 0.0))
    WEST = ("W", (-1.0, 0.0, 0.0))
    UP = ("U", (0.0, 0.0, 1.0))
    DOWN = ("D", (0.0, 0.0, -1.0))

    def __init__(self, letter: str, vector: Point) -> None:
        self.letter = letter
        self.vector = vector

    @classmethod
    def from_letter(cls, letter: str) -> Direction:
        """Return the direction of a letter, either case; ``ValueError`` for any other text."""
        for direction in cls:
            if direction.letter == letter.upper():
                return direction
        raise ValueError(f"no direction {letter!r}; the directions are N E S W U D")


# Rows: right on the sheet, down on the sheet, towards the eye; each times (east, north, up).  The isometric view looks
# from the south-west and from above, so that north runs up to the left and east up to the right, all three axes in true
# length.
_VIEWS: dict[View, tuple[Point, Point, Point]] = {
    View.ISOMETRIC: ((_C30, -_C30, 0.0), (-0.5, -0.5, -1.0), (-1.0, -1.0, 1.0)),
    View.PLAN: ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    View.FROM_SOUTH: ((1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, -1.0, 0.0)),
    View.FROM_EAST: ((0.0, 1.0, 0.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0)),
    View.FROM_NORTH: ((-1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0)),
    View.FROM_WEST: ((0.0, -1.0, 0.0), (0.0, 0.0, -1.0), (-1.0, 0.0, 0.0)),
}
_COLUMNS = {view: np.array(rows).T for view, rows in _VIEWS.items()}


@dataclass(frozen=True, slots=True)
class Along:
    """A place on the sheet read along a line in space: signed length, [m]; its miss, [sheet units]."""

    length_m: float
    miss: float


@dataclass(frozen=True, slots=True)
class Snap:
    """The run that a pointer asks for: direction, length above 0, [m], its end, the pointer's miss, [sheet units]."""

    direction: Direction
    length_m: float
    end_m: Point
    miss: float


@dataclass(frozen=True, slots=True)
class Projection:
    """One view at one scale, ``scale`` in sheet units a metre; the world's origin lies at the sheet's."""

    view: View = View.ISOMETRIC
    scale: float = FULL_SIZE_UNITS_PER_M

    def spot(self, at_m: Point) -> Spot:
        """Return where a point of the world lies on the sheet."""
        (a, b, c), (d, e, f), _ = _VIEWS[self.view]
        x, y, z = at_m
        return (self.scale * (a * x + b * y + c * z), self.scale * (d * x + e * y + f * z))

    def depth_m(self, at_m: Point) -> float:
        """Return how near a point is to the eye, along the line of sight, [m]; the larger is in front."""
        row = _VIEWS[self.view][2]
        return row[0] * at_m[0] + row[1] * at_m[1] + row[2] * at_m[2]

    def vector(self, direction: Point) -> Spot:
        """Return a direction of the world on the sheet at a scale of 1: an axis in true length, zero seen end on."""
        (a, b, c), (d, e, f), _ = _VIEWS[self.view]
        x, y, z = direction
        return (a * x + b * y + c * z, d * x + e * y + f * z)

    def spots(self, at_m: ArrayLike) -> NDArray[np.float64]:
        """Return points of the world, shape (n, 3), as right, down, [sheet units], and depth, [m], shape (n, 3)."""
        columns = _COLUMNS[self.view] * np.array([self.scale, self.scale, 1.0])
        return np.asarray(np.asarray(at_m, dtype=np.float64).reshape(-1, 3) @ columns)

    def along(self, start_m: Point, spot: Spot, direction: Point) -> Along | None:
        """Return how far along a direction from ``start_m`` the place nearest to ``spot`` lies; None seen end on."""
        vx, vy = self.vector(direction)
        square = vx * vx + vy * vy
        if square < 1e-12:
            return None
        x0, y0 = self.spot(start_m)
        dx, dy = (spot[0] - x0) / self.scale, (spot[1] - y0) / self.scale
        return Along((dx * vx + dy * vy) / square, abs(dx * vy - dy * vx) / math.sqrt(square) * self.scale)

    def snap(self, start_m: Point, spot: Spot, step_m: float = 0.0) -> Snap | None:
        """Return the run from ``start_m``, along the best of the six directions, whose end lies nearest to ``spot``.

        Parameters
        ----------
        start_m : Point
            Where the run starts.
        spot : Spot
            Where the pointer is.
        step_m : float
            Lengths are rounded to whole steps; 0 leaves them.

        Returns
        -------
        Snap or None
            None where the run would have no length.
        """
        best: tuple[float, float, Direction] | None = None
        for direction in Direction:
            along = self.along(start_m, spot, direction.vector)
            if along is not None and along.length_m > 0.0 and (best is None or along.miss < best[0] - 1e-9):
                best = (along.miss, along.length_m, direction)
        if best is None:
            return None
        miss, length_m, direction = best
        if step_m > 0.0:
            length_m = round(length_m / step_m) * step_m
        if length_m <= 1e-9:
            return None
        end = tuple(at + length_m * part for at, part in zip(start_m, direction.vector, strict=True))
        return Snap(direction, length_m, (end[0], end[1], end[2]), miss)
