"""Where drawing goes on: from a node, or as a new line from a piece of equipment."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.document.command import Command
from linesizer.document.commands.draw import DrawLeg, LegRow, PasteLegs
from linesizer.document.commands.line import AddLine
from linesizer.document.direction import Direction
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

    @property
    def label(self) -> str:
        """The act in words."""
        return f"begin the {self.service.value} line"

    def apply(self, job: Job) -> Job:
        """Return the job with the line and its legs; raises as drawing does."""
        with_line = AddLine(self.circuit, self.service).apply(job)
        line = circuit_of(with_line, self.circuit).lines[-1]
        start = line.nodes[0].id if line.nodes else (0.0, 0.0, 0.0)
        return PasteLegs(self.circuit, line.id, start, self.rows).apply(with_line)


@dataclass(frozen=True, slots=True)
class Start:
    """A place to draw from; without a line a new one of the service begins there.

    ``words`` say where: ``d3``, ``Indoor unit``.  ``branches`` tells that the new leg would branch off.
    """

    circuit: str
    line: str | None
    node: str | None
    service: Service
    at_m: Point
    words: str
    branches: bool = False

    @property
    def line_target(self) -> Target:
        """The line on the sheet, which may be drawn beside its true place."""
        return Target(self.circuit, self.line)

    def command(self, runs: tuple[TypedRun, ...]) -> Command:
        """Return the command that draws some runs from here, as one step."""
        if self.line is None or self.node is None:
            return BeginLine(self.circuit, self.service, tuple(LegRow(run.offset_m) for run in runs))
        if len(runs) == 1:
            return DrawLeg(self.circuit, self.line, self.node, runs[0].direction, runs[0].length_m)
        return PasteLegs(self.circuit, self.line, self.node, tuple(LegRow(run.offset_m) for run in runs))

    def leg(self, direction: Direction, length_m: float) -> Command:
        """Return the command that draws one leg from here."""
        return self.command((TypedRun(direction, length_m),))

    def after(self, before: Job, job: Job) -> Start | None:
        """Return where drawing goes on after the command has led from one job to the other."""
        circuit = next((item for item in job.circuits if item.id == self.circuit), None)
        old = next((item for item in before.circuits if item.id == self.circuit), None)
        if circuit is None or old is None:
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
