"""Draw legs by mouse: six directions, round lengths, one leg a click."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt

from linesizer.document.command import Command
from linesizer.document.direction import Direction, added, scaled
from linesizer.drawing.display_list import Circle, Ink, Layer, Polyline, Primitive, Width
from linesizer.drawing.label_words import length_words
from linesizer.drawing.projection import Snap, Spot
from linesizer.drawing.strokes import SERVICE_STYLES
from linesizer.ui.gestures.aiming import Aim, aimed
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
        self._aim: Aim | None = None
        self._ended = False
        self._command: Command | None = None
        self._shown = False
        if start.node is not None:
            ground.session.select(Selection(start.circuit, start.line, node=start.node))
        self._say()

    def press(self, at: Pointer) -> Step:
        """Place the leg under way."""
        self.move(at)
        self._placed = self._place()
        return Step.DONE if self._ended else Step.ON

    def move(self, at: Pointer) -> Step:
        """Show the leg that a click here would draw."""
        self.at = at
        dx, dy = self._shift()
        step = step_m(self.ground.sight.scale, self.ground.session.units, at.fine)
        pointed = (at.spot[0] - dx, at.spot[1] - dy)
        self._snap = self.projection.snap(self.start.at_m, pointed, step)
        command, self._aim = None, None
        if self._snap is not None:
            direction, length_m = Direction(self._snap.direction.letter), round(self._snap.length_m, 9)
            self._aim = Aim(length_m) if at.fine else self._aimed(direction, length_m, step, at)
            to = self._aim.equipment
            command = self.start.leg(direction, self._aim.length_m, None if to is None else to.id)
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

    def _aimed(self, direction: Direction, length_m: float, step: float, at: Pointer) -> Aim:
        job = self.ground.session.job
        circuit = next((item for item in job.circuits if item.id == self.start.circuit), None)
        if circuit is None:
            return Aim(length_m)
        return aimed(circuit, self.ground.scene(), self.start, direction, length_m, step, at.spot)

    def release(self, at: Pointer) -> Step:
        """Place the leg where the button was held all the way from the start."""
        if self._held:
            self._held = False
            if math.hypot(at.x - self._pressed.x, at.y - self._pressed.y) > _DRAGGED_px:
                self.move(at)
                self._place()
        return Step.DONE if self._ended else Step.ON

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
        if self._snap is None or self._aim is None:
            return (ring,)
        direction, length_m = Direction(self._snap.direction.letter), self._aim.length_m
        last = self._spot(added(self.start.at_m, scaled(direction.vector, length_m)))
        words = f"{direction.value}  {length_words(length_m, self.ground.session.units)}"
        if self._aim.equipment is not None:
            words += f" to {self._aim.equipment.name or self._aim.equipment.id}"
        if self._shown:
            return (ring, plate_beside(self.at.spot, words, self.ground.text_factor))
        ghost = Polyline((first, last), Ink.STOP, Width.SYMBOL, (6.0, 4.0), layer=Layer.FURNITURE)
        plate = plate_beside(self.at.spot, f"{words}: not possible", self.ground.text_factor, Ink.STOP)
        return (ghost, ring, plate)

    def _place(self) -> bool:
        if self._command is None:
            return False
        session, before = self.ground.session, self.ground.session.job
        to = self._aim.equipment if self._aim is not None else None
        done = session.try_do(self._command)
        self._command, self._snap, self._aim = None, None, None
        if done:
            start = self.start.after(before, session.job)
            self._ended = start is None or to is not None
            if start is not None:
                self.start = start
                session.select(Selection(start.circuit, start.line, node=start.node))
            if self._ended:
                self.ground.tell("")
            else:
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
