"""Marks that stand on or beside a line: arrow, letter, slope, level, break, dimension, north, findings."""

from __future__ import annotations

import math

from linesizer.domain.finding import Level
from linesizer.drawing.display_list import (
    Box,
    Circle,
    Ink,
    Layer,
    Plate,
    Polygon,
    Polyline,
    Primitive,
    Target,
    Text,
    TextSize,
    Width,
)
from linesizer.drawing.frame import EASTWARD, NORTHWARD, UPRIGHT, Brush, Frame, unit_spot
from linesizer.drawing.projection import Projection, Spot

ARROW_LENGTH = 13.0
_ARROW_HALF = 4.6
LETTER_HALF = 8.5
GLYPH = 10.0
"""Width and height of a mark that leads a label, [sheet units]."""


def flow_arrow(tip_middle: Spot, along: Spot, ink: Ink, target: Target | None = None) -> Polygon:
    """Return a closed arrowhead on a line, its middle at a place, pointing along a unit vector of the sheet."""
    (x, y), (ux, uy), half = tip_middle, along, ARROW_LENGTH / 2.0
    tail = (x - half * ux, y - half * uy)
    return Polygon(
        (
            (x + half * ux, y + half * uy),
            (tail[0] - _ARROW_HALF * uy, tail[1] + _ARROW_HALF * ux),
            (tail[0] + _ARROW_HALF * uy, tail[1] - _ARROW_HALF * ux),
        ),
        ink,
        target=target,
    )


def service_letter(at: Spot, letter: str, ink: Ink, text_factor: float = 1.0, target: Target | None = None) -> Text:
    """Return the letter of a service, set into its line."""
    half = LETTER_HALF * text_factor
    box = Box(at[0] - half, at[1] - half, at[0] + half, at[1] + half)
    return Text(
        at,
        letter,
        TextSize.LABEL,
        ink=ink,
        bold=True,
        plate=Plate(box, half, Ink.PANEL),
        target=target,
        layer=Layer.SYMBOL,
    )


def level_mark(
    tip: Spot, size: float = GLYPH, ink: Ink = Ink.QUIET, target: Target | None = None
) -> tuple[Primitive, ...]:
    """Return the mark of a height: a triangle that stands with its tip on a short level line."""
    x, y = tip
    half, high = 0.42 * size, 0.72 * size
    return (
        Polyline(((x - 0.5 * size, y), (x + 0.5 * size, y)), ink, Width.THIN, target=target, layer=Layer.LABEL),
        Polygon(((x, y), (x - half, y - high), (x + half, y - high)), None, ink, Width.THIN, target, Layer.LABEL),
    )


def slope_triangle(
    centre: Spot, falls_right: bool, size: float = GLYPH, ink: Ink = Ink.QUIET, target: Target | None = None
) -> Polygon:
    """Return the mark of a slope: a small right triangle whose thin end points down the slope."""
    x, y = centre
    half, high = 0.7 * size, 0.3 * size
    thick, thin = (x - half, x + half) if falls_right else (x + half, x - half)
    return Polygon(((thick, y + high), (thick, y - high), (thin, y + high)), ink, None, Width.THIN, target, Layer.LABEL)


def finding_mark(centre: Spot, level: Level, size: float = GLYPH, target: Target | None = None) -> Primitive:
    """Return the mark of a finding: a square for a stop, a triangle to decide, a ring to note."""
    x, y = centre
    half = size / 2.0
    if level is Level.STOP:
        corners = ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
        return Polygon(corners, Ink.STOP, None, Width.THIN, target, Layer.LABEL)
    if level is Level.WARN:
        corner = ((x, y - half), (x + 1.1 * half, y + half), (x - 1.1 * half, y + half))
        return Polygon(corner, Ink.DECIDE, None, Width.THIN, target, Layer.LABEL)
    return Circle(centre, 0.9 * half, None, Ink.QUIET, Width.SYMBOL, target, Layer.LABEL)


