"""From what the drawing names to what the session selects, and back."""

from __future__ import annotations

from linesizer.drawing.display_list import Target
from linesizer.ui.selection import NOTHING, Selection


def target_of(selection: Selection) -> Target | None:
    """Return what a selection means on the sheet; None for nothing, or for a whole circuit."""
    if selection.circuit is None:
        return None
    if selection.line is None and selection.equipment is None:
        return None
    return Target(
        selection.circuit,
        selection.line,
        selection.leg,
        selection.node,
        selection.part,
        selection.equipment,
    )


def selection_of(target: Target | None) -> Selection:
    """Return the selection of something on the sheet."""
    if target is None:
        return NOTHING
    return Selection(target.circuit, target.line, target.leg, target.node, target.part, target.equipment)
