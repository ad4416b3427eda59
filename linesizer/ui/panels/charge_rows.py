"""The charge of a circuit as rows: what holds how much, and where each figure comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import Enum

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.result import CircuitResult, LineResult
from linesizer.properties.library import load
from linesizer.solver.total_charge import equipment_charge, liquid_fraction
from linesizer.units import Kind, System, display, display_with_unit

NITROGEN = (
    "A nitrogen holding charge holds no refrigerant. A unit or condenser that arrives with one brings nothing, and the "
    "whole charge is added on site; enter what it arrives with only where its maker ships refrigerant in it."
)


class Weight(Enum):
    """How much a row weighs on the page."""

    PLAIN = "plain"
    SUM = "sum"
    RESULT = "result"


@dataclass(frozen=True, slots=True)
class ChargeRow:
    """One row: what, where the figure comes from, mass per length and mass; None where it does not exist."""

    what: str
    source: str
    kg_m: float | None
    kg: float | None
    weight: Weight = Weight.PLAIN
    line: str | None = None
    equipment: str | None = None


def charge_rows(result: CircuitResult, system: System) -> tuple[ChargeRow, ...]:
    """Return the rows of a circuit at its governing condition: lines, equipment, flooding, sums, what to add."""
    charge, index = result.charge, result.charge.condition_index
    rows = [_line_row(line, index, system) for line in result.lines]
    rows.append(ChargeRow("In the lines", "", None, charge.lines_kg, Weight.SUM))
    rows += [_equipment_row(result, item, index, system) for item in result.circuit.equipment]
    rows.append(ChargeRow("In the equipment", "", None, charge.equipment_kg, Weight.SUM))
    if charge.flooding_kg is None:
        rows.append(ChargeRow("Winter flooding", "not calculated yet by this version", None, None))
    rows.append(ChargeRow("Needed in all", "", None, charge.total_kg, Weight.SUM))
    held = [item for item in result.circuit.equipment if item.holds_kg > 0.0]
    source = "stated for " + ", ".join(item.name or item.id for item in held) if held else "no refrigerant is stated"
    rows.append(ChargeRow("Held on arrival", source, None, charge.held_kg))
    rows.append(ChargeRow("To add on site", "", None, charge.to_add_kg, Weight.RESULT))
    return tuple(rows)


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
        return "A line or the winter flooding is not calculated by this version; the findings say which."
    if circuit.charge_condition is not None:
        why = "the condition that the job names"
    elif len(circuit.conditions) > 1:
        why = "the condition that needs most"
    else:
        why = "the one condition"
    low, high = display(Kind.MASS, charge.low_kg, system), display_with_unit(Kind.MASS, charge.high_kg, system)
    return (
        f"At {title}, {why}. The whole charge lies between {low} and {high}: surveyed length by "
        f"{practice.value('band_length'):.0%}, equipment by {practice.value('band_equipment'):.0%} and liquid "
        f"temperature by {display_with_unit(Kind.TEMPERATURE_DIFFERENCE, practice.value('band_liquid_K'), system)} "
        f"(practice set {practice.name})."
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
        alone = replace(result.circuit, equipment=(item,))
        kg = float(equipment_charge(alone, result.conditions, load(result.circuit.refrigerant))[index])
        volume = display_with_unit(Kind.VOLUME, item.volume_m3, system)
        word = "filled" if item.role is Role.RECEIVER else "liquid"
        return ChargeRow(name, f"{volume}, {fraction:.0%} {word}", None, kg, equipment=item.id)
    return ChargeRow(name, "not stated, counted as empty", None, None, equipment=item.id)
