"""A line of text over one stored value: shows it, keeps what is typed, commits it, says in place why it cannot."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QSizePolicy, QWidget

from linesizer.errors import UserError
from linesizer.ui.fields.commit import Commit, leaves, short_reason, weakly
from linesizer.ui.fields.mark import draw_mark
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

_LETTERED = (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange)
_UNDO, _REDO = QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo


class EntryField(QLineEdit):
    """One stored value as text; subclasses say how it reads and how it is read.

    Enter and leaving the field commit, Escape restores.  What is refused stays as typed, underlined in the stop's ink
    with the reason, until it is mended or restored.  Ctrl+Z takes back typing while there is any, then the document's
    last step.
    """

    reason_changed = Signal(str)
    """Why the entry cannot be used; empty once nothing is wrong."""

    def __init__(
        self, session: Session, name: str, commit: Commit, tip: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.session = session
        self.name = name
        self.tip = tip
        self.letters = Lettering()
        self._commit = weakly(commit)
        self._value: Any = None
        self._shown = ""
        self._refusal = ""
        self._trouble = ""
        self._committing = False
        self._told = False
        self._released = False
        self.setFrame(False)
        self.setFont(self.letters.figure)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.textEdited.connect(self._typed)
        self._describe()

    # How a value reads: for subclasses

    def text_of(self, value: Any) -> str:
        """Return a stored value as it is shown."""
        return str(value)

    def value_of(self, text: str) -> Any:
        """Return what is typed as a stored value; ``UserError`` where it is none."""
        return text

    def explanation(self) -> str:
        """Return what the field's tooltip says."""
        return self.tip

    # What it shows

    @property
    def value(self) -> Any:
        """The stored value that is shown, or stood there before the person began to type."""
        return self._value

    @property
    def edited(self) -> bool:
        """Whether something else is typed than what is stored."""
        return self.text() != self._shown

    @property
    def reason(self) -> str:
        """Why the entry, or the stored value, cannot be used; empty where nothing is wrong."""
        return self._refusal or self._trouble

    @property
    def refused(self) -> bool:
        """Whether the text is an entry that could not be committed."""
        return bool(self._refusal)

    def show_value(self, value: Any) -> None:
        """Show a stored value; what the person is typing stays, until the stored value is another one."""
        same = value == self._value and type(value) is type(self._value)
        keep = self.edited and not self._committing and (same or self.hasFocus())
        self._value, self._told = value, True
        shown = self.text_of(value)
        if keep:
            self._shown = shown
            if self.edited:
                return
        self._set_shown(shown)

    def show_trouble(self, reason: str) -> None:
        """Mark the stored value itself with what the calculation says of it; empty takes the mark away."""
        if reason != self._trouble:
            self._mark(self._refusal, reason)

    def refuse(self, error: UserError) -> None:
        """Keep the entry and say why it cannot be used."""
        self._mark(short_reason(error), self._trouble)

    def restore(self) -> None:
        """Show the stored value again; what is typed is gone."""
        self._set_shown(self.text_of(self._value))

    def release(self) -> None:
        """Commit nothing any more: the field is about to go away."""
        self._released = True

    def retell(self) -> None:
        """Show the same value after the units or the reason for its limits have changed."""
        self.show_value(self._value)
        self._describe()

    # What the person does

    def commit_edit(self) -> bool:
        """Commit what is typed; False where it was refused."""
        if self._released or self._committing:
            return True
        if not self.edited:
            if self._refusal:
                self._mark("", self._trouble)
            return True
        try:
            value = self.value_of(self.text())
        except UserError as error:
            self.refuse(error)
            return False
        return self.carry_out(value, merge=False)

    def carry_out(self, value: Any, *, merge: bool) -> bool:
        """Commit a value; False where it was refused."""
        if value == self._value and type(value) is type(self._value):
            self.restore()
            return True
        self._committing, self._told = True, False
        try:
            self._commit(value, merge)
        except UserError as error:
            self.refuse(error)
            return False
        finally:
            self._committing = False
        if not self._told:
            # Nobody has shown the new value yet: a hidden panel, or a form with values of its own.
            self._value = value
            self.restore()
        return True

    def event(self, event: QEvent) -> bool:
        """Leave to the window the undo that is not about typing; commit before the job as a whole is saved or left."""
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            if leaves(event):
                self.commit_edit()
            elif (event.matches(_UNDO) and not self.edited) or (event.matches(_REDO) and not self.isRedoAvailable()):
                event.ignore()
                return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Commit, restore, undo; all else is typing."""
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.commit_edit():
                self.selectAll()
            event.accept()
        elif key == Qt.Key.Key_Escape and (self.edited or self._refusal):
            self.restore()
            self.selectAll()
            event.accept()
        elif key == Qt.Key.Key_Escape:
            event.ignore()
        elif event.matches(_UNDO):
            self._undo()
            event.accept()
        elif event.matches(_REDO) and not self.isRedoAvailable():
            self.session.document.redo()
            event.accept()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Commit, unless the focus is only lent: to the field's own menu, or to another window."""
        super().focusOutEvent(event)
        self.update()
        popup = QApplication.activePopupWidget()
        lent = event.reason() is Qt.FocusReason.ActiveWindowFocusReason or (
            event.reason() is Qt.FocusReason.PopupFocusReason and popup is not None and popup.parentWidget() is self
        )
        if not lent:
            self.commit_edit()

    # How it looks

    def sizeHint(self) -> QSize:
        """Return room for the text."""
        margins = self.textMargins()
        text = max(self._shown or self.placeholderText(), "00.0", key=len)
        width = self.letters.width(self.letters.figure, text) + margins.left() + margins.right() + 2 * STEP_px
        return QSize(width, self.letters.height(self.letters.figure) + 2 * STEP_px)

    def minimumSizeHint(self) -> QSize:
        """Return room for a short figure."""
        margins = self.textMargins()
        width = self.letters.width(self.letters.figure, "00.0") + margins.left() + margins.right() + STEP_px
        return QSize(width, self.sizeHint().height())

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font of the desktop."""
        if event.type() in _LETTERED and event.type() is not QEvent.Type.FontChange:
            self.letters = Lettering()
            self.setFont(self.letters.figure)
            self.updateGeometry()
        super().changeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the text and the line beneath it."""
        super().paintEvent(event)
        painter = QPainter(self)
        draw_mark(painter, self, self.session.theme, self.text_room(), refused=bool(self.reason))
        painter.end()

    def text_room(self) -> QRect:
        """Return where the text stands, from its first letter to its last; a short stretch where there is none."""
        margins = self.textMargins()
        text = self.text() or self.placeholderText() or "00.0"
        right = self.width() - margins.right() - 2
        width = min(self.letters.width(self.letters.figure, text), right - margins.left() - 2)
        left = right - width if self.alignment() & Qt.AlignmentFlag.AlignRight else margins.left() + 2
        return QRect(left, 0, width, self.height())

    # Inside

    def _typed(self) -> None:
        if self._refusal:
            self._mark("", self._trouble)

    def _undo(self) -> None:
        if not self.edited:
            self.session.document.undo()
        elif self.isUndoAvailable():
            self.undo()
            if self._refusal:
                self._mark("", self._trouble)
        else:
            self.restore()

    def _set_shown(self, text: str) -> None:
        wider = len(text) != len(self._shown)
        self._shown = text
        if self.text() != text or self.isUndoAvailable():
            chosen = self.hasSelectedText()
            self.setText(text)
            if self.hasFocus() and chosen:
                self.selectAll()
            elif not self.hasFocus():
                self.setCursorPosition(0)
        if wider:
            self.updateGeometry()
        if self._refusal:
            self._mark("", self._trouble)

    def _mark(self, refusal: str, trouble: str) -> None:
        before = self.reason
        self._refusal, self._trouble = refusal, trouble
        if self.reason != before:
            self._describe()
            self.reason_changed.emit(self.reason)
            self.update()

    def _describe(self) -> None:
        tip = "\n\n".join(part for part in (self.reason, self.explanation()) if part)
        if tip != self.toolTip():
            self.setToolTip(tip)
            self.setAccessibleDescription(tip)
