"""Samples opened in sessions, and panels shown over them, for the tests of everything that views a session."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

import pytest
from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QWidget
from pytestqt.qtbot import QtBot

from linesizer.document.document import Document
from linesizer.domain.route import Line
from linesizer.output.palette import ThemeName
from linesizer.ui import theme
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.theme import Theme
from linesizer.units import System

SAMPLES = Path(__file__).parents[2] / "samples"
ABOVE, BELOW, TALL, TWO = "condenser-above", "condenser-below", "tall-riser-part-load", "two-condensers"

OFFSCREEN = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
"""What the platform without a screen says of every window that is shown; all else still fails a test."""

W = TypeVar("W", bound=QWidget)


def session_over(sample: str | None, units: System = "si", look: ThemeName = "light") -> Session:
    """Return a session over a sample, or with None over an empty job."""
    document = Document()
    if sample is not None:
        document.open(SAMPLES / f"{sample}.json")
    return Session(document, Theme(look), units)


def select(session: Session, line: str, leg: str | None = None) -> None:
    """Select a line, or a leg of it, in the session's one circuit."""
    session.select(Selection(session.job.circuits[0].id, line, leg))


def line_of(session: Session, line: str) -> Line:
    """Return a line of the document as it is now."""
    return next(found for circuit in session.job.circuits for found in circuit.lines if found.id == line)


def shown(qtbot: QtBot, panel: W, width: int = 460, height: int = 480) -> W:
    """Show a panel and return it; its session ends with it."""
    session = getattr(panel, "session", None)
    qtbot.addWidget(panel, before_close_func=lambda _: session.close() if session is not None else None)
    panel.resize(width, height)
    with qtbot.waitExposed(panel):
        panel.show()
    return panel


def place_of(view: QAbstractItemView, index: QModelIndex) -> QPoint:
    """Return the middle of a cell in the viewport, scrolled into sight."""
    view.scrollTo(index)
    return view.visualRect(index).center()


def click_cell(view: QAbstractItemView, index: QModelIndex) -> None:
    """Click a cell with the left button."""
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place_of(view, index))


def settled(qtbot: QtBot, session: Session) -> None:
    """Wait until the result is that of the shown job: a busy machine may have sent the solving to the other thread."""
    qtbot.waitUntil(lambda: session.current)


def troubled(qtbot: QtBot, session: Session) -> None:
    """Wait until the session says what keeps the shown job from having a result."""
    qtbot.waitUntil(lambda: not session.current and session.trouble is not None)


def double_text(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let everything that is made from now on be lettered at twice its size, as a desktop set to 200 % does."""
    plain = theme.font

    def doubled(height_px: int, *, bold: bool = False) -> QFont:
        return plain(2 * height_px, bold=bold)

    monkeypatch.setattr(theme, "font", doubled)
