"""Which of the six directions an arrow key means in each view; Page Up goes away from the eye, Page Down towards it."""

from __future__ import annotations

from PySide6.QtCore import Qt

from linesizer.document.direction import Direction
from linesizer.drawing.projection import View

_N, _E, _S, _W, _U, _D = (
    Direction.NORTH,
    Direction.EAST,
    Direction.SOUTH,
    Direction.WEST,
    Direction.UP,
    Direction.DOWN,
)
_KEYS = (
    Qt.Key.Key_Right,
    Qt.Key.Key_Left,
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_PageUp,
    Qt.Key.Key_PageDown,
)
_MEANING: dict[View, tuple[Direction, ...]] = {
    View.ISOMETRIC: (_E, _W, _U, _D, _N, _S),
    View.PLAN: (_E, _W, _N, _S, _U, _D),
    View.FROM_SOUTH: (_E, _W, _U, _D, _N, _S),
    View.FROM_EAST: (_N, _S, _U, _D, _W, _E),
    View.FROM_NORTH: (_W, _E, _U, _D, _S, _N),
    View.FROM_WEST: (_S, _N, _U, _D, _E, _W),
}


def arrow_direction(view: View, key: int) -> Direction | None:
    """Return the direction of an arrow or page key; None for any other key."""
    return _MEANING[view][_KEYS.index(Qt.Key(key))] if key in _KEYS else None
