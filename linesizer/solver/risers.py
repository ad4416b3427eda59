"""Risers of a gas line, where their traps stand, and how the line reaches a condenser."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from linesizer.domain.geometry import LegGeometry, line_geometry
from linesizer.domain.route import Line

TRAP, LOOP = "trap", "loop"


@dataclass(frozen=True, slots=True)
class Riser:
    """Climbing legs in the order of flow, without a level or falling one between.

    ``sags`` tells whether the run before the foot falls towards it, so that the route itself makes a trap there.
    """

    legs: tuple[LegGeometry, ...]
    sags: bool
    trapped: bool
    stretches_m: tuple[float, ...]
    """Heights between its traps, foot and top, [m]."""

    @property
    def foot(self) -> str:
        """The node at its foot."""
        return self.legs[0].leg.start

    @property
    def rise_m(self) -> float:
        """Its height, [m]."""
        return sum(leg.rise_m for leg in self.legs)


@dataclass(frozen=True, slots=True)
class Arrival:
    """How a line reaches one of its ends.

    ``over_m`` is how far the highest point behind the last riser and the last tee stands above the end, [m];
    ``from_above`` tells whether the last leg falls to the end, ``branched`` whether a tee lies on the way, ``looped``
    whether an inverted loop stands behind it.  ``since_riser`` are the legs from the last climbing one on.
    """

    end: str
    legs: tuple[LegGeometry, ...]
    since_riser: tuple[LegGeometry, ...]
    over_m: float
    from_above: bool
    branched: bool
    looped: bool


def risers(line: Line, slope: float) -> tuple[Riser, ...]:
    """Return the risers of a line: legs that climb more than ``slope`` in the direction of flow, [m/m].

    Where a riser branches, the way with the greatest height counts.
    """
    legs = line_geometry(line).legs
    kinds = {fitting.node: fitting.kind for fitting in line.fittings}
    before = {leg.leg.end: leg for leg in legs}
    leaving: dict[str, list[LegGeometry]] = defaultdict(list)
    for leg in legs:
        leaving[leg.leg.start].append(leg)
    best: dict[int, tuple[LegGeometry, ...]] = {}
    for leg in reversed(legs):
        if leg.slope > slope:
            onward = [best[after.index] for after in leaving[leg.leg.end] if after.index in best]
            best[leg.index] = (leg, *max(onward, key=_height, default=()))
    found = []
    for leg in legs:
        arriving = before.get(leg.leg.start)
        if leg.index in best and (arriving is None or arriving.index not in best):
            way = best[leg.index]
            found.append(
                Riser(
                    legs=way,
                    sags=arriving is not None and arriving.slope < -slope,
                    trapped=kinds.get(leg.leg.start) == TRAP or leg.leg.double_riser is not None,
                    stretches_m=_stretches(way, kinds),
                )
            )
    return tuple(found)


def arrivals(line: Line, slope: float) -> tuple[Arrival, ...]:
    """Return how a line that starts from one source reaches each of its ends; ``slope`` as for ``risers``."""
    geometry = line_geometry(line)
    before = {leg.leg.end: leg for leg in geometry.legs}
    leaving: dict[str, int] = defaultdict(int)
    for leg in geometry.legs:
        leaving[leg.leg.start] += 1
    loops = {fitting.node for fitting in line.fittings if fitting.kind == LOOP}
    found = []
    for end in geometry.sinks:
        way: list[LegGeometry] = []
        node = end
        while node in before:
            way.insert(0, before[node])
            node = way[0].leg.start
        last_riser = max((i for i, leg in enumerate(way) if leg.slope > slope), default=-1)
        last_tee = max((i for i, leg in enumerate(way) if leaving[leg.leg.start] > 1), default=-1)
        behind = way[max(last_riser + 1, last_tee, 0) :]
        heights = [leg.start_m[2] for leg in behind] + [way[-1].end_m[2]]
        nodes = {leg.leg.start for leg in behind} | {end}
        found.append(
            Arrival(
                end=end,
                legs=tuple(way),
                since_riser=tuple(way[max(last_riser, 0) :]),
                over_m=max(heights) - way[-1].end_m[2],
                from_above=way[-1].slope < -slope,
                branched=last_tee >= 0,
                looped=bool(loops & nodes),
            )
        )
    return tuple(found)


def _height(way: tuple[LegGeometry, ...]) -> float:
    return sum(leg.rise_m for leg in way)


def _stretches(way: tuple[LegGeometry, ...], kinds: dict[str, str]) -> tuple[float, ...]:
    stretches = [0.0]
    for index, leg in enumerate(way):
        if index and kinds.get(leg.leg.start) == TRAP:
            stretches.append(0.0)
        stretches[-1] += leg.rise_m
    return tuple(stretches)
