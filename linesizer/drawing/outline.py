"""Outlines on the sheet: the hull of a body, the nearest place on it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from linesizer.drawing.display_list import Spots
from linesizer.drawing.projection import Spot


def hull(spots: Iterable[Spot]) -> Spots:
    """Return the convex hull of some places, counter-clockwise as seen with y down, without repeated corners."""
    ordered = sorted({(round(x, 6), round(y, 6)) for x, y in spots})
    if len(ordered) < 3:
        return tuple(ordered)

    def chain(points: Iterable[Spot]) -> list[Spot]:
        held: list[Spot] = []
        for point in points:
            while len(held) > 1 and _turn(held[-2], held[-1], point) <= 1e-9:
                held.pop()
            held.append(point)
        return held[:-1]

    return tuple(chain(ordered) + chain(reversed(ordered)))


def _turn(a: Spot, b: Spot, c: Spot) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def nearest_on_ring(ring: Sequence[Spot], spot: Spot) -> Spot:
    """Return the place on a closed outline that is nearest to another place."""
    best, away = spot, math.inf
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        dx, dy = b[0] - a[0], b[1] - a[1]
        square = dx * dx + dy * dy
        part = 0.0 if square < 1e-12 else max(0.0, min(1.0, ((spot[0] - a[0]) * dx + (spot[1] - a[1]) * dy) / square))
        place = (a[0] + part * dx, a[1] + part * dy)
        distance = math.dist(place, spot)
        if distance < away:
            best, away = place, distance
    return best
