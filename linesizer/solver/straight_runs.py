"""Straight runs of a line: legs that follow each other without a bend, between two bends or ends."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from linesizer.domain.geometry import LegGeometry, Shape, line_geometry
from linesizer.domain.remembered import remembered
from linesizer.domain.route import Line

STRAIGHT_WITHIN_deg = 5.0
"""A slighter kink bends the tube no more than its supports do: it is no offset and needs no support of its own."""


_STRAIGHT_COSINE = math.cos(math.radians(STRAIGHT_WITHIN_deg))


@dataclass(frozen=True, slots=True)
class StraightRun:
    """Legs in a row, in the order of flow, and how far the runs at its two ends reach sideways.

    ``places`` are the legs' indices in the order of flow.  ``offset_m`` is the longer of the neighbouring runs, counted
    square to this one, [m]; 0 where it has none.
    """

    legs: tuple[LegGeometry, ...]
    places: tuple[int, ...]
    offset_m: float

    @property
    def length_m(self) -> float:
        """Length of all its legs, [m]."""
        return sum(leg.length_m for leg in self.legs)


@remembered(64)
def straight_runs(line: Line) -> tuple[StraightRun, ...]:
    """Return a sound line's straight runs, in the order of flow; remembered by the identity of ``line``."""
    geometry = line_geometry(line)
    if geometry.shape is Shape.CHAIN:
        return _in_a_row(geometry.legs)
    legs = geometry.legs
    arriving: dict[str, list[int]] = defaultdict(list)
    at_node: dict[str, list[int]] = defaultdict(list)
    run_of: list[int] = []
    rows: list[list[int]] = []
    for place, leg in enumerate(legs):
        # Where a tee gives a run two straight ways on, the first takes it.
        before = next(
            (
                before
                for before in arriving[leg.leg.start]
                if rows[run_of[before]][-1] == before and _goes_on(legs[before], leg)
            ),
            None,
        )
        if before is None:
            rows.append([])
        run_of.append(len(rows) - 1 if before is None else run_of[before])
        rows[run_of[-1]].append(place)
        arriving[leg.leg.end].append(place)
        at_node[leg.leg.start].append(place)
        at_node[leg.leg.end].append(place)
    lengths = [sum(legs[place].length_m for place in row) for row in rows]
    runs = []
    for index, row in enumerate(rows):
        first, last = legs[row[0]], legs[row[-1]]
        sideways = [
            lengths[run_of[place]] * _sideways(first, legs[place])
            for place in (*at_node[first.leg.start], *at_node[last.leg.end])
            if run_of[place] != index
        ]
        runs.append(StraightRun(tuple(legs[place] for place in row), tuple(row), max(sideways, default=0.0)))
    return tuple(runs)


def _in_a_row(legs: tuple[LegGeometry, ...]) -> tuple[StraightRun, ...]:
    """Return the straight runs of legs that follow one another."""
    ways = np.array([leg.direction for leg in legs])
    bends = (ways[1:] * ways[:-1]).sum(axis=1) <= _STRAIGHT_COSINE
    starts = np.concatenate([[0], np.flatnonzero(bends) + 1])
    ends = np.concatenate([starts[1:], [len(legs)]])
    lengths = np.add.reduceat([leg.length_m for leg in legs], starts)
    before = np.zeros(len(starts))
    after = np.zeros(len(starts))
    first = ways[starts]
    before[1:] = lengths[:-1] * np.linalg.norm(np.cross(first[1:], ways[starts[1:] - 1]), axis=1)
    after[:-1] = lengths[1:] * np.linalg.norm(np.cross(first[:-1], ways[ends[:-1]]), axis=1)
    offsets = np.maximum(before, after).tolist()
    return tuple(
        StraightRun(legs[start:end], tuple(range(start, end)), offset)
        for start, end, offset in zip(starts.tolist(), ends.tolist(), offsets, strict=True)
    )


def _goes_on(one: LegGeometry, other: LegGeometry) -> bool:
    """Whether a leg goes straight on behind another one."""
    (a, b, c), (x, y, z) = one.direction, other.direction
    return a * x + b * y + c * z > _STRAIGHT_COSINE


def _sideways(one: LegGeometry, other: LegGeometry) -> float:
    """Return how much of another leg's length lies square to a leg: the sine of the angle between them."""
    (a, b, c), (x, y, z) = one.direction, other.direction
    return math.hypot(b * z - c * y, c * x - a * z, a * y - b * x)
