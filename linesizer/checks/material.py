"""Tube metal against the refrigerant, and tube ends against the connections of the equipment."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.catalog.size_words import same_connection
from linesizer.catalog.tubes import tube_catalogue
from linesizer.checks.context import CircuitView
from linesizer.domain.ends import TiedEnd, tied_ends
from linesizer.domain.finding import Finding, Level
from linesizer.domain.geometry import line_geometry
from linesizer.domain.route import Line
from linesizer.properties.library import facts, names

MATERIAL_WORDS = (
    "Line {line} is built of {tube}, and {material} does not go with {refrigerant}: {usual} do. {why}Choose another "
    "tube for the line; valves and fittings follow the same rule."
)
AMMONIA_WORDS = "Ammonia attacks copper and its alloys, brass too, and the tube cracks. "
CONNECTION_WORDS = (
    "Leg {leg} is {size} where the {port} connection of {equipment} is {connection}: a reducer belongs there. Its "
    "loss is not in the figures; put it where gas and oil do not collect, eccentric and flat at the bottom in a "
    "level run."
)


def material(view: CircuitView) -> Iterator[Finding]:
    """Yield a stop for each line of a metal that its refrigerant does not go with."""
    circuit = view.circuit
    if circuit.blend is None:
        yield from _judged(view, circuit.refrigerant, circuit.refrigerant)
        return
    # Nobody says what an own blend goes with; what its components do not go with it does not either.
    for component in view.table.composition:
        if component in names():
            yield from _judged(view, component, f"{component} in {circuit.refrigerant}")


def _judged(view: CircuitView, refrigerant: str, named: str) -> Iterator[Finding]:
    suitable = facts(refrigerant).tube_materials
    if suitable is None:
        return
    for line in view.circuit.lines:
        tubes = dict.fromkeys(leg.tube or line.tube for leg in line.legs) or {line.tube: None}
        for tube in tubes:
            catalogue = tube_catalogue(tube)
            if catalogue.material.value in suitable.value:
                continue
            yield Finding(
                code="material_unsuitable",
                level=Level.STOP,
                title=f"{line.id}: {catalogue.material.value} with {named}",
                words=MATERIAL_WORDS.replace("{why}", AMMONIA_WORDS if refrigerant == "R717" else ""),
                circuit=view.circuit.id,
                line=line.id,
                leg=next((leg.id for leg in line.legs if leg.tube == tube), None),
                rule="tube materials",
                source=f"{suitable.source} ({suitable.status})",
                figures=(
                    ("line", line.id),
                    ("tube", catalogue.label),
                    ("material", catalogue.material.value),
                    ("refrigerant", named),
                    ("usual", " and ".join(suitable.value)),
                ),
            )


def connections(view: CircuitView) -> Iterator[Finding]:
    """Yield a note for each end of a line whose size is not that of the connection it is tied to."""
    for line in view.circuit.lines:
        if line.legs:
            for end in tied_ends(view.circuit, line):
                yield from _joined(view, line, end)


def _joined(view: CircuitView, line: Line, end: TiedEnd) -> Iterator[Finding]:
    if end.equipment is None:
        return
    given = dict(end.equipment.connections)
    port = line.service.value if end.port is None else end.port
    legs = [leg.leg for leg in line_geometry(line).legs if end.node in (leg.leg.start, leg.leg.end)]
    for leg in legs:
        size = leg.size or line.default_size
        if port not in given or size is None or leg.double_riser is not None:
            continue
        if not same_connection(size, given[port], leg.tube or line.tube):
            yield Finding(
                code="connection_size",
                level=Level.NOTE,
                title=f"{leg.id}: another size than the connection",
                words=CONNECTION_WORDS,
                circuit=view.circuit.id,
                line=line.id,
                leg=leg.id,
                rule="connections",
                source="the equipment's connection as entered in the job",
                figures=(
                    ("leg", leg.id),
                    ("size", size),
                    ("port", port),
                    ("equipment", end.equipment.name or end.equipment.id),
                    ("connection", given[port]),
                ),
            )
