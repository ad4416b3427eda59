"""What all gestures share: where the pointer is, how a gesture goes on, and the ground that it works on."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Protocol

from PySide6.QtCore import Qt

from linesizer.drawing.display_list import Anchor, Box, Ink, Layer, Plate, Polyline, Primitive, Text, TextSize, Width
from linesizer.drawing.projection import Projection, Spot
from linesizer.drawing.scene import Scene
from linesizer.drawing.text_size import text_width
from linesizer.ui.session import Session
from linesizer.ui.sheet.sight import Sight


@dataclass(frozen=True, slots=True)
class Pointer:
    """Where the pointer is: on the widget, [px], and on the drawing's sheet; ``fine`` while Shift is held."""

    x: float
    y: float
    spot: Spot
    fine: bool = False


class Step(Enum):
    """How a gesture goes on after an event."""

    ON = "on"
    DONE = "done"
    NOT_MINE = "not mine"
    """The event is for someone else; the gesture goes on."""


class Ground(Protocol):
    """What gestures work on: the sheet."""

    session: Session
    sight: Sight
    text_factor: float

    def scene(self) -> Scene:
        """Return the drawing as it stands."""
        ...

    def take_sight(self, sight: Sight) -> None:
        """Look at the drawing in another way."""
        ...

    def tell(self, words: str) -> None:
        """Say something in a line at the bottom of the sheet; empty takes it back."""
        ...

    def type_from(self, text: str) -> None:
        """Go on by typing, from where drawing goes on, with a first text."""
        ...

    def update(self) -> None:
        """Paint again."""
        ...


class Gesture:
    """One act of the hand, from its first event to its last.

    It shows what it would do through the session's preview and ``overlay``, carries it out once, on release, and does
    nothing when it is cancelled.
    """

    cursor = Qt.CursorShape.ArrowCursor

    def __init__(self, ground: Ground) -> None:
        self.ground = ground

    def press(self, at: Pointer) -> Step:
        """Take a press of the left button while the gesture goes on."""
        return Step.ON

    def move(self, at: Pointer) -> Step:
        """Take a move of the pointer, with or without a button."""
        return Step.ON

    def release(self, at: Pointer) -> Step:
        """Take the release of the button."""
        return Step.DONE

    def double(self, at: Pointer) -> Step:
        """Take a double click."""
        return Step.ON

    def key(self, key: int, text: str) -> Step:
        """Take a key; Escape has been dealt with before."""
        return Step.NOT_MINE

    def cancel(self) -> None:
        """End it with everything as it was."""
        self.ground.session.end_preview()
        self.ground.tell("")

    def overlay(self) -> tuple[Primitive, ...]:
        """Return what is drawn over the drawing while it goes on."""
        return ()

    @property
    def projection(self) -> Projection:
        """From the world to the sheet."""
        return self.ground.sight.projection


def plate_beside(spot: Spot, words: str, factor: float, ink: Ink = Ink.INK) -> Text:
    """Return words on a plate at the upper right of the pointer."""
    height = TextSize.FIGURE.value * factor
    wide, tall = text_width(words, height, bold=True) + 16.0, 1.7 * height
    left, bottom = spot[0] + 16.0, spot[1] - 12.0
    box = Box(left, bottom - tall, left + wide, bottom)
    return Text(
        (left + 8.0, box.centre[1]),
        words,
        TextSize.FIGURE,
        Anchor.START,
        ink,
        bold=True,
        plate=Plate(box, 4.0, Ink.PANEL, Ink.QUIET),
        layer=Layer.FURNITURE,
    )


def guide(start: Spot, end: Spot, ink: Ink = Ink.QUIET) -> Polyline:
    """Return a thin dashed line from where a drag began."""
    return Polyline((start, end), ink, Width.THIN, (4.0, 4.0), 0.0, None, Layer.FURNITURE)
