"""Which equipment, and which port of it, each end of a line belongs to."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.geometry import line_geometry
from linesizer.domain.route import Line, Service


@dataclass(frozen=True, slots=True)
class TiedEnd:
    """A free end of a line; ``enters`` where flow enters the line.  None where nothing is known."""

    node: str
    enters: bool
    equipment: Equipment | None
    port: str | None


def tied_ends(circuit: Circuit, line: Line) -> tuple[TiedEnd, ...]:
    """Return the free ends of a sound line, sources first, each with its equipment.

    Ends that the job leaves out go to the unit and the condensers in order; a drain ends at the receiver.
    """
    named = {equipment.id: equipment for equipment in circuit.equipment}
    stated = {end.node: end for end in line.ends}
    geometry = line_geometry(line)
    first, last = _roles(line.service)
    found = []
    for nodes, role, enters in ((geometry.sources, first, True), (geometry.sinks, last, False)):
        taken = {stated[node].equipment for node in nodes if node in stated}
        rest = [item for item in circuit.equipment if item.role is role and item.id not in taken]
        for node in nodes:
            if node in stated:
                found.append(TiedEnd(node, enters, named.get(stated[node].equipment), stated[node].port))
            else:
                found.append(TiedEnd(node, enters, rest.pop(0) if rest else None, None))
    return tuple(found)


def _roles(service: Service) -> tuple[Role, Role]:
    if service is Service.LIQUID:
        return Role.CONDENSER, Role.UNIT
    if service is Service.DRAIN:
        return Role.CONDENSER, Role.RECEIVER
    return Role.UNIT, Role.CONDENSER
