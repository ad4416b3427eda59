"""Paints a display list with QPainter: the one way onto the screen, and onto paper.

Nothing here knows a widget.  A list is made ready once, shapes, pens and places of text worked out, and may then be
painted many times, moved by the painter's own transform.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from linesizer.drawing.display_list import (
    Anchor,
    Circle,
    DisplayList,
    Ink,
    Plate,
    Polygon,
    Polyline,
    Primitive,
    Text,
    Width,
)

Colours: TypeAlias = Callable[[Ink], QColor]
Fonts: TypeAlias = Callable[[int, bool], QFont]
"""A font by its height, [sheet units], and whether it is bold."""

_SHIFT: dict[Anchor, float] = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}


@dataclass(frozen=True, slots=True)
class _Stroke:
    points: QPolygonF
    ink: Ink
    width: Width
    dash: tuple[float, ...]
    dash_offset: float
    box: QRectF

    def paint(self, painter: QPainter, kit: Kit) -> None:
        painter.setPen(kit.pen(self.ink, self.width, self.dash, self.dash_offset))
        painter.drawPolyline(self.points)


@dataclass(frozen=True, slots=True)
class _Strokes:
    lines: list[QLineF]
    ink: Ink
    width: Width
    box: QRectF

    def paint(self, painter: QPainter, kit: Kit) -> None:
        painter.setPen(kit.pen(self.ink, self.width))
        painter.drawLines(self.lines)


@dataclass(frozen=True, slots=True)
class _Area:
    points: QPolygonF
    fill: Ink | None
    outline: Ink | None
    width: Width
    box: QRectF

    def paint(self, painter: QPainter, kit: Kit) -> None:
        kit.take(painter, self.fill, self.outline, self.width)
        painter.drawPolygon(self.points)


@dataclass(frozen=True, slots=True)
class _Disc:
    centre: QPointF
    radius: float
    fill: Ink | None
    outline: Ink | None
    width: Width
    box: QRectF

    def paint(self, painter: QPainter, kit: Kit) -> None:
        kit.take(painter, self.fill, self.outline, self.width)
        painter.drawEllipse(self.centre, self.radius, self.radius)


@dataclass(frozen=True, slots=True)
class _Words:
    base: QPointF
    text: str
    height: int
    bold: bool
    ink: Ink
    plate: QRectF | None
    plate_look: Plate | None
    box: QRectF

    def paint(self, painter: QPainter, kit: Kit) -> None:
        if self.plate is not None and self.plate_look is not None:
            look = self.plate_look
            kit.take(painter, look.fill, look.outline, Width.THIN)
            painter.drawRoundedRect(self.plate, look.radius, look.radius)
        painter.setPen(kit.pen(self.ink, Width.THIN))
        painter.setFont(kit.font(self.height, self.bold))
        painter.drawText(self.base, self.text)


_Ready: TypeAlias = _Stroke | _Strokes | _Area | _Disc | _Words


class Kit:
    """Pens, brushes and fonts, each made once; a kit belongs to one look."""

    def __init__(self, colours: Colours, fonts: Fonts) -> None:
        self._colours = colours
        self._fonts = fonts
        self._pens: dict[tuple[Ink, Width, tuple[float, ...], float], QPen] = {}
        self._brushes: dict[Ink, QBrush] = {}
        self._made: dict[tuple[int, bool], QFont] = {}
        self._measures: dict[tuple[int, bool], QFontMetricsF] = {}
        self._nothing = QBrush(Qt.BrushStyle.NoBrush)
        self._none = QPen(Qt.PenStyle.NoPen)

    def pen(self, ink: Ink, width: Width, dash: tuple[float, ...] = (), dash_offset: float = 0.0) -> QPen:
        """Return a pen of a token's colour; the width is in sheet units, as the drawing is made for its scale."""
        key = (ink, width, dash, dash_offset)
        found = self._pens.get(key)
        if found is None:
            found = QPen(self._colours(ink), width.value)
            found.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            found.setCapStyle(Qt.PenCapStyle.FlatCap if dash else Qt.PenCapStyle.RoundCap)
            if dash:
                # Qt counts dashes in widths of the pen.
                found.setDashPattern([part / width.value for part in dash])
                found.setDashOffset(dash_offset / width.value)
            if len(self._pens) > 4000:
                self._pens.clear()
            self._pens[key] = found
        return found

    def take(self, painter: QPainter, fill: Ink | None, outline: Ink | None, width: Width) -> None:
        """Give a painter what fills and outlines an area."""
        painter.setPen(self._none if outline is None else self.pen(outline, width))
        painter.setBrush(self._nothing if fill is None else self.brush(fill))

    def brush(self, ink: Ink) -> QBrush:
        """Return a brush of a token's colour."""
        found = self._brushes.get(ink)
        if found is None:
            found = self._brushes[ink] = QBrush(self._colours(ink))
        return found

    def font(self, height: int, bold: bool) -> QFont:
        """Return a font by its height."""
        key = (height, bold)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = self._fonts(height, bold)
        return found

    def measure(self, height: int, bold: bool) -> QFontMetricsF:
        """Return the measures of a font."""
        key = (height, bold)
        found = self._measures.get(key)
        if found is None:
            found = self._measures[key] = QFontMetricsF(self.font(height, bold))
        return found


