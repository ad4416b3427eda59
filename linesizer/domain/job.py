"""A job: who, where, by which practice, and its circuits."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.domain.circuit import Circuit
from linesizer.domain.extra import Extra, Json


@dataclass(frozen=True, slots=True)
class JobInfo:
    """What the title block says; ``date`` is an ISO date or empty."""

    title: str = ""
    number: str = ""
    prepared_by: str = ""
    revision: str = ""
    date: str = ""
    notes: str = ""
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Room:
    """A room that a line passes or equipment stands in."""

    id: str
    name: str = ""
    volume_m3: float | None = None
    ambient_C: float | None = None
    occupied: bool = False
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Site:
    """The place: altitude, design ambients, rooms, price of a kilowatt-hour in the person's own currency."""

    altitude_m: float = 0.0
    summer_ambient_C: float | None = None
    winter_ambient_C: float | None = None
    indoor_ambient_C: float | None = None
    rooms: tuple[Room, ...] = ()
    electricity_price_kWh: float | None = None
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class PracticeChoice:
    """Which practice set judges the job, and the job's own values for single rules."""

    set: str = "general"
    overrides: tuple[tuple[str, Json], ...] = ()
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Review:
    """Comments, waivers and the disposition of a review."""

    comments: tuple[Json, ...] = ()
    waivers: tuple[Json, ...] = ()
    disposition: Json = None
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Job:
    """The whole job, the one document of the program."""

    circuits: tuple[Circuit, ...]
    info: JobInfo = JobInfo()
    site: Site = Site()
    practice: PracticeChoice = PracticeChoice()
    record: tuple[Json, ...] = ()
    review: Review = Review()
    extra: Extra = ()
