"""Move nodes, change lengths: the legs beside follow."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from linesizer.document.commands.draw import no_length
from linesizer.document.direction import Axis, difference, scaled
from linesizer.document.moving import beyond, carried_along, displaced, places_of, shifted, square_offsets
from linesizer.document.objects import circuit_of, leg_of, line_of, node_of, with_line
from linesizer.domain.geometry import SAME_PLACE_M
from linesizer.domain.job import Job
from linesizer.domain.route import Node, Point
from linesizer.errors import UserError


@dataclass(frozen=True, slots=True)
class MoveNode:
    """Move a node along an axis; the legs beside it follow so that square corners stay square.

    A leg that runs across the axis is carried along whole, and so is the next one beyond it, until a leg that runs
    along the axis takes the move up by growing or shrinking.  Lift the elbow between two level runs, and both runs
    rise while the risers at their far ends change length.  A leg on a slant takes the move up by turning.  Where the
    line ends before any leg takes the move up, its end moves along; the same move backwards brings everything back
    (``moving.carried_along``).

    ``distance_m`` in metres, positive towards east, north or up.
    """

    circuit: str
    line: str
    node: str
    axis: Axis
    distance_m: float

    @property
    def label(self) -> str:
        """The act in words."""
        return f"move {self.node}"

    def apply(self, job: Job) -> Job:
        """Return the job with the node and what follows it moved."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        places = places_of(line)
        if self.node not in places:
            node_of(line, self.node)
        _require_finite(self.label, self.distance_m)
        if self.distance_m == 0.0:
            return job
        offset = [0.0, 0.0, 0.0]
        offset[self.axis.place] = self.distance_m
        moved = carried_along(line, self.node, self.axis, places)
        return with_line(job, circuit, line, shifted(line, moved, (offset[0], offset[1], offset[2])))


@dataclass(frozen=True, slots=True)
class MoveNodeTo:
    """Move a node to a point, [m].

    Square corners stay square as in ``MoveNode``, one axis after the other; with ``square`` false the node alone
    moves and the legs beside it stretch and turn.
    """

    circuit: str
    line: str
    node: str
    to_m: Point
    square: bool = True

    @property
    def label(self) -> str:
        """The act in words."""
        return f"move {self.node}"

    def apply(self, job: Job) -> Job:
        """Return the job with the node at its new place."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        node = node_of(line, self.node)
        _require_finite(self.label, *self.to_m)
        if self.square:
            moved = displaced(line, square_offsets(line, self.node, difference(self.to_m, node.at_m)))
        else:
            moved = line
        # The sum of a difference is not always the number that was typed.
        nodes = tuple(Node(node.id, self.to_m) if item.id == node.id else item for item in moved.nodes)
        return with_line(job, circuit, line, replace(moved, nodes=nodes))


@dataclass(frozen=True, slots=True)
class SetLegLength:
    """Make one leg longer or shorter; what hangs on it follows.

    Its start stays; everything beyond its end moves along the leg's direction, in one piece.
    """

    circuit: str
    line: str
    leg: str
    length_m: float

    @property
    def label(self) -> str:
        """The act in words."""
        return f"change length of {self.leg}"

    def apply(self, job: Job) -> Job:
        """Return the job with the leg as long as asked; ROUTE-02 where that is no length."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        leg = leg_of(line, self.leg)
        if not math.isfinite(self.length_m) or self.length_m < SAME_PLACE_M:
            raise no_length(f"Cannot {self.label}.", self.length_m)
        places = places_of(line)
        run = difference(places[leg.end], places[leg.start])
        length_m = math.hypot(*run)
        moved = shifted(line, beyond(line, leg), scaled(run, self.length_m / length_m - 1.0))
        return with_line(job, circuit, line, moved)


def _require_finite(label: str, *numbers_m: float) -> None:
    for number in numbers_m:
        if not math.isfinite(number):
            raise UserError(
                "ROUTE-06",
                what=f"Cannot {label}.",
                why=f"{number:g} m is not a finite number.",
                remedy="Enter a number, such as 3.4 m.",
            )
