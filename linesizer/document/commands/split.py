"""Split a leg in two, join two legs of one straight run."""

from __future__ import annotations

from dataclasses import dataclass, replace

from linesizer.document.direction import added, difference, scaled
from linesizer.document.ids import next_leg_id, next_node_id, spoken_of
from linesizer.document.moving import legs_at, places_of
from linesizer.document.objects import circuit_of, exchanged, leg_of, line_of, with_line
from linesizer.domain.geometry import leg_geometry, turn_deg
from linesizer.domain.job import Job
from linesizer.domain.route import Leg, Line, Node
from linesizer.errors import UserError

STRAIGHT_WITHIN_DEG = 0.1
"""Two runs that turn less than this are one straight run: 2 mm in a metre, less than a tube is laid to."""


@dataclass(frozen=True, slots=True)
class SplitLeg:
    """Put a node into a leg; ``at`` is the fraction of its length from its start.

    The part upstream keeps the id.  Parts stay where they are, and go with the half that they stand on.
    """

    circuit: str
    line: str
    leg: str
    at: float = 0.5

    @property
    def label(self) -> str:
        """The act in words."""
        return f"split {self.leg}"

    def apply(self, job: Job) -> Job:
        """Return the job with the leg in two; ROUTE-03 for a double riser, ROUTE-04 for a fraction that is none."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        new, _, _ = split(line, leg_of(line, self.leg), self.at, spoken_of(job))
        return with_line(job, circuit, line, new)


@dataclass(frozen=True, slots=True)
class JoinLegs:
    """Make one leg of two that follow each other in one straight run.

    The id is that of the one upstream, and so are size, place, insulation, joint, fall and tube; parts stay where they
    are.  A fitting at the node between is gone with it.
    """

    circuit: str
    line: str
    leg: str
    other: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"join {self.leg} and {self.other}"

    def apply(self, job: Job) -> Job:
        """Return the job with one leg for two; ROUTE-05 where they are not one straight run."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        first, second = leg_of(line, self.leg), leg_of(line, self.other)
        if second.end == first.start:
            first, second = second, first
        return with_line(job, circuit, line, _joined(line, first, second))


def split(line: Line, leg: Leg, at: float, spoken_of: frozenset[str] = frozenset()) -> tuple[Line, Leg, str]:
    """Return a line with a leg in two, its second half and the node between."""
    if leg.double_riser is not None:
        raise UserError(
            "ROUTE-03",
            what=f"Cannot split {leg.id}.",
            why=f'Leg "{leg.id}" is a double riser: two tubes with one seal at the foot, which does not come twice.',
            remedy="Give the leg a single size first, or split another leg.",
        )
    if not 0.0 < at < 1.0:
        raise UserError(
            "ROUTE-04",
            what=f"Cannot split {leg.id}.",
            why=f"The place asked for is {at:g} of its length; it has to lie above 0 and below 1.",
            remedy="Choose a place on the leg, such as 0.5 for its middle.",
        )
    places = places_of(line)
    start_m = places[leg.start]
    middle = Node(next_node_id(line, spoken_of), added(start_m, scaled(difference(places[leg.end], start_m), at)))
    first = replace(
        leg,
        end=middle.id,
        parts=tuple(replace(part, at=part.at / at) for part in leg.parts if part.at < at),
    )
    second = replace(
        leg,
        id=next_leg_id(line, spoken_of),
        start=middle.id,
        parts=tuple(replace(part, at=min(1.0, (part.at - at) / (1.0 - at))) for part in leg.parts if part.at >= at),
        extra=(),
    )
    place = line.legs.index(leg)
    legs = (*line.legs[:place], first, second, *line.legs[place + 1 :])
    return replace(line, nodes=(*line.nodes, middle), legs=legs), second, middle.id


def _joined(line: Line, first: Leg, second: Leg) -> Line:
    node = first.end
    if second.start != node or first is second:
        raise _not_one_run(first, second, "they do not follow each other in the direction of flow")
    if len(legs_at(line)[node]) > 2:
        raise _not_one_run(first, second, f'another leg branches off at node "{node}" between them')
    if first.double_riser is not None or second.double_riser is not None:
        raise _not_one_run(first, second, "one of them is a double riser, which ends where it ends")
    places = places_of(line)
    before = leg_geometry(0, first, places[first.start], places[node])
    after = leg_geometry(1, second, places[node], places[second.end])
    angle_deg = turn_deg(before.direction, after.direction)
    if angle_deg > STRAIGHT_WITHIN_DEG:
        raise _not_one_run(first, second, f'the run turns {angle_deg:.3g}° at node "{node}" between them')
    share = before.length_m / (before.length_m + after.length_m)
    names = {part.id for part in first.parts}
    parts = tuple(replace(part, at=part.at * share) for part in first.parts) + tuple(
        replace(part, at=min(1.0, share + part.at * (1.0 - share)), id=_own_id(part.id, names)) for part in second.parts
    )
    joined = replace(first, end=second.end, parts=parts)
    return replace(
        line,
        nodes=tuple(item for item in line.nodes if item.id != node),
        legs=exchanged(tuple(leg for leg in line.legs if leg is not second), first, joined),
        fittings=tuple(fitting for fitting in line.fittings if fitting.node != node),
    )


def _own_id(name: str, taken: set[str]) -> str:
    own, number = name, 1
    while own in taken:
        number += 1
        own = f"{name}-{number}"
    taken.add(own)
    return own


def _not_one_run(first: Leg, second: Leg, why: str) -> UserError:
    return UserError(
        "ROUTE-05",
        what=f"Cannot join {first.id} and {second.id}.",
        why=f"Only two legs of one straight run make one leg; {why}.",
        remedy="Choose two neighbours in one straight run.",
    )