def break_mark(at: Spot, along: Spot, across: Spot, target: Target | None = None) -> tuple[Primitive, ...]:
    """Return the mark of a shortened run: the line is interrupted between two thin zig-zags."""
    brush = Brush(Frame(at, along, across, 10.0), target)
    brush.area([(-0.35, 0.5), (0.35, 0.5), (0.35, -0.5), (-0.35, -0.5)], outline=None)
    for x in (-0.35, 0.35):
        brush.line([(x, 1.0), (x, 0.25), (x - 0.25, 0.1), (x + 0.25, -0.1), (x, -0.25), (x, -1.0)], Width.THIN)
    return tuple(brush.items)


def dimension_line(
    start: Spot, end: Spot, words: str, away: Spot, *, text_factor: float = 1.0, follows: bool = False
) -> tuple[Primitive, ...]:
    """Return a dimension between two places of the sheet, set off by the vector ``away``.

    One that ``follows`` from others stands in brackets.
    """
    a = (start[0] + away[0], start[1] + away[1])
    b = (end[0] + away[0], end[1] + away[1])
    ux, uy = unit_spot((b[0] - a[0], b[1] - a[1])) or (1.0, 0.0)
    items: list[Primitive] = [
        Polyline(
            (start, (start[0] + 1.12 * away[0], start[1] + 1.12 * away[1])), Ink.QUIET, Width.HAIR, layer=Layer.TIE
        ),
        Polyline((end, (end[0] + 1.12 * away[0], end[1] + 1.12 * away[1])), Ink.QUIET, Width.HAIR, layer=Layer.TIE),
        Polyline((a, b), Ink.QUIET, Width.HAIR, layer=Layer.TIE),
    ]
    for (x, y), sign in ((a, 1.0), (b, -1.0)):
        tail = (x + sign * 8.0 * ux, y + sign * 8.0 * uy)
        arrow = ((x, y), (tail[0] - 2.5 * uy, tail[1] + 2.5 * ux), (tail[0] + 2.5 * uy, tail[1] - 2.5 * ux))
        items.append(Polygon(arrow, Ink.QUIET, layer=Layer.TIE))
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    text = Text(middle, f"({words})" if follows else words, TextSize.LABEL, ink=Ink.INK)
    from linesizer.drawing.display_list import text_box

    box = text_box(text, text_factor).grown(2.0)
    items.append(Text(middle, text.text, TextSize.LABEL, ink=Ink.INK, plate=Plate(box, 2.0, Ink.PANEL)))
    return tuple(items)


def axis_marker(projection: Projection, at: Spot, length: float = 30.0) -> tuple[Primitive, ...]:
    """Return the view's axes with north marked, about a place of the sheet; an axis seen end on is left out."""
    items: list[Primitive] = []
    for axis, word in ((EASTWARD, "E"), (NORTHWARD, "N"), (UPRIGHT, "up")):
        vector = projection.vector(axis)
        if math.hypot(*vector) < 1e-9:
            continue
        tip = (at[0] + length * vector[0], at[1] + length * vector[1])
        is_north = word == "N"
        width = Width.SYMBOL if is_north else Width.THIN
        items.append(Polyline((at, tip), Ink.QUIET, width, layer=Layer.FURNITURE))
        if is_north:
            ux, uy = vector
            tail = (tip[0] - 9.0 * ux, tip[1] - 9.0 * uy)
            head = (tip, (tail[0] - 3.5 * uy, tail[1] + 3.5 * ux), (tail[0] + 3.5 * uy, tail[1] - 3.5 * ux))
            items.append(Polygon(head, Ink.QUIET, layer=Layer.FURNITURE))
        beyond = (at[0] + (length + 12.0) * vector[0], at[1] + (length + 12.0) * vector[1])
        items.append(Text(beyond, word, TextSize.LABEL, ink=Ink.QUIET, bold=is_north, layer=Layer.FURNITURE))
    return tuple(items)
