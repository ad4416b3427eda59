"""From an entry in the table of legs to the command that carries it out, and what may be chosen in it."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.catalog.fittings import fitting_kind, fitting_kinds
from linesizer.catalog.tubes import tube_catalogue, tube_ids
from linesizer.document.command import Command
from linesizer.document.commands.fitting import SetFitting
from linesizer.document.commands.node import SetLegLength
from linesizer.document.commands.size import SetDoubleRiser, SetLegFields, SetLegSize
from linesizer.document.commands.turn import TurnLeg
from linesizer.document.direction import Direction, scaled
from linesizer.document.typed_route import typed_runs
from linesizer.document.typed_size import double_riser_text, typed_double_riser
from linesizer.domain.job import Job
from linesizer.domain.route import Joint, Point
from linesizer.ui.panels.leg_columns import Column
from linesizer.ui.panels.leg_entries import LegEntry, implied_fitting
from linesizer.units import Kind, System, parse

TEXT_COLUMNS = (Column.DIRECTION, Column.LENGTH, Column.INSULATION, Column.FALL)

_WORDS = {name: direction for direction in Direction for name in (direction.value.lower(), direction.word)}


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that may be chosen: what the list says, and the value of the field, None for the default."""

    label: str
    value: str | None


def choices(column: Column, entry: LegEntry, job: Job) -> tuple[Choice, ...]:
    """Return what may be chosen in a cell; empty where something is typed instead."""
    line = entry.line
    if column is Column.SIZE:
        default = f"as the line: {line.default_size}" if line.default_size else "open"
        return (Choice(default, None), *(Choice(size, size) for size in tube_catalogue(entry.tube).size_names))
    if column is Column.TUBE:
        own = f"as the line: {tube_catalogue(line.tube).label}"
        return (Choice(own, None), *(Choice(tube_catalogue(name).label, name) for name in tube_ids()))
    if column is Column.PLACE:
        rooms = tuple(Choice(room.name or room.id, room.id) for room in job.site.rooms)
        return (Choice("indoor", "indoor"), Choice("outdoor", "outdoor"), *rooms)
    if column is Column.JOINT:
        return tuple(Choice(joint.value, joint.value) for joint in Joint)
    if column is Column.FITTING:
        route = implied_fitting(entry) or "nothing"
        return (Choice(f"as the route: {route}", None), *(Choice(fitting_kind(k).label, k) for k in fitting_kinds()))
    return ()


def chosen_value(column: Column, entry: LegEntry) -> str | None:
    """Return the value that a cell with choices has now."""
    leg = entry.leg
    if column is Column.SIZE:
        return leg.size
    if column is Column.TUBE:
        return leg.tube
    if column is Column.PLACE:
        return leg.place
    if column is Column.JOINT:
        return leg.joint.value
    return entry.fitting


def chosen_command(column: Column, entry: LegEntry, value: str | None) -> Command:
    """Return the command that gives a cell what was chosen for it."""
    circuit, line, leg = entry.circuit, entry.line.id, entry.leg.id
    if column is Column.FITTING:
        return SetFitting(circuit, line, entry.leg.start, value)
    if column is Column.JOINT and value is not None:
        return SetLegFields(circuit, line, (leg,), (("joint", Joint(value)),))
    return SetLegFields(circuit, line, (leg,), ((column.value, value),))


def size_entry(entry: LegEntry, system: System) -> str:
    """Return what a size's cell begins to be edited with: the choice that stands there, or the double riser."""
    riser = entry.leg.double_riser
    if riser is not None:
        return double_riser_text(riser, system)
    return entry.leg.size or choices(Column.SIZE, entry, Job(()))[0].label


def size_command(entry: LegEntry, text: str, system: System) -> Command:
    """Return the command that builds a leg as was typed or chosen: one size, two with a plus, or as the line.

    Raises
    ------
    UserError
        If a pair of sizes is not understood.
    """
    circuit, line, leg = entry.circuit, entry.line.id, entry.leg
    riser = typed_double_riser(text, entry.tube, system, leg.double_riser, named=f"leg {leg.id}")
    if riser is not None:
        return SetDoubleRiser(circuit, line, leg.id, riser)
    as_line = text.strip().lower() in ("", "open", choices(Column.SIZE, entry, Job(()))[0].label)
    return SetLegSize(circuit, line, (leg.id,), None if as_line else text.strip())


def typed_command(column: Column, entry: LegEntry, text: str, system: System) -> Command:
    """Return the command that gives a cell what was typed into it.

    Raises
    ------
    UserError
        If the entry is not understood.
    """
    circuit, line, leg = entry.circuit, entry.line.id, entry.leg.id
    if column is Column.DIRECTION:
        return TurnLeg(circuit, line, leg, typed_offset(text, entry.geometry.length_m, system))
    if column is Column.LENGTH:
        return SetLegLength(circuit, line, leg, parse(Kind.LENGTH, text, system, named=f"Length of leg {leg}"))
    if column is Column.INSULATION:
        value = parse(Kind.SMALL_LENGTH, text, system, named=f"Insulation of leg {leg}")
        return SetLegFields(circuit, line, (leg,), (("insulation_m", value),))
    fall = parse(Kind.SLOPE, text, system, named=f"Fall of leg {leg}")
    return SetLegFields(circuit, line, (leg,), (("fall", fall),))


def typed_offset(text: str, length_m: float, system: System) -> Point:
    """Return what was typed as a direction as an offset, [m].

    A direction alone keeps the length; runs such as ``E 1.2; U 3`` add up.

    Raises
    ------
    UserError
        If the entry is not understood.
    """
    alone = _WORDS.get(text.strip().lower())
    if alone is not None:
        return scaled(alone.vector, length_m)
    east, north, up = 0.0, 0.0, 0.0
    for run in typed_runs(text, system):
        x, y, z = run.offset_m
        east, north, up = east + x, north + y, up + z
    return east, north, up
