"""Draw legs: by a direction and a length, or many at once from the rows of a table."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from linesizer.document.commands.split import split
from linesizer.document.direction import Direction, added, scaled, unit_vector
from linesizer.document.ids import next_leg_id, next_node_id, spoken_of
from linesizer.document.landing import along, landed
from linesizer.document.moving import legs_at, places_of
from linesizer.document.objects import circuit_of, line_of, node_of
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import SAME_PLACE_M
from linesizer.domain.job import Job
from linesizer.domain.part import Part
from linesizer.domain.ports import takes
from linesizer.domain.route import DoubleRiser, Joint, Leg, Line, LineEnd, Node, Point, Service
from linesizer.errors import UserError

Start: TypeAlias = str | Point
"""A node's id, or a point: of an empty line any point, of another one a point that lies on it."""


@dataclass(frozen=True, slots=True)
class DrawLeg:
    """Draw one leg from a node or a point.

    From where a line's flow ends the new leg continues it; from where it begins the new leg comes before it, so that
    the flow keeps its direction; from the middle it branches off, with the flow where the line spreads and against it
    where it gathers (a plain run branches as its service does: discharge spreads, the others gather).  ``upstream``
    decides otherwise.  A tie to equipment at the end that is drawn on goes with the new end.  A point on a leg splits
    it there.  The leg takes size, place, insulation, joint and tube from the one that it continues.

    The new end is the last of the line's nodes, from which drawing goes on.  Where equipment stands that can take its
    flow it is tied to that, and with ``equipment`` to a piece that it stands apart from.  Where it comes to another
    line of the same service the two are one line from then on, under the other's name.

    ``direction`` is one of six or any vector, of which only the direction counts; ``length_m`` in metres.
    """

    circuit: str
    line: str
    start: Start
    direction: Direction | Point
    length_m: float
    upstream: bool | None = None
    equipment: str | None = None

    @property
    def label(self) -> str:
        """The act in words."""
        towards = f" {self.direction.word}" if isinstance(self.direction, Direction) else ""
        from_where = f" from {self.start}" if isinstance(self.start, str) else f" on {self.line}"
        return f"draw a leg{towards}{from_where}"

    def apply(self, job: Job) -> Job:
        """Return the job with the leg.

        Raises
        ------
        UserError
            ROUTE-01 where no leg can start, ROUTE-02 where it has no length, ROUTE-08 where it would close a loop,
            ROUTE-09 where the equipment cannot take its flow.
        """
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        row, spoken = LegRow(offset(self.direction, self.length_m, self.label)), spoken_of(job)
        new, node = drawn(circuit, line, self.start, (row,), self.upstream, spoken)
        return landed(job, circuit, line, new, node, self.label, self.equipment, spoken)


@dataclass(frozen=True, slots=True)
class LegRow:
    """One row of a pasted table: the leg's offset from where the last one ended, and what the row says besides.

    None takes the value of the leg that the row continues.  ``fall`` and the places of ``parts`` are as one walks
    along the row; where the legs are drawn against the flow they are turned round.
    """

    offset_m: Point
    size: str | None = None
    place: str | None = None
    insulation_m: float | None = None
    insulation_W_mK: float | None = None
    joint: Joint | None = None
    fall: float = 0.0
    tube: str | None = None
    parts: tuple[Part, ...] = ()
    double_riser: DoubleRiser | None = None


