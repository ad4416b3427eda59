"""Hit testing: what lies under the pointer, nearest first."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

from linesizer.drawing.display_list import (
    Box,
    Circle,
    DisplayList,
    Hotspot,
    Layer,
    Polygon,
    Polyline,
    Primitive,
    Spots,
    Target,
    TargetKind,
    Text,
    text_box,
)
from linesizer.drawing.projection import Spot

_ORDER = {
    TargetKind.PART: 0,
    TargetKind.NODE: 1,
    TargetKind.LEG: 2,
    TargetKind.LINE: 3,
    TargetKind.EQUIPMENT: 4,
}
"""Where two things are equally near, the smaller one is meant."""


@dataclass(frozen=True, slots=True)
class Hit:
    """One thing near the pointer and how far away it is, [sheet units]; 0 inside it."""

    target: Target
    distance: float


def hits(
    display: DisplayList, spot: Spot, within: float = 6.0, kinds: Iterable[TargetKind] | None = None
) -> tuple[Hit, ...]:
    """Return the things near a place, nearest first, each once.

    Parameters
    ----------
    display : DisplayList
        What is drawn.
    spot : Spot
        The pointer, in the list's own sheet units.
    within : float
        How far away a thing may be, [sheet units].
    kinds : iterable of TargetKind, optional
        Only these; all without.
    """
    wanted = None if kinds is None else frozenset(kinds)
    nearest: dict[Target, float] = {}
    for item in display.items:
        target = item.target
        if target is None or item.layer is Layer.SELECTION or (wanted is not None and target.kind not in wanted):
            continue
        away = distance(item, spot, within, display.text_factor)
        if away <= within and away < nearest.get(target, math.inf):
            nearest[target] = away
    found = sorted(nearest.items(), key=lambda pair: (round(pair[1], 6), _ORDER[pair[0].kind]))
    return tuple(Hit(target, away) for target, away in found)


def distance(item: Primitive, spot: Spot, within: float = math.inf, text_factor: float = 1.0) -> float:
    """Return how far a place lies from a primitive's painted area; infinity where plainly beyond ``within``."""
    if isinstance(item, Polyline):
        if not _near(item.points, spot, within + item.width.value):
            return math.inf
        return max(0.0, _to_path(item.points, spot) - item.width.value / 2.0)
    if isinstance(item, Polygon):
        if not _near(item.points, spot, within):
            return math.inf
        if item.fill is not None and inside(item.points, spot):
            return 0.0
        return _to_path((*item.points, item.points[0]), spot)
    if isinstance(item, Circle | Hotspot):
        centre = item.centre if isinstance(item, Circle) else item.at
        away = math.dist(centre, spot) - item.radius
        return abs(away) if isinstance(item, Circle) and item.fill is None else max(0.0, away)
    return _to_box(_text_area(item, text_factor), spot)


def _text_area(item: Text, text_factor: float) -> Box:
    return item.plate.box if item.plate is not None else text_box(item, text_factor)


def _near(points: Spots, spot: Spot, within: float) -> bool:
    x, y = spot
    return (
        min(point[0] for point in points) - within <= x <= max(point[0] for point in points) + within
        and min(point[1] for point in points) - within <= y <= max(point[1] for point in points) + within
    )


def _to_box(box: Box, spot: Spot) -> float:
    return math.hypot(
        max(box.left - spot[0], 0.0, spot[0] - box.right), max(box.top - spot[1], 0.0, spot[1] - box.bottom)
    )


def _to_path(points: Spots, spot: Spot) -> float:
    if len(points) == 1:
        return math.dist(points[0], spot)
    return min(to_segment(a, b, spot) for a, b in itertools.pairwise(points))


def to_segment(start: Spot, end: Spot, spot: Spot) -> float:
    """Return the distance from a place to a straight stretch."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    square = dx * dx + dy * dy
    if square < 1e-18:
        return math.dist(start, spot)
    part = min(1.0, max(0.0, ((spot[0] - start[0]) * dx + (spot[1] - start[1]) * dy) / square))
    return math.hypot(spot[0] - start[0] - part * dx, spot[1] - start[1] - part * dy)


def inside(points: Spots, spot: Spot) -> bool:
    """Return whether a place lies inside a closed area."""
    x, y = spot
    odd = False
    for (x0, y0), (x1, y1) in zip(points, (*points[1:], points[0]), strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            odd = not odd
    return odd
