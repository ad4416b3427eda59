"""How each service is drawn: colour token, letter, dashes that meet at the corners."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.domain.route import Service
from linesizer.drawing.crossings import Interval, path_length, pieces
from linesizer.drawing.display_list import Ink, Layer, Polyline, Spots, Target, Width


@dataclass(frozen=True, slots=True)
class ServiceStyle:
    """One service on the sheet; ``dash`` in sheet units, stroke and gap in turn."""

    words: str
    letter: str
    ink: Ink
    dash: tuple[float, ...] = ()


SERVICE_STYLES: dict[Service, ServiceStyle] = {
    Service.DISCHARGE: ServiceStyle("discharge, continuous", "D", Ink.DISCHARGE),
    Service.LIQUID: ServiceStyle("liquid, long dashes", "L", Ink.LIQUID, (13.0, 5.0)),
    Service.DRAIN: ServiceStyle("drain to receiver (condensate), dash and dot", "C", Ink.DRAIN, (13.0, 4.0, 3.0, 4.0)),
    Service.SUCTION: ServiceStyle("suction, short dashes", "S", Ink.INK, (7.0, 4.0)),
    Service.BYPASS: ServiceStyle("bypass, dash and two dots", "B", Ink.QUIET, (13.0, 4.0, 3.0, 4.0, 3.0, 4.0)),
    Service.RELIEF: ServiceStyle("relief, dots", "R", Ink.QUIET, (3.0, 4.0)),
}


def pipe_strokes(
    points: Spots, style: ServiceStyle, target: Target, layer: Layer, gaps: list[Interval]
) -> list[Polyline]:
    """Return a pipe's strokes, interrupted at its gaps.

    The dashes are stretched so that a whole number fits, and start in the middle of one: where two legs meet, both
    bring half a stroke, and the corner is always drawn.
    """
    length = path_length(points)
    dash, offset = style.dash, 0.0
    if dash:
        count = round(length / sum(dash))
        if count < 1:
            dash = ()
        else:
            factor = length / (count * sum(dash))
            dash = tuple(part * factor for part in dash)
            offset = dash[0] / 2.0
    return [
        Polyline(piece, style.ink, Width.PIPE, dash, offset + at if dash else 0.0, target, layer)
        for at, piece in pieces(points, gaps)
    ]
