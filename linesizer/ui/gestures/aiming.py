"""What a leg that is being drawn is aimed at: equipment under the pointer, heights and places that others have."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesizer.document.direction import Direction
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment
from linesizer.domain.ports import takes
from linesizer.domain.route import Point
from linesizer.drawing.display_list import Layer, Polygon
from linesizer.drawing.hit import inside
from linesizer.drawing.projection import Spot
from linesizer.drawing.scene import Scene
from linesizer.ui.gestures.snapping import axis_of
from linesizer.ui.gestures.starts import Start

REACH_m = 3.0
"""How far from its connection the end of a leg may stand and still be meant for a piece of equipment: a body's size."""

_NEAR_STEP = 0.75


@dataclass(frozen=True, slots=True)
class Aim:
    """A length that a leg is drawn to, and the equipment that it is drawn to, if any."""

    length_m: float
    equipment: Equipment | None = None


def aimed(
    circuit: Circuit, scene: Scene, start: Start, direction: Direction, length_m: float, step_m: float, spot: Spot
) -> Aim:
    """Return what a leg means that is drawn to a place of the sheet.

    Its length becomes the one at which its end is level with equipment or with a node, where that is less than a step
    off: things that stand at no round figure are met too.  Over the body of equipment that can take the flow it ends
    level with that, and is tied to it; equipment where the leg starts is left behind, not reached.
    """
    at = _equipment_at(circuit, scene, spot)
    if at is not None and at.id not in _left(circuit, start) and _takes(at, start):
        level_m = _level_m(start.at_m, direction, at.at_m)
        length_m = level_m if level_m > 0.0 and abs(level_m - length_m) < REACH_m else length_m
        if math.dist(_end(start.at_m, direction, length_m), at.at_m) < REACH_m:
            return Aim(length_m, at)
    places = [item.at_m for item in circuit.equipment]
    places += [node.at_m for line in circuit.lines for node in line.nodes]
    levels_m = (_level_m(start.at_m, direction, place) for place in places)
    near = [level for level in levels_m if level > 0.0 and abs(level - length_m) < _NEAR_STEP * step_m]
    return Aim(min(near, key=lambda level: abs(level - length_m), default=length_m))


def _left(circuit: Circuit, start: Start) -> set[str | None]:
    ends = (end for line in circuit.lines if line.id == start.line for end in line.ends)
    return {start.equipment, *(end.equipment for end in ends if end.node == start.node)}


def _takes(equipment: Equipment, start: Start) -> bool:
    return any(takes(equipment, start.service, enters=enters) for enters in (False, True))


def _equipment_at(circuit: Circuit, scene: Scene, spot: Spot) -> Equipment | None:
    for item in reversed(scene.display.items):
        if not isinstance(item, Polygon) or item.layer is not Layer.EQUIPMENT or item.target is None:
            continue
        if item.target.circuit == circuit.id and inside(item.points, spot):
            return next((each for each in circuit.equipment if each.id == item.target.equipment), None)
    return None


def _level_m(start_m: Point, direction: Direction, at_m: Point) -> float:
    """Return the length at which a run is level with a point, below 0 where that lies behind it."""
    axis, sign = axis_of(direction)
    return round(sign * (at_m[axis.place] - start_m[axis.place]), 9)


def _end(start_m: Point, direction: Direction, length_m: float) -> Point:
    x, y, z = (a + length_m * part for a, part in zip(start_m, direction.vector, strict=True))
    return x, y, z
