"""The hand on the sheet: which gesture a press begins, and what goes to the gesture under way."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import Qt

from linesizer.drawing.display_list import Layer, Polyline, Primitive, Target, TargetKind
from linesizer.drawing.hit import distance
from linesizer.ui.gestures.draw_leg import DrawByMouse
from linesizer.ui.gestures.gesture import Gesture, Ground, Pointer, Step
from linesizer.ui.gestures.move_equipment import MoveEquipmentByDrag
from linesizer.ui.gestures.move_leg import MoveLegByDrag
from linesizer.ui.gestures.move_node import MoveNodeByDrag
from linesizer.ui.gestures.move_part import MovePartByDrag
from linesizer.ui.gestures.pan import Pan
from linesizer.ui.gestures.starts import Start
from linesizer.ui.gestures.stretch_leg import StretchLegByDrag
from linesizer.ui.sheet.found import found
from linesizer.ui.sheet.handles import Handle, HandleKind
from linesizer.ui.sheet.targets import selection_of

_DRAG_FROM_px = 5.0
"""A press that moves less is a click."""


class HandGround(Ground, Protocol):
    """The sheet as the hand needs it."""

    def target_at(self, at: Pointer) -> Target | None:
        """Return what lies under the pointer."""
        ...

    def handle_at(self, at: Pointer) -> Handle | None:
        """Return the handle under the pointer."""
        ...

    def edit_length(self, target: Target) -> None:
        """Open a field for a leg's length."""
        ...


class Hand:
    """Holds at most one gesture; a press becomes one when the pointer has moved a little."""

    def __init__(self, ground: HandGround) -> None:
        self._ground = ground
        self.gesture: Gesture | None = None
        self._pressed: Pointer | None = None
        self._target: Target | None = None
        self._handle: Handle | None = None
        self.space = False
        self.acting = False
        """Whether what happens to the document now is the gesture's own doing."""

    @property
    def busy(self) -> bool:
        """Whether a gesture is under way."""
        return self.gesture is not None

    def overlay(self) -> tuple[Primitive, ...]:
        """Return what the gesture under way draws over the drawing."""
        return () if self.gesture is None else self.gesture.overlay()

    def press(self, at: Pointer) -> None:
        """Take a press of the left button."""
        if self.gesture is not None:
            self._after(self._act(self.gesture.press, at))
            return
        if self.space:
            self.begin(Pan(self._ground, at))
            return
        ground = self._ground
        self._pressed, self._handle = at, ground.handle_at(at)
        handle = self._handle
        if handle is not None and handle.start is not None:
            self.draw_from(handle.start, at)
            return
        self._target = handle.target if handle is not None else ground.target_at(at)
        if handle is None:
            ground.session.select(selection_of(self._target))

    def press_middle(self, at: Pointer) -> None:
        """Take a press of the middle button."""
        if self.gesture is None:
            self.begin(Pan(self._ground, at))

    def move(self, at: Pointer) -> None:
        """Take a move of the pointer."""
        if self.gesture is not None:
            self._after(self._act(self.gesture.move, at))
            return
        start = self._pressed
        if start is None or math.hypot(at.x - start.x, at.y - start.y) < _DRAG_FROM_px:
            return
        self._pressed = None
        gesture = self._drag(start)
        if gesture is not None:
            self.begin(gesture)
            self._after(self._act(gesture.move, at))

    def release(self, at: Pointer) -> None:
        """Take the release of a button; without a drag the press was a click."""
        if self.gesture is not None:
            self._after(self._act(self.gesture.release, at))
        elif self._pressed is not None and self._handle is not None and self._handle.kind is HandleKind.STRETCH:
            # A click on the square is a click on the node that it stands at.
            node = self._handle.node
            if node is not None:
                self._ground.session.select(selection_of(node))
        self._pressed = self._handle = None

    def double(self, at: Pointer) -> None:
        """Take a double click: the length of a leg."""
        if self.gesture is not None:
            self._after(self._act(self.gesture.double, at))
            return
        target = self._ground.target_at(at)
        self._pressed = None
        if target is not None and target.kind is TargetKind.LEG:
            self._ground.edit_length(target)

    def press_right(self) -> bool:
        """Take a press of the right button: it ends drawing; whether it did."""
        if isinstance(self.gesture, DrawByMouse):
            self.cancel()
            return True
        return self.gesture is not None

    def key(self, key: int, text: str) -> bool:
        """Take a key; whether the gesture under way has used it."""
        if self.gesture is None:
            return False
        if key == Qt.Key.Key_Escape:
            self.cancel()
            return True
        self.acting = True
        try:
            step = self.gesture.key(key, text)
        finally:
            self.acting = False
        self._after(step)
        return step is not Step.NOT_MINE

    def cancel(self) -> None:
        """Drop the gesture under way; everything is as it was."""
        gesture, self.gesture, self._pressed = self.gesture, None, None
        if gesture is not None:
            gesture.cancel()
            self._ground.update()

    def begin(self, gesture: Gesture) -> None:
        """Begin a gesture."""
        self.gesture = gesture
        self._pressed = None
        self._ground.update()

    def draw_from(self, start: Start, at: Pointer) -> None:
        """Begin to draw by mouse."""
        self.begin(DrawByMouse(self._ground, at, start))

    def _act(self, act: Callable[[Pointer], Step], at: Pointer) -> Step:
        self.acting = True
        try:
            return act(at)
        finally:
            self.acting = False

    def _after(self, step: Step) -> None:
        if step is Step.DONE:
            self.gesture = None
            self._ground.update()

    def _drag(self, start: Pointer) -> Gesture | None:
        ground, target = self._ground, self._target
        if target is None:
            return Pan(ground, start)
        it = found(ground.session.shown_job, selection_of(target))
        if it.equipment is not None and it.circuit is not None:
            return MoveEquipmentByDrag(ground, start, it.circuit.id, it.equipment)
        if it.node is not None:
            return MoveNodeByDrag(ground, start, target)
        if it.geometry is None:
            return None
        if self._handle is not None and self._handle.kind is HandleKind.STRETCH:
            return StretchLegByDrag(ground, start, target, it.geometry)
        if it.part is not None:
            return MovePartByDrag(ground, start, target, it.geometry, it.part.at)
        if self._on_pipe(start, target):
            return MoveLegByDrag(ground, start, target, it.geometry)
        return Pan(ground, start)

    def _on_pipe(self, at: Pointer, target: Target) -> bool:
        return any(
            item.target == target
            and isinstance(item, Polyline)
            and item.layer in (Layer.PIPE, Layer.HIDDEN_PIPE)
            and distance(item, at.spot, 8.0) <= 8.0
            for item in self._ground.scene().display.items
        )
