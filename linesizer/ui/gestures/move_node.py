"""Move a node along an axis, the legs beside it following."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt

from linesizer.document.commands.node import MoveNode
from linesizer.document.direction import Axis
from linesizer.drawing.display_list import Target
from linesizer.drawing.label_words import length_words
from linesizer.ui.gestures.drag import CommandDrag
from linesizer.ui.gestures.gesture import Ground, Pointer
from linesizer.ui.gestures.snapping import Pull, pull

CHOOSE_AGAIN_px = 14.0
"""So near to where a drag began its axis may still change."""


class AxisDrag(CommandDrag):
    """A drag along one of the six directions, chosen by how it sets out."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, ground: Ground, start: Pointer) -> None:
        super().__init__(ground, start)
        self._axis: Axis | None = None
        self.pull: Pull | None = None

    def read(self, at: Pointer) -> Pull | None:
        """Return the pull of the pointer, along the axis that the drag has chosen."""
        dx, dy = at.spot[0] - self.start.spot[0], at.spot[1] - self.start.spot[1]
        near = math.hypot(dx, dy) < CHOOSE_AGAIN_px
        self.pull = pull(self.projection, dx, dy, self.step_m(at), None if near else self._axis)
        if near or self._axis is None:
            self._axis = self.pull.axis if self.pull is not None else None
        return self.pull

    def words(self) -> str:
        """Return the way and how far."""
        if self.pull is None:
            return ""
        return f"{self.pull.direction.word} {length_words(self.pull.length_m, self.ground.session.units)}"


class MoveNodeByDrag(AxisDrag):
    """Moves one node; square corners stay square."""

    def __init__(self, ground: Ground, start: Pointer, target: Target) -> None:
        super().__init__(ground, start)
        self._target = target

    def command(self, at: Pointer) -> MoveNode | None:
        """Return the move that the pointer means."""
        found = self.read(at)
        target = self._target
        if found is None or target.line is None or target.node is None:
            return None
        return MoveNode(target.circuit, target.line, target.node, found.axis, found.distance_m)
