"""The charge of a solved job: in all, and for each line what every size of its tube would hold."""

from __future__ import annotations

import textwrap
from typing import Any

from linesizer.domain.result import CircuitResult, LineResult, Result
from linesizer.domain.result_rows import blend_row, charge_row, plain
from linesizer.output.size_table import CAUTION, charge_text, refrigerant_words
from linesizer.output.text_columns import WIDTH, table_text
from linesizer.units import Kind, System, display, display_with_unit, unit_label


def charge_rows(result: Result) -> dict[str, Any]:
    """Return the charge of every circuit, line and size as plain values.

    All of it at the condition that governs the circuit's charge; None where a size cannot pass the flow.
    """
    return {
        "circuits": [
            {
                "id": circuit.circuit.id,
                **({} if circuit.own is None else {"blend": blend_row(circuit.circuit.refrigerant, circuit.own)}),
                "charge": charge_row(circuit.charge, [condition.id for condition in circuit.circuit.conditions]),
                "lines": [
                    {
                        "id": line.line.id,
                        "charge_kg": plain(_as_drawn_kg(line, circuit)),
                        "sizes": [
                            {"size": size, "kg_m": plain(per_metre_kg), "charge_kg": plain(charge_kg)}
                            for size, per_metre_kg, charge_kg in _sizes(line, circuit)
                        ],
                    }
                    for line in circuit.lines
                ],
            }
            for circuit in result.circuits
        ]
    }


def charge_report(result: Result, system: System) -> str:
    """Return the same as text; per 100 feet in inch-pound units."""
    blocks = [result.job.info.title or "Untitled job"]
    for circuit in result.circuits:
        blocks.append(f"{circuit.circuit.title}   {refrigerant_words(circuit.circuit)}")
        blocks.append(charge_text(circuit.charge, circuit, system))
        blocks += [_line_text(line, circuit, system) for line in circuit.lines]
    blocks.append(textwrap.fill(CAUTION, WIDTH))
    return "\n\n".join(blocks) + "\n"


def _line_text(line: LineResult, circuit: CircuitResult, system: System) -> str:
    condition = circuit.circuit.conditions[circuit.charge.condition_index].title
    drawn_kg = _as_drawn_kg(line, circuit)
    held = (
        "not calculated as drawn" if drawn_kg is None else f"{display_with_unit(Kind.MASS, drawn_kg, system)} as drawn"
    )
    length = display_with_unit(Kind.LENGTH, line.length_m, system)
    title = f"{line.line.service.value.capitalize()} line {line.line.id}: {length}, {held}"
    rows = [["size", unit_label(Kind.MASS_PER_LENGTH, system), unit_label(Kind.MASS, system), ""]]
    drawn = set(line.legs.sizes) if line.legs is not None else set()
    rows += [
        [
            size,
            display(Kind.MASS_PER_LENGTH, per_metre_kg, system),
            display(Kind.MASS, charge_kg, system),
            "< drawn" if size in drawn else "",
        ]
        for size, per_metre_kg, charge_kg in _sizes(line, circuit)
    ]
    if len(rows) == 1:
        return title
    return f"{title}\nThe whole line at one size, at {condition}:\n{table_text(rows, left=(0, 3))}"


def _as_drawn_kg(line: LineResult, circuit: CircuitResult) -> float | None:
    return None if line.flow is None else float(line.flow.charge_kg[circuit.charge.condition_index])


def _sizes(line: LineResult, circuit: CircuitResult) -> list[tuple[str, float, float]]:
    """Return size, charge a metre and charge of the whole line, [kg/m] and [kg]; NaN where the flow does not pass."""
    if line.sweep is None or line.length_m <= 0.0:
        return []
    charge_kg = line.sweep.charge_by_condition_kg[circuit.charge.condition_index]
    return [
        (size, float(held) / line.length_m, float(held)) for size, held in zip(line.sweep.sizes, charge_kg, strict=True)
    ]
