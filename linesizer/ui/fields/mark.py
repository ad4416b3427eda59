"""The line beneath a field: a hair under what can be edited, thick in focus, in the stop's ink where refused."""

from __future__ import annotations

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.theme import Theme


def draw_mark(painter: QPainter, field: QWidget, theme: Theme, text: QRect, *, refused: bool) -> None:
    """Paint the line along the lower edge of a field; at rest only as wide as its text."""
    if refused:
        ink, thick = Ink.STOP, 2
    elif field.hasFocus():
        ink, thick = Ink.LIQUID, 2
    elif field.underMouse() and field.isEnabled():
        ink, thick = Ink.QUIET, 1
    else:
        painter.fillRect(QRect(text.left(), field.height() - 2, text.width(), 1), theme.colour(Ink.RULE))
        return
    painter.fillRect(QRect(0, field.height() - thick, field.width(), thick), theme.colour(ink))
