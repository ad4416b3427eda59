"""Turn a leg: another direction, another length, or both at once; what hangs on it follows."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesizer.document.commands.draw import no_length
from linesizer.document.direction import difference
from linesizer.document.moving import beyond, places_of, shifted
from linesizer.document.objects import circuit_of, leg_of, line_of, with_line
from linesizer.domain.geometry import SAME_PLACE_M
from linesizer.domain.job import Job
from linesizer.domain.route import Point


@dataclass(frozen=True, slots=True)
class TurnLeg:
    """Let a leg run by another offset from its start; everything beyond its end moves along, in one piece.

    ``offset_m`` in metres east, north, up.
    """

    circuit: str
    line: str
    leg: str
    offset_m: Point

    @property
    def label(self) -> str:
        """The act in words."""
        return f"change direction of {self.leg}"

    def apply(self, job: Job) -> Job:
        """Return the job with the leg turned; ROUTE-02 where the offset has no length."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        leg = leg_of(line, self.leg)
        length_m = math.hypot(*self.offset_m)
        if not math.isfinite(length_m) or length_m < SAME_PLACE_M:
            raise no_length(f"Cannot {self.label}.", length_m)
        places = places_of(line)
        run = difference(places[leg.end], places[leg.start])
        if self.offset_m == run:
            return job
        moved = shifted(line, beyond(line, leg), difference(self.offset_m, run))
        return with_line(job, circuit, line, moved)
