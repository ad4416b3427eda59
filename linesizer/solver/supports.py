"""How many supports a line takes, by the practice set's spacing."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.geometry import LegGeometry
from linesizer.domain.route import Line
from linesizer.solver.route_losses import LineTubes, line_tubes
from linesizer.solver.straight_runs import StraightRun, straight_runs

PLUMB_SLOPE = 10.0
"""Rise over run from which a leg hangs on its clamps; what is flatter lies on them and takes the closer spacing."""

WEIGHTLESS = frozenset(("reducer", "sleeve", "access_valve"))
"""Parts that weigh no more than the tube itself."""


@dataclass(frozen=True, slots=True)
class SupportCount:
    """So many supports for one size of one tube."""

    tube: str
    size: str
    count: int


def supports(line: Line, practice: PracticeSet) -> tuple[SupportCount, ...]:
    """Return the supports of a line for each of its sizes, in the order of flow; empty where a leg has no size.

    Each straight run has a support at the practice set's distance from the bend or connection at either end (one in the
    middle where it is shorter than twice that), one at each part that none of these is near, and as many between as the
    spacing for the tube's outside diameter asks for.  Both tubes of a double riser are held.

    Parameters
    ----------
    line : Line
        A sound line.
    practice : PracticeSet
        Rules ``support_spacing_m``, ``support_spacing_vertical_m`` and ``support_from_elbow_m``.

    Returns
    -------
    tuple of SupportCount
    """
    tubes = line_tubes(line)
    if tubes is None or not line.legs:
        return ()
    counts: dict[tuple[str, str], int] = {}
    for run in straight_runs(line):
        for index in _support_legs(run, tubes, practice):
            for size in tubes.sizes[run.places[index]]:
                key = (tubes.catalogues[run.places[index]].id, size.size)
                counts[key] = counts.get(key, 0) + 1
    return tuple(SupportCount(tube, size, count) for (tube, size), count in counts.items())


def _support_legs(run: StraightRun, tubes: LineTubes, practice: PracticeSet) -> list[int]:
    """Return for each support of a run the leg that it stands on, as its index in the run."""
    ends = [0.0]
    for leg in run.legs:
        ends.append(ends[-1] + leg.length_m)
    near, length = practice.value("support_from_elbow_m"), ends[-1]
    fixed = [near, length - near] if length > 2.0 * near else [0.5 * length]
    for start, leg in zip(ends, run.legs, strict=False):
        for part in leg.leg.parts:
            at = start + part.at * leg.length_m
            if part.kind not in WEIGHTLESS and all(abs(at - other) > near for other in fixed):
                fixed.append(at)
    fixed.sort()
    widest = [_spacing_m(leg, place, tubes, practice) for leg, place in zip(run.legs, run.places, strict=True)]
    places = [*fixed]
    for low, high in pairwise(fixed):
        spacing = min(widest[index] for index in range(len(widest)) if ends[index] < high and ends[index + 1] > low)
        # A gap that is a whole number of spacings but for a rounding takes no support more.
        between = math.ceil((high - low) / spacing - 1e-9) - 1
        places += [low + (high - low) * (step + 1) / (between + 1) for step in range(between)]
    last = len(run.legs) - 1
    return [next((index for index in range(last) if at <= ends[index + 1]), last) for at in places]


def _spacing_m(leg: LegGeometry, place: int, tubes: LineTubes, practice: PracticeSet) -> float:
    if abs(leg.rise_m) > PLUMB_SLOPE * leg.run_m:
        return practice.value("support_spacing_vertical_m")
    return min(practice.band_value("support_spacing_m", size.outside_diameter_m) for size in tubes.sizes[place])
