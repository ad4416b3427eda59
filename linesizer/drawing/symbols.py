"""The signs of parts that stand in a line, after the drawing conventions; the legend prints what each one means.

Shapes from memory of ISO 14617 and EN 1861; the program does not claim to conform to either.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from linesizer.drawing.display_list import Ink, Primitive, Target, Width
from linesizer.drawing.frame import Brush, Frame, arc

UNIT = 10.0
"""Sheet units of one unit of a symbol's frame, where there is room for it."""

_FULL_SIZE_SCALE, _LEAST_FACTOR = 32.0, 0.7


def sign_factor(scale: float) -> float:
    """Return by how much signs on pipes shrink where the drawing is small, for a scale in sheet units a metre."""
    return max(_LEAST_FACTOR, min(1.0, scale / _FULL_SIZE_SCALE))


@dataclass(frozen=True, slots=True)
class Symbol:
    """One sign: its words in the legend, its extent in units of its frame, and how it is drawn."""

    words: str
    half_length: float
    above: float
    below: float
    draw: Callable[[Brush], None]

    def primitives(self, frame: Frame, target: Target | None = None) -> tuple[Primitive, ...]:
        """Return the sign as primitives in a frame."""
        brush = Brush(frame, target)
        self.draw(brush)
        return tuple(brush.items)


def _valve_body(brush: Brush) -> None:
    brush.area([(-1.2, 0.7), (-1.2, -0.7), (0.0, 0.0)])
    brush.area([(1.2, 0.7), (1.2, -0.7), (0.0, 0.0)])


def _ball_valve(brush: Brush) -> None:
    _valve_body(brush)
    brush.disc((0.0, 0.0), 0.42)


def _globe_valve(brush: Brush) -> None:
    _valve_body(brush)
    brush.disc((0.0, 0.0), 0.36, Ink.INK)


def _check_valve(brush: Brush) -> None:
    brush.area([(-1.0, 0.75), (-1.0, -0.75), (0.9, 0.0)])
    brush.line([(1.0, 0.85), (1.0, -0.85)])


def _solenoid_valve(brush: Brush) -> None:
    _valve_body(brush)
    brush.line([(0.0, 0.0), (0.0, 0.85)], Width.THIN)
    brush.area([(-0.55, 0.85), (0.55, 0.85), (0.55, 2.05), (-0.55, 2.05)])
    brush.word((0.0, 1.45), "S")


def _dome(brush: Brush) -> None:
    brush.line([(0.0, 0.0), (0.0, 0.75)], Width.THIN)
    brush.area(arc((0.0, 0.75), 0.6, 0.0, 180.0))


def _regulator(brush: Brush) -> None:
    _valve_body(brush)
    _dome(brush)
    brush.line([(0.6, 0.95), (1.65, 0.95), (1.65, 0.2)], Width.THIN, dash=(3.0, 2.0))


def _expansion_valve(brush: Brush) -> None:
    brush.area([(-1.2, 0.65), (-1.2, -0.65), (0.0, 0.0)])
    brush.area([(0.0, 0.0), (1.25, 0.3), (0.8, -1.05)])
    _dome(brush)
    brush.line([(0.0, 1.35), (1.8, 1.35), (1.8, 0.6)], Width.THIN)
    brush.area([(1.5, 0.3), (2.1, 0.3), (2.1, 0.6), (1.5, 0.6)], Ink.INK)


def _relief_valve(brush: Brush) -> None:
    brush.area([(-0.5, 0.15), (0.5, 0.15), (0.0, 1.0)])
    brush.area([(0.0, 1.0), (1.0, 0.5), (1.0, 1.5)])
    spring = [(0.0, 1.0), (0.0, 1.25), (-0.3, 1.4), (0.3, 1.6), (-0.3, 1.8), (0.3, 2.0), (0.0, 2.15)]
    brush.line(spring, Width.THIN)
    brush.line([(1.0, 1.0), (1.9, 1.0)], Width.THIN)
    brush.area([(1.5, 1.2), (1.5, 0.8), (1.95, 1.0)], Ink.INK)


def _filter_drier(brush: Brush) -> None:
    brush.area([(-1.5, 0.75), (1.5, 0.75), (1.5, -0.75), (-1.5, -0.75)])
    brush.line([(0.0, 0.75), (0.0, -0.75)], Width.THIN, dash=(3.0, 2.0))
    for x in (0.0, 0.5, 1.0):
        brush.line([(x, -0.75), (x + 0.5, 0.75)], Width.HAIR)


def _sight_glass(brush: Brush) -> None:
    brush.disc((0.0, 0.0), 0.85)
    brush.line(arc((-0.85, 0.0), 0.6, -58.0, 58.0), Width.THIN)
    brush.line(arc((0.85, 0.0), 0.6, 122.0, 238.0), Width.THIN)
    brush.dot((0.0, 0.0), 0.14)


