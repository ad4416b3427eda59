"""What lies under the pointer on the drawing."""

from __future__ import annotations

from linesizer.domain.geometry import LegGeometry
from linesizer.drawing.display_list import Box, Layer, Polygon, Polyline, Target, TargetKind, Text
from linesizer.drawing.hit import hits
from linesizer.drawing.projection import Spot
from linesizer.drawing.scene import Scene

_WITHIN = 6.0
_NODE_WITHIN = 5.0
"""How far beyond its own circle a node still counts, though a leg lies nearer, [sheet units]."""

_ASIDE = 12.0


def target_at(scene: Scene, spot: Spot) -> Target | None:
    """Return what lies at a place; a node counts from farther away than the legs that meet in it."""
    found = hits(scene.display, spot, _WITHIN)
    if not found:
        return None
    first = found[0].target
    if first.kind in (TargetKind.LEG, TargetKind.LINE) and not on_label(scene, first, spot):
        near = hits(scene.display, spot, _NODE_WITHIN, (TargetKind.NODE,))
        if near:
            return near[0].target
    return first


def label_boxes(scene: Scene, target: Target) -> tuple[Box, ...]:
    """Return the plates of a thing's labels."""
    return tuple(
        item.plate.box
        for item in scene.display.items
        if isinstance(item, Text) and item.target == target and item.plate is not None and item.layer is Layer.LABEL
    )


def on_label(scene: Scene, target: Target, spot: Spot) -> bool:
    """Whether a place lies on a label of a thing rather than on the thing."""
    x, y = spot
    return any(box.left <= x <= box.right and box.top <= y <= box.bottom for box in label_boxes(scene, target))


def box_of(scene: Scene, target: Target) -> Box | None:
    """Return the box of what is drawn of something, labels left out; None where nothing is."""
    at = scene.nodes.get(target)
    if at is not None:
        return Box(at[0], at[1], at[0], at[1]).grown(6.0)
    found: Box | None = None
    for item in scene.display.items:
        own_line = item.target is not None and target.kind is TargetKind.LINE and _of_line(item.target, target)
        if (item.target == target or own_line) and isinstance(item, Polyline | Polygon) and item.layer < Layer.LEADER:
            own = Box.around(item.points)
            found = own if found is None else found.joined(own)
    return found


def fraction_along(scene: Scene, line: Target, leg: LegGeometry, spot: Spot) -> float:
    """Return where along a leg a place lies, away from its very ends; the middle for a place beside it."""
    dx, dy = scene.shifts.get(line, (0.0, 0.0))
    along = scene.projection.along(leg.start_m, (spot[0] - dx, spot[1] - dy), leg.direction)
    if along is None or along.miss > _ASIDE:
        return 0.5
    return round(min(0.98, max(0.02, along.length_m / leg.length_m)), 4)


def _of_line(target: Target, line: Target) -> bool:
    return (target.circuit, target.line) == (line.circuit, line.line)
