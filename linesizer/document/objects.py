"""Find an object of a job by its id, and put a changed one in its place without touching the rest.

An id that is not there is something that a person can meet (a stale table row, a pasted text), so it is a
``UserError`` that lists what is there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Protocol, TypeVar

from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment
from linesizer.domain.job import Job, Room
from linesizer.domain.part import Part
from linesizer.domain.route import Leg, Line, Node
from linesizer.errors import UserError
from linesizer.storage.places import listing


class _Named(Protocol):
    @property
    def id(self) -> str: ...


T = TypeVar("T", bound=_Named)


def _find(items: Sequence[T], name: str, kind: str, owner: str) -> T:
    for item in items:
        if item.id == name:
            return item
    names = tuple(item.id for item in items)
    raise UserError(
        "EDIT-02",
        what=f'There is no {kind} "{name}" in {owner}.',
        why=f"It has {listing(names)}." if names else "It has none yet.",
        remedy=f"Choose one of these, or add a {kind}." if names else f"Add a {kind} first.",
    )


def exchanged(items: tuple[T, ...], old: T, new: T) -> tuple[T, ...]:
    """Return the items with one exchanged for another."""
    return tuple(new if item is old else item for item in items)


def without(items: tuple[T, ...], old: T) -> tuple[T, ...]:
    """Return the items without one of them."""
    return tuple(item for item in items if item is not old)


def circuit_of(job: Job, circuit: str) -> Circuit:
    """Return a circuit of the job."""
    return _find(job.circuits, circuit, "circuit", "the job")


def line_of(circuit: Circuit, line: str) -> Line:
    """Return a line of a circuit."""
    return _find(circuit.lines, line, "line", f'circuit "{circuit.title}"')


def leg_of(line: Line, leg: str) -> Leg:
    """Return a leg of a line."""
    return _find(line.legs, leg, "leg", f'line "{line.id}"')


def legs_of(line: Line, legs: tuple[str, ...]) -> frozenset[str]:
    """Return legs of a line by their ids, all of which are there."""
    known = frozenset(leg.id for leg in line.legs)
    for leg in legs:
        if leg not in known:
            leg_of(line, leg)
    return frozenset(legs)


def node_of(line: Line, node: str) -> Node:
    """Return a node of a line."""
    return _find(line.nodes, node, "node", f'line "{line.id}"')


def part_of(leg: Leg, part: str) -> Part:
    """Return a part on a leg."""
    return _find(leg.parts, part, "part", f'leg "{leg.id}"')


def condition_of(circuit: Circuit, condition: str) -> Condition:
    """Return a condition of a circuit."""
    return _find(circuit.conditions, condition, "condition", f'circuit "{circuit.title}"')


def equipment_of(circuit: Circuit, equipment: str) -> Equipment:
    """Return a piece of equipment of a circuit."""
    return _find(circuit.equipment, equipment, "piece of equipment", f'circuit "{circuit.title}"')


def room_of(job: Job, room: str) -> Room:
    """Return a room of the site."""
    return _find(job.site.rooms, room, "room", "the site")


def with_circuit(job: Job, old: Circuit, new: Circuit) -> Job:
    """Return the job with one circuit exchanged."""
    return replace(job, circuits=exchanged(job.circuits, old, new))


def with_line(job: Job, circuit: Circuit, old: Line, new: Line) -> Job:
    """Return the job with one line of one circuit exchanged."""
    return with_circuit(job, circuit, replace(circuit, lines=exchanged(circuit.lines, old, new)))


def with_leg(line: Line, old: Leg, new: Leg) -> Line:
    """Return the line with one leg exchanged."""
    return replace(line, legs=exchanged(line.legs, old, new))
