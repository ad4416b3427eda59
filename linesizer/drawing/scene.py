"""The display list of a job's circuits: one route, drawn isometric, in plan or in elevation."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from linesizer.domain.circuit import Circuit
from linesizer.drawing.clutter import Clutter
from linesizer.drawing.display_list import DisplayList, Hotspot, Layer, Primitive, Target
from linesizer.drawing.drawn_equipment import draw_equipment
from linesizer.drawing.drawn_labels import LabelBook
from linesizer.drawing.drawn_lines import draw_lines
from linesizer.drawing.equipment_place import place_bodies
from linesizer.drawing.label_places import LabelKey
from linesizer.drawing.labels import HIDDEN, LabelSlots, lay_out
from linesizer.drawing.options import LegNotes, SceneOptions
from linesizer.drawing.projection import Projection, Spot
from linesizer.drawing.runs import lay_runs

__all__ = ["LegNotes", "Scene", "SceneOptions", "build_scene"]


@dataclass(frozen=True, slots=True)
class Scene:
    """A drawing: what is painted, and what the next one may want to know.

    ``slots`` handed to the next ``build_scene`` keep labels where they are during a drag; ``hidden`` names the labels
    that found no room; ``nodes`` has the sheet place of every node and ``shifts`` how far each line was moved on the
    sheet because it would lie on another.
    """

    display: DisplayList
    projection: Projection
    slots: LabelSlots
    hidden: tuple[LabelKey, ...]
    nodes: Mapping[Target, Spot]
    shifts: Mapping[Target, Spot]


def build_scene(circuits: Iterable[Circuit], options: SceneOptions, previous: LabelSlots | None = None) -> Scene:
    """Return the drawing of some circuits side by side.

    A broken route is drawn as far as it goes: legs without a node or a length are left out.
    """
    circuits = tuple(circuits)
    projection = Projection(options.view, options.scale)
    runs = lay_runs(circuits, projection)
    clutter, book = Clutter(), LabelBook(projection, options)
    items: list[Primitive] = []
    equipment = [(circuit, each) for circuit in circuits for each in circuit.equipment]
    bodies = place_bodies([each for _, each in equipment], runs, projection)
    placed = [(circuit, each, body) for (circuit, each), body in zip(equipment, bodies, strict=True)]
    draw_equipment(placed, projection, options, items, clutter, book)
    draw_lines(circuits, runs, placed, projection, options, items, clutter, book)
    nodes: dict[Target, Spot] = {}
    for run in runs:
        for node, at_m in ((run.leg.start, run.geometry.start_m), (run.leg.end, run.geometry.end_m)):
            target = Target(run.circuit.id, run.line.id, node=node)
            if target not in nodes:
                nodes[target] = run.spot(projection, at_m)
                items.append(Hotspot(nodes[target], 4.0, target, Layer.SYMBOL))
    places = lay_out(book.requests, clutter, previous)
    items.extend(book.primitives(places))
    return Scene(
        DisplayList.in_order(items, options.scale, options.text_factor),
        projection,
        {request.key: places[request.key].slot if request.key in places else HIDDEN for request in book.requests},
        tuple(request.key for request in book.requests if request.key not in places),
        nodes,
        {Target(run.circuit.id, run.line.id): run.shift for run in runs},
    )
