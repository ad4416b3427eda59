"""Parts on a leg: valves, driers, sight glasses and the like."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from linesizer.document.fields import Changes, changed, changed_fields_label
from linesizer.document.ids import next_id, spoken_of
from linesizer.document.objects import circuit_of, exchanged, leg_of, line_of, part_of, with_leg, with_line, without
from linesizer.domain.job import Job
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import Leg


@dataclass(frozen=True, slots=True)
class AddPart:
    """Put a part on a leg; ``at`` is the fraction of the leg's length from its start."""

    circuit: str
    line: str
    leg: str
    kind: str
    at: float = 0.5

    @property
    def label(self) -> str:
        """The act in words."""
        return f"add a {self.kind.replace('_', ' ')} to {self.leg}"

    def apply(self, job: Job) -> Job:
        """Return the job with the part, whose id no other part of the line has."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        leg = leg_of(line, self.leg)
        taken = (part.id for other in line.legs for part in other.parts)
        part = Part(next_id(taken, "p", spoken_of(job)), self.kind, self.at)
        return with_line(job, circuit, line, with_leg(line, leg, _in_order(leg, (*leg.parts, part))))


@dataclass(frozen=True, slots=True)
class SlidePart:
    """Slide a part along its leg."""

    circuit: str
    line: str
    leg: str
    part: str
    at: float

    @property
    def label(self) -> str:
        """The act in words."""
        return f"slide {self.part} along {self.leg}"

    def apply(self, job: Job) -> Job:
        """Return the job with the part at its new place."""
        return _with_part(job, self, lambda part: replace(part, at=self.at))


@dataclass(frozen=True, slots=True)
class SetPartLoss:
    """State a part's pressure loss; None leaves it to the catalogue."""

    circuit: str
    line: str
    leg: str
    part: str
    loss: PartLoss | None

    @property
    def label(self) -> str:
        """The act in words."""
        return (
            f"leave the loss of {self.part} to the catalogue" if self.loss is None else f"set the loss of {self.part}"
        )

    def apply(self, job: Job) -> Job:
        """Return the job with the loss set."""
        return _with_part(job, self, lambda part: replace(part, loss=self.loss))


@dataclass(frozen=True, slots=True)
class SetPartFields:
    """Change a part's kind, or whether it can close or relieve."""

    circuit: str
    line: str
    leg: str
    part: str
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, self.part)

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        return _with_part(job, self, lambda part: changed(part, self.changes, ("kind", "closes", "relieves")))


@dataclass(frozen=True, slots=True)
class DeletePart:
    """Take a part away."""

    circuit: str
    line: str
    leg: str
    part: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"delete {self.part} from {self.leg}"

    def apply(self, job: Job) -> Job:
        """Return the job without the part."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        leg = leg_of(line, self.leg)
        rest = without(leg.parts, part_of(leg, self.part))
        return with_line(job, circuit, line, with_leg(line, leg, replace(leg, parts=rest)))


def _with_part(job: Job, command: SlidePart | SetPartLoss | SetPartFields, edit: Callable[[Part], Part]) -> Job:
    circuit = circuit_of(job, command.circuit)
    line = line_of(circuit, command.line)
    leg = leg_of(line, command.leg)
    part = part_of(leg, command.part)
    new = edit(part)
    if new == part:
        return job
    return with_line(job, circuit, line, with_leg(line, leg, _in_order(leg, exchanged(leg.parts, part, new))))


def _in_order(leg: Leg, parts: tuple[Part, ...]) -> Leg:
    """Return the leg with these parts as the flow meets them."""
    return replace(leg, parts=tuple(sorted(parts, key=lambda part: part.at)))
