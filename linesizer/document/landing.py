"""What a drawn leg comes to at its new end: a loop, which is refused, equipment, another line of its service."""

from __future__ import annotations

import math
from dataclasses import replace

from linesizer.document.commands.split import split
from linesizer.document.direction import difference, scaled
from linesizer.document.ids import next_leg_id, next_node_id
from linesizer.document.moving import legs_at, places_of
from linesizer.document.objects import equipment_of, exchanged, with_circuit
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment
from linesizer.domain.geometry import SAME_PLACE_M, route_problems
from linesizer.domain.job import Job
from linesizer.domain.ports import port_for, takes
from linesizer.domain.route import FittingAt, Leg, Line, LineEnd, Node, Point
from linesizer.errors import UserError


def landed(
    job: Job,
    circuit: Circuit,
    old: Line,
    new: Line,
    node: str,
    label: str,
    equipment: str | None = None,
    spoken_of: frozenset[str] = frozenset(),
) -> Job:
    """Return the job with a line on which legs were drawn, its new end tied or joined to what it meets.

    Parameters
    ----------
    job, circuit : Job, Circuit
        Where the line is.
    old, new : Line
        The line before and after drawing.
    node : str
        Its new end.
    label : str
        The act in words, for what is refused.
    equipment : str, optional
        To which equipment the end belongs, though it stands apart from it.  Without one it belongs to what stands
        exactly there and can take its flow.
    spoken_of : frozenset of str
        Ids that must not come to mean another thing.

    Raises
    ------
    UserError
        ROUTE-08 where the line would close a loop; ROUTE-09 where the equipment cannot take the flow.
    """
    require_tree(old, new, label)
    enters = any(leg.start == node for leg in new.legs)
    at_m = places_of(new)[node]
    if equipment is not None:
        wanted = equipment_of(circuit, equipment)
        if not takes(wanted, new.service, enters=enters):
            raise UserError(
                "ROUTE-09",
                what=f"Cannot {label}.",
                why=f"{wanted.name or wanted.id} is a {wanted.role.value}; a {new.service.value} line does not "
                f"{'begin' if enters else 'end'} there.",
                remedy="End the leg elsewhere.",
            )
        return with_circuit(job, circuit, _exchanged(circuit, old, tied(new, node, wanted)))
    for other in circuit.lines:
        if other.id == new.id or other.service is not new.service or not other.legs:
            continue
        met = _meets(other, at_m)
        if met is not None:
            return with_circuit(job, circuit, _joined(circuit, old, new, node, other, met, spoken_of))
    here = _standing_at(circuit, at_m, new, enters=enters)
    return with_circuit(job, circuit, _exchanged(circuit, old, new if here is None else tied(new, node, here)))


def require_tree(old: Line, new: Line, label: str) -> None:
    """Refuse new legs that come to where their line already is, ROUTE-08."""
    if route_problems(new):
        return  # the gate of all commands says what is wrong
    known = {leg.id for leg in old.legs}
    places = places_of(new)
    meeting = legs_at(new)
    for node in new.nodes:
        twin = next(
            (
                other
                for other in new.nodes
                if other is not node
                and math.dist(other.at_m, node.at_m) < SAME_PLACE_M
                and other.id in meeting
                and node.id in meeting
            ),
            None,
        )
        if twin is not None and not _all_known(known, (*meeting[node.id], *meeting[twin.id])):
            raise _loop(new, label, f"meet its own node {node.id}")
        for leg in new.legs:
            if node.id in (leg.start, leg.end) or node.id not in meeting:
                continue
            if _all_known(known, (leg, *meeting[node.id])):
                continue
            if along(places[leg.start], places[leg.end], node.at_m) is not None:
                raise _loop(new, label, f"meet its own leg {leg.id}")


def _all_known(known: set[str], legs: tuple[Leg, ...]) -> bool:
    return all(leg.id in known for leg in legs)


def _loop(line: Line, label: str, met: str) -> UserError:
    return UserError(
        "ROUTE-08",
        what=f"Cannot {label}.",
        why=f"Line {line.id} would {met}, which closes a loop; a line is a tree.",
        remedy="End the leg elsewhere, or run it clear of the others.",
    )


def along(start_m: Point, end_m: Point, at_m: Point) -> float | None:
    """Return where between its ends a straight run passes a point, as a fraction above 0 and below 1; else None."""
    run, to = difference(end_m, start_m), difference(at_m, start_m)
    length_m = math.hypot(*run)
    share = sum(a * b for a, b in zip(run, to, strict=True)) / length_m**2
    if not SAME_PLACE_M < share * length_m < length_m - SAME_PLACE_M:
        return None
    return share if math.dist(to, scaled(run, share)) < SAME_PLACE_M else None


def tied(line: Line, node: str, equipment: Equipment) -> Line:
    """Return a line with an end tied to equipment, at the port that its flow usually has there."""
    enters = any(leg.start == node for leg in line.legs)
    tie = LineEnd(node, equipment.id, port_for(equipment, line.service, enters=enters))
    return replace(line, ends=(*(end for end in line.ends if end.node != node), tie))


def _standing_at(circuit: Circuit, at_m: Point, line: Line, *, enters: bool) -> Equipment | None:
    return next(
        (
            item
            for item in circuit.equipment
            if math.dist(item.at_m, at_m) < SAME_PLACE_M and takes(item, line.service, enters=enters)
        ),
        None,
    )


def _exchanged(circuit: Circuit, old: Line, new: Line) -> Circuit:
    return replace(circuit, lines=exchanged(circuit.lines, old, new))


def _meets(line: Line, at_m: Point) -> str | tuple[Leg, float] | None:
    """Return the node of a line at a point, or the leg that passes it and where."""
    places = places_of(line)
    for leg in line.legs:
        for name in (leg.start, leg.end):
            if math.dist(places[name], at_m) < SAME_PLACE_M:
                return name
    for leg in line.legs:
        share = along(places[leg.start], places[leg.end], at_m)
        if share is not None:
            return leg, share
    return None


def _joined(
    circuit: Circuit,
    old: Line,
    new: Line,
    node: str,
    other: Line,
    met: str | tuple[Leg, float],
    spoken_of: frozenset[str],
) -> Circuit:
    """Return the circuit with a line that has come to another one as a branch of that one."""
    whole = other
    if isinstance(met, str):
        joint = met
    else:
        whole, _, joint = split(other, met[0], met[1], spoken_of)
    names = {node: joint}
    for each in new.nodes:
        if each.id != node:
            names[each.id] = next_node_id(whole, spoken_of)
            whole = replace(whole, nodes=(*whole.nodes, Node(names[each.id], each.at_m)))
    for leg in new.legs:
        size = leg.size
        if size is None and leg.double_riser is None and new.default_size != other.default_size:
            size = new.default_size
        moved = replace(
            leg,
            id=next_leg_id(whole, spoken_of),
            start=names[leg.start],
            end=names[leg.end],
            size=size,
            tube=leg.tube or (new.tube if new.tube != other.tube else None),
        )
        whole = replace(whole, legs=(*whole.legs, moved))
    whole = replace(
        whole,
        ends=(
            *(end for end in whole.ends if end.node != joint),
            *(LineEnd(names[end.node], end.equipment, end.port) for end in new.ends if end.node != node),
        ),
        fittings=(
            *whole.fittings,
            *(FittingAt(names[item.node], item.kind, item.extra) for item in new.fittings if item.node != node),
        ),
    )
    rest = tuple(line for line in circuit.lines if line is not old)
    return replace(circuit, lines=exchanged(rest, other, whole))
