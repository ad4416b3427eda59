"""Split the selected leg, or join it with the next of its straight run."""

from __future__ import annotations

from linesizer.document.commands.split import JoinLegs, SplitLeg
from linesizer.ui.gestures.gesture import Ground
from linesizer.ui.sheet.found import found


def split_selected(ground: Ground, at: float = 0.5) -> bool:
    """Put a node into the selected leg; whether one is selected."""
    it = found(ground.session.shown_job, ground.session.selection)
    if it.circuit is None or it.line is None or it.leg is None:
        ground.tell("Choose a leg to split; Tab walks the legs.")
        return False
    ground.session.try_do(SplitLeg(it.circuit.id, it.line.id, it.leg.id, at))
    return True


def join_selected(ground: Ground) -> bool:
    """Make one leg of the selected one and the one that its flow goes on in; whether there are two."""
    it = found(ground.session.shown_job, ground.session.selection)
    if it.circuit is None or it.line is None or it.leg is None:
        ground.tell("Choose a leg to join with the next; Tab walks the legs.")
        return False
    leg = it.leg
    other = next((each for each in it.line.legs if each.start == leg.end), None)
    if other is None:
        other = next((each for each in it.line.legs if each.end == leg.start), None)
    if other is None:
        ground.tell(f"{leg.id} is the only leg of {it.line.id}.")
        return False
    ground.session.try_do(JoinLegs(it.circuit.id, it.line.id, leg.id, other.id))
    return True
