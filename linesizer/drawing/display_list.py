"""The display list: frozen primitives that a painter draws with no further thought, on screen, on paper, in a file.

All places and sizes are in sheet units (a logical pixel on screen, 1/96 in on paper), right and down.  Nothing holds
a colour: an ``Ink`` is a token that the theme resolves.  A list is made for one scale; a painter may move it, and paper
may enlarge it as a whole, text and all.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import Enum, IntEnum, StrEnum
from typing import TypeAlias

from linesizer.drawing.projection import Spot
from linesizer.drawing.text_size import text_width

Spots: TypeAlias = tuple[Spot, ...]


class Ink(StrEnum):
    """Colour tokens; ``face`` fills the sides of equipment."""

    PANEL = "panel"
    RULE = "rule"
    GRID = "grid"
    FACE = "face"
    INK = "ink"
    QUIET = "quiet"
    DISCHARGE = "discharge"
    LIQUID = "liquid"
    DRAIN = "drain"
    SELECTION = "selection"
    DECIDE = "decide"
    STOP = "stop"
    FITS = "fits"


class Width(Enum):
    """Classes of line width; the value is the width in sheet units."""

    HAIR = 0.7
    THIN = 1.1
    SYMBOL = 1.5
    PIPE = 3.2
    SELECTION = 11.0


class Layer(IntEnum):
    """What lies over what; a list is painted from the lowest to the highest."""

    GRID = 0
    SELECTION = 10
    HIDDEN_PIPE = 20
    EQUIPMENT = 30
    TIE = 40
    PIPE = 50
    SYMBOL = 60
    LEADER = 70
    LABEL = 80
    FURNITURE = 90


class TextSize(Enum):
    """Classes of text; the value is the height of the font in sheet units."""

    SMALL = 10.0
    LABEL = 11.0
    PROSE = 12.0
    FIGURE = 13.0
    TITLE = 14.0


class Anchor(StrEnum):
    """Which part of a text's width stands at its place; the middle of its height always does."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class TargetKind(StrEnum):
    """What a primitive belongs to."""

    LINE = "line"
    LEG = "leg"
    NODE = "node"
    PART = "part"
    EQUIPMENT = "equipment"


