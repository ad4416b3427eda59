"""Make a leg longer or shorter by its end; everything beyond moves in one piece."""

from __future__ import annotations

from PySide6.QtCore import Qt

from linesizer.document.commands.node import SetLegLength
from linesizer.domain.geometry import LegGeometry
from linesizer.drawing.display_list import Target
from linesizer.drawing.label_words import length_words
from linesizer.ui.gestures.drag import CommandDrag
from linesizer.ui.gestures.gesture import Ground, Pointer
from linesizer.ui.gestures.snapping import in_steps


class StretchLegByDrag(CommandDrag):
    """Drags the end where the leg's flow leaves; the length is rounded to whole steps."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, ground: Ground, start: Pointer, target: Target, leg: LegGeometry) -> None:
        super().__init__(ground, start)
        self._target = target
        self._leg = leg
        self._length_m = leg.length_m

    def command(self, at: Pointer) -> SetLegLength | None:
        """Return the length that the pointer means."""
        moved = (at.spot[0] - self.start.spot[0], at.spot[1] - self.start.spot[1])
        along = self.projection.along((0.0, 0.0, 0.0), moved, self._leg.direction)
        if along is None or self._target.line is None:
            return None
        step = self.step_m(at)
        self._length_m = max(step, in_steps(self._leg.length_m + along.length_m, step))
        if abs(along.length_m) < 0.5 * step:
            self._length_m = self._leg.length_m
            return None
        return SetLegLength(self._target.circuit, self._target.line, self._leg.leg.id, self._length_m)

    def words(self) -> str:
        """Return the length."""
        return f"{self._leg.leg.id}  {length_words(self._length_m, self.ground.session.units)}"
