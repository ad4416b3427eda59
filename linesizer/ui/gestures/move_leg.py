"""Drag a leg across itself: it moves whole, and the legs beside it grow or shrink."""

from __future__ import annotations

from linesizer.document.commands.node import MoveNode
from linesizer.domain.geometry import LegGeometry
from linesizer.drawing.display_list import Target
from linesizer.ui.gestures.gesture import Ground, Pointer
from linesizer.ui.gestures.move_node import AxisDrag


class MoveLegByDrag(AxisDrag):
    """Moves a leg by the node where its flow begins; a leg across the axis is carried along whole."""

    def __init__(self, ground: Ground, start: Pointer, target: Target, leg: LegGeometry) -> None:
        super().__init__(ground, start)
        self._target = target
        self._leg = leg

    def command(self, at: Pointer) -> MoveNode | None:
        """Return the move that the pointer means; along itself a leg does not move."""
        found = self.read(at)
        if found is None or self._target.line is None:
            return None
        if abs(self._leg.direction[found.axis.place]) > 0.5:
            self.pull = None
            return None
        return MoveNode(self._target.circuit, self._target.line, self._leg.leg.start, found.axis, found.distance_m)
