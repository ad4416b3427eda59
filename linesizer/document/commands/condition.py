"""The running conditions of a circuit."""

from __future__ import annotations

from dataclasses import dataclass, replace

from linesizer.document.fields import Changes, changed, changed_fields_label
from linesizer.document.ids import plain_id, spoken_of
from linesizer.document.objects import circuit_of, condition_of, exchanged, with_circuit, without
from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.domain.job import Job
from linesizer.errors import UserError


@dataclass(frozen=True, slots=True)
class AddCondition:
    """Add a condition behind the others; an id in use, or none, gives way to a free one."""

    circuit: str
    condition: Condition

    @property
    def label(self) -> str:
        """The act in words."""
        return f"add condition {self.condition.title}".rstrip()

    def apply(self, job: Job) -> Job:
        """Return the job with the condition."""
        circuit = circuit_of(job, self.circuit)
        taken = (*(item.id for item in circuit.conditions), *spoken_of(job))
        new = replace(self.condition, id=plain_id(taken, self.condition.id or "condition"))
        return with_circuit(job, circuit, replace(circuit, conditions=(*circuit.conditions, new)))


@dataclass(frozen=True, slots=True)
class DuplicateCondition:
    """Add a condition like another one, right behind it."""

    circuit: str
    condition: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"duplicate condition {self.condition}"

    def apply(self, job: Job) -> Job:
        """Return the job with the second condition; its name says that it is a copy."""
        circuit = circuit_of(job, self.circuit)
        old = condition_of(circuit, self.condition)
        taken = (*(item.id for item in circuit.conditions), *spoken_of(job))
        new = replace(old, id=plain_id(taken, old.id), name=_copy_name(circuit, old))
        place = circuit.conditions.index(old) + 1
        conditions = (*circuit.conditions[:place], new, *circuit.conditions[place:])
        return with_circuit(job, circuit, replace(circuit, conditions=conditions))


@dataclass(frozen=True, slots=True)
class DeleteCondition:
    """Take a condition away, but not the last; a charge that it governed is governed by the neediest one again."""

    circuit: str
    condition: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"delete condition {self.condition}"

    def apply(self, job: Job) -> Job:
        """Return the job without the condition; CONDITION-01 where it is the only one."""
        circuit = circuit_of(job, self.circuit)
        old = condition_of(circuit, self.condition)
        if len(circuit.conditions) == 1:
            raise UserError(
                "CONDITION-01",
                what=f"Cannot {self.label}.",
                why=f'"{old.title}" is the only condition of circuit "{circuit.title}"; nothing is sized without one.',
                remedy="Add another condition first, or change this one.",
            )
        governs = None if circuit.charge_condition == old.id else circuit.charge_condition
        new = replace(circuit, conditions=without(circuit.conditions, old), charge_condition=governs)
        return with_circuit(job, circuit, new)


@dataclass(frozen=True, slots=True)
class SetConditionFields:
    """Change what a condition states: one value, or several that hold together (a leaving fluid with its approach)."""

    circuit: str
    condition: str
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, f"condition {self.condition}")

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        circuit = circuit_of(job, self.circuit)
        old = condition_of(circuit, self.condition)
        new = changed(old, self.changes, _FIELDS)
        if new is old:
            return job
        return with_circuit(job, circuit, replace(circuit, conditions=exchanged(circuit.conditions, old, new)))


_FIELDS = frozenset(Condition.__dataclass_fields__) - {"id", "extra"}


def _copy_name(circuit: Circuit, condition: Condition) -> str:
    names = {item.name for item in circuit.conditions}
    name, number = f"{condition.title}, copy", 1
    while name in names:
        number += 1
        name = f"{condition.title}, copy {number}"
    return name
