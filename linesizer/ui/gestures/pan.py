"""Move the paper: the middle button, the space bar held, or the left button on empty paper; arrow keys with Shift."""

from __future__ import annotations

from PySide6.QtCore import Qt

from linesizer.ui.gestures.gesture import Gesture, Ground, Pointer, Step

KEY_STEP_px = 64.0


class Pan(Gesture):
    """Drags the paper along with the pointer."""

    cursor = Qt.CursorShape.ClosedHandCursor

    def __init__(self, ground: Ground, start: Pointer) -> None:
        super().__init__(ground)
        self._first = ground.sight
        self._start = start

    def move(self, at: Pointer) -> Step:
        """Move the paper as far as the pointer."""
        self.ground.take_sight(self._first.moved(at.x - self._start.x, at.y - self._start.y))
        return Step.ON

    def cancel(self) -> None:
        """Put the paper back."""
        self.ground.take_sight(self._first)


def pan_by_key(ground: Ground, key: int) -> bool:
    """Move the paper by a key; whether the key is one of those."""
    by = {
        Qt.Key.Key_Left: (KEY_STEP_px, 0.0),
        Qt.Key.Key_Right: (-KEY_STEP_px, 0.0),
        Qt.Key.Key_Up: (0.0, KEY_STEP_px),
        Qt.Key.Key_Down: (0.0, -KEY_STEP_px),
    }.get(Qt.Key(key))
    if by is None:
        return False
    ground.take_sight(ground.sight.moved(*by))
    return True
