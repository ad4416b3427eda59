"""Symbols are drawn in a frame of their own: x along the pipe with the flow, y across it, one unit a set size."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from linesizer.domain.route import Point
from linesizer.drawing.display_list import (
    Circle,
    Ink,
    Layer,
    Polygon,
    Polyline,
    Primitive,
    Target,
    Text,
    TextSize,
    Width,
)
from linesizer.drawing.projection import Projection, Spot

UPRIGHT: Point = (0.0, 0.0, 1.0)
EASTWARD: Point = (1.0, 0.0, 0.0)
NORTHWARD: Point = (0.0, 1.0, 0.0)


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a symbol stands: its middle, the sheet directions of its x and y (unit vectors), the size of one unit."""

    origin: Spot = (0.0, 0.0)
    along: Spot = (1.0, 0.0)
    across: Spot = (0.0, -1.0)
    size: float = 1.0

    def at(self, x: float, y: float) -> Spot:
        """Return where a point of the frame lies on the sheet."""
        return (
            self.origin[0] + self.size * (x * self.along[0] + y * self.across[0]),
            self.origin[1] + self.size * (x * self.along[1] + y * self.across[1]),
        )


def unit_spot(vector: Spot) -> Spot | None:
    """Return a sheet vector at length 1, None for one that has none."""
    length = math.hypot(*vector)
    return None if length < 1e-9 else (vector[0] / length, vector[1] / length)


def pipe_frame(projection: Projection, direction: Point, origin: Spot, size: float) -> Frame:
    """Return the frame of a symbol on a pipe, sheared onto the view's axes.

    A symbol on a level run stands upright, one on a riser lies towards the east; where that axis is seen end on or runs
    with the pipe, and on a run along no axis, the symbol stands square to the pipe.
    """
    along = unit_spot(projection.vector(direction)) or (1.0, 0.0)
    on_axis = max(abs(part) for part in direction) > 0.999
    for axis in (EASTWARD, NORTHWARD) if abs(direction[2]) > 0.999 else (UPRIGHT, NORTHWARD, EASTWARD):
        across = unit_spot(projection.vector(axis)) if on_axis else None
        if across is not None and abs(along[0] * across[1] - along[1] * across[0]) > 0.5:
            return Frame(origin, along, across, size)
    square = (along[1], -along[0])
    if square[1] > 1e-9 or (abs(square[1]) <= 1e-9 and square[0] < 0.0):
        square = (-square[0], -square[1])
    return Frame(origin, along, square, size)


@dataclass(slots=True)
class Brush:
    """Collects the primitives of one symbol in its frame."""

    frame: Frame
    target: Target | None = None
    layer: Layer = Layer.SYMBOL
    items: list[Primitive] = field(default_factory=list)

    def line(
        self,
        points: Iterable[Spot],
        width: Width = Width.SYMBOL,
        ink: Ink = Ink.INK,
        dash: tuple[float, ...] = (),
    ) -> None:
        """Draw an open line through points of the frame."""
        spots = tuple(self.frame.at(x, y) for x, y in points)
        self.items.append(Polyline(spots, ink, width, dash, 0.0, self.target, self.layer))

    def area(
        self,
        points: Iterable[Spot],
        fill: Ink | None = Ink.PANEL,
        outline: Ink | None = Ink.INK,
        width: Width = Width.SYMBOL,
    ) -> None:
        """Draw a closed area of the frame."""
        spots = tuple(self.frame.at(x, y) for x, y in points)
        self.items.append(Polygon(spots, fill, outline, width, self.target, self.layer))

    def disc(self, centre: Spot, radius: float, fill: Ink | None = Ink.PANEL, outline: Ink | None = Ink.INK) -> None:
        """Draw a circle of the frame: an ellipse where the frame is sheared."""
        self.area(arc(centre, radius, 0.0, 360.0)[:-1], fill, outline)

    def dot(self, centre: Spot, radius: float, fill: Ink | None = Ink.INK, outline: Ink | None = None) -> None:
        """Draw a true circle, whatever the shear; the radius is in units of the frame."""
        self.items.append(
            Circle(
                self.frame.at(*centre),
                radius * self.frame.size,
                fill,
                outline,
                Width.THIN,
                self.target,
                self.layer,
            )
        )

    def word(
        self, at: Spot, text: str, size: TextSize = TextSize.SMALL, ink: Ink = Ink.INK, bold: bool = False
    ) -> None:
        """Write one upright word, centred at a point of the frame."""
        self.items.append(
            Text(self.frame.at(*at), text, size, ink=ink, bold=bold, target=self.target, layer=self.layer)
        )


def arc(centre: Spot, radius: float, start_deg: float, end_deg: float, count: int = 0) -> tuple[Spot, ...]:
    """Return points along an arc, counter-clockwise for a growing angle where y points up."""
    steps = count or max(2, math.ceil(abs(end_deg - start_deg) / 15.0))
    angles = (math.radians(start_deg + (end_deg - start_deg) * i / steps) for i in range(steps + 1))
    return tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles)
