"""A figure against its limit, as a bar with a tick at the limit."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from linesizer.drawing.display_list import Ink
from linesizer.ui.theme import Theme

TICK_AT = 0.5
"""Where the limit stands along every bar, so that the ticks of a column are one line for the eye."""

HEIGHT_px = 5
TICK_OVER_px = 3


def share_of_bar(value: float, limit: float) -> float | None:
    """Return how much of a bar a value fills, 0 to 1, the limit at the middle; None where there is nothing to show."""
    if not (math.isfinite(value) and math.isfinite(limit)) or limit <= 0.0:
        return None
    return min(1.0, max(0.0, TICK_AT * value / limit))


def draw_limit_bar(
    painter: QPainter,
    box: QRectF,
    share: float,
    theme: Theme,
    *,
    broken: bool,
    quiet: bool = False,
    ticked: bool = True,
) -> None:
    """Paint a bar into ``box``, whose height is that of the bar; the tick stands out above and below.

    Parameters
    ----------
    painter : QPainter
        Whose pen and brush are changed.
    box : QRectF
        Where the bar lies.
    share : float
        The part of it that is filled, 0 to 1.
    theme : Theme
        Whose colours it has.
    broken : bool
        Whether the limit is broken; the fill then has the colour of a stop.
    quiet : bool
        Whether the figure is not current, or its row out of the running.
    ticked : bool
        Whether the limit is marked.
    """
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour(Ink.RULE, 0.55))
    radius = box.height() / 2.0
    painter.drawRoundedRect(box, radius, radius)
    if share > 0.0:
        fill = QRectF(box)
        fill.setWidth(max(box.height(), share * box.width()))
        ink, strength = (Ink.STOP, 1.0) if broken else (Ink.QUIET, 0.75)
        painter.setBrush(theme.colour(ink, strength * (0.55 if quiet and not broken else 1.0)))
        painter.drawRoundedRect(fill, radius, radius)
    if ticked:
        painter.setPen(QPen(theme.colour(Ink.QUIET if quiet else Ink.INK), 1.5, c=Qt.PenCapStyle.FlatCap))
        x = box.left() + TICK_AT * box.width()
        painter.drawLine(QPointF(x, box.top() - TICK_OVER_px), QPointF(x, box.bottom() + TICK_OVER_px))
