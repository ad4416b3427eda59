"""Fields for words: a name, an id, a date, and notes of several lines."""

from __future__ import annotations

import datetime
from typing import Any

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QFrame, QPlainTextEdit, QWidget

from linesizer.errors import UserError
from linesizer.ui.fields.commit import Commit, leaves, short_reason, weakly
from linesizer.ui.fields.entry import EntryField
from linesizer.ui.fields.mark import draw_mark
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

_UNDO, _REDO = QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo


class TextField(EntryField):
    """A few words; where ``optional``, None and nothing typed are one."""

    def __init__(
        self,
        session: Session,
        name: str,
        commit: Commit,
        tip: str = "",
        *,
        optional: bool = False,
        longest: int = 200,
        parent: QWidget | None = None,
    ) -> None:
        self.optional = optional
        super().__init__(session, name, commit, tip, parent)
        self.setMaxLength(longest)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)

    def text_of(self, value: Any) -> str:
        """Return the words."""
        return "" if value is None else str(value)

    def value_of(self, text: str) -> Any:
        """Return what is typed without blanks at its ends."""
        plain = text.strip()
        return None if self.optional and not plain else plain

    def show_default(self, words: str) -> None:
        """Say quietly what holds while the field is empty."""
        if words != self.placeholderText():
            self.setPlaceholderText(words)
            self.updateGeometry()


class DateField(TextField):
    """A date as the file writes it, year first, or nothing."""

    def value_of(self, text: str) -> Any:
        """Return a date of the calendar; ``UserError`` where it is none."""
        plain = text.strip().replace("/", "-").replace(".", "-")
        if not plain:
            return ""
        try:
            year, month, day = (int(part) for part in plain.split("-"))
            return datetime.date(year, month, day).isoformat()
        except (ValueError, OverflowError):
            raise UserError(
                "FIELD-03",
                what=f"{self.name}: {plain} is no date.",
                why=f"{plain} is no day of the calendar, year first.",
                remedy="Type for example 2026-11-24.",
            ) from None


class NotesField(QPlainTextEdit):
    """Several lines of text; leaving the field commits them, or Ctrl+Enter, and Escape restores."""

    reason_changed = Signal(str)
    """Why the text cannot be kept; empty once nothing is wrong."""

    def __init__(
        self, session: Session, name: str, commit: Commit, tip: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.session = session
        self.name = name
        self.reason = ""
        self._commit = weakly(commit)
        self._tip = tip
        self._value = ""
        self._released = False
        self._committing = False
        self.letters = Lettering()
        self.setFont(self.letters.prose)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setTabChangesFocus(True)
        self.document().setDocumentMargin(2)
        self.setAccessibleName(name)
        self.setToolTip(tip)
        self.setAccessibleDescription(tip)

    @property
    def value(self) -> str:
        """The stored text."""
        return self._value

    @property
    def edited(self) -> bool:
        """Whether something else is typed than what is stored."""
        return self.toPlainText() != self._value

    def show_value(self, value: str) -> None:
        """Show the stored text; what the person is typing stays."""
        keep = self.edited and not self._committing and (value == self._value or self.hasFocus())
        self._value = value
        if not keep and self.edited:
            self.setPlainText(value)
        if not self.edited:
            self._mark("")

    def restore(self) -> None:
        """Show the stored text again."""
        if self.edited:
            self.setPlainText(self._value)
        self._mark("")

    def release(self) -> None:
        """Commit nothing any more."""
        self._released = True

    def commit_edit(self) -> bool:
        """Commit what is typed; False where it was refused."""
        if self._released or self._committing or not self.edited:
            return True
        text = self.toPlainText()
        self._committing = True
        try:
            self._commit(text, False)
        except UserError as error:
            self._mark(short_reason(error))
            return False
        finally:
            self._committing = False
        self._value = text
        self._mark("")
        return True

    def event(self, event: QEvent) -> bool:
        """Leave to the window the undo that is not about typing; commit before the job as a whole is saved or left."""
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            if leaves(event):
                self.commit_edit()
            elif (event.matches(_UNDO) and not self.edited) or (
                event.matches(_REDO) and not self.document().isRedoAvailable()
            ):
                event.ignore()
                return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Commit on Ctrl+Enter, restore on Escape, undo the document where nothing is typed."""
        if event.key() == Qt.Key.Key_Escape and (self.edited or self.reason):
            self.restore()
        elif event.key() == Qt.Key.Key_Escape:
            event.ignore()
            return
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and (
            event.modifiers() & Qt.KeyboardModifier.ControlModifier
        ):
            self.commit_edit()
        elif event.matches(_UNDO) and not self.edited:
            self.session.document.undo()
        elif event.matches(_REDO) and not self.document().isRedoAvailable():
            self.session.document.redo()
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Commit, unless the focus is only lent."""
        super().focusOutEvent(event)
        self.viewport().update()
        popup = QApplication.activePopupWidget()
        own = popup is not None and popup.parentWidget() is self
        if event.reason() is not Qt.FocusReason.ActiveWindowFocusReason and not own:
            self.commit_edit()

    def sizeHint(self) -> QSize:
        """Return room for four lines."""
        return QSize(160, 4 * self.letters.height(self.letters.prose) + 3 * STEP_px)

    def minimumSizeHint(self) -> QSize:
        """Return room for two lines."""
        return QSize(60, 2 * self.letters.height(self.letters.prose) + 3 * STEP_px)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the text and the line beneath it."""
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        draw_mark(painter, self, self.session.theme, self.rect(), refused=bool(self.reason))
        painter.end()

    def _mark(self, reason: str) -> None:
        if reason != self.reason:
            self.reason = reason
            tip = "\n\n".join(part for part in (reason, self._tip) if part)
            self.setToolTip(tip)
            self.setAccessibleDescription(tip)
            self.reason_changed.emit(reason)
            self.viewport().update()
