"""What stands at a node instead of the elbow that the route implies."""

from __future__ import annotations

from dataclasses import dataclass, replace

from linesizer.document.objects import circuit_of, line_of, node_of, with_line
from linesizer.domain.job import Job
from linesizer.domain.route import FittingAt


@dataclass(frozen=True, slots=True)
class SetFitting:
    """Put a fitting at a node; None leaves it to the route again."""

    circuit: str
    line: str
    node: str
    kind: str | None

    @property
    def label(self) -> str:
        """The act in words."""
        if self.kind is None:
            return f"leave the fitting at {self.node} to the route"
        if self.kind == "none":
            return f"put no fitting at {self.node}"
        return f"set fitting at {self.node} to {self.kind.replace('_', ' ')}"

    def apply(self, job: Job) -> Job:
        """Return the job with the fitting set."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        node_of(line, self.node)
        old = next((fitting for fitting in line.fittings if fitting.node == self.node), None)
        if (old.kind if old else None) == self.kind:
            return job
        if self.kind is None:
            fittings = tuple(fitting for fitting in line.fittings if fitting is not old)
        elif old is None:
            fittings = (*line.fittings, FittingAt(self.node, self.kind))
        else:
            fittings = tuple(replace(old, kind=self.kind) if item is old else item for item in line.fittings)
        return with_line(job, circuit, line, replace(line, fittings=fittings))
