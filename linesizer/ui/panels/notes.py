"""What a panel says in a sentence: why its figures are not current, and what to do while it is empty."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, QTimer
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

CALCULATING_AFTER_ms = 250
"""Solving that takes less is not worth a word."""

_WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft


class Prose(QWidget):
    """A paragraph in the tokens' colours that wraps to its width, after an optional bold beginning."""

    def __init__(self, session: Session, ink: Ink = Ink.QUIET, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._ink = ink
        self._head, self._text = "", ""
        self._letters = Lettering()
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        session.theme.changed.connect(self.update)

    @property
    def letters(self) -> Lettering:
        """Its fonts and their measures."""
        return self._letters

    @property
    def text(self) -> str:
        """Everything that it says."""
        return " ".join(part for part in (self._head, self._text) if part)

    def say(self, text: str, head: str = "", ink: Ink | None = None) -> None:
        """Say something else."""
        if (text, head, ink or self._ink) != (self._text, self._head, self._ink):
            self._text, self._head, self._ink = text, head, ink or self._ink
            self.setAccessibleName(self.text)
            self.updateGeometry()
            self.update()

    def hasHeightForWidth(self) -> bool:
        """Tell the layout that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of the wrapped text."""
        room = max(40, width)
        height = 0
        if self._head:
            measure = self._letters.measure(self._letters.strong)
            height += measure.boundingRect(0, 0, room, 10_000, _WRAP, self._head).height()
        if self._text:
            measure = self._letters.measure(self._letters.prose)
            height += measure.boundingRect(0, 0, room, 10_000, _WRAP, self._text).height()
        return height

    def sizeHint(self) -> QSize:
        """Return a width that reads well, and the height for it."""
        return QSize(240, self.heightForWidth(240))

    def minimumSizeHint(self) -> QSize:
        """Return the least that shows something."""
        return QSize(80, self._letters.height(self._letters.prose))

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self._letters = Lettering()
            self.updateGeometry()
        super().changeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the text."""
        painter = QPainter(self)
        room = self.rect()
        if self._head:
            painter.setFont(self._letters.strong)
            painter.setPen(self._session.theme.colour(Ink.INK))
            used = painter.boundingRect(room, _WRAP, self._head)
            painter.drawText(room, _WRAP, self._head)
            room = room.adjusted(0, used.height(), 0, 0)
        painter.setFont(self._letters.prose)
        painter.setPen(self._session.theme.colour(self._ink))
        painter.drawText(room, _WRAP, self._text)
        painter.end()


class StaleNote(Prose):
    """Says "not current" with the reason while the figures belong to an earlier job; hidden while they are current."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, Ink.INK, parent)
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(CALCULATING_AFTER_ms)
        self._patience.timeout.connect(self._calculating)
        session.solved.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show what the session says."""
        session = self._session
        if session.current or (session.result is None and session.trouble is None):
            self._patience.stop()
            self.hide()
            return
        trouble = session.trouble
        if trouble is None:
            # Calculating: a word only where it takes long, so that quick work does not flicker.
            if self.isHidden() and not self._patience.isActive():
                self._patience.start()
            return
        self._patience.stop()
        head = "not current" if session.result is not None else "not calculated"
        self.say(f"{trouble.what} {trouble.why} {trouble.remedy}", head)
        self.show()

    def _calculating(self) -> None:
        self.say("The figures are of the job before the last change; new ones are being calculated.", "not current")
        self.show()

    def minimumSizeHint(self) -> QSize:
        """Return the height that the text needs at the width that there is."""
        return QSize(80, self.heightForWidth(max(80, self.width())))


def margins(steps_across: int = 4, steps_down: int = 1) -> tuple[int, int, int, int]:
    """Return a panel's margins: left, top, right, bottom, [px]."""
    return steps_across * STEP_px, steps_down * STEP_px, steps_across * STEP_px, steps_down * STEP_px
