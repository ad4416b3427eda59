"""What the sheet says of a thing in words: for a screen reader, a tooltip, the line at the bottom."""

from __future__ import annotations

import math

from linesizer.catalog.fittings import fitting_kind
from linesizer.catalog.parts import part_kind
from linesizer.drawing.display_list import Target
from linesizer.drawing.label_words import length_words, level_words, size_words
from linesizer.drawing.options import LegNotes
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.sheet.found import Found, found
from linesizer.units import Kind, display_with_unit


def described(session: Session, selection: Selection, notes: dict[Target, LegNotes]) -> str:
    """Return what is selected with its figures, in a sentence; empty for nothing."""
    it = found(session.shown_job, selection)
    if it.circuit is None:
        return ""
    if it.equipment is not None:
        x, y, z = (length_words(part, session.units) for part in it.equipment.at_m)
        return f"{it.equipment.name or it.equipment.id}, {it.equipment.role.value}, at east {x}, north {y}, up {z}."
    if it.line is None:
        return ""
    if it.node is not None:
        return _node(session, it)
    if it.part is not None and it.leg is not None and it.geometry is not None:
        at = length_words(it.part.at * it.geometry.length_m, session.units)
        return f"{part_kind(it.part.kind).label} {it.part.id} on {it.leg.id}, {at} from its start."
    if it.leg is not None:
        return _leg(session, it, notes)
    count = len(it.line.legs)
    return f"Line {it.line.id}, {it.line.service.value}, {count} leg{'' if count == 1 else 's'}."


def _leg(session: Session, it: Found, notes: dict[Target, LegNotes]) -> str:
    assert it.circuit is not None
    assert it.line is not None
    assert it.leg is not None
    note = notes.get(Target(it.circuit.id, it.line.id, it.leg.id), LegNotes())
    words = [f"Leg {it.leg.id} of {it.line.service.value} line {it.line.id}"]
    words.append(f"size {size_words(it.line, it.leg, note.size)}")
    if it.geometry is not None:
        way = _way(it.geometry.direction)
        words.append(f"{length_words(it.geometry.length_m, session.units)} {way}")
    if it.leg.fall:
        words.append(f"falls {display_with_unit(Kind.SLOPE, it.leg.fall, session.units)}")
    if note.second:
        words.append(note.second.replace("   ", ", "))
        if not session.current:
            words.append("not current")
    for part in it.leg.parts:
        words.append(part_kind(part.kind).label.lower())
    return ", ".join(words) + "."


def _node(session: Session, it: Found) -> str:
    assert it.line is not None
    assert it.node is not None
    meeting = [leg.id for leg in it.line.legs if it.node.id in (leg.start, leg.end)]
    words = [f"Node {it.node.id} of line {it.line.id}", f"height {level_words(it.node.at_m[2], session.units)}"]
    kind = next((fitting.kind for fitting in it.line.fittings if fitting.node == it.node.id), None)
    if kind is not None:
        words.append(fitting_kind(kind).label.lower())
    tied = next((end.text for end in it.line.ends if end.node == it.node.id), None)
    if tied is not None:
        words.append(f"tied to {tied}")
    if meeting:
        words.append(f"between {' and '.join(meeting)}" if len(meeting) > 1 else f"end of {meeting[0]}")
    return ", ".join(words) + "."


_WAYS = (("east", "west"), ("north", "south"), ("up", "down"))


def _way(direction: tuple[float, float, float]) -> str:
    """Return a unit direction in words."""
    for part, words in zip(direction, _WAYS, strict=True):
        if abs(part) > 0.999:
            return words[0] if part > 0.0 else words[1]
    parts = [(abs(part), words[0 if part > 0.0 else 1]) for part, words in zip(direction, _WAYS, strict=True)]
    return " and ".join(word for size, word in parts if size > math.sin(math.radians(2.0)))