def _capsule(half: float, radius: float) -> list[tuple[float, float]]:
    return [*arc((half - radius, 0.0), radius, -90.0, 90.0), *arc((radius - half, 0.0), radius, 90.0, 270.0)]


def _muffler(brush: Brush) -> None:
    brush.area(_capsule(1.6, 0.7))
    brush.line([(-0.45, 0.7), (-0.45, -0.25)], Width.THIN)
    brush.line([(0.45, 0.25), (0.45, -0.7)], Width.THIN)


def _oil_separator(brush: Brush) -> None:
    brush.area([(-y, x) for x, y in _capsule(1.6, 0.85)])
    brush.line([(-0.85, 0.45), (0.3, 0.1)], Width.THIN)
    brush.line([(0.85, -0.1), (-0.3, -0.45)], Width.THIN)
    brush.line([(0.0, -1.6), (0.0, -2.1), (0.85, -2.1)], Width.THIN)


def _flexible_connector(brush: Brush) -> None:
    brush.area([(-1.3, 0.45), (1.3, 0.45), (1.3, -0.45), (-1.3, -0.45)], outline=None)
    wave = [
        point for i in range(4) for point in arc((-0.975 + 0.65 * i, 0.0), 0.325, 180.0, 0.0 if i % 2 else 360.0, 6)
    ]
    brush.line(wave)
    for x in (-1.3, 1.3):
        brush.line([(x, 0.7), (x, -0.7)])


def _reducer(brush: Brush) -> None:
    brush.area([(-0.8, 0.7), (0.8, 0.38), (0.8, -0.38), (-0.8, -0.7)])


def _access_valve(brush: Brush) -> None:
    brush.line([(0.0, 0.0), (0.0, 0.8)], Width.THIN)
    brush.area([(-0.45, 0.8), (0.45, 0.8), (0.0, 1.5)])
    brush.line([(-0.45, 1.55), (0.45, 1.55)])


def _sleeve(brush: Brush) -> None:
    for x in (-0.4, 0.4):
        brush.line([(x, 1.1), (x, -1.1)])


def _other_part(brush: Brush) -> None:
    brush.area([(-0.9, 0.7), (0.9, 0.7), (0.9, -0.7), (-0.9, -0.7)])
    brush.line([(-0.9, -0.7), (0.9, 0.7)], Width.THIN)


OTHER_PART = Symbol("other part, see the parts list", 0.9, 0.7, 0.7, _other_part)

PART_SYMBOLS: dict[str, Symbol] = {
    "stop_valve": Symbol("stop valve", 1.2, 0.7, 0.7, _valve_body),
    "ball_valve": Symbol("ball valve", 1.2, 0.7, 0.7, _ball_valve),
    "globe_valve": Symbol("globe valve", 1.2, 0.7, 0.7, _globe_valve),
    "check_valve": Symbol("check valve, passes towards the bar", 1.0, 0.85, 0.85, _check_valve),
    "solenoid_valve": Symbol("solenoid valve", 1.2, 2.05, 0.7, _solenoid_valve),
    "regulator": Symbol("regulator, hold-back; dashed: controlled side", 1.65, 1.35, 0.7, _regulator),
    "expansion_valve": Symbol("expansion valve with bulb", 2.1, 1.35, 1.05, _expansion_valve),
    "relief_valve": Symbol("relief valve, arrow: outlet", 1.95, 2.15, 0.0, _relief_valve),
    "filter_drier": Symbol("filter-drier or strainer", 1.5, 0.75, 0.75, _filter_drier),
    "sight_glass": Symbol("sight glass with moisture dot", 0.85, 0.85, 0.85, _sight_glass),
    "muffler": Symbol("muffler", 1.6, 0.7, 0.7, _muffler),
    "oil_separator": Symbol("oil separator, oil returns below", 0.85, 1.6, 2.1, _oil_separator),
    "flexible_connector": Symbol("flexible connector", 1.3, 0.7, 0.7, _flexible_connector),
    "reducer": Symbol("reducer", 0.8, 0.7, 0.7, _reducer),
    "access_valve": Symbol("access valve", 0.45, 1.55, 0.0, _access_valve),
    "sleeve": Symbol("wall or floor sleeve", 0.4, 1.1, 1.1, _sleeve),
}
"""Signs by the word that the parts catalogue gives in ``symbol``."""

_SIGN_OF_KIND = {"angle_valve": "stop_valve", "service_valve": "stop_valve", "strainer": "filter_drier"}
"""Part kinds whose sign is another's."""


def part_symbol(kind: str) -> Symbol:
    """Return the sign of a part kind of the job file; a kind without a sign of its own gets the plain box."""
    return PART_SYMBOLS.get(_SIGN_OF_KIND.get(kind, kind), OTHER_PART)
