"""A drag that shows a command as it goes and carries it out once, on release."""

from __future__ import annotations

from linesizer.document.command import Command
from linesizer.drawing.display_list import Ink, Primitive
from linesizer.ui.gestures.gesture import Gesture, Ground, Pointer, Step, guide, plate_beside
from linesizer.ui.gestures.snapping import step_m


class CommandDrag(Gesture):
    """Asks ``command`` what the pointer means; None is nothing yet."""

    def __init__(self, ground: Ground, start: Pointer) -> None:
        super().__init__(ground)
        self.start = start
        self.at = start
        self._command: Command | None = None
        self._shown = False

    def command(self, at: Pointer) -> Command | None:
        """Return what letting go here would do."""
        raise NotImplementedError

    def words(self) -> str:
        """Return what is shown beside the pointer."""
        raise NotImplementedError

    def move(self, at: Pointer) -> Step:
        """Show what letting go here would do."""
        self.at = at
        command = self.command(at)
        if command != self._command:
            self._command = command
            if command is None:
                self.ground.session.end_preview()
                self._shown = True
            else:
                self._shown = self.ground.session.preview(command)
        self.ground.update()
        return Step.ON

    def release(self, at: Pointer) -> Step:
        """Carry it out as one step."""
        self.move(at)
        if self._command is None:
            self.ground.session.end_preview()
        else:
            self.ground.session.try_do(self._command)
        return Step.DONE

    def overlay(self) -> tuple[Primitive, ...]:
        """Return the line from where the drag began, and the words beside the pointer."""
        words = self.words()
        if not words:
            return ()
        refused = self._command is not None and not self._shown
        ink = Ink.STOP if refused else Ink.INK
        plate = plate_beside(self.at.spot, f"{words}: not possible" if refused else words, self.ground.text_factor, ink)
        return (guide(self.start.spot, self.at.spot), plate)

    def step_m(self, at: Pointer) -> float:
        """Return the step that the drag is rounded to."""
        return step_m(self.ground.sight.scale, self.ground.session.units, at.fine)
