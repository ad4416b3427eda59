"""The zoom and the offset that bring the whole drawing, labels and all, into a rectangle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from linesizer.domain.circuit import Circuit
from linesizer.drawing.display_list import Box
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M, Projection
from linesizer.drawing.runs import sound_legs
from linesizer.drawing.scene import build_scene

LEAST_SCALE, MOST_SCALE = 2.0, 4.0 * FULL_SIZE_UNITS_PER_M
_TRIES = 8


@dataclass(frozen=True, slots=True)
class Fit:
    """How a drawing comes to lie in a rectangle: its scale, [sheet units a metre], then its move."""

    scale: float
    dx: float
    dy: float


def fit(circuits: Sequence[Circuit], options: SceneOptions, room: Box) -> Fit:
    """Return the largest scale at which everything that is drawn lies within ``room``, and the move that centres it.

    Labels keep their size, so the room that they need is found by drawing; the answer may fall short of the largest by
    a few per cent.  A drawing that does not fit at the least scale is centred at it.
    """
    points = [each.at_m for circuit in circuits for each in circuit.equipment]
    points += [at for c in circuits for line in c.lines for leg in sound_legs(line) for at in (leg.start_m, leg.end_m)]
    cx, cy = room.centre
    if not points:
        return Fit(FULL_SIZE_UNITS_PER_M, cx, cy)
    wide, tall = _extent_m(options, points)
    scale = _within(_scale(room.width - 240.0, room.height - 140.0, wide, tall))
    best: tuple[float, Box] | None = None
    for _ in range(_TRIES):
        drawn = build_scene(circuits, replace(options, scale=scale)).display.bounds()
        if drawn is None:
            return Fit(scale, cx, cy)
        fits = drawn.width <= room.width and drawn.height <= room.height
        if fits and (best is None or scale > best[0]):
            best = (scale, drawn)
        # What does not grow with the scale is taken from this drawing for the next.
        beside, above = drawn.width - scale * wide, drawn.height - scale * tall
        wished = _within(_scale(room.width - beside, room.height - above, wide, tall))
        if fits and wished < 1.04 * scale:
            break
        if not fits:
            wished = _within(min(wished, 0.96 * scale))
            if best is not None and wished <= best[0]:
                break
        if wished == scale:
            break
        scale = wished
    if best is None:
        scale = LEAST_SCALE if scale <= LEAST_SCALE else scale
        drawn = build_scene(circuits, replace(options, scale=scale)).display.bounds()
        best = (scale, drawn or Box(0.0, 0.0, 0.0, 0.0))
    x, y = best[1].centre
    return Fit(best[0], cx - x, cy - y)


def _extent_m(options: SceneOptions, points: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    box = Box.around(Projection(options.view, 1.0).spot(at) for at in points)
    return (box.width, box.height)


def _scale(width: float, height: float, wide_m: float, tall_m: float) -> float:
    return min(max(width, 1.0) / max(wide_m, 1e-6), max(height, 1.0) / max(tall_m, 1e-6))


def _within(scale: float) -> float:
    return min(max(scale, LEAST_SCALE), MOST_SCALE)
