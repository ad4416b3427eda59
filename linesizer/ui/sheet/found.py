"""The objects of the job that a selection's ids mean, as far as they are there."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment
from linesizer.domain.geometry import SAME_PLACE_M, LegGeometry, leg_geometry
from linesizer.domain.job import Job
from linesizer.domain.part import Part
from linesizer.domain.route import Leg, Line, Node
from linesizer.ui.selection import NOTHING, Selection


@dataclass(frozen=True, slots=True)
class Found:
    """What is there of a selection; ``geometry`` of the leg where both its nodes are there and apart."""

    circuit: Circuit | None = None
    line: Line | None = None
    leg: Leg | None = None
    node: Node | None = None
    part: Part | None = None
    equipment: Equipment | None = None
    geometry: LegGeometry | None = None

    @property
    def selection(self) -> Selection:
        """The selection of what is there."""
        if self.circuit is None or (self.line is None and self.equipment is None):
            return NOTHING
        line, leg, node, part, equipment = (
            None if item is None else item.id for item in (self.line, self.leg, self.node, self.part, self.equipment)
        )
        return Selection(self.circuit.id, line, leg, node, part, equipment)


def found(job: Job, selection: Selection) -> Found:
    """Return what is there of a selection."""
    circuit = next((item for item in job.circuits if item.id == selection.circuit), None)
    if circuit is None:
        return Found()
    equipment = next((item for item in circuit.equipment if item.id == selection.equipment), None)
    line = next((item for item in circuit.lines if item.id == selection.line), None)
    if line is None:
        return Found(circuit, equipment=equipment)
    leg = next((item for item in line.legs if item.id == selection.leg), None)
    node = next((item for item in line.nodes if item.id == selection.node), None)
    part = None if leg is None else next((item for item in leg.parts if item.id == selection.part), None)
    return Found(circuit, line, leg, node, part, equipment, None if leg is None else _geometry(line, leg))


def _geometry(line: Line, leg: Leg) -> LegGeometry | None:
    places = {node.id: node.at_m for node in line.nodes}
    start, end = places.get(leg.start), places.get(leg.end)
    if start is None or end is None:
        return None
    geometry = leg_geometry(line.legs.index(leg), leg, start, end)
    return geometry if geometry.length_m >= SAME_PLACE_M else None