class Picture:
    """A display list made ready to be painted; ``box`` is around everything, None for nothing."""

    def __init__(self, display: DisplayList, kit: Kit) -> None:
        self._kit = kit
        self._items: list[_Ready] = []
        self.box: QRectF | None = None
        lines: list[QLineF] = []
        pen: tuple[Ink, Width] | None = None
        for item in display.items:
            if isinstance(item, Polyline) and len(item.points) == 2 and not item.dash:
                # Straight strokes of one pen that follow each other, such as the paper's, are painted at once.
                if pen is not None and pen != (item.ink, item.width):
                    self._put_lines(lines, pen)
                    lines = []
                pen = (item.ink, item.width)
                lines.append(QLineF(*item.points[0], *item.points[1]))
                continue
            if pen is not None:
                self._put_lines(lines, pen)
                lines, pen = [], None
            self._put(item, display)
        if pen is not None:
            self._put_lines(lines, pen)

    def paint(self, painter: QPainter, part: QRectF | None = None, kit: Kit | None = None) -> None:
        """Paint everything, or what meets a part of the sheet; with another kit in its colours and letters."""
        kit = kit or self._kit
        for item in self._items:
            if part is None or item.box.intersects(part):
                item.paint(painter, kit)

    def _put(self, item: Primitive, display: DisplayList) -> None:
        if isinstance(item, Polyline):
            points = QPolygonF([QPointF(x, y) for x, y in item.points])
            box = _grown(points.boundingRect(), item.width.value)
            self._keep(_Stroke(points, item.ink, item.width, item.dash, item.dash_offset, box))
        elif isinstance(item, Polygon):
            points = QPolygonF([QPointF(x, y) for x, y in item.points])
            box = _grown(points.boundingRect(), item.width.value)
            self._keep(_Area(points, item.fill, item.outline, item.width, box))
        elif isinstance(item, Circle):
            (x, y), r = item.centre, item.radius + item.width.value
            box = QRectF(x - r, y - r, 2.0 * r, 2.0 * r)
            self._keep(_Disc(QPointF(x, y), item.radius, item.fill, item.outline, item.width, box))
        elif isinstance(item, Text):
            self._keep(self._words(item, display))

    def _put_lines(self, lines: list[QLineF], pen: tuple[Ink, Width]) -> None:
        xs = [x for line in lines for x in (line.x1(), line.x2())]
        ys = [y for line in lines for y in (line.y1(), line.y2())]
        box = QRectF(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
        self._keep(_Strokes(lines, *pen, _grown(box, pen[1].value)))

    def _keep(self, item: _Ready) -> None:
        self._items.append(item)
        self.box = item.box if self.box is None else self.box.united(item.box)

    def _words(self, item: Text, display: DisplayList) -> _Words:
        height = round(display.text_height(item))
        measure = self._kit.measure(height, item.bold)
        advance = measure.horizontalAdvance(item.text)
        x = item.at[0] - _SHIFT[item.anchor] * advance
        base = QPointF(x, item.at[1] + 0.5 * measure.capHeight())
        box = QRectF(x, item.at[1] - height, advance, 2.0 * height)
        plate = None
        if item.plate is not None:
            own = item.plate.box
            plate = QRectF(own.left, own.top, own.width, own.height)
            box = box.united(plate)
        return _Words(base, item.text, height, item.bold, item.ink, plate, item.plate, _grown(box, 1.0))


def _grown(box: QRectF, by: float) -> QRectF:
    return box.adjusted(-by, -by, by, by)
