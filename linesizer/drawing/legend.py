"""The legend: every sign that a drawing uses, with its words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from linesizer.domain.circuit import Circuit
from linesizer.domain.finding import Level
from linesizer.domain.route import Service
from linesizer.drawing.bends import rounded
from linesizer.drawing.display_list import (
    Anchor,
    Circle,
    Ink,
    Layer,
    Polyline,
    Primitive,
    Target,
    Text,
    TextSize,
    Width,
    moved,
)
from linesizer.drawing.frame import Frame
from linesizer.drawing.marks import finding_mark, flow_arrow, level_mark, service_letter, slope_triangle
from linesizer.drawing.projection import Spot
from linesizer.drawing.strokes import SERVICE_STYLES, pipe_strokes
from linesizer.drawing.symbols import UNIT, part_symbol

SIGN_WIDTH = 56.0
ROW_HEIGHT = 30.0
_HALF = 0.5 * SIGN_WIDTH - 4.0
_NO_TARGET = Target("")


@dataclass(frozen=True, slots=True)
class LegendEntry:
    """One row: a sign about the sheet's origin, within ``SIGN_WIDTH`` by ``ROW_HEIGHT``, and its words."""

    words: str
    sign: tuple[Primitive, ...]


def legend_entries(circuits: Sequence[Circuit]) -> tuple[LegendEntry, ...]:
    """Return a row for each sign that the drawing of some circuits uses: services, parts, shapes, marks."""
    lines = [line for circuit in circuits for line in circuit.lines]
    entries = [_service(service) for service in Service if any(line.service is service for line in lines)]
    seen: set[str] = set()
    for part in (part for line in lines for leg in line.legs for part in leg.parts):
        symbol = part_symbol(part.kind)
        if symbol.words not in seen:
            seen.add(symbol.words)
            middle = UNIT * (symbol.above - symbol.below) / 2.0
            size = min(UNIT, ROW_HEIGHT / (symbol.above + symbol.below))
            shift = middle * size / UNIT
            pipe = Polyline(((-_HALF, shift), (_HALF, shift)), Ink.QUIET, Width.PIPE, layer=Layer.FURNITURE)
            entries.append(LegendEntry(symbol.words, (pipe, *symbol.primitives(Frame((0.0, shift), size=size)))))
    fittings = {fitting.kind for line in lines for fitting in line.fittings}
    shapes: list[tuple[bool, str, Callable[[], tuple[Primitive, ...]]]] = [
        ("trap" in fittings, "trap, with the level of what it holds", lambda: _u(1.0)),
        ("loop" in fittings, "inverted loop, with its crown", lambda: _u(-1.0)),
        (
            any(leg.double_riser is not None for line in lines for leg in line.legs),
            "double riser: small tube, large tube behind its trap",
            _two_tubes,
        ),
        (any(line.legs for line in lines), "direction of flow", _arrow),
        (_has_tee(circuits), "permanent joint", lambda: (Circle((0.0, 0.0), 4.6, Ink.QUIET),)),
        (any(line.legs for line in lines), "height above the job's zero", lambda: level_mark((0.0, 4.0))),
        (
            any(leg.fall for line in lines for leg in line.legs),
            "slope, thin end down the slope",
            lambda: (slope_triangle((0.0, 0.0), True, 14.0),),
        ),
    ]
    entries.extend(LegendEntry(words, draw()) for used, words, draw in shapes if used)
    return tuple(entries)


def finding_entries() -> tuple[LegendEntry, ...]:
    """Return a row for each mark of a finding."""
    words = {Level.STOP: "stop: do not build it so", Level.WARN: "a person must decide", Level.NOTE: "good to know"}
    return tuple(LegendEntry(words[level], (finding_mark((0.0, 0.0), level, 11.0),)) for level in words)


def legend(entries: Sequence[LegendEntry], at: Spot, text_factor: float = 1.0) -> tuple[Primitive, ...]:
    """Return rows one below another, the first one's upper left corner at a place of the sheet."""
    items: list[Primitive] = []
    row = max(ROW_HEIGHT, 1.4 * TextSize.LABEL.value * text_factor)
    for i, entry in enumerate(entries):
        y = at[1] + (i + 0.5) * row
        signs = (moved(item, at[0] + SIGN_WIDTH / 2.0, y) for item in entry.sign)
        items.extend(replace(item, layer=Layer.FURNITURE) for item in signs)
        place = (at[0] + SIGN_WIDTH + 8.0, y)
        items.append(Text(place, entry.words, TextSize.LABEL, Anchor.START, layer=Layer.FURNITURE))
    return tuple(items)


def _service(service: Service) -> LegendEntry:
    style = SERVICE_STYLES[service]
    pipe = pipe_strokes(((-_HALF, 0.0), (_HALF, 0.0)), style, _NO_TARGET, Layer.FURNITURE, [])
    bare = [Polyline(p.points, p.ink, p.width, p.dash, p.dash_offset, None, p.layer) for p in pipe]
    return LegendEntry(style.words, (*bare, service_letter((0.0, 0.0), style.letter, style.ink)))


def _has_tee(circuits: Sequence[Circuit]) -> bool:
    for line in (line for circuit in circuits for line in circuit.lines):
        ends = [node for leg in line.legs for node in (leg.start, leg.end)]
        if any(ends.count(node) > 2 for node in set(ends)) or any(leg.double_riser for leg in line.legs):
            return True
    return False


def _path(points: Sequence[Spot]) -> Polyline:
    """Return a rounded pipe through places of the sheet."""
    curve = rounded(tuple((x, y, 0.0) for x, y in points), 5.0)
    return Polyline(tuple((x, y) for x, y, _ in curve), Ink.QUIET, Width.PIPE, layer=Layer.FURNITURE)


def _u(down: float) -> tuple[Primitive, ...]:
    y = -5.0 * down
    path = _path([(-_HALF, y), (-7.0, y), (-7.0, y + 14.0 * down), (7.0, y + 14.0 * down), (7.0, -9.0 * down)])
    level = Polyline(((-7.0, y + 6.0), (7.0, y + 6.0)), Ink.QUIET, Width.HAIR, layer=Layer.FURNITURE)
    mark = level_mark((0.0, y + 6.0 if down > 0.0 else y + 14.0 * down - 3.0), 6.0)[1:]
    return (path, *((level,) if down > 0.0 else ()), *mark)


def _two_tubes() -> tuple[Primitive, ...]:
    small = _path([(-_HALF, 7.0), (-6.0, 7.0), (-6.0, -13.0), (16.0, -13.0), (16.0, -6.0), (_HALF, -6.0)])
    large = _path([(-6.0, 7.0), (-1.0, 7.0), (-1.0, 13.0), (6.0, 13.0), (6.0, -9.0), (11.0, -9.0), (11.0, -6.0)])
    return (small, large, _path([(11.0, -6.0), (16.0, -6.0)]))


def _arrow() -> tuple[Primitive, ...]:
    pipe = Polyline(((-_HALF, 0.0), (_HALF, 0.0)), Ink.QUIET, Width.PIPE, layer=Layer.FURNITURE)
    return (pipe, flow_arrow((2.0, 0.0), (1.0, 0.0), Ink.QUIET))
