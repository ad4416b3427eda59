"""Which legs of a line share a size: level ones, climbing ones, falling ones; what is fixed stays."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from linesizer.catalog.practice import PracticeSet
from linesizer.catalog.tubes import TubeCatalogue, tube_catalogue
from linesizer.domain.geometry import LegGeometry, line_geometry
from linesizer.domain.route import DoubleRiser, Leg, Line, Service

RISER_STEEPER_THAN = 1.0
"""A leg that climbs more than it runs can be built as two tubes side by side with a trap at its foot."""


class Way(StrEnum):
    """How a leg runs in the direction of flow."""

    LEVEL = "level"
    CLIMBING = "climbing"
    FALLING = "falling"


@dataclass(frozen=True, slots=True)
class Group:
    """Legs that share a size, by their places in the order of flow, and the tubes that they may be built from.

    ``fixed`` is what the job states for them, None where they are sized; ``doubles`` says whether they may become
    double risers.
    """

    way: Way
    legs: NDArray[np.intp]
    catalogue: TubeCatalogue
    fixed: str | DoubleRiser | None
    doubles: bool


def way(leg: LegGeometry, slope: float) -> Way:
    """Return how a leg runs, level up to a slope in either sense; a run drawn level goes by its stated fall."""
    climb = leg.slope - leg.leg.fall
    return Way.CLIMBING if climb > slope else Way.FALLING if climb < -slope else Way.LEVEL


def is_open(line: Line, leg: Leg) -> bool:
    """Whether the job leaves the size of a leg to the sizing."""
    return leg.double_riser is None and leg.size is None and line.default_size is None


def all_open(line: Line) -> Line:
    """Return a line whose legs are all left to the sizing."""
    return replace(line, default_size=None, legs=tuple(replace(leg, size=None, double_riser=None) for leg in line.legs))


def groups(line: Line, practice: PracticeSet, serves: tuple[frozenset[str], ...] | None = None) -> tuple[Group, ...]:
    """Return the groups of a line in the order in which flow meets them.

    Legs of another tube than the line's form groups of their own: one of each way for the line's tube, one for each
    other tube, in which size words mean other bores.

    Parameters
    ----------
    line : Line
        An unbranched line.
    practice : PracticeSet
        From which slope on a leg climbs.
    serves : tuple of frozenset, optional
        The condensers whose flow each leg carries, in the order of flow, where that differs along the line.  Legs with
        different ones are apart then; climbing gas legs are a group of each, all others together another one.
    """
    slope = practice.value("oil_return_climb_slope")
    found: dict[tuple[object, ...], list[LegGeometry]] = {}
    places: dict[tuple[object, ...], list[int]] = {}
    for place, geometry in enumerate(line_geometry(line).legs):
        leg = geometry.leg
        tube = leg.tube or line.tube
        runs = way(geometry, slope)
        if serves is not None and not (runs is Way.CLIMBING and line.service is Service.DISCHARGE):
            runs = Way.LEVEL
        served = None if serves is None else serves[place]
        if is_open(line, leg):
            key: tuple[object, ...] = (None, tube, runs if tube == line.tube else None, served)
        else:
            # A double riser's length is part of what it does, so each stays by itself.
            key = (leg.double_riser or leg.size or line.default_size, tube, place if leg.double_riser else None)
        found.setdefault(key, []).append(geometry)
        places.setdefault(key, []).append(place)
    made = []
    for key, members in found.items():
        fixed = key[0]
        steep = all(member.slope > RISER_STEEPER_THAN for member in members)
        made.append(
            Group(
                way(members[0], slope),
                np.array(places[key], dtype=np.intp),
                tube_catalogue(str(key[1])),
                fixed if fixed is None or isinstance(fixed, DoubleRiser) else str(fixed),
                fixed is None and steep and line.service is Service.DISCHARGE,
            )
        )
    return tuple(made)


def built(line: Line, sizes: tuple[tuple[str, str | DoubleRiser], ...]) -> Line:
    """Return a line with these legs built so."""
    by_leg = dict(sizes)
    legs = []
    for leg in line.legs:
        build = by_leg.get(leg.id)
        if build is None:
            legs.append(leg)
        elif isinstance(build, DoubleRiser):
            legs.append(replace(leg, size=None, double_riser=build))
        else:
            legs.append(replace(leg, size=build, double_riser=None))
    return replace(line, legs=tuple(legs))
