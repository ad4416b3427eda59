"""The shapes of the three levels: a square for a stop, a triangle for a decision, a circle for a note."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from linesizer.domain.finding import Level
from linesizer.drawing.display_list import Ink
from linesizer.ui.theme import Theme


def draw_level_mark(painter: QPainter, box: QRectF, level: Level, theme: Theme, *, quiet: bool = False) -> None:
    """Paint a level's shape into a square box."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    if level is Level.STOP:
        painter.setBrush(theme.colour(Ink.QUIET if quiet else Ink.STOP))
        painter.drawRoundedRect(box, 1.5, 1.5)
    elif level is Level.WARN:
        painter.setBrush(theme.colour(Ink.QUIET if quiet else Ink.DECIDE))
        top = QPointF(box.center().x(), box.top())
        painter.drawPolygon(QPolygonF([top, box.bottomRight(), box.bottomLeft()]))
    else:
        painter.setPen(QPen(theme.colour(Ink.QUIET), 1.4))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(box.adjusted(1, 1, -1, -1))
    painter.restore()
