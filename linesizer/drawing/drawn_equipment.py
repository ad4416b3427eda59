"""Equipment on the sheet: bodies with their signs, names asked for, selection beneath."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeAlias

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.drawing.clutter import Clutter
from linesizer.drawing.display_list import Box, Ink, Layer, Polygon, Polyline, Primitive, Target, Width
from linesizer.drawing.drawn_labels import LabelBook
from linesizer.drawing.equipment_symbols import Body, equipment_primitives
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.projection import Projection

Placed: TypeAlias = tuple[Circuit, Equipment, Body]

_ROLE_WORDS = {
    Role.UNIT: "Indoor unit",
    Role.CONDENSER: "Condenser",
    Role.RECEIVER: "Receiver",
    Role.SUBCOOLER: "Subcooler",
}


def equipment_target(circuit: Circuit, equipment: Equipment) -> Target:
    """Return the target of a piece of equipment."""
    return Target(circuit.id, equipment=equipment.id)


def draw_equipment(
    placed: Sequence[Placed],
    projection: Projection,
    options: SceneOptions,
    items: list[Primitive],
    clutter: Clutter,
    book: LabelBook,
) -> None:
    """Draw every body from the rearmost to the foremost, and ask for its name."""
    for circuit, equipment, body in sorted(placed, key=lambda each: projection.depth_m(each[2].centre_m)):
        target = equipment_target(circuit, equipment)
        made = equipment_primitives(body, projection, target)
        items.extend(_without_face(made) if options.quiet(circuit.id) else made)
        outline = body.outline(projection)
        if target in options.selection:
            ring = (*outline, outline[0])
            items.append(Polyline(ring, Ink.SELECTION, Width.SELECTION, target=target, layer=Layer.SELECTION))
    for circuit, equipment, body in placed:
        outline = body.outline(projection)
        clutter.add_area(outline)
        box = Box.around(outline)
        words = equipment.name or _ROLE_WORDS[equipment.role]
        if options.quiet(circuit.id):
            words = f"{words}, {circuit.title}"
        book.name(equipment_target(circuit, equipment), words, box.centre, (box.width / 2.0, box.height / 2.0), outline)


def _without_face(items: Sequence[Primitive]) -> list[Primitive]:
    """Return a body as an outline on the paper, for a circuit that is not the shown one."""
    return [
        replace(item, fill=Ink.PANEL) if isinstance(item, Polygon) and item.fill is Ink.FACE else item for item in items
    ]
