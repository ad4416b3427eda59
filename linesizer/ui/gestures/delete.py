"""Delete what is selected."""

from __future__ import annotations

from linesizer.document.command import Command
from linesizer.document.commands.delete import DeleteLeg, DeleteLine
from linesizer.document.commands.equipment import DeleteEquipment
from linesizer.document.commands.part import DeletePart
from linesizer.document.commands.split import JoinLegs
from linesizer.ui.gestures.gesture import Ground
from linesizer.ui.selection import NOTHING, Selection
from linesizer.ui.sheet.found import Found, found
from linesizer.ui.sheet.walk import neighbour


def delete_selected(ground: Ground) -> bool:
    """Take away what is selected; whether something was."""
    session = ground.session
    it = found(session.shown_job, session.selection)
    command = delete_command(it)
    if command is None:
        ground.tell("Choose a leg, a part or equipment to delete; Tab walks the legs.")
        return False
    after = _after(it)
    if session.try_do(command):
        session.select(after)
    return True


def delete_command(it: Found) -> Command | None:
    """Return what deleting something means: a node at an end goes with its leg, one in a straight run joins it."""
    if it.circuit is None:
        return None
    if it.equipment is not None:
        return DeleteEquipment(it.circuit.id, it.equipment.id)
    if it.line is None:
        return None
    if it.part is not None and it.leg is not None:
        return DeletePart(it.circuit.id, it.line.id, it.leg.id, it.part.id)
    if it.node is not None:
        meeting = [leg for leg in it.line.legs if it.node.id in (leg.start, leg.end)]
        if len(meeting) == 1:
            return DeleteLeg(it.circuit.id, it.line.id, meeting[0].id)
        if len(meeting) == 2:
            return JoinLegs(it.circuit.id, it.line.id, meeting[0].id, meeting[1].id)
        return None
    if it.leg is not None:
        return DeleteLeg(it.circuit.id, it.line.id, it.leg.id)
    return DeleteLine(it.circuit.id, it.line.id)


def _after(it: Found) -> Selection:
    """Return what is selected next, so that the keyboard goes on where it was."""
    if it.circuit is None or it.line is None:
        return NOTHING
    if it.part is not None and it.leg is not None:
        return Selection(it.circuit.id, it.line.id, it.leg.id)
    if it.leg is not None:
        near = neighbour(it.line, it.leg.id)
        return NOTHING if near is None else Selection(it.circuit.id, it.line.id, near)
    return NOTHING
