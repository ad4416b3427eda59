"""Circuits: start one, its refrigerant, compressor, head-pressure control and other plain values."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from linesizer.document.commands.line import begun
from linesizer.document.direction import added
from linesizer.document.fields import Changes, changed, changed_fields_label
from linesizer.document.ids import LINE_IDS, next_id, next_name, spoken_of
from linesizer.document.objects import circuit_of, with_circuit, without
from linesizer.domain.blend import Blend
from linesizer.domain.circuit import Circuit, Compressor, HeadPressureControl
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Job
from linesizer.domain.ports import takes
from linesizer.domain.route import Line, Node, Point, Service
from linesizer.errors import UserError


@dataclass(frozen=True, slots=True)
class StartCircuit:
    """Begin a circuit from what a new job asks for: the refrigerant, what the unit does, where the two ends stand.

    One condition, the unit and the condenser, a discharge line that waits at the unit and a liquid line that waits at
    the condenser.  Heat exchange along the lines is on, as in every job that begins in the window.
    """

    refrigerant: str
    capacity_W: float
    evaporating_C: float
    condensing_C: float
    superheat_K: float
    subcooling_K: float
    unit_at_m: Point
    condenser_at_m: Point
    name: str = ""
    blend: Blend | None = None

    @property
    def label(self) -> str:
        """The act in words."""
        return f"start a circuit with {self.refrigerant}"

    def apply(self, job: Job) -> Job:
        """Return the job with the circuit behind the others."""
        unit = Equipment("unit", Role.UNIT, "Indoor unit", at_m=self.unit_at_m)
        condenser = Equipment("cond", Role.CONDENSER, "Condenser", at_m=self.condenser_at_m, place="outdoor")
        condition = Condition(
            "full",
            self.capacity_W,
            self.condensing_C,
            self.superheat_K,
            self.subcooling_K,
            name="Full load",
            evaporating_C=self.evaporating_C,
        )
        name = next_id((item.id for item in job.circuits), "c", spoken_of(job))
        circuit = Circuit(
            name,
            self.refrigerant,
            (condition,),
            name=self.name or f"Circuit {name[1:]}",
            heat_exchange=True,
            equipment=(unit, condenser),
            lines=(
                begun(LINE_IDS[Service.DISCHARGE], Service.DISCHARGE, unit),
                begun(LINE_IDS[Service.LIQUID], Service.LIQUID, condenser),
            ),
            blend=self.blend,
        )
        return replace(job, circuits=(*job.circuits, circuit))


@dataclass(frozen=True, slots=True)
class DuplicateCircuit:
    """Add a circuit like one that is there, under the next name, behind it and beside it.

    With ``lines`` False the lines wait at their equipment to be drawn.
    """

    circuit: str
    lines: bool = True

    @property
    def label(self) -> str:
        """The act in words."""
        return f"duplicate circuit {self.circuit}" if self.lines else f"add a circuit beside {self.circuit}"

    def apply(self, job: Job) -> Job:
        """Return the job with the circuit."""
        first = circuit_of(job, self.circuit)
        name = next_id((item.id for item in job.circuits), "c", spoken_of(job))
        offset_m = _beside_m(first)
        equipment = tuple(replace(item, at_m=added(item.at_m, offset_m)) for item in first.equipment)
        new = replace(
            first,
            id=name,
            name=next_name((item.name for item in job.circuits), first.name),
            equipment=equipment,
            lines=_moved(first.lines, offset_m) if self.lines else _waiting(first.lines, equipment),
        )
        place = job.circuits.index(first) + 1
        return replace(job, circuits=(*job.circuits[:place], new, *job.circuits[place:]))


@dataclass(frozen=True, slots=True)
class DeleteCircuit:
    """Take a circuit away, but not the last."""

    circuit: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"delete circuit {self.circuit}"

    def apply(self, job: Job) -> Job:
        """Return the job without the circuit; CIRCUIT-01 where it is the only one."""
        circuit = circuit_of(job, self.circuit)
        if len(job.circuits) == 1:
            raise UserError(
                "CIRCUIT-01",
                what=f"Cannot {self.label}.",
                why=f'"{circuit.title}" is the only circuit of the job.',
                remedy="Begin a new job instead.",
            )
        return replace(job, circuits=without(job.circuits, circuit))


@dataclass(frozen=True, slots=True)
class SetRefrigerant:
    """Change the refrigerant, to a shipped one or to a blend of somebody's own; conditions have to lie in its table."""

    circuit: str
    refrigerant: str
    blend: Blend | None = None

    @property
    def label(self) -> str:
        """The act in words."""
        return f"change refrigerant to {self.refrigerant}"

    def apply(self, job: Job) -> Job:
        """Return the job with the refrigerant changed."""
        circuit = circuit_of(job, self.circuit)
        return _with(job, circuit, changed(circuit, (("refrigerant", self.refrigerant), ("blend", self.blend))))


