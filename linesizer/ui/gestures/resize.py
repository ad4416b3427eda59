"""Change the size of what is selected by one step of its catalogue: Ctrl and an arrow up or down."""

from __future__ import annotations

from linesizer.catalog.tubes import tube_catalogue
from linesizer.document.commands.size import SetLegSize, SetLineSize
from linesizer.ui.gestures.gesture import Ground
from linesizer.ui.sheet.found import Found, found


def resize(ground: Ground, larger: bool) -> bool:
    """Build the selected leg, or line, one size larger or smaller; whether one is selected."""
    session = ground.session
    it = found(session.shown_job, session.selection)
    if it.circuit is None or it.line is None:
        ground.tell("Choose a leg or a line first; Tab walks the legs.")
        return False
    if it.leg is not None and it.leg.double_riser is not None:
        ground.tell(f"{it.leg.id} is a double riser; its menu changes its tubes, or makes it a single one.")
        return True
    names = tube_catalogue(tube_of(it)).size_names
    now = size_of(ground, it)
    if now in names:
        place = names.index(now) + (1 if larger else -1)
        if not 0 <= place < len(names):
            ground.tell(f"{now} is the {'largest' if larger else 'smallest'} size of {tube_of(it)}.")
            return True
    else:
        place = 0 if larger else len(names) - 1
    if it.leg is not None:
        session.try_do(SetLegSize(it.circuit.id, it.line.id, (it.leg.id,), names[place]))
    else:
        session.try_do(SetLineSize(it.circuit.id, it.line.id, names[place]))
    return True


def tube_of(it: Found) -> str:
    """Return the catalogue that a leg's, or a line's, sizes come from."""
    if it.leg is not None and it.leg.tube is not None:
        return it.leg.tube
    return it.line.tube if it.line is not None else ""


def size_of(ground: Ground, it: Found) -> str | None:
    """Return the size that a leg, or a line, is built in: stated, the line's, or what the sizing chose."""
    if it.line is None or it.circuit is None:
        return None
    if it.leg is None:
        return it.line.default_size
    stated = it.leg.size or it.line.default_size
    if stated is not None or it.leg.double_riser is not None:
        return stated
    result = ground.session.line_result(it.circuit.id, it.line.id)
    if result is None or result.legs is None or it.leg.id not in result.legs.ids:
        return None
    return result.legs.sizes[result.legs.ids.index(it.leg.id)]
