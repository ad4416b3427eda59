"""Which equipment each end of a line belongs to."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.route import Line, Service


def free_nodes(line: Line) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the nodes where flow enters and where it leaves a line, in the order of its legs, of any route."""
    starts = dict.fromkeys(leg.start for leg in line.legs)
    ends = dict.fromkeys(leg.end for leg in line.legs)
    return tuple(node for node in starts if node not in ends), tuple(node for node in ends if node not in starts)


@dataclass(frozen=True, slots=True)
class DrawnEnd:
    """An end of a line: its node, the equipment that it belongs to, the port, and whether the job states it."""

    node: str
    enters: bool
    equipment: Equipment | None
    port: str | None
    stated: bool


def drawn_ends(circuit: Circuit, line: Line) -> tuple[DrawnEnd, ...]:
    """Return each end of a line, of any route, with what it is tied to; ends left out follow from their order."""
    stated = {end.node: end for end in line.ends}
    sources, _ = free_nodes(line)
    return tuple(
        DrawnEnd(node, node in sources, equipment, stated[node].port if node in stated else None, node in stated)
        for node, equipment in line_ends(circuit, line)
    )


def line_ends(circuit: Circuit, line: Line) -> tuple[tuple[str, Equipment | None], ...]:
    """Return each end node of a line with the equipment it is tied to.

    Ends that the job leaves out go to the unit and the condensers in order; a drain ends at the receiver.
    """
    named = {equipment.id: equipment for equipment in circuit.equipment}
    stated = {end.node: end.equipment for end in line.ends}
    units = [each for each in circuit.equipment if each.role is Role.UNIT]
    condensers = [each for each in circuit.equipment if each.role is Role.CONDENSER]
    receivers = [each for each in circuit.equipment if each.role is Role.RECEIVER]
    sources, sinks = free_nodes(line)
    if line.service in (Service.LIQUID, Service.DRAIN):
        first, last = condensers, receivers if line.service is Service.DRAIN else units
    else:
        first, last = units, condensers
    found: list[tuple[str, Equipment | None]] = []
    for nodes, choices in ((sources, first), (sinks, last)):
        taken = {stated[node] for node in nodes if node in stated}
        rest = [each for each in choices if each.id not in taken]
        for node in nodes:
            if node in stated:
                found.append((node, named.get(stated[node])))
            else:
                found.append((node, rest.pop(0) if rest else None))
    return tuple(found)
