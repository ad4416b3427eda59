"""A run along no axis: its offsets as a thin triangle or box with the plane hatched."""

from __future__ import annotations

import itertools

from linesizer.domain.route import Point
from linesizer.drawing.bends import add
from linesizer.drawing.display_list import Ink, Layer, Polyline, Primitive, Target, Width
from linesizer.drawing.projection import Projection
from linesizer.drawing.runs import Run

_SAME_AXIS = 0.04
"""A run this little off an axis, as a part of its length, counts as along it: a slope, not an offset."""

_HATCH = 7.0


def offset_parts(direction: Point) -> tuple[int, ...]:
    """Return along which of east, north, up a unit direction has a part worth drawing."""
    return tuple(i for i in range(3) if abs(direction[i]) > _SAME_AXIS)


def is_skew(direction: Point) -> bool:
    """Return whether a run lies along none of the three axes."""
    return len(offset_parts(direction)) > 1


def offset_box(run: Run, projection: Projection, target: Target | None = None) -> tuple[Primitive, ...]:
    """Return the thin offsets of a skew run and the hatching of the plane that they span."""
    start, end = run.geometry.start_m, run.geometry.end_m
    delta = tuple(b - a for a, b in zip(start, end, strict=True))
    axes = offset_parts(run.geometry.direction)
    corners = [start]
    for axis in axes:
        step: list[float] = [0.0, 0.0, 0.0]
        step[axis] = delta[axis]
        corners.append(add(corners[-1], (1.0, (step[0], step[1], step[2]))))
    items: list[Primitive] = []

    def line(a: Point, b: Point, width: Width) -> None:
        items.append(
            Polyline(
                (run.spot(projection, a), run.spot(projection, b)), Ink.QUIET, width, target=target, layer=Layer.TIE
            )
        )

    for a, b in itertools.pairwise(corners):
        line(a, b, Width.HAIR)
    # The first two offsets span a plane with their sum; with three, that is the level foot of the box.
    a, b, c = corners[0], corners[1], corners[2]
    if len(axes) == 3:
        line(a, c, Width.HAIR)
    rise = min(abs(delta[axes[0]]), abs(delta[axes[1]])) * projection.scale
    count = min(12, int(rise / _HATCH))
    for i in range(1, count + 1):
        share = i / (count + 1.0)
        line(_between(a, b, share), _between(a, c, share), Width.HAIR)
    return tuple(items)


def _between(a: Point, b: Point, share: float) -> Point:
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2]))