@dataclass(frozen=True, slots=True)
class SetCircuitFields:
    """Change plain values of a circuit: name, use, oil, temperature basis, design pressure and the like."""

    circuit: str
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, f"circuit {self.circuit}")

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        circuit = circuit_of(job, self.circuit)
        return _with(job, circuit, changed(circuit, self.changes, _CIRCUIT_FIELDS))


@dataclass(frozen=True, slots=True)
class SetCompressor:
    """Change values of the compressor."""

    circuit: str
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, "the compressor")

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        circuit = circuit_of(job, self.circuit)
        new = changed(circuit.compressor, self.changes, _COMPRESSOR_FIELDS)
        return job if new is circuit.compressor else _with(job, circuit, replace(circuit, compressor=new))


@dataclass(frozen=True, slots=True)
class SetHeadPressureControl:
    """Change values of the head-pressure control."""

    circuit: str
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, "the head-pressure control")

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        circuit = circuit_of(job, self.circuit)
        old = circuit.head_pressure_control
        new = changed(old, self.changes, _CONTROL_FIELDS)
        return job if new is old else _with(job, circuit, replace(circuit, head_pressure_control=new))


BESIDE_m = 3.0
"""How far east and as far south a second circuit stands beside a first: room to walk between two units."""


def _beside_m(circuit: Circuit) -> Point:
    """Return where another circuit stands beside one, [m]: across the sheet, clear of equipment of the same role.

    Half way between east and south, so that no run along an axis lies on one of the other circuit.
    """
    across: dict[Role, list[float]] = {}
    for item in circuit.equipment:
        across.setdefault(item.role, []).append(item.at_m[0] - item.at_m[1])
    wide_m = max((max(places) - min(places) for places in across.values()), default=0.0)
    step_m = BESIDE_m + ceil(wide_m) / 2.0
    return step_m, -step_m, 0.0


def _moved(lines: tuple[Line, ...], offset_m: Point) -> tuple[Line, ...]:
    return tuple(
        replace(line, nodes=tuple(Node(node.id, added(node.at_m, offset_m)) for node in line.nodes)) for line in lines
    )


def _waiting(lines: tuple[Line, ...], equipment: tuple[Equipment, ...]) -> tuple[Line, ...]:
    """Return lines of the same names, services and tubes that wait at their equipment for their first leg."""
    found = []
    for line in lines:
        start = next((item for item in equipment if takes(item, line.service, enters=True)), None)
        fresh = begun(line.id, line.service, start)
        found.append(replace(fresh, tube=line.tube, default_size=line.default_size))
    return tuple(found)


_CIRCUIT_FIELDS = (
    "name",
    "use",
    "temperature_basis",
    "oil",
    "film_density_kg_m3",
    "charge_condition",
    "heat_exchange",
    "maximum_pressure_Pa",
)
_COMPRESSOR_FIELDS = frozenset(Compressor.__dataclass_fields__) - {"extra"}
_CONTROL_FIELDS = frozenset(HeadPressureControl.__dataclass_fields__) - {"extra"}


def _with(job: Job, old: Circuit, new: Circuit) -> Job:
    return job if new is old else with_circuit(job, old, new)
