"""Slide a part along its leg."""

from __future__ import annotations

from PySide6.QtCore import Qt

from linesizer.document.commands.part import SlidePart
from linesizer.domain.geometry import LegGeometry
from linesizer.drawing.display_list import Target
from linesizer.drawing.label_words import length_words
from linesizer.ui.gestures.drag import CommandDrag
from linesizer.ui.gestures.gesture import Ground, Pointer
from linesizer.ui.gestures.snapping import in_steps


class MovePartByDrag(CommandDrag):
    """Drags a part; it stays on its leg."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, ground: Ground, start: Pointer, target: Target, leg: LegGeometry, at: float) -> None:
        super().__init__(ground, start)
        self._target = target
        self._leg = leg
        self._first = self._now = at

    def command(self, at: Pointer) -> SlidePart | None:
        """Return the place on the leg that the pointer means."""
        target, leg = self._target, self._leg
        moved = (at.spot[0] - self.start.spot[0], at.spot[1] - self.start.spot[1])
        along = self.projection.along((0.0, 0.0, 0.0), moved, leg.direction)
        if along is None or target.line is None or target.leg is None or target.part is None:
            return None
        step = self.step_m(at)
        at_m = in_steps(self._first * leg.length_m + along.length_m, step)
        if abs(along.length_m) < 0.5 * step:
            self._now = self._first
            return None
        self._now = min(1.0, max(0.0, at_m / leg.length_m))
        return SlidePart(target.circuit, target.line, target.leg, target.part, self._now)

    def words(self) -> str:
        """Return how far along the leg it stands."""
        units = self.ground.session.units
        return f"{length_words(self._now * self._leg.length_m, units)} along {self._leg.leg.id}"
