"""A field for one of a few words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QPen, QPolygon, QWheelEvent
from PySide6.QtWidgets import QComboBox, QSizePolicy, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.errors import UserError
from linesizer.ui.fields.commit import Commit, short_reason, weakly
from linesizer.ui.fields.mark import draw_mark
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

_CHEVRON_px = 2 * STEP_px

_OPENS = (
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_Home,
    Qt.Key.Key_End,
    Qt.Key.Key_PageUp,
    Qt.Key.Key_PageDown,
    Qt.Key.Key_Return,
    Qt.Key.Key_Enter,
)

GAP = "   "
"""Between the words of a choice and each thing that is said quietly behind them."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A value that can be chosen, its words, and what is said quietly behind them."""

    value: Any
    words: str
    aside: str = ""

    @property
    def text(self) -> str:
        """Words and aside, as the list shows them."""
        return f"{self.words}{GAP}{self.aside}".rstrip()


class ChoiceField(QComboBox):
    """One stored value out of several; choosing another commits it.

    A choice that is refused stays shown with the reason, as an entry does, until another is made or Escape restores.
    """

    reason_changed = Signal(str)
    """Why the choice cannot be used; empty once nothing is wrong."""

    def __init__(
        self,
        session: Session,
        name: str,
        choices: tuple[Choice, ...],
        commit: Commit,
        tip: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.session = session
        self.name = name
        self.letters = Lettering()
        self.choices: tuple[Choice, ...] = ()
        self._commit = weakly(commit)
        self._tip = tip
        self._value: Any = None
        self._refusal = ""
        self._trouble = ""
        self._hovered = False
        self.setFont(self.letters.figure)
        self.setFrame(False)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.offer(choices)
        self.activated.connect(self._chosen)
        self._describe()

    # What it shows

    @property
    def value(self) -> Any:
        """The stored value."""
        return self._value

    @property
    def reason(self) -> str:
        """Why the choice, or the stored value, cannot be used; empty where nothing is wrong."""
        return self._refusal or self._trouble

    @property
    def refused(self) -> bool:
        """Whether a choice is shown that could not be committed."""
        return bool(self._refusal)

    def offer(self, choices: tuple[Choice, ...]) -> None:
        """Offer other choices; what is chosen stays."""
        if choices == self.choices:
            return
        self.choices = choices
        self.clear()
        for choice in choices:
            self.addItem(choice.text)
        self._show()

    def show_value(self, value: Any) -> None:
        """Show the stored value."""
        if value != self._value:
            self._value = value
            self._mark("", self._trouble)
        if not self._refusal:
            self._show()

    def explain(self, tip: str) -> None:
        """Say something else in the tooltip."""
        if tip != self._tip:
            self._tip = tip
            self._describe()

    def show_trouble(self, reason: str) -> None:
        """Mark the stored value itself with what the calculation says of it; empty takes the mark away."""
        self._mark(self._refusal, reason)

    def restore(self) -> None:
        """Show the stored value in the place of a refused one."""
        self._mark("", self._trouble)
        self._show()

    def retell(self) -> None:
        """Nothing here depends on the units."""

    def release(self) -> None:
        """Nothing is ever half chosen."""

    # What the person does

    def commit_edit(self) -> bool:
        """Tell whether what is shown is what is stored."""
        return not self._refusal

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the list instead of committing every choice that is passed; restore a refused one with Escape."""
        letter = event.text() if event.text().isprintable() else ""
        if event.key() == Qt.Key.Key_Escape and self._refusal:
            self.restore()
        elif event.key() in _OPENS or (letter and not event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier):
            self.showPopup()
            if letter.strip():
                self.view().keyboardSearch(letter)
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the panel that scrolls."""
        event.ignore()

    def showPopup(self) -> None:
        """Open the list, as wide as its words need."""
        letters = self.letters
        width = max((letters.width(letters.figure, choice.text) for choice in self.choices), default=0)
        self.view().setMinimumWidth(width + 8 * STEP_px)
        super().showPopup()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus."""
        super().focusInEvent(event)
        self.update()

    # How it looks

    def sizeHint(self) -> QSize:
        """Return room for what is chosen."""
        letters, chosen = self.letters, self._shown
        text = chosen.text if chosen is not None else ""
        width = letters.width(letters.figure, text) + _CHEVRON_px + 3 * STEP_px
        return QSize(width, letters.height(letters.figure) + 2 * STEP_px)

    def minimumSizeHint(self) -> QSize:
        """Return room for a short word."""
        return QSize(self.letters.width(self.letters.figure, "word") + _CHEVRON_px, self.sizeHint().height())

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font of the desktop."""
        if event.type() in (QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.letters = Lettering()
            self.setFont(self.letters.figure)
            self.updateGeometry()
        super().changeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what is chosen, the sign that there is more to choose from, and the line beneath."""
        painter = QPainter(self)
        theme, letters = self.session.theme, self.letters
        painter.fillRect(self.rect(), theme.colour(Ink.PANEL))
        room = self.rect().adjusted(0, 0, -_CHEVRON_px - STEP_px, 0)
        chosen, text = self._shown, room
        if chosen is not None:
            painter.setFont(letters.figure)
            own = min(letters.width(letters.figure, chosen.words) + 1, room.width())
            aside = self._aside_within(chosen, room.width() - own - 2 * STEP_px)
            if aside:
                room = self._write(painter, room, aside, Ink.QUIET, letters.width(letters.figure, aside) + 1)
            self._write(painter, room, chosen.words, Ink.INK if self.isEnabled() else Ink.QUIET, own)
            text = QRect(room.right() + 1 - own, 0, own, self.height())
        centre = QPoint(self.width() - _CHEVRON_px // 2 - 1, self.height() // 2 + 1)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(theme.colour(Ink.QUIET), 1.2))
        reach = STEP_px - 1
        corners = (QPoint(-reach, -reach // 2), QPoint(0, reach // 2 + 1), QPoint(reach, -reach // 2))
        painter.drawPolyline(QPolygon([centre + corner for corner in corners]))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        draw_mark(painter, self, theme, text, refused=bool(self.reason))
        painter.end()

    def _aside_within(self, choice: Choice, width: int) -> str:
        """Return as many parts of what is said quietly as there is room for."""
        parts = choice.aside.split(GAP)
        while parts and self.letters.width(self.letters.figure, GAP.join(parts)) >= width:
            parts.pop()
        return GAP.join(parts)

    def _write(self, painter: QPainter, room: QRect, text: str, ink: Ink, width: int) -> QRect:
        painter.setPen(self.session.theme.colour(ink))
        shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, width)
        painter.drawText(room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, shown)
        return room.adjusted(0, 0, -width - 2 * STEP_px, 0)

    # Inside

    @property
    def _shown(self) -> Choice | None:
        index = self.currentIndex()
        return self.choices[index] if 0 <= index < len(self.choices) else None

    def _show(self) -> None:
        index = next((i for i, choice in enumerate(self.choices) if choice.value == self._value), -1)
        if index != self.currentIndex():
            self.setCurrentIndex(index)
            self.updateGeometry()
            self.update()

    def _chosen(self, index: int) -> None:
        wanted = self.choices[index].value
        if wanted == self._value:
            self.restore()
            return
        try:
            self._commit(wanted, False)
        except UserError as error:
            self._mark(short_reason(error), self._trouble)
            return
        self._value = wanted
        self.restore()
        self.updateGeometry()

    def _mark(self, refusal: str, trouble: str) -> None:
        before = self.reason
        self._refusal, self._trouble = refusal, trouble
        if self.reason != before:
            self._describe()
            self.reason_changed.emit(self.reason)
            self.update()

    def _describe(self) -> None:
        tip = "\n\n".join(part for part in (self.reason, self._tip) if part)
        self.setToolTip(tip)
        self.setAccessibleDescription(tip)
