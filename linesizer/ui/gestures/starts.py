"""Where drawing goes on: from a node, or as a new line from a piece of equipment."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from linesizer.document.command import Command
from linesizer.document.commands.draw import DrawLeg, LegRow, PasteLegs
from linesizer.document.commands.line import AddLine
from linesizer.document.commands.parallel import lines_short_of
from linesizer.document.direction import Direction, added, difference, scaled
from linesizer.document.objects import circuit_of
from linesizer.document.typed_route import TypedRun
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Job
from linesizer.domain.route import Line, Point, Service
from linesizer.drawing.display_list import Target
from linesizer.drawing.ties import free_nodes
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session

BEGINS_AT: dict[Service, tuple[Role, ...]] = {
    Service.DISCHARGE: (Role.UNIT,),
    Service.LIQUID: (Role.RECEIVER, Role.CONDENSER),
}
"""Where the two lines that every circuit needs begin."""


@dataclass(frozen=True, slots=True)
class BeginLine:
    """Add a line and draw its first legs, as one step."""

    circuit: str
    service: Service
    rows: tuple[LegRow, ...]
    equipment: str | None = None
    to: str | None = None

    @property
    def label(self) -> str:
        """The act in words."""
        where = f" at {self.equipment}" if self.equipment is not None else ""
        return f"begin the {self.service.value} line{where}"

    def apply(self, job: Job) -> Job:
        """Return the job with the line and its legs; raises as drawing does."""
        lines = circuit_of(job, self.circuit).lines
        like = next((each for each in lines if each.service is self.service), lines[0] if lines else None)
        add = AddLine(self.circuit, self.service, equipment=self.equipment)
        with_line = (add if like is None else replace(add, tube=like.tube)).apply(job)
        line = circuit_of(with_line, self.circuit).lines[-1]
        start = line.nodes[0].id if line.nodes else (0.0, 0.0, 0.0)
        return PasteLegs(self.circuit, line.id, start, self.rows, equipment=self.to).apply(with_line)


@dataclass(frozen=True, slots=True)
class Start:
    """A place to draw from; without a line a new one of the service begins there, at ``equipment`` where that is said.

    A line without a node is drawn on from the point ``at_m``, on one of its legs.  ``words`` say where: ``d3``,
    ``Indoor unit``.  ``branches`` tells that the new leg would branch off.
    """

    circuit: str
    line: str | None
    node: str | None
    service: Service
    at_m: Point
    words: str
    branches: bool = False
    equipment: str | None = None

    @property
    def line_target(self) -> Target:
        """The line on the sheet, which may be drawn beside its true place."""
        return Target(self.circuit, self.line)

    def command(self, runs: tuple[TypedRun, ...], to: str | None = None) -> Command:
        """Return the command that draws some runs from here, as one step; with ``to`` the end is tied to equipment."""
        rows = tuple(LegRow(run.offset_m) for run in runs)
        if self.line is None:
            return BeginLine(self.circuit, self.service, rows, self.equipment, to)
        start = self.node if self.node is not None else self.at_m
        if len(runs) == 1:
            return DrawLeg(self.circuit, self.line, start, runs[0].direction, runs[0].length_m, equipment=to)
        return PasteLegs(self.circuit, self.line, start, rows, equipment=to)

    def leg(self, direction: Direction, length_m: float, to: str | None = None) -> Command:
        """Return the command that draws one leg from here."""
        return self.command((TypedRun(direction, length_m),), to)

    def after(self, before: Job, job: Job) -> Start | None:
        """Return where drawing goes on after the command has led from one job to the other.

        None where it has come to an end: at equipment, or on another line, of which it is a branch now.
        """
        circuit = next((item for item in job.circuits if item.id == self.circuit), None)
        old = next((item for item in before.circuits if item.id == self.circuit), None)
        if circuit is None or old is None:
            return None
        if len(circuit.lines) < len(old.lines) + (self.line is None):
            return None
        known = {line.id: {node.id for node in line.nodes} for line in old.lines}
        for line in circuit.lines:
            new = [node for node in line.nodes if node.id not in known.get(line.id, set())]
            if new and line.legs:
                return from_node(circuit, line, new[-1].id)
        return None


def from_node(circuit: Circuit, line: Line, node: str) -> Start | None:
    """Return a node as a place to draw from."""
    at_m = next((item.at_m for item in line.nodes if item.id == node), None)
    if at_m is None:
        return None
    arriving = [leg.id for leg in line.legs if leg.end == node]
    leaving = [leg.id for leg in line.legs if leg.start == node]
    words = (arriving or leaving or [_tied_words(circuit, line, node)])[0]
    return Start(circuit.id, line.id, node, line.service, at_m, words, bool(arriving and leaving))


def from_leg(circuit: Circuit, line: Line, leg: str, share: float, step_m: float) -> Start | None:
    """Return a point of a leg as a place to branch off from, in whole steps from its start where these leave room."""
    it = next((each for each in line.legs if each.id == leg), None)
    places = {node.id: node.at_m for node in line.nodes}
    if it is None or it.double_riser is not None or it.start not in places or it.end not in places:
        return None
    run = difference(places[it.end], places[it.start])
    length_m = math.hypot(*run)
    at = round(share * length_m / step_m) * step_m
    if not 0.0 < at < length_m:
        at = share * length_m
    if not 0.0 < at < length_m:
        return None
    at_m = added(places[it.start], scaled(run, at / length_m))
    return Start(circuit.id, line.id, None, line.service, at_m, leg, branches=True)


def short_services(circuit: Circuit, equipment: Equipment) -> tuple[Service, ...]:
    """Return the services whose lines reach another condenser but not this one."""
    if equipment.role is not Role.CONDENSER:
        return ()
    return tuple(dict.fromkeys(line.service for line in lines_short_of(circuit, equipment)))


def run_words(services: tuple[Service, ...], name: str) -> str:
    """Return the act that runs lines to another condenser: ``Run both lines to Condenser 2``."""
    if len(services) == 1:
        return f"Run the {services[0].value} line to {name}"
    return f"Run {'both lines' if len(services) == 2 else 'all lines'} to {name}"


def to_condenser(circuit: Circuit, equipment: Equipment, service: Service) -> Start:
    """Return a condenser as a place to draw from, towards the line that reaches the others."""
    for line in circuit.lines:
        if line.service is service and not line.legs and any(end.equipment == equipment.id for end in line.ends):
            start = from_node(circuit, line, line.nodes[0].id)
            if start is not None:
                return start
    words = equipment.name or equipment.id
    return Start(circuit.id, None, None, service, equipment.at_m, words, equipment=equipment.id)


def from_equipment(circuit: Circuit, service: Service) -> Start | None:
    """Return where a line of a service begins: its waiting first node, else the equipment; None without either."""
    for line in circuit.lines:
        if line.service is service and not line.legs and line.nodes:
            return from_node(circuit, line, line.nodes[0].id)
    if any(line.service is service and line.legs for line in circuit.lines):
        return None
    equipment = begins_at(circuit, service)
    if equipment is None:
        return None
    return Start(circuit.id, None, None, service, equipment.at_m, equipment.name or equipment.id)


def begins_at(circuit: Circuit, service: Service) -> Equipment | None:
    """Return the equipment that a line of a service comes from."""
    roles = BEGINS_AT.get(service, ())
    return next((item for role in roles for item in circuit.equipment if item.role is role), None)


def missing_services(circuit: Circuit) -> tuple[Service, ...]:
    """Return which of the two lines every circuit needs have no leg yet."""
    drawn = {line.service for line in circuit.lines if line.legs}
    return tuple(service for service in BEGINS_AT if service not in drawn)


def line_start(session: Session, service: Service) -> Start | None:
    """Return where a line begins by the key of its service: a selected condenser that it does not reach, else its end.

    None where the shown circuit has the line already, and for a discharge line once a line is selected, since its key
    then means a direction.
    """
    circuit, chosen = session.shown_circuit, session.selection
    if circuit is None:
        return None
    equipment = next((item for item in circuit.equipment if item.id == chosen.equipment), None)
    if equipment is not None and service in short_services(circuit, equipment):
        return to_condenser(circuit, equipment, service)
    if service not in missing_services(circuit) or (service is Service.DISCHARGE and chosen.line is not None):
        return None
    return from_equipment(circuit, service)


def chosen_start(session: Session) -> Start | None:
    """Return where drawing goes on for what is selected: the node, the leg's end, the line's end."""
    circuit = session.shown_circuit
    if circuit is None:
        return None
    chosen: Selection = session.selection
    line = next((item for item in circuit.lines if item.id == chosen.line), None)
    if line is not None and chosen.node is not None:
        return from_node(circuit, line, chosen.node)
    if line is not None and chosen.leg is not None:
        leg = next((item for item in line.legs if item.id == chosen.leg), None)
        if leg is not None:
            return from_node(circuit, line, leg.end)
    if line is not None and not line.legs and line.nodes:
        return from_node(circuit, line, line.nodes[0].id)
    if chosen.equipment is not None:
        for service in missing_services(circuit):
            equipment = begins_at(circuit, service)
            if equipment is not None and equipment.id == chosen.equipment:
                return from_equipment(circuit, service)
        it = next((item for item in circuit.equipment if item.id == chosen.equipment), None)
        short = short_services(circuit, it) if it is not None else ()
        if it is not None and short:
            return to_condenser(circuit, it, short[0])
    if line is None:
        missing = missing_services(circuit)
        if missing and missing[0] is Service.DISCHARGE:
            return from_equipment(circuit, missing[0])
        line = next((item for item in circuit.lines if item.legs), None)
    if line is None or not line.legs:
        return None
    _, sinks = free_nodes(line)
    return from_node(circuit, line, sinks[0] if sinks else line.legs[-1].end)


def _tied_words(circuit: Circuit, line: Line, node: str) -> str:
    tied = next((end.equipment for end in line.ends if end.node == node), None)
    equipment = next((item for item in circuit.equipment if item.id == tied), None)
    return node if equipment is None else equipment.name or equipment.id
