"""The equipment of a circuit: add, move, change, delete."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from linesizer.document.direction import difference
from linesizer.document.fields import Changes, changed, changed_fields_label
from linesizer.document.ids import plain_id, spoken_of
from linesizer.document.moving import displaced, square_offsets
from linesizer.document.objects import circuit_of, equipment_of, exchanged, with_circuit
from linesizer.document.shares import shares_without
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, MakerLimits, Role
from linesizer.domain.job import Job
from linesizer.domain.route import Line, Point
from linesizer.errors import UserError

_IDS = {Role.UNIT: "unit", Role.CONDENSER: "cond", Role.RECEIVER: "rec", Role.SUBCOOLER: "sub"}


@dataclass(frozen=True, slots=True)
class AddEquipment:
    """Add equipment behind the others; an id in use, or none, gives way to a free one."""

    circuit: str
    equipment: Equipment

    @property
    def label(self) -> str:
        """The act in words."""
        return f"add a {self.equipment.role.value}"

    def apply(self, job: Job) -> Job:
        """Return the job with the equipment."""
        circuit = circuit_of(job, self.circuit)
        taken = (*(item.id for item in circuit.equipment), *spoken_of(job))
        new = replace(self.equipment, id=plain_id(taken, self.equipment.id or _IDS[self.equipment.role]))
        return with_circuit(job, circuit, replace(circuit, equipment=(*circuit.equipment, new)))


@dataclass(frozen=True, slots=True)
class SetEquipmentFields:
    """Change values of a piece of equipment; its place in space is changed by ``MoveEquipment``."""

    circuit: str
    equipment: str
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, self.equipment)

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        circuit = circuit_of(job, self.circuit)
        old = equipment_of(circuit, self.equipment)
        new = changed(old, self.changes, _FIELDS)
        if new is old:
            return job
        return with_circuit(job, circuit, replace(circuit, equipment=exchanged(circuit.equipment, old, new)))


@dataclass(frozen=True, slots=True)
class SetMakerLimits:
    """Change what a unit's maker allows; where nothing is given any more, the job holds no limits."""

    circuit: str
    equipment: str
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, f"{self.equipment}, by its maker")

    def apply(self, job: Job) -> Job:
        """Return the job with the limits changed."""
        circuit = circuit_of(job, self.circuit)
        old = equipment_of(circuit, self.equipment)
        before = old.maker_limits or MakerLimits()
        limits = changed(before, self.changes, _LIMITS)
        if limits is before:
            return job
        new = replace(old, maker_limits=None if limits == MakerLimits() else limits)
        return with_circuit(job, circuit, replace(circuit, equipment=exchanged(circuit.equipment, old, new)))


@dataclass(frozen=True, slots=True)
class SetShares:
    """State the condensers' shares of the flow at once, since only together they hold; None is split by pressure."""

    circuit: str
    shares: tuple[tuple[str, float | None], ...]

    @property
    def label(self) -> str:
        """The act in words."""
        return "change the condensers' shares"

    def apply(self, job: Job) -> Job:
        """Return the job with the shares changed."""
        circuit = circuit_of(job, self.circuit)
        stated = {equipment_of(circuit, name).id: share for name, share in self.shares}
        equipment = tuple(
            changed(item, (("share", stated[item.id]),)) if item.id in stated else item for item in circuit.equipment
        )
        if all(new is old for new, old in zip(equipment, circuit.equipment, strict=True)):
            return job
        return with_circuit(job, circuit, replace(circuit, equipment=equipment))


@dataclass(frozen=True, slots=True)
class MoveEquipment:
    """Move a piece of equipment to a point, [m]; the ends of lines that are tied to it move as far.

    The legs follow as for ``MoveNodeTo``: square corners stay square.
    """

    circuit: str
    equipment: str
    to_m: Point

    @property
    def label(self) -> str:
        """The act in words."""
        return f"move {self.equipment}"

    def apply(self, job: Job) -> Job:
        """Return the job with the equipment at its new place."""
        circuit = circuit_of(job, self.circuit)
        old = equipment_of(circuit, self.equipment)
        if not all(math.isfinite(at) for at in self.to_m):
            raise UserError(
                "EQUIPMENT-01",
                what=f"Cannot {self.label}.",
                why=f"{self.to_m} is not a place: a coordinate is not a finite number.",
                remedy="Enter three numbers, such as 6, 4, 9 m.",
            )
        if self.to_m == old.at_m:
            return job
        offset_m = difference(self.to_m, old.at_m)
        lines = tuple(_followed(line, old.id, offset_m) for line in circuit.lines)
        new = replace(old, at_m=self.to_m)
        return with_circuit(
            job, circuit, replace(circuit, equipment=exchanged(circuit.equipment, old, new), lines=lines)
        )


@dataclass(frozen=True, slots=True)
class DeleteEquipment:
    """Take a piece of equipment away; ends of lines that were tied to it are free, and stay where they are.

    Where every other condenser states its share of the flow, these keep their proportions and make one again.
    """

    circuit: str
    equipment: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"delete {self.equipment}"

    def apply(self, job: Job) -> Job:
        """Return the job without the equipment."""
        circuit = circuit_of(job, self.circuit)
        old = equipment_of(circuit, self.equipment)
        lines = tuple(_untied(line, old.id) for line in circuit.lines)
        new: Circuit = replace(circuit, equipment=shares_without(circuit, old), lines=lines)
        return with_circuit(job, circuit, new)


_FIELDS = frozenset(Equipment.__dataclass_fields__) - {"id", "at_m", "extra"}
_LIMITS = frozenset(MakerLimits.__dataclass_fields__) - {"extra"}


def _followed(line: Line, equipment: str, offset_m: Point) -> Line:
    offsets: dict[str, Point] = {}
    for end in line.ends:
        if end.equipment == equipment:
            # Two ends at one vessel go with it once, not twice.
            for name, moved in square_offsets(line, end.node, offset_m).items():
                known = offsets.get(name, (0.0, 0.0, 0.0))
                offsets[name] = (known[0] or moved[0], known[1] or moved[1], known[2] or moved[2])
    return displaced(line, offsets)


def _untied(line: Line, equipment: str) -> Line:
    ends = tuple(end for end in line.ends if end.equipment != equipment)
    return line if len(ends) == len(line.ends) else replace(line, ends=ends)
