"""A bench for single fields: a session, what a field has committed, and a shown field."""

from __future__ import annotations

from typing import Any, TypeVar

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from linesizer.errors import UserError
from linesizer.ui.fields.choice import ChoiceField
from linesizer.ui.session import Session
from tests.ui.opened import ABOVE, session_over

POPUPS = pytest.mark.qt_log_ignore(
    "This plugin does not support (propagateSizeHints|raise|grabbing the keyboard)", extend=True
)
"""What the platform without a screen says of windows and of lists that open; all else still fails a test."""

F = TypeVar("F", bound=QWidget)


class Taken:
    """What a field has committed; refuses what it is told to refuse."""

    def __init__(self) -> None:
        self.values: list[Any] = []
        self.merges: list[bool] = []
        self.refused: Any = object()

    def __call__(self, value: Any, merge: bool) -> None:
        if value == self.refused:
            raise UserError("TEST-01", what="Cannot.", why="It is the one value that is refused.", remedy="Another.")
        self.values.append(value)
        self.merges.append(merge)


class Bench(QWidget):
    """Holds a field and a second place for the focus."""

    def __init__(self, session: Session, field: QWidget) -> None:
        super().__init__()
        self.session = session
        self.elsewhere = QLineEdit()
        column = QVBoxLayout(self)
        column.addWidget(field)
        column.addWidget(self.elsewhere)


def on_bench(qtbot: QtBot, session: Session, field: F) -> F:
    """Show a field and give it the focus."""
    bench = Bench(session, field)
    field.bench = bench  # type: ignore[attr-defined]  # qtbot holds it only weakly
    qtbot.addWidget(bench, before_close_func=lambda _: session.close())
    bench.resize(300, 120)
    with qtbot.waitActive(bench):
        bench.show()
        bench.activateWindow()
    field.setFocus()
    qtbot.waitUntil(field.hasFocus)
    return field


def a_session() -> Session:
    """Return a session over a sample."""
    return session_over(ABOVE)


def retype(field: QWidget, text: str) -> None:
    """Type over what stands in a field."""
    QTest.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    for char in text:
        if char.isascii():
            QTest.keyClicks(field, char)
        else:
            # The test library knows no key for it, keyboards do.
            QApplication.sendEvent(field, QKeyEvent(QEvent.Type.KeyPress, 0, Qt.KeyboardModifier.NoModifier, char))


def leave(field: QWidget) -> None:
    """Move on with the Tab key."""
    QTest.keyClick(field, Qt.Key.Key_Tab)


def enter(field: QWidget) -> None:
    """Press Enter."""
    QTest.keyClick(field, Qt.Key.Key_Return)


def pick(field: ChoiceField, wanted: int) -> None:
    """Open a list with the keyboard, walk to an entry and take it."""
    QTest.keyClick(field, Qt.Key.Key_Down)
    view = field.view()
    QTest.keyClick(view, Qt.Key.Key_Home)
    for _ in range(wanted):
        QTest.keyClick(view, Qt.Key.Key_Down)
    QTest.keyClick(view, Qt.Key.Key_Return)