@dataclass(frozen=True, slots=True)
class PasteLegs:
    """Draw the legs of a table one behind the other, as one step; start and flow as for ``DrawLeg``."""

    circuit: str
    line: str
    start: Start
    rows: tuple[LegRow, ...]
    upstream: bool | None = None
    equipment: str | None = None

    @property
    def label(self) -> str:
        """The act in words."""
        count = len(self.rows)
        return f"paste {count} leg{'' if count == 1 else 's'} into {self.line}"

    def apply(self, job: Job) -> Job:
        """Return the job with the legs; raises as ``DrawLeg`` does."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        for number, row in enumerate(self.rows, 1):
            length_m = math.hypot(*row.offset_m)
            if not math.isfinite(length_m) or length_m < SAME_PLACE_M:
                raise no_length(f"Row {number} of the table cannot be drawn.", length_m)
        if not self.rows:
            return job
        spoken = spoken_of(job)
        new, node = drawn(circuit, line, self.start, self.rows, self.upstream, spoken)
        return landed(job, circuit, line, new, node, self.label, self.equipment, spoken)


def offset(direction: Direction | Point, length_m: float, what: str) -> Point:
    """Return a direction and a length as an offset, [m]; ROUTE-02 where either is nothing."""
    vector = unit_vector(direction.vector if isinstance(direction, Direction) else direction)
    if vector is None:
        raise UserError(
            "ROUTE-02",
            what=f"Cannot {what}.",
            why="Its direction is nothing: all three parts are zero.",
            remedy="Give one of N, E, S, W, U, D, or a vector with a length.",
        )
    if not math.isfinite(length_m) or length_m < SAME_PLACE_M:
        raise no_length(f"Cannot {what}.", length_m)
    return scaled(vector, length_m)


def no_length(what: str, length_m: float) -> UserError:
    """Return the error for a leg without a length; ``what`` is the sentence that says what cannot be done."""
    return UserError(
        "ROUTE-02",
        what=what,
        why=f"Its length is {length_m:g} m; a leg needs a finite length above {SAME_PLACE_M:g} m.",
        remedy="Enter a length, such as 3.4 m.",
    )


Stance: TypeAlias = Literal["alone", "flow ends", "flow begins", "between"]


def stance(line: Line, node: str) -> Stance:
    """Return how a node stands in the flow of its line."""
    meeting = legs_at(line).get(node, [])
    if not meeting:
        return "alone"
    if all(leg.end == node for leg in meeting):
        return "flow ends"
    if all(leg.start == node for leg in meeting):
        return "flow begins"
    return "between"


def drawn(
    circuit: Circuit,
    line: Line,
    start: Start,
    rows: tuple[LegRow, ...],
    upstream: bool | None = None,
    spoken_of: frozenset[str] = frozenset(),
) -> tuple[Line, str]:
    """Return a line with legs drawn from a node or a point, one behind the other, and the node where they end."""
    line, node = _started(line, start, spoken_of)
    for row in rows:
        line, node, upstream = _one(circuit, line, node, row, upstream, spoken_of)
    return line, node


def _started(line: Line, start: Start, spoken_of: frozenset[str]) -> tuple[Line, str]:
    if isinstance(start, str):
        return line, node_of(line, start).id
    for node in line.nodes:
        if math.dist(node.at_m, start) < SAME_PLACE_M:
            return line, node.id
    if not line.legs:
        if len(line.nodes) == 1:
            # The line's first end, which may be tied to equipment: it stands where the person begins to draw.
            only = line.nodes[0]
            return replace(line, nodes=(Node(only.id, start),)), only.id
        name = next_node_id(line, spoken_of)
        return replace(line, nodes=(*line.nodes, Node(name, start))), name
    places = places_of(line)
    for leg in line.legs:
        share = along(places[leg.start], places[leg.end], start)
        if share is not None:
            line, _, node_id = split(line, leg, share, spoken_of)
            return line, node_id
    raise UserError(
        "ROUTE-01",
        what=f'No leg of line "{line.id}" can start at ({start[0]:g}, {start[1]:g}, {start[2]:g}) m.',
        why="That point is neither a node nor on a leg of the line, and the legs of one line hang together.",
        remedy="Start at a node or on a leg, or draw it as a line of its own.",
    )


def _one(
    circuit: Circuit, line: Line, node: str, row: LegRow, upstream: bool | None, spoken_of: frozenset[str]
) -> tuple[Line, str, bool]:
    meeting = legs_at(line).get(node, [])
    how = stance(line, node)
    against = upstream
    if against is None:
        against = {
            "flow ends": False,
            "flow begins": True,
            "between": _gathers(line),
            "alone": _ends_here(circuit, line, node),
        }[how]
    new_node = next_node_id(line, spoken_of)
    at_m = next(item.at_m for item in line.nodes if item.id == node)
    # What it continues: the leg whose flow goes on in it, else the one that meets it there.
    model = next(
        (leg for leg in meeting if (leg.start if against else leg.end) == node), meeting[0] if meeting else None
    )
    leg = _leg(next_leg_id(line, spoken_of), node, new_node, model, row)
    if against:
        leg = replace(
            leg,
            start=new_node,
            end=node,
            fall=0.0 - leg.fall,
            parts=tuple(replace(part, at=1.0 - part.at) for part in leg.parts),
        )
    # The legs of a file read in the order of flow.
    place = next((i for i, old in enumerate(line.legs) if old is model), 0)
    place += 0 if against and model is not None else 1
    ends = line.ends
    if (how == "flow ends" and not against) or (how == "flow begins" and against):
        ends = tuple(LineEnd(new_node, end.equipment, end.port) if end.node == node else end for end in ends)
    new = replace(
        line,
        nodes=(*line.nodes, Node(new_node, added(at_m, row.offset_m))),
        legs=(*line.legs[:place], leg, *line.legs[place:]),
        ends=ends,
    )
    return new, new_node, against


def _leg(name: str, start: str, end: str, model: Leg | None, row: LegRow) -> Leg:
    if model is None:
        leg = Leg(name, start, end)
    else:
        leg = replace(model, id=name, start=start, end=end, double_riser=None, fall=0.0, parts=(), extra=())
    size = row.size if row.size is not None else leg.size
    return replace(
        leg,
        size=size if row.double_riser is None else None,
        double_riser=row.double_riser,
        place=row.place if row.place is not None else leg.place,
        insulation_m=row.insulation_m if row.insulation_m is not None else leg.insulation_m,
        insulation_W_mK=row.insulation_W_mK if row.insulation_W_mK is not None else leg.insulation_W_mK,
        joint=row.joint if row.joint is not None else leg.joint,
        tube=row.tube if row.tube is not None else leg.tube,
        fall=row.fall,
        parts=row.parts,
    )


def _gathers(line: Line) -> bool:
    """Tell whether a branch of a line brings flow to it."""
    arriving = [leg.end for leg in line.legs]
    leaving = [leg.start for leg in line.legs]
    if len(set(leaving)) < len(leaving):
        return False
    if len(set(arriving)) < len(arriving):
        return True
    return line.service is not Service.DISCHARGE


def _ends_here(circuit: Circuit, line: Line, node: str) -> bool:
    """Tell whether a node without legs is where the line's flow will end, from the equipment that it is tied to."""
    tie = next((end for end in line.ends if end.node == node), None)
    equipment = next((item for item in circuit.equipment if tie is not None and item.id == tie.equipment), None)
    if equipment is None or takes(equipment, line.service, enters=True):
        return False
    return takes(equipment, line.service, enters=False)
