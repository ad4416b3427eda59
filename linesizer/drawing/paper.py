"""The paper behind the drawing: isometric or square, with a step that fits the zoom."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesizer.drawing.display_list import Box, DisplayList, Ink, Layer, Polyline, Width
from linesizer.drawing.frame import EASTWARD, NORTHWARD, UPRIGHT
from linesizer.drawing.projection import Projection, Spot
from linesizer.units import METRES_PER_FOOT, METRES_PER_INCH, System

_LEAST_STEP = 26.0
"""Least length of a step along an axis, [sheet units]."""

_STEPS: dict[System, tuple[tuple[float, str], ...]] = {
    "si": tuple((step, f"{step:g} m") for step in (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0)),
    "ip": (
        *((inches * METRES_PER_INCH, f"{inches:g} in") for inches in (1.0, 2.0, 3.0, 6.0)),
        *((feet * METRES_PER_FOOT, f"{feet:g} ft") for feet in (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)),
    ),
}


@dataclass(frozen=True, slots=True)
class PaperStep:
    """The distance of two lines of the paper along an axis, [m], and the words that say so."""

    step_m: float
    words: str


def paper_step(scale: float, system: System) -> PaperStep:
    """Return the finest step whose lines do not crowd at a scale, [sheet units a metre]."""
    for step_m, words in _STEPS[system]:
        if step_m * scale >= _LEAST_STEP:
            return PaperStep(step_m, f"grid {words}")
    step_m, words = _STEPS[system][-1]
    return PaperStep(step_m, f"grid {words}")


def paper(projection: Projection, visible: Box, system: System) -> DisplayList:
    """Return the lines of the paper over a visible part of the sheet, through the world's origin."""
    step = paper_step(projection.scale, system).step_m * projection.scale
    vectors = [projection.vector(axis) for axis in (EASTWARD, NORTHWARD, UPRIGHT)]
    vectors = [vector for vector in vectors if math.hypot(*vector) > 1e-9]
    items: list[Polyline] = []
    for i, along in enumerate(vectors):
        across = vectors[(i + 1) % len(vectors)]
        items.extend(_family(along, across, step, visible))
    return DisplayList(tuple(items), projection.scale)


def _family(along: Spot, across: Spot, step: float, visible: Box) -> list[Polyline]:
    """Return the lines along one vector, a step of another apart, that meet a box."""
    normal = (-along[1], along[0])
    spacing = abs(normal[0] * across[0] + normal[1] * across[1]) * step
    reaches = [
        normal[0] * x + normal[1] * y for x in (visible.left, visible.right) for y in (visible.top, visible.bottom)
    ]
    found = []
    for k in range(math.ceil(min(reaches) / spacing), math.floor(max(reaches) / spacing) + 1):
        ends = _clip((normal[0] * k * spacing, normal[1] * k * spacing), along, visible)
        if ends is not None:
            found.append(Polyline(ends, Ink.GRID, Width.HAIR, layer=Layer.GRID))
    return found


def _clip(at: Spot, along: Spot, box: Box) -> tuple[Spot, Spot] | None:
    low, high = -math.inf, math.inf
    for place, step, least, most in ((at[0], along[0], box.left, box.right), (at[1], along[1], box.top, box.bottom)):
        if abs(step) < 1e-12:
            if not least <= place <= most:
                return None
            continue
        first, last = sorted(((least - place) / step, (most - place) / step))
        low, high = max(low, first), min(high, last)
    if low >= high:
        return None
    return ((at[0] + low * along[0], at[1] + low * along[1]), (at[0] + high * along[0], at[1] + high * along[1]))
