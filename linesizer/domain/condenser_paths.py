"""The ways through a circuit's lines from the unit to each of several parallel condensers, and back."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace

from linesizer.domain.circuit import Circuit
from linesizer.domain.ends import tied_ends
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.geometry import LegGeometry, Shape, line_geometry, turn_deg
from linesizer.domain.remembered import remembered
from linesizer.domain.route import FittingAt, Line, Service

STRAIGHT_UP_TO_deg = 45.0
"""Up to this turn flow goes straight through a tee, beyond it through its branch."""

TO_CONDENSERS = (Service.DISCHARGE,)
FROM_CONDENSERS = (Service.LIQUID, Service.DRAIN)


@dataclass(frozen=True, slots=True)
class Tee:
    """A tee on a path: the leg that owns its loss and the one that carries the flow of all, by their places on it.

    ``straight`` says whether the path runs straight through or through the branch.
    """

    owner: int
    common: int
    straight: bool


@dataclass(frozen=True, slots=True)
class CondenserPath:
    """The legs of a line on the way to one condenser, or from it, as an unbranched line of the same id.

    ``places`` are the legs' places in the whole line's order of flow, ``serves`` the condensers whose flow each of
    them carries, both in the order of flow along the path.
    """

    chain: Line
    condenser: str
    places: tuple[int, ...]
    serves: tuple[frozenset[str], ...]
    tees: tuple[Tee, ...]

    @property
    def own(self) -> tuple[bool, ...]:
        """Which legs carry this condenser's flow alone."""
        return tuple(len(served) == 1 for served in self.serves)


@dataclass(frozen=True, slots=True)
class ParallelCondensers:
    """The condensers between which a circuit's flow splits, and the paths of its lines to and from them, by line."""

    condensers: tuple[Equipment, ...]
    paths: dict[str, tuple[CondenserPath, ...]]


def branch_problem(circuit: Circuit, line: Line) -> str | None:
    """Return why the split of a branched line's flow cannot be worked, to follow the words "Line x"; None where it can.

    A discharge line has to spread to condensers, a liquid or drain line to gather from them, each end at another one.
    """
    shape = line_geometry(line).shape
    if shape not in (Shape.SPREADS, Shape.GATHERS):
        return None
    to_condensers = line.service in TO_CONDENSERS
    if shape is not (Shape.SPREADS if to_condensers else Shape.GATHERS):
        return "spreads" if shape is Shape.SPREADS else "gathers"
    seen: dict[str, str] = {}
    for node, equipment in condenser_ends(circuit, line):
        if equipment is None or equipment.role is not Role.CONDENSER:
            return f"branches to node {node}, to which no condenser is tied"
        if equipment.id in seen:
            return f"branches to nodes {seen[equipment.id]} and {node}, both tied to {equipment.name or equipment.id}"
        seen[equipment.id] = node
    return None


@remembered(32)
def parallel_condensers(circuit: Circuit) -> ParallelCondensers | None:
    """Return the condensers that share a circuit's flow and the paths to and from them; None where one takes it all.

    A condenser counts where a discharge, liquid or drain line is tied to it.  Lines that are tied to no condenser, such
    as the liquid line behind a receiver, carry the whole flow and have no path here.
    """
    if sum(item.role is Role.CONDENSER for item in circuit.equipment) < 2:
        return None
    paths: dict[str, tuple[CondenserPath, ...]] = {}
    met: set[str] = set()
    for line in circuit.lines:
        if line.service not in (*TO_CONDENSERS, *FROM_CONDENSERS) or not line.legs:
            continue
        if branch_problem(circuit, line) is not None:
            continue
        ends = {
            node: equipment.id
            for node, equipment in condenser_ends(circuit, line)
            if equipment is not None and equipment.role is Role.CONDENSER
        }
        if ends:
            paths[line.id] = _paths(line, ends)
            met |= set(ends.values())
    if len(met) < 2:
        return None
    return ParallelCondensers(tuple(item for item in circuit.equipment if item.id in met), paths)


def condenser_ends(circuit: Circuit, line: Line) -> list[tuple[str, Equipment | None]]:
    """Return the ends of a sound line that are meant for condensers, each node with what it is tied to."""
    at_source = line.service in FROM_CONDENSERS
    return [(end.node, end.equipment) for end in tied_ends(circuit, line) if end.enters is at_source]


def _paths(line: Line, ends: dict[str, str]) -> tuple[CondenserPath, ...]:
    """Return the path of each condenser end of a line, in the order of the ends."""
    legs = line_geometry(line).legs
    arriving: dict[str, list[int]] = defaultdict(list)
    leaving: dict[str, list[int]] = defaultdict(list)
    for place, geometry in enumerate(legs):
        arriving[geometry.leg.end].append(place)
        leaving[geometry.leg.start].append(place)
    from_condensers = line.service in FROM_CONDENSERS
    ways: dict[str, list[int]] = {}
    serves: dict[int, set[str]] = defaultdict(set)
    for node, condenser in ends.items():
        way: list[int] = []
        at = node
        # From the condenser's end there is one way only: down a line that gathers, up one that spreads.
        while step := (leaving if from_condensers else arriving)[at]:
            way.append(step[0])
            at = legs[step[0]].leg.end if from_condensers else legs[step[0]].leg.start
        ways[node] = way if from_condensers else way[::-1]
        for place in way:
            serves[place].add(condenser)
    stated = {fitting.node for fitting in line.fittings}
    found = []
    for node, condenser in ends.items():
        way = ways[node]
        meets = [len(arriving[legs[p].leg.start]) + len(leaving[legs[p].leg.start]) > 2 for p in way]
        tees = [
            _tee(legs, way, place, from_condensers)
            for place in range(1, len(way))
            if meets[place] and legs[way[place]].leg.start not in stated
        ]
        on_way = {legs[place].leg.start for place in way} | {legs[way[-1]].leg.end}
        # The tee takes the place of the bend that the path makes there.
        plain = tuple(
            FittingAt(legs[way[place]].leg.start, "none")
            for place in range(1, len(way))
            if meets[place] and legs[way[place]].leg.start not in stated
        )
        chain = (
            line
            if len(way) == len(legs)
            else replace(
                line,
                nodes=tuple(own for own in line.nodes if own.id in on_way),
                legs=tuple(legs[place].leg for place in way),
                ends=tuple(end for end in line.ends if end.node in on_way),
                fittings=(*(own for own in line.fittings if own.node in on_way), *plain),
            )
        )
        found.append(
            CondenserPath(chain, condenser, tuple(way), tuple(frozenset(serves[place]) for place in way), tuple(tees))
        )
    return tuple(found)


def _tee(legs: tuple[LegGeometry, ...], way: list[int], place: int, gathers: bool) -> Tee:
    straight = turn_deg(legs[way[place - 1]].direction, legs[way[place]].direction) <= STRAIGHT_UP_TO_deg
    return Tee(place - 1, place, straight) if gathers else Tee(place, place - 1, straight)
