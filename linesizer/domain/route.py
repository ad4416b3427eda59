"""The route of a line: nodes in space, legs between them, fittings at the nodes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from linesizer.domain.extra import Extra
from linesizer.domain.part import Part

Point = tuple[float, float, float]
"""East, north, up, [m]."""


class Service(StrEnum):
    """What a line carries, in the words of the job file."""

    DISCHARGE = "discharge"
    LIQUID = "liquid"
    DRAIN = "drain"
    SUCTION = "suction"
    BYPASS = "bypass"
    RELIEF = "relief"


class Joint(StrEnum):
    """How the tube of a leg is joined; decides the temper that its rating may use."""

    BRAZED = "brazed"
    MECHANICAL = "mechanical"
    WELDED = "welded"


@dataclass(frozen=True, slots=True)
class Node:
    """A point of the route, where legs meet or end."""

    id: str
    at_m: Point


@dataclass(frozen=True, slots=True)
class RiserPart:
    """A bend of one tube of a double riser, and how many of it."""

    kind: str
    count: int = 1
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class DoubleRiser:
    """Two tubes side by side up one leg; ``small`` and ``large`` are roles, sizes of the line's tube catalogue.

    ``seal_m`` is the height of the large tube's trap.  ``small_parts`` and ``large_parts`` replace the default bends of
    each tube where they are not None.
    """

    small: str
    large: str
    seal_m: float
    small_parts: tuple[RiserPart, ...] | None = None
    large_parts: tuple[RiserPart, ...] | None = None
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Leg:
    """A straight run from node ``start`` to node ``end`` in the direction of flow.

    ``size`` None means the line's default size.  ``place`` is ``indoor``, ``outdoor`` or a room's id.  ``fall`` is
    the slope down in the direction of flow of a run that is drawn level, [m/m].  ``tube`` overrides the line's tube.
    """

    id: str
    start: str
    end: str
    size: str | None = None
    double_riser: DoubleRiser | None = None
    place: str = "indoor"
    insulation_m: float = 0.0
    insulation_W_mK: float | None = None
    joint: Joint = Joint.BRAZED
    fall: float = 0.0
    tube: str | None = None
    parts: tuple[Part, ...] = ()
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class FittingAt:
    """What stands at a node instead of the elbow that the route implies."""

    node: str
    kind: str
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class LineEnd:
    """Which equipment, and which port of it where that matters, an end of the line is tied to."""

    node: str
    equipment: str
    port: str | None = None

    @property
    def text(self) -> str:
        """The end as the job file writes it."""
        return self.equipment if self.port is None else f"{self.equipment}:{self.port}"


@dataclass(frozen=True, slots=True)
class Line:
    """A tree of legs that carries refrigerant from sources to sinks.

    ``listed_rating_Pa`` is a gauge rating that the tube or joint maker lists; it replaces the computed allowable
    pressure.
    """

    id: str
    service: Service
    nodes: tuple[Node, ...]
    legs: tuple[Leg, ...]
    tube: str = "ASTM-B280-drawn"
    default_size: str | None = None
    listed_rating_Pa: float | None = None
    ends: tuple[LineEnd, ...] = ()
    fittings: tuple[FittingAt, ...] = ()
    extra: Extra = ()
