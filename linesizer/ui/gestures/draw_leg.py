"""Draw legs by mouse: six directions, round lengths, one leg a click."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt

from linesizer.document.command import Command
from linesizer.document.direction import Direction
from linesizer.drawing.display_list import Circle, Ink, Layer, Polyline, Primitive, Width
from linesizer.drawing.label_words import length_words
from linesizer.drawing.projection import Snap, Spot
from linesizer.drawing.strokes import SERVICE_STYLES
from linesizer.ui.gestures.gesture import Gesture, Ground, Pointer, Step, plate_beside
from linesizer.ui.gestures.snapping import step_m
from linesizer.ui.gestures.starts import Start
from linesizer.ui.selection import Selection

_DRAGGED_px = 10.0


class DrawByMouse(Gesture):
    """Goes on from leg to leg until Enter, a double click or the right button; Escape drops the leg under way."""

    cursor = Qt.CursorShape.CrossCursor

    def __init__(self, ground: Ground, pressed: Pointer, start: Start) -> None:
        super().__init__(ground)
        self._pressed = pressed
        self.at = pressed
        self.start: Start = start
        self._held = True
        self._placed = False
        self._snap: Snap | None = None
        self._command: Command | None = None
        self._shown = False
        if start.node is not None:
            ground.session.select(Selection(start.circuit, start.line, node=start.node))
        self._say()

    def press(self, at: Pointer) -> Step:
        """Place the leg under way."""
        self.move(at)
        self._placed = self._place()
        return Step.ON

    def move(self, at: Pointer) -> Step:
        """Show the leg that a click here would draw."""
        self.at = at
        dx, dy = self._shift()
        step = step_m(self.ground.sight.scale, self.ground.session.units, at.fine)
        pointed = (at.spot[0] - dx, at.spot[1] - dy)
        self._snap = self.projection.snap(self.start.at_m, pointed, step)
        if self._snap is None:
            command = None
        else:
            command = self.start.leg(Direction(self._snap.direction.letter), round(self._snap.length_m, 9))
        if command != self._command:
            self._command = command
            if command is None:
                self.ground.session.end_preview()
            else:
                self._shown = self.ground.session.preview(command)
                if not self._shown:
                    self.ground.session.end_preview()
        self.ground.update()
        return Step.ON

    def release(self, at: Pointer) -> Step:
        """Place the leg where the button was held all the way from the start."""
        if self._held:
            self._held = False
            if math.hypot(at.x - self._pressed.x, at.y - self._pressed.y) > _DRAGGED_px:
                self.move(at)
                self._place()
        return Step.ON

    def double(self, at: Pointer) -> Step:
        """End; the first of the two clicks has placed the last leg."""
        return self._end()

    def key(self, key: int, text: str) -> Step:
        """End with Enter; go on by typing with a digit, in the direction that the pointer shows."""
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return self._end()
        if text and text in "0123456789.,":
            letter = self._snap.direction.letter if self._snap is not None else ""
            step = self._end()
            self.ground.type_from(f"{letter} {text}".lstrip())
            return step
        return Step.NOT_MINE

    def overlay(self) -> tuple[Primitive, ...]:
        """Return where the leg starts, the way and the length; the leg itself is in the drawing where it can be."""
        style = SERVICE_STYLES[self.start.service]
        first = self._spot(self.start.at_m)
        ring = Circle(first, 5.0, Ink.PANEL, style.ink, Width.SYMBOL, layer=Layer.FURNITURE)
        if self._snap is None:
            return (ring,)
        last = self._spot(self._snap.end_m)
        units = self.ground.session.units
        words = f"{self._snap.direction.letter}  {length_words(self._snap.length_m, units)}"
        if self._shown:
            return (ring, plate_beside(self.at.spot, words, self.ground.text_factor))
        ghost = Polyline((first, last), Ink.STOP, Width.SYMBOL, (6.0, 4.0), layer=Layer.FURNITURE)
        plate = plate_beside(self.at.spot, f"{words}: not possible", self.ground.text_factor, Ink.STOP)
        return (ghost, ring, plate)

    def _place(self) -> bool:
        if self._command is None:
            return False
        session, before = self.ground.session, self.ground.session.job
        done = session.try_do(self._command)
        self._command, self._snap = None, None
        if done:
            start = self.start.after(before, session.job)
            if start is not None:
                self.start = start
                session.select(Selection(start.circuit, start.line, node=start.node))
            self._say()
        return done

    def _end(self) -> Step:
        self.ground.session.end_preview()
        self.ground.tell("")
        return Step.DONE

    def _say(self) -> None:
        self.ground.tell(
            f"draws from {self.start.words}: click to place, type a length, Enter to end, Escape to drop the leg"
        )

    def _shift(self) -> Spot:
        return self.ground.scene().shifts.get(self.start.line_target, (0.0, 0.0))

    def _spot(self, at_m: tuple[float, float, float]) -> Spot:
        (x, y), (dx, dy) = self.projection.spot(at_m), self._shift()
        return (x + dx, y + dy)
