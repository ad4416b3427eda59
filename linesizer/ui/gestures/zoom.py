"""Zoom about the pointer: the wheel, two fingers on a touch pad or a screen; plus and minus about the middle."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QNativeGestureEvent, QWheelEvent
from PySide6.QtWidgets import QGestureEvent, QPinchGesture

from linesizer.ui.gestures.gesture import Ground

NOTCH = 1.2
"""One notch of a wheel, or one press of a key."""

_NOTCH_UNITS = 120.0
"""What Qt reports for a notch, in eighths of a degree."""

_PIXELS_A_NOTCH = 60.0


def zoom_by_wheel(ground: Ground, event: QWheelEvent) -> None:
    """Enlarge about the pointer; with Shift move the paper sideways instead."""
    turned, pixels = event.angleDelta(), event.pixelDelta()
    if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
        ground.take_sight(ground.sight.moved(turned.x() or turned.y(), 0.0))
        return
    notches = pixels.y() / _PIXELS_A_NOTCH if not pixels.isNull() else turned.y() / _NOTCH_UNITS
    if notches:
        at = event.position()
        ground.take_sight(ground.sight.zoomed(NOTCH**notches, at.x(), at.y()))


class FingerGround(Ground, Protocol):
    """The sheet as fingers need it, which report their places on the screen."""

    def mapFromGlobal(self, at: QPointF) -> QPointF:
        """Return a place of the screen on the widget."""
        ...


def zoom_by_fingers(ground: FingerGround, event: QEvent) -> bool:
    """Enlarge about a pinch; whether the event is one."""
    if isinstance(event, QNativeGestureEvent):
        if event.gestureType() is not Qt.NativeGestureType.ZoomNativeGesture:
            return False
        at = event.position()
        ground.take_sight(ground.sight.zoomed(max(0.2, 1.0 + event.value()), at.x(), at.y()))
        return True
    if isinstance(event, QGestureEvent):
        pinch = event.gesture(Qt.GestureType.PinchGesture)
        if not isinstance(pinch, QPinchGesture):
            return False
        middle = ground.mapFromGlobal(pinch.centerPoint())
        ground.take_sight(ground.sight.zoomed(pinch.scaleFactor() or 1.0, middle.x(), middle.y()))
        return True
    return False


def zoom_by_key(ground: Ground, key: int, width: float, height: float) -> bool:
    """Enlarge about the sheet's middle by a key; whether the key is one of those."""
    if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
        factor = NOTCH
    elif key in (Qt.Key.Key_Minus, Qt.Key.Key_Underscore):
        factor = 1.0 / NOTCH
    else:
        return False
    ground.take_sight(ground.sight.zoomed(factor, width / 2.0, height / 2.0))
    return True