@dataclass(frozen=True, slots=True)
class Target:
    """What a primitive belongs to, by the job's own ids; ``leg`` is also given for a part."""

    circuit: str
    line: str | None = None
    leg: str | None = None
    node: str | None = None
    part: str | None = None
    equipment: str | None = None

    @property
    def kind(self) -> TargetKind:
        """What it names."""
        if self.equipment is not None:
            return TargetKind.EQUIPMENT
        if self.part is not None:
            return TargetKind.PART
        if self.node is not None:
            return TargetKind.NODE
        return TargetKind.LINE if self.leg is None else TargetKind.LEG


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle on the sheet."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Extent to the right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent downwards."""
        return self.bottom - self.top

    @property
    def centre(self) -> Spot:
        """The middle."""
        return ((self.left + self.right) / 2.0, (self.top + self.bottom) / 2.0)

    def grown(self, margin: float) -> Box:
        """Return the box with a margin on every side."""
        return Box(self.left - margin, self.top - margin, self.right + margin, self.bottom + margin)

    def joined(self, other: Box) -> Box:
        """Return the smallest box around both."""
        return Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )

    def moved(self, dx: float, dy: float) -> Box:
        """Return the box somewhere else."""
        return Box(self.left + dx, self.top + dy, self.right + dx, self.bottom + dy)

    def meets(self, other: Box) -> bool:
        """Whether the two share some area."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    @staticmethod
    def around(spots: Iterable[Spot]) -> Box:
        """Return the smallest box around some places; ``ValueError`` for none."""
        xs, ys = zip(*spots, strict=True)
        return Box(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class Polyline:
    """A drawn line; ``dash`` has the lengths of stroke and gap in turn, empty for a continuous line."""

    points: Spots
    ink: Ink
    width: Width = Width.THIN
    dash: tuple[float, ...] = ()
    dash_offset: float = 0.0
    target: Target | None = None
    layer: Layer = Layer.PIPE


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed area, filled, outlined or both."""

    points: Spots
    fill: Ink | None
    outline: Ink | None = None
    width: Width = Width.THIN
    target: Target | None = None
    layer: Layer = Layer.SYMBOL


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle, filled, outlined or both."""

    centre: Spot
    radius: float
    fill: Ink | None
    outline: Ink | None = None
    width: Width = Width.THIN
    target: Target | None = None
    layer: Layer = Layer.SYMBOL


@dataclass(frozen=True, slots=True)
class Plate:
    """The ground behind a text: a box with round corners."""

    box: Box
    radius: float
    fill: Ink | None
    outline: Ink | None = None


@dataclass(frozen=True, slots=True)
class Text:
    """One row of upright text; ``at`` is at half its height."""

    at: Spot
    text: str
    size: TextSize = TextSize.LABEL
    anchor: Anchor = Anchor.MIDDLE
    ink: Ink = Ink.INK
    bold: bool = False
    plate: Plate | None = None
    target: Target | None = None
    layer: Layer = Layer.LABEL


@dataclass(frozen=True, slots=True)
class Hotspot:
    """A place that is not painted but can be hit, such as a node of a plain bend."""

    at: Spot
    radius: float
    target: Target
    layer: Layer = Layer.SYMBOL


Primitive: TypeAlias = Polyline | Polygon | Circle | Text | Hotspot


@dataclass(frozen=True, slots=True)
class DisplayList:
    """Primitives in the order of painting, for one scale, [sheet units a metre]; text grows by ``text_factor``."""

    items: tuple[Primitive, ...]
    scale: float
    text_factor: float = 1.0

    @staticmethod
    def in_order(items: Iterable[Primitive], scale: float, text_factor: float = 1.0) -> DisplayList:
        """Return a list whose primitives are sorted by layer, those of a layer in the order given."""
        return DisplayList(tuple(sorted(items, key=lambda item: item.layer)), scale, text_factor)

    def joined(self, *others: DisplayList) -> DisplayList:
        """Return this list and others, made for the same scale, as one."""
        return DisplayList.in_order(
            (item for each in (self, *others) for item in each.items), self.scale, self.text_factor
        )

    def moved(self, dx: float, dy: float) -> DisplayList:
        """Return the list somewhere else on the sheet."""
        return replace(self, items=tuple(moved(item, dx, dy) for item in self.items))

    def text_height(self, text: Text) -> float:
        """Return the height of a text's font, [sheet units]."""
        return text.size.value * self.text_factor

    def bounds(self, layers: Iterable[Layer] | None = None) -> Box | None:
        """Return the smallest box around everything painted in some layers (all without), None for nothing."""
        wanted = None if layers is None else frozenset(layers)
        found: Box | None = None
        for item in self.items:
            if isinstance(item, Hotspot) or (wanted is not None and item.layer not in wanted):
                continue
            box = bounds(item, self.text_factor)
            found = box if found is None else found.joined(box)
        return found


def bounds(item: Primitive, text_factor: float = 1.0) -> Box:
    """Return the smallest upright box around one primitive, stroke included."""
    if isinstance(item, Polyline):
        return Box.around(item.points).grown(item.width.value / 2.0)
    if isinstance(item, Polygon):
        return Box.around(item.points).grown(item.width.value / 2.0 if item.outline is not None else 0.0)
    if isinstance(item, Text):
        own = text_box(item, text_factor)
        return own if item.plate is None else own.joined(item.plate.box)
    at = item.centre if isinstance(item, Circle) else item.at
    return Box(at[0], at[1], at[0], at[1]).grown(item.radius)


def text_box(item: Text, text_factor: float = 1.0) -> Box:
    """Return the box of a row of text by the shipped table of character widths."""
    height = item.size.value * text_factor
    width = text_width(item.text, height, bold=item.bold)
    left = item.at[0] - {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[item.anchor] * width
    return Box(left, item.at[1] - 0.6 * height, left + width, item.at[1] + 0.6 * height)


def moved(item: Primitive, dx: float, dy: float) -> Primitive:
    """Return one primitive somewhere else on the sheet."""
    if isinstance(item, Polyline | Polygon):
        return replace(item, points=tuple((x + dx, y + dy) for x, y in item.points))
    if isinstance(item, Circle):
        return replace(item, centre=(item.centre[0] + dx, item.centre[1] + dy))
    at = (item.at[0] + dx, item.at[1] + dy)
    if isinstance(item, Text) and item.plate is not None:
        return replace(item, at=at, plate=replace(item.plate, box=item.plate.box.moved(dx, dy)))
    return replace(item, at=at)


def circle_points(centre: Spot, radius: float, count: int = 24) -> Spots:
    """Return a closed ring of points, the first not repeated."""
    return tuple(
        (centre[0] + radius * math.cos(math.tau * i / count), centre[1] + radius * math.sin(math.tau * i / count))
        for i in range(count)
    )
