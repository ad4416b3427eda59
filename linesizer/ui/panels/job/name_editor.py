"""A name typed in the place where it stands: Enter and leaving keep it, Escape drops it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from linesizer.ui.fields.commit import Commit
from linesizer.ui.fields.text import TextField
from linesizer.ui.session import Session


class NameEditor(TextField):
    """A field that comes for one name and goes again."""

    done = Signal()
    """The name is kept or dropped; the editor can go."""

    def __init__(self, session: Session, name: str, commit: Commit, parent: QWidget) -> None:
        super().__init__(session, name, commit, "Enter keeps the name, Escape drops it.", longest=80, parent=parent)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keep or drop the name; whoever hears ``done`` lets the editor commit nothing more."""
        if event.key() == Qt.Key.Key_Escape:
            self.done.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.commit_edit():
                self.done.emit()
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Keep the name, and go unless the focus is only lent."""
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason):
            self.done.emit()
