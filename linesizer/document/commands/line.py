"""Lines as a whole: add one, turn it round, tie its ends, run one alongside another."""

from __future__ import annotations

from dataclasses import dataclass, replace

from linesizer.document.direction import added
from linesizer.document.fields import Changes, changed, changed_fields_label
from linesizer.document.ids import LINE_IDS, next_leg_id, plain_id, spoken_of
from linesizer.document.objects import circuit_of, equipment_of, line_of, node_of, with_circuit, with_line
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Job
from linesizer.domain.route import Leg, Line, LineEnd, Node, Point, Service
from linesizer.errors import UserError


@dataclass(frozen=True, slots=True)
class AddLine:
    """Add a line without legs; its first node stands at the equipment that its flow comes from, and is tied to it.

    ``equipment`` says which; None takes the first of the role that the service starts from, and where there is none
    the line has no node until a leg is drawn.
    """

    circuit: str
    service: Service
    tube: str = "ASTM-B280-drawn"
    default_size: str | None = None
    equipment: str | None = None

    @property
    def label(self) -> str:
        """The act in words."""
        return f"add a {self.service.value} line"

    def apply(self, job: Job) -> Job:
        """Return the job with the line."""
        circuit = circuit_of(job, self.circuit)
        start = _first_of(circuit, _STARTS[self.service])
        if self.equipment is not None:
            start = equipment_of(circuit, self.equipment)
        taken = (*(line.id for line in circuit.lines), *spoken_of(job))
        line = begun(plain_id(taken, LINE_IDS[self.service]), self.service, start)
        line = replace(line, tube=self.tube, default_size=self.default_size)
        return with_circuit(job, circuit, replace(circuit, lines=(*circuit.lines, line)))


@dataclass(frozen=True, slots=True)
class ReverseLine:
    """Turn the flow of a whole line round; the tube stays where it is, and so do its parts and its slopes."""

    circuit: str
    line: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"reverse the flow of {self.line}"

    def apply(self, job: Job) -> Job:
        """Return the job with the line reversed."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        legs = tuple(_reversed(leg) for leg in reversed(line.legs))
        return with_line(job, circuit, line, replace(line, legs=legs))


@dataclass(frozen=True, slots=True)
class TieEnd:
    """Tie an end of a line to equipment, and to a port of it where that matters; None for the equipment unties it."""

    circuit: str
    line: str
    node: str
    equipment: str | None
    port: str | None = None

    @property
    def label(self) -> str:
        """The act in words."""
        return f"untie {self.node}" if self.equipment is None else f"tie {self.node} to {self.equipment}"

    def apply(self, job: Job) -> Job:
        """Return the job with the end tied."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        node_of(line, self.node)
        rest = tuple(end for end in line.ends if end.node != self.node)
        if self.equipment is None:
            return with_line(job, circuit, line, replace(line, ends=rest))
        tie = LineEnd(self.node, equipment_of(circuit, self.equipment).id, self.port)
        if len(rest) == len(line.ends):
            return with_line(job, circuit, line, replace(line, ends=(*rest, tie)))
        ends = tuple(tie if end.node == self.node else end for end in line.ends)
        return with_line(job, circuit, line, replace(line, ends=ends))


@dataclass(frozen=True, slots=True)
class SetLineFields:
    """Change service, listed rating or other plain values of a line; tube and sizes have commands of their own."""

    circuit: str
    line: str
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, f"line {self.line}")

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        allowed = ("service", "listed_rating_Pa")
        return with_line(job, circuit, line, changed(line, self.changes, allowed))


@dataclass(frozen=True, slots=True)
class RunAlongside:
    """Run a second line beside a first one: the same route moved by an offset and, as a rule, with the flow reversed.

    Places, insulation, joints and tube are those of the first; sizes are left open, for they belong to another fluid,
    and parts, fittings and double risers are not copied.  Ends are tied to the same equipment; a port with the first
    line's service in its name gets the new one's, and where the flow is reversed an inlet gives way to the outlet.

    ``offset_m`` in metres east, north, up; an offset with all three parts keeps the two apart on every run.
    """

    circuit: str
    line: str
    service: Service
    offset_m: Point
    reverse: bool = True
    tube: str | None = None

    @property
    def label(self) -> str:
        """The act in words."""
        return f"run a {self.service.value} line alongside {self.line}"

    def apply(self, job: Job) -> Job:
        """Return the job with the second line; ROUTE-07 where the first has no legs."""
        circuit = circuit_of(job, self.circuit)
        first = line_of(circuit, self.line)
        if not first.legs:
            raise UserError(
                "ROUTE-07",
                what=f"Cannot {self.label}.",
                why=f'Line "{first.id}" has no legs yet.',
                remedy=f"Draw {first.id} first.",
            )
        spoken = spoken_of(job)
        name = plain_id((*(line.id for line in circuit.lines), *spoken), LINE_IDS[self.service])
        second = Line(
            name,
            self.service,
            tuple(Node(node.id, added(node.at_m, self.offset_m)) for node in first.nodes),
            (),
            tube=self.tube or first.tube,
            ends=tuple(
                LineEnd(end.node, end.equipment, _port(end.port, first.service, self.service, turned=self.reverse))
                for end in first.ends
            ),
        )
        for leg in reversed(first.legs) if self.reverse else first.legs:
            turned = _reversed(leg) if self.reverse else leg
            copy = replace(
                turned,
                id=next_leg_id(second, spoken),
                size=None,
                double_riser=None,
                tube=None if self.tube else leg.tube,
                parts=(),
                extra=(),
            )
            second = replace(second, legs=(*second.legs, copy))
        return with_circuit(job, circuit, replace(circuit, lines=(*circuit.lines, second)))


def begun(name: str, service: Service, equipment: Equipment | None, node: str = "n1") -> Line:
    """Return a line without legs, its one node tied to the equipment where it begins."""
    if equipment is None:
        return Line(name, service, (), ())
    port = service.value if any(port == service.value for port, _ in equipment.connections) else None
    return Line(name, service, (Node(node, equipment.at_m),), (), ends=(LineEnd(node, equipment.id, port),))


_STARTS: dict[Service, tuple[Role, ...]] = {
    Service.DISCHARGE: (Role.UNIT,),
    Service.LIQUID: (Role.RECEIVER, Role.SUBCOOLER, Role.CONDENSER),
    Service.DRAIN: (Role.CONDENSER,),
    Service.SUCTION: (),
    Service.BYPASS: (Role.UNIT,),
    Service.RELIEF: (Role.RECEIVER,),
}
"""From which equipment each service flows, the first that the circuit has."""


def _first_of(circuit: Circuit, roles: tuple[Role, ...]) -> Equipment | None:
    return next((item for role in roles for item in circuit.equipment if item.role is role), None)


def _reversed(leg: Leg) -> Leg:
    parts = tuple(replace(part, at=1.0 - part.at) for part in reversed(leg.parts))
    return replace(leg, start=leg.end, end=leg.start, fall=0.0 - leg.fall, parts=parts)


def _port(port: str | None, before: Service, after: Service, *, turned: bool) -> str | None:
    if port is None:
        return None
    if turned and port in _OPPOSITE:
        return _OPPOSITE[port]
    return port.replace(before.value, after.value)


_OPPOSITE = {"inlet": "outlet", "outlet": "inlet"}
