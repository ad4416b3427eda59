"""Geometry of a line: lengths, rises, turns, order of flow, and what is wrong with a route."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from enum import Enum

from linesizer.domain.remembered import remembered
from linesizer.domain.route import Leg, Line, Point

SAME_PLACE_M = 1e-4
"""Two points closer than this are one place: a tenth of a millimetre, below any survey."""


class Shape(Enum):
    """How a line's legs hang together."""

    EMPTY = "empty"
    CHAIN = "chain"
    SPREADS = "spreads"
    GATHERS = "gathers"


@dataclass(frozen=True, slots=True)
class RouteProblem:
    """One thing wrong with a route; ``where`` is the path below the line, such as ``legs[3].to``."""

    where: str
    found: str
    allowed: str


@dataclass(frozen=True, slots=True)
class LegGeometry:
    """One leg in space: length, rise and run in metres, unit direction, index of the leg in ``Line.legs``."""

    index: int
    leg: Leg
    start_m: Point
    end_m: Point
    length_m: float
    rise_m: float
    run_m: float
    direction: Point

    @property
    def slope(self) -> float:
        """Rise over run in the direction of flow; infinite for a riser."""
        if self.run_m < SAME_PLACE_M:
            return math.copysign(math.inf, self.rise_m)
        return self.rise_m / self.run_m


@dataclass(frozen=True, slots=True)
class LineGeometry:
    """A line's legs in the order of flow, with its ends and shape.

    ``turns_deg`` has the angle at the start of each leg, 0 at a source and where the run goes straight on.
    """

    shape: Shape
    legs: tuple[LegGeometry, ...]
    turns_deg: tuple[float, ...]
    sources: tuple[str, ...]
    sinks: tuple[str, ...]

    @property
    def length_m(self) -> float:
        """Length of all legs together."""
        return sum(leg.length_m for leg in self.legs)

    @property
    def rise_m(self) -> float:
        """Rise from the first leg's start to the last leg's end, positive for a climb in the direction of flow."""
        return self.legs[-1].end_m[2] - self.legs[0].start_m[2] if self.legs else 0.0


def leg_geometry(index: int, leg: Leg, start_m: Point, end_m: Point) -> LegGeometry:
    """Return the geometry of one leg between two different points."""
    offset = (end_m[0] - start_m[0], end_m[1] - start_m[1], end_m[2] - start_m[2])
    length = math.hypot(*offset)
    scale = 1.0 / length if length > 0.0 else 0.0
    direction = (offset[0] * scale, offset[1] * scale, offset[2] * scale)
    return LegGeometry(index, leg, start_m, end_m, length, offset[2], math.hypot(offset[0], offset[1]), direction)


def turn_deg(before: Point, after: Point) -> float:
    """Return the angle between two unit directions, [degrees]; 0 straight on, 180 straight back."""
    cross = (
        before[1] * after[2] - before[2] * after[1],
        before[2] * after[0] - before[0] * after[2],
        before[0] * after[1] - before[1] * after[0],
    )
    dot = before[0] * after[0] + before[1] * after[1] + before[2] * after[2]
    angle = math.degrees(math.atan2(math.hypot(*cross), dot))
    return 0.0 if angle < 0.01 else angle


def route_problems(line: Line) -> tuple[RouteProblem, ...]:
    """Return everything that keeps a line from being a tree of legs with a direction of flow.

    Checked: nodes that do not exist, legs without length, legs that return to where the line already was (a loop),
    pieces that do not hang together, flow that both gathers and spreads, two legs at one place.
    """
    problems: list[RouteProblem] = []
    places = {node.id: node.at_m for node in line.nodes}
    listed = _node_list(tuple(places))
    sound: list[LegGeometry] = []
    for index, leg in enumerate(line.legs):
        missing = [(key, name) for key, name in (("from", leg.start), ("to", leg.end)) if name not in places]
        for key, name in missing:
            problems.append(RouteProblem(f"legs[{index}].{key}", f'no node named "{name}"', listed))
        if missing:
            continue
        geometry = leg_geometry(index, leg, places[leg.start], places[leg.end])
        if geometry.length_m < SAME_PLACE_M:
            problems.append(
                RouteProblem(
                    f"legs[{index}]",
                    f'leg "{leg.id}" from "{leg.start}" to "{leg.end}" has no length (both ends at one place)',
                    "a leg needs a length above 0; move a node or delete the leg",
                )
            )
            continue
        sound.append(geometry)
    if not problems:
        problems.extend(_tree_problems(sound))
    problems.extend(_overlap_problems(sound))
    return tuple(problems)


def _node_list(names: tuple[str, ...]) -> str:
    if not names:
        return "this line has no nodes"
    if len(names) <= 6:
        return "nodes of this line: " + ", ".join(names)
    return f"nodes of this line: {names[0]} to {names[-1]} ({len(names)} nodes)"


