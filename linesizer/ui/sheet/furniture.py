"""What lies on the sheet beside the drawing and does not move with it: legend of services, axes, step of the paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter

from linesizer.domain.circuit import Circuit
from linesizer.domain.finding import Level
from linesizer.domain.route import Service
from linesizer.drawing.display_list import (
    Anchor,
    Box,
    DisplayList,
    Ink,
    Layer,
    Polyline,
    Primitive,
    Target,
    Text,
    TextSize,
    Width,
)
from linesizer.drawing.marks import axis_marker, finding_mark
from linesizer.drawing.paper import paper_step
from linesizer.drawing.projection import Projection, Spot
from linesizer.drawing.strokes import SERVICE_STYLES
from linesizer.drawing.text_size import text_width
from linesizer.ui.sheet.painter import Kit, Picture
from linesizer.units import System

EDGE = 16.0
"""Distance of the furniture from the sheet's edges, [px]."""

_SAMPLE = 34.0
_BETWEEN = 20.0


def used_services(circuits: Iterable[Circuit]) -> tuple[Service, ...]:
    """Return the services that some circuits have lines of, in the order of the legend."""
    used = {line.service for circuit in circuits for line in circuit.lines}
    return tuple(service for service in Service if service in used)


def line_marks(circuits: Iterable[Circuit], marks: dict[Target, Level]) -> dict[Service, Level]:
    """Return the weightiest stop or warning that is about a whole line, by its service; notes have no mark here."""
    found: dict[Service, Level] = {}
    for circuit in circuits:
        for line in circuit.lines:
            level = marks.get(Target(circuit.id, line.id))
            if level is None or level is Level.NOTE:
                continue
            if line.service not in found or level.weight > found[line.service].weight:
                found[line.service] = level
    return found


def legend_row(
    services: Sequence[Service], marks: dict[Service, Level], right: float, middle: float, factor: float = 1.0
) -> tuple[tuple[Primitive, ...], Box | None]:
    """Return the line styles in use as one row that ends at ``right``, and its box.

    A service whose line as a whole has a finding has its mark in front.
    """
    items: list[Primitive] = []
    height = TextSize.LABEL.value * factor
    x = right
    for service in reversed(services):
        style = SERVICE_STYLES[service]
        words = f"{style.letter}  {style.words}"
        x -= text_width(words, height)
        items.append(Text((x, middle), words, TextSize.LABEL, Anchor.START, Ink.QUIET, layer=Layer.FURNITURE))
        x -= 8.0 + _SAMPLE
        items.append(
            Polyline(
                ((x, middle), (x + _SAMPLE, middle)), style.ink, Width.PIPE, style.dash, 0.0, None, Layer.FURNITURE
            )
        )
        level = marks.get(service)
        if level is not None:
            x -= 15.0 * factor
            items.append(finding_mark((x + 5.0, middle), level, 10.0 * factor))
        x -= _BETWEEN
    if not services:
        return (), None
    return tuple(items), Box(x + _BETWEEN, middle - height, right, middle + height)


def axes(
    projection: Projection, system: System, corner: Spot, factor: float = 1.0
) -> tuple[tuple[Primitive, ...], Box]:
    """Return the axes with north and the step of the paper at the lower left corner, and their box."""
    x, y = corner[0] + 40.0, corner[1] - 30.0
    step = Text(
        (corner[0] + 82.0, corner[1] - 16.0),
        paper_step(projection.scale, system).words,
        TextSize.LABEL,
        Anchor.START,
        Ink.QUIET,
        layer=Layer.FURNITURE,
    )
    if projection.vector((0.0, 1.0, 0.0))[0] >= 0.0:
        x -= 28.0
    items = (*axis_marker(projection, (x, y)), step)
    box = DisplayList(items, projection.scale, factor).bounds()
    assert box is not None
    return items, box


class Furniture:
    """Paints legend and axes at the edges of the widget, on a pale ground, so that a drawing beneath stays readable."""

    def __init__(self) -> None:
        self._made_for: tuple[object, ...] | None = None
        self._picture: Picture | None = None
        self._boxes: tuple[Box, ...] = ()

    def forget(self) -> None:
        """Make it anew: other colours or fonts."""
        self._made_for = None

    def paint(
        self,
        painter: QPainter,
        kit: Kit,
        ground: QColor,
        place: FurniturePlace,
        services: tuple[Service, ...],
        marks: dict[Service, Level],
        drawn: QRectF | None,
    ) -> None:
        """Paint it for a place; on a ground only where the drawing reaches beneath it."""
        wanted = (place, services, tuple(marks.items()))
        if self._picture is None or wanted != self._made_for:
            self._make(kit, place, services, marks)
            self._made_for = wanted
        for box in self._boxes:
            area = QRectF(box.left, box.top, box.width, box.height)
            if drawn is not None and drawn.intersects(area):
                painter.fillRect(area, ground)
        if self._picture is not None:
            self._picture.paint(painter)

    def _make(
        self, kit: Kit, place: FurniturePlace, services: tuple[Service, ...], marks: dict[Service, Level]
    ) -> None:
        right, factor = place.width - EDGE, place.factor
        row, box = legend_row(services, marks, right, place.head_middle, factor)
        if box is not None and box.left < place.head_right + EDGE:
            # No room beside the words: one row lower.
            row, box = legend_row(services, marks, right, place.head_middle + 28.0 * factor, factor)
        corner = (EDGE, place.height - EDGE)
        marker, own = axes(place.projection, place.system, corner, factor)
        self._boxes = tuple(each.grown(4.0) for each in (box, own) if each is not None)
        self._picture = Picture(DisplayList((*row, *marker), place.projection.scale, factor), kit)


@dataclass(frozen=True, slots=True)
class FurniturePlace:
    """What the furniture's look follows from: the widget's size, where the words at its head end, the projection."""

    width: int
    height: int
    head_right: float
    head_middle: float
    projection: Projection
    system: System
    factor: float
