"""The charge of a circuit as rows: what holds how much, and where each figure comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.charge_result import BandSource, ReceiverLevel
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.result import CircuitResult, LineResult
from linesizer.solver.total_charge import liquid_fraction
from linesizer.units import Kind, System, display, display_with_unit

NITROGEN = (
    "A nitrogen holding charge holds no refrigerant. A unit or condenser that arrives with one brings nothing, and the "
    "whole charge is added on site; enter what it arrives with only where its maker ships refrigerant in it."
)

BAND_WORDS = {
    BandSource.LENGTH: "the surveyed length",
    BandSource.BORE: "the bore of the tube",
    BandSource.LIQUID_TEMPERATURE: "the liquid's temperature",
    BandSource.EQUIPMENT: "the equipment's data",
}


class Weight(Enum):
    """How much a row weighs on the page."""

    PLAIN = "plain"
    SUM = "sum"
    RESULT = "result"


@dataclass(frozen=True, slots=True)
class ChargeRow:
    """One row: what, where the figure comes from, mass per length and mass; None where it does not exist.

    ``fill`` stands in place of the mass where the row tells how full a receiver is.
    """

    what: str
    source: str
    kg_m: float | None
    kg: float | None
    weight: Weight = Weight.PLAIN
    line: str | None = None
    equipment: str | None = None
    fill: float | None = None


def charge_rows(result: CircuitResult, system: System) -> tuple[ChargeRow, ...]:
    """Return the rows of a circuit at its governing condition: lines, equipment, flooding, sums, what to add."""
    charge, index = result.charge, result.charge.condition_index
    rows = [_line_row(line, index, system) for line in result.lines]
    rows.append(ChargeRow("In the lines", "", None, charge.lines_kg, Weight.SUM))
    rows += [_equipment_row(result, item, index, system) for item in result.circuit.equipment]
    rows.append(ChargeRow("In the equipment", "", None, charge.equipment_kg, Weight.SUM))
    if charge.flooding_kg is None or charge.flooding is not None:
        rows.append(ChargeRow("Winter flooding", _flooding_source(result, index, system), None, charge.flooding_kg))
    rows.append(ChargeRow("Needed in all", "", None, charge.total_kg, Weight.SUM))
    held = [item for item in result.circuit.equipment if item.holds_kg > 0.0]
    source = "stated for " + ", ".join(item.name or item.id for item in held) if held else "no refrigerant is stated"
    rows.append(ChargeRow("Held on arrival", source, None, charge.held_kg))
    rows.append(ChargeRow("To add on site", "", None, charge.to_add_kg, Weight.RESULT))
    return tuple(rows)


def level_rows(result: CircuitResult, practice: PracticeSet, system: System) -> tuple[ChargeRow, ...]:
    """Return how full each receiver stands: least while running, in summer, and with the charge pumped down."""
    return tuple(row for level in result.charge.receivers for row in _level_rows(result, level, practice, system))


def headline(result: CircuitResult, system: System) -> str:
    """Return the one figure that a person came for."""
    charge = result.charge
    if charge.to_add_kg is None:
        return "The charge is not known yet"
    return f"{display_with_unit(Kind.MASS, charge.to_add_kg, system)} to add on site"


def explanation(result: CircuitResult, practice: PracticeSet, system: System) -> str:
    """Return at which condition that is, why that one, and how wide the band around it is."""
    charge, circuit = result.charge, result.circuit
    title = next(condition.title for condition in circuit.conditions if condition.id == charge.condition)
    if charge.total_kg is None:
        return "A line or the winter flooding cannot be calculated; the findings say which, and what is missing."
    if circuit.charge_condition is not None:
        why = "the condition that the job names"
    elif len(circuit.conditions) > 1:
        why = "the condition that needs most"
    else:
        why = "the one condition"
    low, high = display(Kind.MASS, charge.low_kg, system), display_with_unit(Kind.MASS, charge.high_kg, system)
    largest = charge.largest_band_term
    most = "" if largest is None else f" Most of that comes from {BAND_WORDS[largest.source]}."
    length, bore, data = (f"{100.0 * practice.value(f'band_{of}'):g}%" for of in ("length", "bore", "equipment"))
    warmth = display_with_unit(Kind.TEMPERATURE_DIFFERENCE, practice.value("band_liquid_K"), system)
    return (
        f"At {title}, {why}. The whole charge lies between {low} and {high}: surveyed length by {length}, bore by "
        f"{bore}, equipment by {data} and liquid temperature by {warmth} (practice set {practice.name}).{most}"
    )


def _line_row(line: LineResult, index: int, system: System) -> ChargeRow:
    name = f"{line.line.service.value.capitalize()} line {line.line.id}"
    if line.flow is None:
        return ChargeRow(name, "not calculated yet", None, None, line=line.line.id)
    kg = float(line.flow.charge_kg[index])
    length = display_with_unit(Kind.LENGTH, line.length_m, system)
    kg_m = kg / line.length_m if line.length_m > 0.0 else None
    if not math.isfinite(kg):
        return ChargeRow(name, "the flow does not pass", None, None, line=line.line.id)
    return ChargeRow(name, f"volume by density, {length}", kg_m, kg, line=line.line.id)


def _equipment_row(result: CircuitResult, item: Equipment, index: int, system: System) -> ChargeRow:
    name = item.name or item.id
    fraction = liquid_fraction(item)
    if item.operating_kg is not None:
        return ChargeRow(name, "stated operating charge", None, item.operating_kg, equipment=item.id)
    if item.volume_m3 is not None and fraction is not None:
        held = next(found.kg for found in result.charge.equipment if found.id == item.id)
        kg = None if held is None else float(held[index])
        volume = display_with_unit(Kind.VOLUME, item.volume_m3, system)
        word = "filled" if item.role is Role.RECEIVER else "liquid"
        return ChargeRow(name, f"{volume}, {fraction:.0%} {word}", None, kg, equipment=item.id)
    return ChargeRow(name, "not stated, counted as empty", None, None, equipment=item.id)


def _flooding_source(result: CircuitResult, index: int, system: System) -> str:
    flooding = result.charge.flooding
    if flooding is None:
        return "not known: the findings say what is missing"
    names = {item.id: item.name or item.id for item in result.circuit.equipment}
    parts = [f"{names[item.id]} {1.0 - float(item.active[index]):.1%} flooded" for item in flooding.condensers]
    air = display_with_unit(Kind.TEMPERATURE, float(flooding.ambient_C[index]), system)
    return f"{', '.join(parts)} in air of {air}"


def _level_rows(result: CircuitResult, level: ReceiverLevel, practice: PracticeSet, system: System) -> list[ChargeRow]:
    name = next(item.name or item.id for item in result.circuit.equipment if item.id == level.id)
    titles = [condition.title for condition in result.circuit.conditions]
    rows = []
    if level.running is not None and any(math.isfinite(fill) for fill in level.running):
        fill, at = min((float(fill), at) for at, fill in enumerate(level.running) if math.isfinite(fill))
        least = f"at {titles[at]}; practice asks for {practice.value('receiver_min_fill'):.0%}"
        rows.append(ChargeRow(f"{name}, lowest", least, None, None, equipment=level.id, fill=fill))
    if level.summer is not None and math.isfinite(level.summer):
        drained = ", condenser drained" if result.charge.flooding is not None else ""
        most = f"practice allows {practice.value('receiver_max_fill_operating'):.0%}"
        words = f"at {titles[level.summer_index]}{drained}; {most}"
        rows.append(ChargeRow(f"{name}, in summer", words, None, None, equipment=level.id, fill=level.summer))
    pumped = display_with_unit(Kind.TEMPERATURE, practice.value("pumpdown_temperature_C"), system)
    words = f"whole charge at {pumped}; practice allows {practice.value('receiver_max_fill_pumpdown'):.0%}"
    rows.append(ChargeRow(f"{name}, pumped down", words, None, None, equipment=level.id, fill=level.pumped_down))
    return rows
