"""Branch off from the selected leg, at a point of it."""

from __future__ import annotations

from typing import Protocol

from linesizer.ui.gestures.gesture import Ground
from linesizer.ui.gestures.snapping import step_m
from linesizer.ui.gestures.starts import Start, from_leg
from linesizer.ui.sheet.found import found


class TypingGround(Ground, Protocol):
    """The sheet as a branch needs it that is typed."""

    def type_at(self, start: Start) -> None:
        """Begin to type legs from a place."""
        ...


def branch_start(ground: Ground, share: float) -> Start | None:
    """Return a point of the selected leg, a fraction along it, as a place to branch off from."""
    it = found(ground.session.shown_job, ground.session.selection)
    if it.circuit is None or it.line is None or it.leg is None:
        return None
    return from_leg(it.circuit, it.line, it.leg.id, share, step_m(ground.sight.scale, ground.session.units))


def branch_by_typing(ground: TypingGround) -> bool:
    """Begin to type a branch from the middle of the selected leg; whether one is selected that can have it."""
    leg = found(ground.session.shown_job, ground.session.selection).leg
    start = branch_start(ground, 0.5)
    if leg is None:
        ground.tell("Choose a leg to branch off from; Tab walks the legs.")
    elif start is None:
        ground.tell(f"{leg.id} is a double riser; branch off from a node, or from another leg.")
    else:
        ground.type_at(start)
    return start is not None
