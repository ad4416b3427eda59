"""Condensers side by side: another one like the first, lines run to it, shares of the flow that stay whole."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from linesizer.document.commands.draw import LegRow, drawn
from linesizer.document.commands.split import split
from linesizer.document.direction import added, difference, scaled
from linesizer.document.ids import next_name, plain_id, spoken_of
from linesizer.document.landing import along, require_tree, tied
from linesizer.document.moving import legs_at, places_of
from linesizer.document.objects import circuit_of, equipment_of, with_circuit
from linesizer.domain.circuit import Circuit
from linesizer.domain.condenser_paths import FROM_CONDENSERS, TO_CONDENSERS, condenser_ends
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.geometry import SAME_PLACE_M, route_problems
from linesizer.domain.job import Job
from linesizer.domain.route import Leg, Line, LineEnd, Point
from linesizer.errors import UserError

BESIDE_m = 3.0
"""How far east of the last one another condenser stands: a body and the air that it draws in; common practice."""

REACHING_CONDENSERS = (*TO_CONDENSERS, *FROM_CONDENSERS)


@dataclass(frozen=True, slots=True)
class AddAnother:
    """Add equipment like a piece that is there: the same data, the next name, beside the last of its role.

    What it arrives with is its own, so a copy holds as much.  Where every condenser states its share of the flow, the
    new one gets an equal part and the others keep their proportions.
    """

    circuit: str
    equipment: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"add another like {self.equipment}"

    def apply(self, job: Job) -> Job:
        """Return the job with the equipment."""
        circuit = circuit_of(job, self.circuit)
        first = equipment_of(circuit, self.equipment)
        alike = [item for item in circuit.equipment if item.role is first.role]
        stem = first.id.rstrip("0123456789") or first.id
        new = replace(
            first,
            id=plain_id((*(item.id for item in circuit.equipment), *spoken_of(job), stem), stem),
            name=next_name((item.name for item in circuit.equipment), first.name),
            at_m=_free_place(circuit, alike[-1].at_m),
            share=None,
            extra=(),
        )
        old = circuit.equipment
        stated = [item.share for item in alike]
        if first.role is Role.CONDENSER and None not in stated:
            part = 1.0 / (len(alike) + 1)
            old = tuple(
                replace(item, share=(1.0 - part) * item.share) if item.share is not None and item in alike else item
                for item in old
            )
            new = replace(new, share=part)
        return with_circuit(job, circuit, replace(circuit, equipment=(*old, new)))


@dataclass(frozen=True, slots=True)
class RunLinesTo:
    """Run every line that ends at the nearest condenser to another condenser too.

    Each line branches at the last node before the present condenser, or where the new run meets it, and goes along the
    axes; the last leg is laid as the one to the present condenser, so that a drop behind an outlet comes again.
    """

    circuit: str
    equipment: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"run the lines to {self.equipment}"

    def apply(self, job: Job) -> Job:
        """Return the job with the branches.

        Raises
        ------
        UserError
            ROUTE-10 where it is no condenser, no line reaches another one, all lines end at it already, or no way
            along the axes is clear.
        """
        circuit = circuit_of(job, self.circuit)
        wanted = equipment_of(circuit, self.equipment)
        if wanted.role is not Role.CONDENSER:
            raise self._refused(wanted, f"it is a {wanted.role.value}.", "Choose a condenser.")
        missing = lines_short_of(circuit, wanted)
        if not missing:
            if any(line.legs and line.service in REACHING_CONDENSERS for line in circuit.lines):
                raise self._refused(wanted, "every line of the circuit ends at it already.", "Delete a branch first.")
            raise self._refused(wanted, "no line reaches a condenser yet.", "Draw the lines to the first condenser.")
        spoken = spoken_of(job)
        lines = tuple(self._run(circuit, line, wanted, spoken) if line in missing else line for line in circuit.lines)
        return with_circuit(job, circuit, replace(circuit, lines=lines))

    def _run(self, circuit: Circuit, line: Line, wanted: Equipment, spoken: frozenset[str]) -> Line:
        for node, present in sorted(_condenser_ends(circuit, line), key=lambda end: _apart_m(end[1], wanted)):
            for start, rows in _ways(line, node, present, wanted):
                try:
                    new, end = _branched(circuit, line, start, rows, legs_at(line)[node][0], spoken)
                    require_tree(line, new, self.label)
                except UserError:
                    continue
                if not route_problems(new):
                    return tied(_with_tie(new, node, present), end, wanted)
        raise self._refused(
            wanted, f"no way along the axes leads clear of line {line.id}.", "Draw the branch, or move the condenser."
        )

    def _refused(self, wanted: Equipment, why: str, remedy: str) -> UserError:
        return UserError(
            "ROUTE-10",
            what=f"Cannot {self.label}.",
            why=f"{wanted.name or wanted.id}: {why}",
            remedy=remedy,
        )


def lines_short_of(circuit: Circuit, condenser: Equipment) -> tuple[Line, ...]:
    """Return the lines that reach a condenser of the circuit but not this one."""
    found = []
    for line in circuit.lines:
        if line.service in REACHING_CONDENSERS and line.legs and not route_problems(line):
            ends = [equipment.id for _, equipment in _condenser_ends(circuit, line)]
            if ends and condenser.id not in ends:
                found.append(line)
    return tuple(found)


def _free_place(circuit: Circuit, at_m: Point) -> Point:
    place = added(at_m, (BESIDE_m, 0.0, 0.0))
    while any(math.dist(item.at_m, place) < BESIDE_m / 2.0 for item in circuit.equipment):
        place = added(place, (BESIDE_m, 0.0, 0.0))
    return place


def _condenser_ends(circuit: Circuit, line: Line) -> list[tuple[str, Equipment]]:
    """Return the ends of a line that belong to condensers."""
    return [
        (node, equipment)
        for node, equipment in condenser_ends(circuit, line)
        if equipment is not None and equipment.role is Role.CONDENSER
    ]


def _apart_m(first: Equipment, second: Equipment) -> float:
    return math.dist(first.at_m, second.at_m)


def _ways(
    line: Line, node: str, present: Equipment, wanted: Equipment
) -> Iterator[tuple[str | Point, tuple[LegRow, ...]]]:
    """Yield ways from a line to another condenser: where each begins, and its legs; the best first."""
    places = places_of(line)
    last = legs_at(line)[node][0]
    before = last.start if last.end == node else last.end
    start: str | Point = before
    if len(legs_at(line)[before]) == 1:
        # The line is one leg: the branch begins in its middle, not at its other end.
        start = added(places[before], scaled(difference(places[node], places[before]), 0.5))
    start_m = places[start] if isinstance(start, str) else start
    run = difference(places[node], start_m)
    across = difference(wanted.at_m, present.at_m)
    corner = added(start_m, across)
    if any(along(places[leg.start], places[leg.end], corner) is not None for leg in line.legs):
        yield corner, (LegRow(run),)
    for node_m in places:
        if node_m != before and math.dist(places[node_m], corner) < SAME_PLACE_M:
            yield node_m, (LegRow(run),)
    for steps in _orders(across):
        yield start, (*(LegRow(step) for step in steps), LegRow(run))
    for steps in _orders(added(run, across)):
        yield start, tuple(LegRow(step) for step in steps)


def _orders(offset_m: Point) -> Iterator[tuple[Point, ...]]:
    """Yield an offset as steps along the axes, in every order, level ones before those up or down."""
    steps = [
        tuple(part if i == axis else 0.0 for i in range(3)) for axis, part in enumerate(offset_m) if abs(part) > 1e-9
    ]
    if steps:
        for order in itertools.permutations(steps):
            yield tuple((step[0], step[1], step[2]) for step in order)


def _with_tie(line: Line, node: str, equipment: Equipment) -> Line:
    """Return a line whose end states its equipment, which until now followed from the order."""
    if any(end.node == node for end in line.ends):
        return line
    return replace(line, ends=(*line.ends, LineEnd(node, equipment.id)))


def _branched(
    circuit: Circuit, line: Line, start: str | Point, rows: tuple[LegRow, ...], model: Leg, spoken: frozenset[str]
) -> tuple[Line, str]:
    """Return a line with a branch whose legs are built as ``model``, and the node where it ends."""
    whole, joint = line, start
    if not isinstance(joint, str):
        places = places_of(line)
        for leg in line.legs:
            share = along(places[leg.start], places[leg.end], joint)
            if share is not None:
                whole, _, joint = split(line, leg, share, spoken)
                break
    new, end = drawn(circuit, whole, joint, rows, None, spoken)
    known = {leg.id for leg in whole.legs}
    built = replace(model, double_riser=None, fall=0.0, parts=(), extra=())
    legs = tuple(
        leg if leg.id in known else replace(built, id=leg.id, start=leg.start, end=leg.end) for leg in new.legs
    )
    return replace(new, legs=legs), end
