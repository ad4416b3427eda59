"""The columns of the table of legs: what each is called, means, shows, and whether it can be changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from linesizer.catalog.fittings import fitting_kind
from linesizer.catalog.parts import part_kind
from linesizer.document.typed_size import double_riser_text
from linesizer.domain.job import Job
from linesizer.ui.panels.leg_entries import LegEntry, direction_text, implied_fitting
from linesizer.units import Kind, System, display, unit_label


class Column(StrEnum):
    """A column by its word, which is also what a pasted table calls it."""

    LINE = "line"
    LEG = "leg"
    FROM = "from"
    TO = "to"
    DIRECTION = "direction"
    LENGTH = "length"
    SIZE = "size"
    TUBE = "tube"
    PLACE = "place"
    INSULATION = "insulation"
    JOINT = "joint"
    FALL = "fall"
    FITTING = "fitting"
    PARTS = "parts"
    VELOCITY = "velocity"
    DROP = "drop"
    OIL_RETURN = "oil return"
    CHARGE = "charge"


@dataclass(frozen=True, slots=True)
class LegColumn:
    """One column: ``text`` is what it shows, ``entered`` whether the job states that itself."""

    column: Column
    meaning: str
    text: Callable[[LegEntry, Job, System], str]
    kind: Kind | None = None
    editable: bool = False
    entered: Callable[[LegEntry], bool] = lambda entry: True
    value: Callable[[LegEntry], float] | None = None
    copied: Callable[[LegEntry, Job, System], str] | None = None
    """What a copied table says where that is more than the cell shows."""

    def head(self, system: System) -> str:
        """Return the head: the word, and its unit beneath."""
        unit = "" if self.kind is None else unit_label(self.kind, system)
        return f"{self.column.value}\n{unit}"

    def plain_head(self, system: System) -> str:
        """Return the head of a copied table: ``length, m``."""
        return ", ".join(part for part in self.head(system).split("\n") if part)

    @property
    def figure(self) -> bool:
        """Whether it holds figures, which stand to the right."""
        return self.value is not None


def _shown(kind: Kind, value: Callable[[LegEntry], float]) -> Callable[[LegEntry, Job, System], str]:
    def text(entry: LegEntry, job: Job, system: System) -> str:
        return display(kind, value(entry), system)

    return text


def _live(kind: Kind, column: Column, value: Callable[[LegEntry], float], meaning: str) -> LegColumn:
    return LegColumn(column, meaning, _shown(kind, value), kind, entered=lambda entry: False, value=value)


def _typed(kind: Kind, column: Column, value: Callable[[LegEntry], float], meaning: str) -> LegColumn:
    return LegColumn(column, meaning, _shown(kind, value), kind, editable=True, value=value)


def size_text(entry: LegEntry, job: Job, system: System) -> str:
    """Return a leg's size: one, the two of a double riser, or a word where it is open."""
    riser = entry.leg.double_riser
    if riser is not None:
        return f"{riser.small} + {riser.large}"
    return entry.size or "open"


def _size_copied(entry: LegEntry, job: Job, system: System) -> str:
    riser = entry.leg.double_riser
    return size_text(entry, job, system) if riser is None else double_riser_text(riser, system)


def place_name(place: str, job: Job) -> str:
    """Return a place as the person calls it: a room by its name."""
    room = next((room for room in job.site.rooms if room.id == place), None)
    return (room.name or room.id) if room is not None else place


def _parts_text(entry: LegEntry, job: Job, system: System) -> str:
    return ", ".join(part_kind(part.kind).label.lower() for part in entry.leg.parts)


def _fitting_text(entry: LegEntry, job: Job, system: System) -> str:
    return implied_fitting(entry) if entry.fitting is None else fitting_kind(entry.fitting).label.lower()


COLUMNS = (
    LegColumn(
        Column.LINE,
        "The line that the leg belongs to; where it branches, to or from which equipment the leg carries its part.",
        lambda e, j, s: f"{e.line.id} {e.branch}".rstrip(),
    ),
    LegColumn(Column.LEG, "The leg's id; findings, comments and the drawing name it so.", lambda e, j, s: e.leg.id),
    LegColumn(Column.FROM, "Node where the flow enters the leg.", lambda e, j, s: e.leg.start),
    LegColumn(Column.TO, "Node where the flow leaves the leg.", lambda e, j, s: e.leg.end),
    LegColumn(
        Column.DIRECTION,
        "Which way the leg runs with the flow: N, E, S, W, U (up), D (down); on a slant its offsets, as in E 1.2; U 3. "
        "What hangs on the leg follows when it is changed.",
        lambda e, j, s: direction_text(e, s),
        editable=True,
    ),
    _typed(
        Kind.LENGTH,
        Column.LENGTH,
        lambda e: e.geometry.length_m,
        "Length to centrelines. What hangs on the leg follows when it is changed.",
    ),
    LegColumn(
        Column.SIZE,
        "Size from the tube's catalogue: copper by outside diameter, steel by nominal size. Quiet where it is the "
        "line's default. Two with a plus make a double riser, with the height of its trap's seal behind a comma: "
        "7/8 + 1-3/8, 400 mm.",
        size_text,
        copied=_size_copied,
        editable=True,
        entered=lambda e: e.leg.size is not None or e.leg.double_riser is not None,
    ),
    LegColumn(
        Column.TUBE,
        "Tube standard, which gives bore, wall and rating. Quiet where it is the line's.",
        lambda e, j, s: e.tube,
        editable=True,
        entered=lambda e: e.leg.tube is not None,
    ),
    LegColumn(
        Column.PLACE,
        "Where the leg runs: indoors, outdoors or a room of the site; its ambient temperature follows from it.",
        lambda e, j, s: place_name(e.leg.place, j),
        editable=True,
    ),
    _typed(Kind.SMALL_LENGTH, Column.INSULATION, lambda e: e.leg.insulation_m, "Thickness of the insulation."),
    LegColumn(
        Column.JOINT,
        "How the tube is joined. Brazing anneals copper, and the rating counts on that.",
        lambda e, j, s: e.leg.joint.value,
        editable=True,
    ),
    _typed(
        Kind.SLOPE,
        Column.FALL,
        lambda e: e.leg.fall,
        "Slope down in the direction of flow of a run that is drawn level.",
    ),
    LegColumn(
        Column.FITTING,
        "What stands at the leg's start. Quiet where it follows from the route: a turn of 90° is a long elbow.",
        _fitting_text,
        editable=True,
        entered=lambda e: e.fitting is not None,
    ),
    LegColumn(Column.PARTS, "Valves, driers and the like on the leg, in the direction of flow.", _parts_text),
    _live(
        Kind.VELOCITY,
        Column.VELOCITY,
        lambda e: e.figures.velocity_m_s,
        "Highest velocity on the leg at the condition that is chosen.",
    ),
    _live(
        Kind.PRESSURE_DIFFERENCE,
        Column.DROP,
        lambda e: e.figures.drop_Pa,
        "Pressure at the leg's start less that at its end, its climb included.",
    ),
    _live(
        Kind.RATIO,
        Column.OIL_RETURN,
        lambda e: e.figures.oil_return_ratio,
        "Flow over the least flow that carries an oil film up; only a gas leg that climbs has one. Below 1 oil stays.",
    ),
    _live(Kind.MASS, Column.CHARGE, lambda e: e.figures.charge_kg, "Refrigerant in the leg."),
)

PLACE_OF = {shown.column: index for index, shown in enumerate(COLUMNS)}
