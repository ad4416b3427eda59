"""Move what is selected by keys, a step at a time: Alt and an arrow; with Shift a fine step."""

from __future__ import annotations

from linesizer.document.command import Command
from linesizer.document.commands.equipment import MoveEquipment
from linesizer.document.commands.node import MoveNode
from linesizer.document.commands.part import SlidePart
from linesizer.document.direction import Direction, added, scaled
from linesizer.domain.job import Job
from linesizer.ui.gestures.gesture import Ground
from linesizer.ui.gestures.snapping import axis_of, step_m
from linesizer.ui.sheet.found import found


class Nudge:
    """Moves the selected node, part or equipment; of a leg, the end where its flow leaves.

    Steps that follow each other without another act between them are one undo step.
    """

    def __init__(self, ground: Ground) -> None:
        self._ground = ground
        self._left: Job | None = None

    def by(self, direction: Direction, fine: bool) -> bool:
        """Move by one step; whether something is selected that can be moved that way."""
        ground = self._ground
        session = ground.session
        command = self._command(direction, step_m(ground.sight.scale, session.units, fine))
        if command is None:
            ground.tell("Choose a leg, a node, a part or equipment first; Tab walks the legs.")
            return False
        session.try_do(command, merge=session.job is self._left)
        self._left = session.job
        return True

    def _command(self, direction: Direction, step: float) -> Command | None:
        it = found(self._ground.session.shown_job, self._ground.session.selection)
        axis, sign = axis_of(direction)
        if it.circuit is None:
            return None
        if it.equipment is not None:
            to_m = added(it.equipment.at_m, scaled(direction.vector, step))
            return MoveEquipment(it.circuit.id, it.equipment.id, to_m)
        if it.line is None:
            return None
        if it.part is not None and it.leg is not None and it.geometry is not None:
            along = sum(a * b for a, b in zip(direction.vector, it.geometry.direction, strict=True))
            if abs(along) < 0.1:
                return None
            at = min(1.0, max(0.0, it.part.at + (step if along > 0.0 else -step) / it.geometry.length_m))
            return SlidePart(it.circuit.id, it.line.id, it.leg.id, it.part.id, at)
        node = it.node.id if it.node is not None else it.leg.end if it.leg is not None else None
        return None if node is None else MoveNode(it.circuit.id, it.line.id, node, axis, sign * step)
