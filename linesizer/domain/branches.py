"""Which ends of a tree of legs each leg serves, and the order in which a person reads such a line."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from linesizer.domain.geometry import Shape, line_geometry, route_problems
from linesizer.domain.route import Line


@dataclass(frozen=True, slots=True)
class BranchPlace:
    """How a leg stands in its line: the nodes of the ends that it serves, and whether these are all of them."""

    ends: frozenset[str]
    whole: bool


def branches(line: Line) -> dict[str, BranchPlace]:
    """Return each leg's place in a sound line; empty for one that is not sound.

    In a line that spreads a leg serves the sinks that its flow reaches, in one that gathers the sources that its flow
    comes from.
    """
    if route_problems(line) or not line.legs:
        return {}
    geometry = line_geometry(line)
    gathers = geometry.shape is Shape.GATHERS
    ends = geometry.sources if gathers else geometry.sinks
    served: defaultdict[str, set[str]] = defaultdict(set)
    for end in ends:
        served[end].add(end)
    found = {}
    for leg in geometry.legs if gathers else reversed(geometry.legs):
        outer, inner = (leg.leg.start, leg.leg.end) if gathers else (leg.leg.end, leg.leg.start)
        here = frozenset(served[outer])
        served[inner] |= here
        found[leg.leg.id] = BranchPlace(here, len(here) == len(ends))
    return found


def reading_order(line: Line) -> tuple[str, ...]:
    """Return the legs of a sound line as a person reads them: in the order of flow, one branch after the other.

    A line that spreads begins with what carries the whole flow, one that gathers ends with it.
    """
    geometry = line_geometry(line)
    if geometry.shape in (Shape.CHAIN, Shape.EMPTY):
        return tuple(leg.leg.id for leg in geometry.legs)
    gathers = geometry.shape is Shape.GATHERS
    meeting: defaultdict[str, list[tuple[str, str]]] = defaultdict(list)
    for leg in line.legs:
        inner, outer = (leg.end, leg.start) if gathers else (leg.start, leg.end)
        meeting[inner].append((leg.id, outer))
    order: list[str] = []
    waiting = [each for root in (geometry.sinks if gathers else geometry.sources) for each in meeting[root]]
    # A stack, so that a branch is read to its end before the next begins.
    if not gathers:
        waiting.reverse()
    while waiting:
        leg_id, outer = waiting.pop()
        order.append(leg_id)
        waiting.extend(meeting[outer] if gathers else reversed(meeting[outer]))
    return tuple(reversed(order)) if gathers else tuple(order)
