"""Straight runs of a line: legs that follow each other without a bend, between two bends or ends."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesizer.domain.geometry import LegGeometry, line_geometry, turn_deg
from linesizer.domain.route import Line

STRAIGHT_WITHIN_deg = 5.0
"""A slighter kink bends the tube no more than its supports do: it is no offset and needs no support of its own."""


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


def straight_runs(line: Line) -> tuple[StraightRun, ...]:
    """Return a sound line's straight runs, in the order of flow."""
    legs = line_geometry(line).legs
    run_of: dict[int, int] = {}
    rows: list[list[int]] = []
    for place, leg in enumerate(legs):
        straight = next(
            (
                before
                for before in range(place)
                if legs[before].leg.end == leg.leg.start
                and rows[run_of[before]][-1] == before
                and turn_deg(legs[before].direction, leg.direction) < STRAIGHT_WITHIN_deg
            ),
            None,
        )
        if straight is None:
            run_of[place] = len(rows)
            rows.append([place])
        else:
            run_of[place] = run_of[straight]
            rows[run_of[straight]].append(place)
    lengths = [sum(legs[place].length_m for place in row) for row in rows]
    return tuple(
        StraightRun(tuple(legs[place] for place in row), tuple(row), _offset_m(index, rows, legs, run_of, lengths))
        for index, row in enumerate(rows)
    )


def _offset_m(
    index: int,
    rows: list[list[int]],
    legs: tuple[LegGeometry, ...],
    run_of: dict[int, int],
    lengths: list[float],
) -> float:
    first, last = legs[rows[index][0]], legs[rows[index][-1]]
    ends = {first.leg.start, last.leg.end}
    sideways = [
        lengths[run_of[place]] * math.sin(math.radians(turn_deg(first.direction, leg.direction)))
        for place, leg in enumerate(legs)
        if run_of[place] != index and ends & {leg.leg.start, leg.leg.end}
    ]
    return max(sideways, default=0.0)
