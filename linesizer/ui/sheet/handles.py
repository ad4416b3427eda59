"""The handles of what is selected: where to draw on, where to stretch, where a line may begin."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment
from linesizer.domain.route import Line
from linesizer.drawing.display_list import (
    Box,
    Circle,
    Ink,
    Layer,
    Plate,
    Polygon,
    Polyline,
    Primitive,
    Target,
    Text,
    TextSize,
    Width,
)
from linesizer.drawing.projection import Spot
from linesizer.drawing.scene import Scene
from linesizer.drawing.strokes import SERVICE_STYLES
from linesizer.drawing.ties import free_nodes
from linesizer.ui.gestures.snapping import step_m
from linesizer.ui.gestures.starts import (
    Start,
    from_equipment,
    from_leg,
    from_node,
    missing_services,
    short_services,
    to_condenser,
)
from linesizer.ui.session import Session
from linesizer.ui.sheet.found import Found, found

_OUT, _RADIUS, _HALF, _PORT = 26.0, 8.0, 5.0, 11.0
_REACH = 4.0


class HandleKind(Enum):
    """What a handle does."""

    DRAW = "draw"
    BEGIN = "begin"
    STRETCH = "stretch"


@dataclass(frozen=True, slots=True)
class Handle:
    """One handle; ``start`` is where drawing goes on, ``target`` the leg that is stretched, ``node`` where."""

    kind: HandleKind
    spot: Spot
    root: Spot
    ink: Ink
    words: str
    start: Start | None = None
    target: Target | None = None
    node: Target | None = None
    letter: str = ""

    @property
    def act(self) -> str:
        """What it does, without how."""
        return self.words.removeprefix("click to ")

    @property
    def radius(self) -> float:
        """How far from its middle it can be hit, [sheet units]."""
        return {HandleKind.DRAW: _RADIUS, HandleKind.BEGIN: _PORT, HandleKind.STRETCH: _HALF}[self.kind] + _REACH

    def primitives(self) -> tuple[Primitive, ...]:
        """Return how it is drawn."""
        x, y = self.spot
        layer = Layer.FURNITURE
        if self.kind is HandleKind.STRETCH:
            h = _HALF
            corners = ((x - h, y - h), (x + h, y - h), (x + h, y + h), (x - h, y + h))
            return (Polygon(corners, Ink.PANEL, self.ink, Width.SYMBOL, layer=layer),)
        if self.kind is HandleKind.BEGIN:
            box = Box(x - _PORT, y - _PORT, x + _PORT, y + _PORT)
            plate = Plate(box, _PORT, Ink.PANEL, self.ink)
            return (
                Circle(self.spot, _PORT + 3.0, None, self.ink, Width.THIN, layer=layer),
                Text(self.spot, self.letter, TextSize.FIGURE, ink=self.ink, bold=True, plate=plate, layer=layer),
            )
        arm = 4.0
        return (
            Polyline((self.root, self.spot), self.ink, Width.THIN, (3.0, 3.0), 0.0, None, layer),
            Circle(self.spot, _RADIUS, Ink.PANEL, self.ink, Width.SYMBOL, layer=layer),
            Polyline(((x - arm, y), (x + arm, y)), self.ink, Width.SYMBOL, layer=layer),
            Polyline(((x, y - arm), (x, y + arm)), self.ink, Width.SYMBOL, layer=layer),
        )


def handles(session: Session, scene: Scene) -> tuple[Handle, ...]:
    """Return the handles of the selection, and of equipment where a line that every circuit needs can begin."""
    made: list[Handle] = []
    it = found(session.shown_job, session.selection)
    if it.circuit is not None and it.line is not None:
        if it.leg is not None and it.part is None:
            made.extend(_stretch(it, scene))
            made.extend(_branch(it, scene, session))
        nodes = [it.node.id] if it.node is not None else [name for ends in free_nodes(it.line) for name in ends]
        for node in nodes:
            handle = _draw(it.circuit, it.line, node, scene)
            if handle is not None:
                made.append(handle)
    if it.circuit is not None and it.equipment is not None:
        made.extend(_reach(it.circuit, it.equipment, scene))
    for circuit in session.shown_job.circuits:
        made.extend(_begin(circuit, scene))
    return tuple(made)


def handle_at(made: tuple[Handle, ...], spot: Spot) -> Handle | None:
    """Return the nearest handle that a place of the sheet hits."""
    hit = [(math.dist(each.spot, spot), i) for i, each in enumerate(made) if math.dist(each.spot, spot) <= each.radius]
    return made[min(hit)[1]] if hit else None


def _stretch(it: Found, scene: Scene) -> list[Handle]:
    if it.circuit is None or it.line is None or it.leg is None:
        return []
    node = Target(it.circuit.id, it.line.id, node=it.leg.end)
    spot = scene.nodes.get(node)
    if spot is None:
        return []
    ink = SERVICE_STYLES[it.line.service].ink
    leg = Target(it.circuit.id, it.line.id, it.leg.id)
    words = f"drag to make {it.leg.id} longer or shorter; what lies beyond moves along"
    return [Handle(HandleKind.STRETCH, spot, spot, ink, words, None, leg, node)]


def _branch(it: Found, scene: Scene, session: Session) -> list[Handle]:
    """Return the handle that branches off from the middle of a leg, beside it."""
    if it.circuit is None or it.line is None or it.leg is None or it.geometry is None:
        return []
    start = from_leg(it.circuit, it.line, it.leg.id, 0.5, step_m(scene.projection.scale, session.units))
    vx, vy = scene.projection.vector(it.geometry.direction)
    if start is None or math.hypot(vx, vy) * it.geometry.length_m * scene.projection.scale < 3.0 * _OUT:
        return []
    size = math.hypot(vx, vy)
    dx, dy = scene.shifts.get(Target(it.circuit.id, it.line.id), (0.0, 0.0))
    x, y = scene.projection.spot(start.at_m)
    root = (x + dx, y + dy)
    at = (root[0] - _OUT * vy / size, root[1] + _OUT * vx / size)
    words = f"click to branch off from {it.leg.id}"
    return [Handle(HandleKind.DRAW, at, root, SERVICE_STYLES[it.line.service].ink, words, start)]


def _reach(circuit: Circuit, equipment: Equipment, scene: Scene) -> list[Handle]:
    """Return the rings at a selected condenser that lines reach others but not it."""
    services = short_services(circuit, equipment)
    made = []
    for place, service in enumerate(services):
        start = to_condenser(circuit, equipment, service)
        style = SERVICE_STYLES[service]
        x, y = scene.projection.spot(start.at_m)
        spot = (x + (place - (len(services) - 1) / 2.0) * 2.6 * _PORT, y)
        words = f"click to draw the {service.value} line from {start.words}"
        made.append(Handle(HandleKind.BEGIN, spot, (x, y), style.ink, words, start, letter=style.letter))
    return made


def _draw(circuit: Circuit, line: Line, node: str, scene: Scene) -> Handle | None:
    spot = scene.nodes.get(Target(circuit.id, line.id, node=node))
    start = from_node(circuit, line, node)
    if spot is None or start is None:
        return None
    taken = []
    for leg in line.legs:
        if node in (leg.start, leg.end):
            other = scene.nodes.get(Target(circuit.id, line.id, node=leg.end if leg.start == node else leg.start))
            if other is not None and math.dist(other, spot) > 1.0:
                taken.append(math.atan2(other[1] - spot[1], other[0] - spot[0]))
    angle = _freest(taken)
    at = (spot[0] + _OUT * math.cos(angle), spot[1] + _OUT * math.sin(angle))
    words = f"draw on from {start.words}"
    return Handle(HandleKind.DRAW, at, spot, SERVICE_STYLES[line.service].ink, words, start)


def _freest(taken: list[float]) -> float:
    """Return the angle that lies farthest from some others; straight on from a single one."""
    if not taken:
        return -math.pi / 4.0
    choices = [math.pi * k / 12.0 for k in range(24)]
    return max(choices, key=lambda angle: round(min(abs(_turn(angle - other)) for other in taken), 6))


def _turn(angle: float) -> float:
    return math.atan2(math.sin(angle), math.cos(angle))


def _begin(circuit: Circuit, scene: Scene) -> list[Handle]:
    made = []
    for service in missing_services(circuit):
        start = from_equipment(circuit, service)
        if start is None:
            continue
        style = SERVICE_STYLES[service]
        spot = scene.projection.spot(start.at_m)
        words = f"click to draw the {service.value} line from {start.words}"
        made.append(Handle(HandleKind.BEGIN, spot, spot, style.ink, words, start, letter=style.letter))
    return made