def _tree_problems(legs: list[LegGeometry]) -> list[RouteProblem]:
    parent: dict[str, str] = {}

    def root(name: str) -> str:
        top = name
        while parent.setdefault(top, top) != top:
            top = parent[top]
        while parent[name] != top:
            parent[name], name = top, parent[name]
        return top

    problems = []
    for geometry in legs:
        leg = geometry.leg
        first, second = root(leg.start), root(leg.end)
        if first == second:
            problems.append(
                RouteProblem(
                    f"legs[{geometry.index}]",
                    f'leg "{leg.id}" from "{leg.start}" to "{leg.end}" closes a loop',
                    "a line is a tree: delete one leg of the loop",
                )
            )
        parent[first] = second
    if problems or not legs:
        return problems
    whole = root(legs[0].leg.start)
    for geometry in legs:
        if root(geometry.leg.start) != whole:
            problems.append(
                RouteProblem(
                    f"legs[{geometry.index}]",
                    f'leg "{geometry.leg.id}" is not connected to leg "{legs[0].leg.id}"',
                    "the legs of one line hang together; join them, or make it a line of its own",
                )
            )
            return problems
    arriving: dict[str, int] = defaultdict(int)
    leaving: dict[str, int] = defaultdict(int)
    for geometry in legs:
        arriving[geometry.leg.end] += 1
        leaving[geometry.leg.start] += 1
    gathers = sorted(name for name, count in arriving.items() if count > 1)
    spreads = sorted(name for name, count in leaving.items() if count > 1)
    if gathers and spreads:
        problems.append(
            RouteProblem(
                "legs",
                f'flow gathers at node "{gathers[0]}" and spreads at node "{spreads[0]}"',
                "a line either spreads from one source or gathers to one sink; turn a leg round, or split the "
                "line in two",
            )
        )
    elif gathers or spreads:
        sources = [name for name in leaving if not arriving.get(name)]
        sinks = [name for name in arriving if not leaving.get(name)]
        if (spreads and len(sources) != 1) or (gathers and len(sinks) != 1):
            problems.append(
                RouteProblem(
                    "legs",
                    f"the line has {len(sources)} sources and {len(sinks)} sinks",
                    "a line either spreads from one source or gathers to one sink; turn a leg round",
                )
            )
    return problems


def _overlap_problems(legs: list[LegGeometry]) -> list[RouteProblem]:
    """Return a problem for each pair of neighbouring legs that run along the same stretch."""
    groups: dict[tuple[int, ...], list[tuple[float, float, LegGeometry]]] = defaultdict(list)
    for geometry in legs:
        direction = geometry.direction
        sign = next(math.copysign(1.0, part) for part in direction if abs(part) > 1e-6)
        axis = tuple(sign * part for part in direction)
        along = sum(part * at for part, at in zip(axis, geometry.start_m, strict=True))
        foot = tuple(at - along * part for part, at in zip(axis, geometry.start_m, strict=True))
        # The odd offsets keep round survey figures away from the edges of the cells.
        key = (
            *(round(part / 1e-5 + 0.317) for part in axis),
            *(round(at / (10 * SAME_PLACE_M) + 0.317) for at in foot),
        )
        other = along + sign * geometry.length_m
        groups[key].append((min(along, other), max(along, other), geometry))
    problems = []
    for group in groups.values():
        group.sort(key=lambda item: (item[0], item[1], item[2].index))
        reach, holder = -math.inf, group[0][2]
        for low, high, geometry in group:
            if low < reach - SAME_PLACE_M:
                problems.append(
                    RouteProblem(
                        f"legs[{geometry.index}]",
                        f'leg "{geometry.leg.id}" lies on leg "{holder.leg.id}"',
                        "two legs of one line may not run at one place; move one of them or delete it",
                    )
                )
            if high > reach:
                reach, holder = high, geometry
    return problems


@remembered(64)
def line_geometry(line: Line) -> LineGeometry:
    """Return a sound line's legs in the order of flow.

    The answer is remembered by the identity of ``line`` (a frozen value), so that asking again costs nothing.

    Raises
    ------
    ValueError
        If the route is not sound; ask ``route_problems`` first.
    """
    if not line.legs:
        return LineGeometry(Shape.EMPTY, (), (), (), ())
    places = {node.id: node.at_m for node in line.nodes}
    legs = [leg_geometry(i, leg, places[leg.start], places[leg.end]) for i, leg in enumerate(line.legs)]
    arriving: dict[str, list[LegGeometry]] = defaultdict(list)
    leaving: dict[str, list[LegGeometry]] = defaultdict(list)
    for geometry in legs:
        arriving[geometry.leg.end].append(geometry)
        leaving[geometry.leg.start].append(geometry)
    sources = tuple(dict.fromkeys(g.leg.start for g in legs if not arriving[g.leg.start]))
    sinks = tuple(dict.fromkeys(g.leg.end for g in legs if not leaving[g.leg.end]))
    ordered: list[LegGeometry] = []
    waiting = {name: len(found) for name, found in arriving.items()}
    # One branch after another, each down to its end.
    ready = [geometry for source in reversed(sources) for geometry in reversed(leaving[source])]
    while ready:
        geometry = ready.pop()
        ordered.append(geometry)
        waiting[geometry.leg.end] -= 1
        if waiting[geometry.leg.end] == 0:
            ready.extend(reversed(leaving[geometry.leg.end]))
    if len(ordered) != len(legs):
        raise ValueError(f"line {line.id!r} is not a tree of legs")
    turns = tuple(
        turn_deg(arriving[g.leg.start][0].direction, g.direction) if arriving[g.leg.start] else 0.0 for g in ordered
    )
    shape = Shape.CHAIN
    if any(len(found) > 1 for found in leaving.values()):
        shape = Shape.SPREADS
    elif any(len(found) > 1 for found in arriving.values()):
        shape = Shape.GATHERS
    return LineGeometry(shape, tuple(ordered), turns, sources, sinks)
