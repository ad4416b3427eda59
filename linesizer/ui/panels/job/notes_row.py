"""A field of several lines beneath its words."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from linesizer.ui.fields.text import NotesField
from linesizer.ui.panels.notes import Prose
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px


class NotesRow(QWidget):
    """Words, and the whole width beneath them for the text."""

    def __init__(self, session: Session, words: str, field: NotesField, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = field
        self._words = Prose(session)
        self._words.say(words)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, STEP_px, 0, 0)
        column.setSpacing(STEP_px // 2)
        column.addWidget(self._words)
        column.addWidget(field)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Give the text as many lines with another font."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self._fit()

    def _fit(self) -> None:
        self.field.setFixedHeight(self.field.sizeHint().height())
