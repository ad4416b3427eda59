"""Draw legs by typing: a direction and a length as people write them, shown as they are typed, drawn on Enter."""

from __future__ import annotations

from linesizer.document.command import Command
from linesizer.document.typed_route import typed_runs
from linesizer.errors import UserError
from linesizer.ui.gestures.gesture import Ground
from linesizer.ui.gestures.starts import Start, chosen_start
from linesizer.ui.selection import Selection


class TypeLegs:
    """Draws from one place on; each Enter is one step and moves the place to the new end."""

    def __init__(self, ground: Ground, start: Start) -> None:
        self._ground = ground
        self.start = start
        self.trouble: UserError | None = None
        self.ended = False
        """Whether what was drawn has become a branch of another line, so that nothing goes on from here."""

    @staticmethod
    def begun(ground: Ground) -> TypeLegs | None:
        """Return the gesture from where drawing goes on; None where nothing can be drawn yet."""
        start = chosen_start(ground.session)
        return None if start is None else TypeLegs(ground, start)

    @property
    def words(self) -> str:
        """Where it draws from."""
        return f"draws from {self.start.words}{', a branch' if self.start.branches else ''}"

    def show(self, text: str) -> None:
        """Show what Enter would draw; an entry that is not finished shows nothing and is no error yet."""
        self.trouble = None
        session = self._ground.session
        try:
            shown = session.preview(self._command(text))
        except UserError:
            shown = False
        if not shown:
            session.end_preview()

    def enter(self, text: str) -> bool:
        """Draw what was typed; where it cannot be drawn ``trouble`` says why."""
        self.trouble = None
        session, before = self._ground.session, self._ground.session.job
        try:
            session.do(self._command(text))
        except UserError as error:
            session.end_preview()
            self.trouble = error
            return False
        start = self.start.after(before, session.job)
        if start is None:
            self.ended = True
            return True
        self.start = start
        session.select(Selection(start.circuit, start.line, node=start.node))
        return True

    def cancel(self) -> None:
        """Draw nothing."""
        self._ground.session.end_preview()

    def _command(self, text: str) -> Command:
        return self.start.command(typed_runs(text, self._ground.session.units))
