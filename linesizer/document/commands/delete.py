"""Take legs and lines away."""

from __future__ import annotations

from dataclasses import dataclass, replace

from linesizer.document.direction import difference
from linesizer.document.moving import beyond, legs_at, places_of, shifted
from linesizer.document.objects import circuit_of, leg_of, line_of, with_circuit, with_line
from linesizer.domain.branches import branches
from linesizer.domain.job import Job
from linesizer.domain.route import Leg, Line, LineEnd
from linesizer.errors import UserError


@dataclass(frozen=True, slots=True)
class DeleteLeg:
    """Take one leg away; the line stays in one piece.

    A leg at an end goes with its outer node, and a tie to equipment there passes to the node where the line now
    ends.  A leg in the middle leaves a gap that is closed: everything beyond it moves back by the leg's own length
    and direction, so that the route is what it was without that run (delete the level run of a stepped route and the
    two risers become one above the other).  Where that would lay two legs on each other the command is refused.
    """

    circuit: str
    line: str
    leg: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"delete {self.leg}"

    def apply(self, job: Job) -> Job:
        """Return the job without the leg."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        return with_line(job, circuit, line, _without(line, leg_of(line, self.leg)))


@dataclass(frozen=True, slots=True)
class DeleteBranch:
    """Take a branch of a line away: the leg, and all that hangs between the next tee towards the line and its ends."""

    circuit: str
    line: str
    leg: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"delete the branch of {self.leg}"

    def apply(self, job: Job) -> Job:
        """Return the job without the branch; ROUTE-11 where the leg carries the whole flow of the line."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        leg = leg_of(line, self.leg)
        gone = branch_legs(line, leg.id)
        if not gone:
            raise UserError(
                "ROUTE-11",
                what=f"Cannot {self.label}.",
                why=f"{leg.id} carries the whole flow of line {line.id}; it is no branch.",
                remedy=f"Delete {leg.id} alone, or the whole line.",
            )
        rest = tuple(each for each in line.legs if each.id not in gone)
        kept = {name for each in rest for name in (each.start, each.end)}
        new = replace(
            line,
            nodes=tuple(node for node in line.nodes if node.id in kept),
            legs=rest,
            ends=tuple(end for end in line.ends if end.node in kept),
            fittings=tuple(fitting for fitting in line.fittings if fitting.node in kept),
        )
        return with_line(job, circuit, line, new)


@dataclass(frozen=True, slots=True)
class DeleteLine:
    """Take a whole line away."""

    circuit: str
    line: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"delete line {self.line}"

    def apply(self, job: Job) -> Job:
        """Return the job without the line."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        return with_circuit(
            job, circuit, replace(circuit, lines=tuple(item for item in circuit.lines if item is not line))
        )


def branch_legs(line: Line, leg: str) -> frozenset[str]:
    """Return the legs that go with a branch: from its tee outwards; empty for a leg that carries the whole flow."""
    places = branches(line)
    here = places.get(leg)
    if here is None or here.whole:
        return frozenset()
    return frozenset(name for name, place in places.items() if place.ends <= here.ends)


def _without(line: Line, leg: Leg) -> Line:
    meeting = legs_at(line)
    rest = tuple(other for other in line.legs if other is not leg)
    if len(meeting[leg.end]) == 1:
        return _less(line, rest, gone=leg.end, kept=leg.start)
    if len(meeting[leg.start]) == 1:
        return _less(line, rest, gone=leg.start, kept=leg.end)
    places = places_of(line)
    moved = shifted(line, beyond(line, leg), difference(places[leg.start], places[leg.end]))
    joined = tuple(
        replace(other, start=leg.start)
        if other.start == leg.end
        else replace(other, end=leg.start)
        if other.end == leg.end
        else other
        for other in rest
    )
    return _less(moved, joined, gone=leg.end, kept=leg.start)


def _less(line: Line, legs: tuple[Leg, ...], *, gone: str, kept: str) -> Line:
    """Return a line with these legs and without one node, whose tie passes on where the kept node is now an end."""
    leaves = any(leg.start == kept for leg in legs)
    arrives = any(leg.end == kept for leg in legs)
    free = not (leaves and arrives) and all(end.node != kept for end in line.ends)
    ends = tuple(
        LineEnd(kept, end.equipment, end.port) if end.node == gone else end
        for end in line.ends
        if end.node != gone or free
    )
    return replace(
        line,
        nodes=tuple(node for node in line.nodes if node.id != gone),
        legs=legs,
        ends=ends,
        fittings=tuple(fitting for fitting in line.fittings if fitting.node != gone),
    )
