"""The connections of equipment by the trade's words, and which of them an end of a line is drawn to."""

from __future__ import annotations

from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.route import Service

_USUAL: dict[Role, tuple[str, ...]] = {
    Role.UNIT: ("discharge", "liquid"),
    Role.CONDENSER: ("inlet", "outlet"),
    Role.RECEIVER: ("inlet", "outlet"),
    Role.SUBCOOLER: ("inlet", "outlet"),
}

SOURCES: dict[Service, tuple[Role, ...]] = {
    Service.DISCHARGE: (Role.UNIT,),
    Service.LIQUID: (Role.CONDENSER, Role.RECEIVER, Role.SUBCOOLER),
    Service.DRAIN: (Role.CONDENSER,),
    Service.SUCTION: (Role.UNIT,),
    Service.BYPASS: (Role.UNIT, Role.RECEIVER),
    Service.RELIEF: (Role.RECEIVER,),
}
"""From which equipment the flow of each service comes."""

SINKS: dict[Service, tuple[Role, ...]] = {
    Service.DISCHARGE: (Role.CONDENSER, Role.RECEIVER, Role.SUBCOOLER),
    Service.LIQUID: (Role.UNIT, Role.RECEIVER, Role.SUBCOOLER),
    Service.DRAIN: (Role.RECEIVER, Role.SUBCOOLER, Role.UNIT),
    Service.SUCTION: (Role.UNIT,),
    Service.BYPASS: (Role.UNIT,),
    Service.RELIEF: (),
}
"""To which equipment it goes."""


def ports_of(equipment: Equipment) -> tuple[str, ...]:
    """Return the words of a piece of equipment's ports: the usual ones of its role, then others that it states."""
    stated = (port for port, _ in equipment.connections)
    return tuple(dict.fromkeys((*_USUAL[equipment.role], *stated)))


def port_for(equipment: Equipment, service: Service, *, enters: bool) -> str | None:
    """Return the usual port for an end of a line; None where the role has none for the service.

    ``enters`` where the end is one at which flow enters the line, so that it leaves the equipment.
    """
    if equipment.role is Role.UNIT:
        return service.value if service.value in ports_of(equipment) else None
    return "outlet" if enters else "inlet"


def takes(equipment: Equipment, service: Service, *, enters: bool) -> bool:
    """Tell whether flow of a service may leave a piece of equipment (``enters`` the line there), or arrive at it."""
    return equipment.role in (SOURCES if enters else SINKS)[service]
