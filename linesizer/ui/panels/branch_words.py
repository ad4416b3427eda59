"""What a branch of a line is called: by the equipment at its end."""

from __future__ import annotations

from linesizer.domain.branches import branches
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.route import Line
from linesizer.drawing.ties import line_ends


def branch_words(circuit: Circuit, line: Line) -> dict[str, str]:
    """Return for each leg that carries only a part of the flow where to or where from: ``to Condenser 2``.

    Legs of a plain run, and those that the whole flow passes, have no entry.
    """
    places = branches(line)
    if not places or all(place.whole for place in places.values()):
        return {}
    word = "from" if line_geometry(line).shape is Shape.GATHERS else "to"
    names = {node: (node if it is None else it.name or it.id) for node, it in line_ends(circuit, line)}
    return {
        leg: f"{word} {' and '.join(names.get(node, node) for node in sorted(place.ends))}"
        for leg, place in places.items()
        if not place.whole
    }
