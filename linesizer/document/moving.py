"""How nodes of a route move together: what a node carries along, what hangs beyond a leg."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from linesizer.document.direction import Axis, added, difference
from linesizer.domain.geometry import SAME_PLACE_M
from linesizer.domain.remembered import remembered
from linesizer.domain.route import Leg, Line, Node, Point

ACROSS_BELOW = 0.1
"""A leg whose rise along an axis is less than this part of its length runs across that axis.

Steeper than any pitch that a level run is laid at (1 in 50 is much), flatter than any run that a person draws on a
slant.
"""


def legs_at(line: Line) -> dict[str, list[Leg]]:
    """Return the legs that meet at each node.

    Remembered by the identity of ``line.legs``, which a move leaves as it is: in a drag it is made once.
    """
    return _legs_at(line.legs)


@remembered(16)
def _legs_at(legs: tuple[Leg, ...]) -> dict[str, list[Leg]]:
    found: dict[str, list[Leg]] = defaultdict(list)
    for leg in legs:
        found[leg.start].append(leg)
        found[leg.end].append(leg)
    return dict(found)


def places_of(line: Line) -> dict[str, Point]:
    """Return where each node of a line is, [m]."""
    return {node.id: node.at_m for node in line.nodes}


def carried_along(line: Line, node: str, axis: Axis, places: dict[str, Point] | None = None) -> set[str]:
    """Return the nodes that move when one node is moved along an axis, so that square corners stay square.

    A leg that runs across the axis (``ACROSS_BELOW``) would be turned out of square by the move, so it is carried along
    whole: its other node moves too, and from there the same rule holds.  A leg that runs along the axis takes the move
    up by growing or shrinking, and nothing beyond it moves; so does a leg on a slant, by turning.  Where no leg takes
    the move up before the line ends, the end moves with it: ``ends`` ties it to its equipment, wherever it stands.

    In words: the nodes that hang together with ``node`` through legs across the axis.
    """
    at = axis.place
    meeting = legs_at(line)
    where = places_of(line) if places is None else places
    moved = {node}
    waiting = [node]
    while waiting:
        here = waiting.pop()
        for leg in meeting.get(here, ()):
            other = leg.end if leg.start == here else leg.start
            if other in moved:
                continue
            first, second = where[here], where[other]
            along = abs(second[at] - first[at])
            if along >= SAME_PLACE_M:
                x, y, z = difference(second, first)
                if along * along >= ACROSS_BELOW**2 * (x * x + y * y + z * z):
                    continue
            moved.add(other)
            waiting.append(other)
    return moved


def square_offsets(line: Line, node: str, offset_m: Point) -> dict[str, Point]:
    """Return by how much each node moves when one is moved by an offset and square corners stay square, [m].

    The offset is taken axis by axis, each judged by the route as it was.
    """
    places = places_of(line)
    offsets: dict[str, list[float]] = {}
    for axis in Axis:
        distance_m = offset_m[axis.place]
        if distance_m:
            for name in carried_along(line, node, axis, places):
                offsets.setdefault(name, [0.0, 0.0, 0.0])[axis.place] = distance_m
    return {name: (x, y, z) for name, (x, y, z) in offsets.items()}


def beyond(line: Line, leg: Leg) -> set[str]:
    """Return the nodes on the far side of a leg: its end, and all that hangs there."""
    meeting = legs_at(line)
    found = {leg.end}
    waiting = [leg.end]
    while waiting:
        here = waiting.pop()
        for near in meeting[here]:
            if near is leg:
                continue
            other = near.end if near.start == here else near.start
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found


def shifted(line: Line, names: Iterable[str], offset_m: Point) -> Line:
    """Return a line with some of its nodes moved by one offset, [m]."""
    moved = frozenset(names)
    nodes = tuple(Node(node.id, added(node.at_m, offset_m)) if node.id in moved else node for node in line.nodes)
    return replace(line, nodes=nodes)


def displaced(line: Line, offsets: dict[str, Point]) -> Line:
    """Return a line with each node moved by an offset of its own, [m]."""
    if not offsets:
        return line
    nodes = tuple(
        node if (offset := offsets.get(node.id)) is None else Node(node.id, added(node.at_m, offset))
        for node in line.nodes
    )
    return replace(line, nodes=nodes)
