"""A field on the drawing for one value of one leg."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPalette
from PySide6.QtWidgets import QLineEdit, QWidget

from linesizer.document.command import Command
from linesizer.drawing.display_list import Ink, Target
from linesizer.errors import UserError
from linesizer.ui import theme
from linesizer.ui.session import Session


class LegField(QLineEdit):
    """Takes a value of a leg on Enter; ``trouble`` has words while an entry cannot be taken.

    Subclasses say what is asked for in ``what`` and ``tip``, and make the command of an entry.
    """

    what = ""
    tip = ""
    widest = ""
    """The longest entry that is usual."""

    finished = Signal(bool)
    """The field has closed; whether the focus was in it."""

    trouble = Signal(str)

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._sheet = parent
        self._target: Target | None = None
        self.setAccessibleName(f"{self.what} of the leg")
        self.setToolTip(self.tip)
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.returnPressed.connect(self._entered)
        self.textEdited.connect(self._good)
        session.units_changed.connect(self.give_up)
        self.hide()

    def command(self, target: Target) -> Command | None:
        """Return the command that gives a leg what is entered, None for nothing to do; ``UserError`` where none can."""
        raise NotImplementedError

    def open_with(self, target: Target, text: str, x: float, y: float, least_width: float = 0.0) -> None:
        """Open over a place of the sheet with what the leg has, at least as wide as what it covers."""
        self._target = target
        self.setFont(theme.font(theme.FIGURE_px))
        self.setText(text)
        self.setAccessibleName(f"{self.what} of {target.leg}")
        usual = self.fontMetrics().horizontalAdvance(self.widest) + 24
        self.resize(max(usual, round(least_width) + 4), self.sizeHint().height())
        sheet = self._sheet
        left = min(max(4, round(x - self.width() / 2.0)), max(4, sheet.width() - self.width() - 4))
        top = min(max(4, round(y - self.height() / 2.0)), max(4, sheet.height() - self.height() - 4))
        self.move(left, top)
        self._good()
        self.show()
        self.raise_()
        self.selectAll()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def give_up(self) -> None:
        """Close without a change."""
        if not self.isHidden():
            had_focus = self.hasFocus()
            self._target = None
            self.hide()
            self.trouble.emit("")
            self.finished.emit(had_focus)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Give up on Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.give_up()
            return
        super().keyPressEvent(event)
        # A line edit passes Enter on, and on the sheet it would open the field again.
        event.accept()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Give up when the person turns to something else, but not to the field's own menu."""
        super().focusOutEvent(event)
        if (
            event.reason() not in (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
            and self.isVisible()
        ):
            self.give_up()

    def _entered(self) -> None:
        target = self._target
        if target is None or target.line is None or target.leg is None:
            return
        try:
            command = self.command(target)
            if command is not None and self.isModified():
                self._session.do(command)
        except UserError as error:
            self._colour(Ink.STOP)
            self.setToolTip(f"{error.what} {error.why} {error.remedy}")
            self.trouble.emit(self.toolTip())
            return
        self.give_up()

    def _good(self) -> None:
        self._colour(Ink.INK)
        self.setToolTip(self.tip)
        self.trouble.emit("")

    def _colour(self, ink: Ink) -> None:
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.Text, self._session.theme.colour(ink))
        palette.setColor(QPalette.ColorRole.Base, self._session.theme.colour(Ink.PANEL))
        self.setPalette(palette)
