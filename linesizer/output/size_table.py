"""A solved job as text for a terminal: conditions, a size table for each line, charge, findings."""

from __future__ import annotations

import textwrap

import numpy as np

from linesizer.catalog.practice import practice_set
from linesizer.domain.circuit import Circuit
from linesizer.domain.finding import Finding, Level
from linesizer.domain.proposal import Proposals
from linesizer.domain.result import ChargeResult, CircuitResult, LineResult, Result, SizeSweep
from linesizer.domain.route import Service
from linesizer.output.branch_table import branch_text
from linesizer.output.proposal_table import proposal_text
from linesizer.output.text_columns import WIDTH, table_text
from linesizer.sizing.exclusion import exclusion_word
from linesizer.units import Kind, System, display, display_with_unit, unit_label

LEVEL_WORDS = {Level.STOP: "STOP", Level.WARN: "DECIDE", Level.NOTE: "note"}

CAUTION = (
    "An aid to planning. It replaces neither the local codes nor the makers' instructions; refrigerant, "
    "pressure, brazing "
    "and electrical work is for licensed people. Figures marked as assumed are nobody's data."
)


def size_report(result: Result, system: System, proposals: Proposals | None = None) -> str:
    """Return a whole job's sizes, charge and findings as text; with ``proposals`` what is proposed for each line."""
    info = result.job.info
    head = [info.title or "Untitled job"]
    head += [text for text in (info.number, f"rev {info.revision}" if info.revision else "", info.date) if text]
    blocks = ["   ".join(head)]
    for circuit in result.circuits:
        blocks.append(_circuit_text(circuit, result, system, proposals))
    blocks.append(textwrap.fill(CAUTION, WIDTH))
    return "\n\n".join(blocks) + "\n"


def _circuit_text(result: CircuitResult, whole: Result, system: System, proposals: Proposals | None) -> str:
    circuit = result.circuit
    title = f"{circuit.title}   {refrigerant_words(circuit)}   practice set {whole.job.practice.set}"
    blocks = [title, _conditions_text(result, system)]
    practice = practice_set(whole.job.practice.set, whole.job.practice.overrides)
    for line in result.lines:
        blocks.append(_line_text(line, result, system))
        if proposals is not None and line.line.legs:
            found = proposals.get((circuit.id, line.line.id))
            blocks[-1] += "\n" + proposal_text(found, line.line, circuit, whole.job.site, practice, system)
    blocks.append(charge_text(result.charge, result, system))
    blocks.append(findings_text(result.findings, system))
    return "\n\n".join(blocks)


def refrigerant_words(circuit: Circuit) -> str:
    """Return the refrigerant's name, with what it is made of where it is no shipped one."""
    if circuit.blend is None:
        return circuit.refrigerant
    return f"{circuit.refrigerant} (own blend, not shipped: {circuit.blend.words})"


def _conditions_text(result: CircuitResult, system: System) -> str:
    conditions, solved = result.circuit.conditions, result.conditions
    columns = (
        ("cooling", Kind.CAPACITY, np.array([c.capacity_W for c in conditions])),
        ("condensing", Kind.TEMPERATURE, np.array([c.condensing_C for c in conditions])),
        ("flow", Kind.MASS_FLOW, solved.mass_flow_kg_s),
        ("discharge", Kind.TEMPERATURE, solved.discharge_C),
        ("discharge", Kind.PRESSURE, solved.discharge_Pa),
        ("rejection", Kind.HEAT_FLOW, solved.heat_rejection_W),
        ("compressor", Kind.POWER, solved.compressor_W),
    )
    rows = [["condition", *(f"{name}, {unit_label(kind, system)}" for name, kind, _ in columns)]]
    for index, condition in enumerate(conditions):
        rows.append([condition.title, *(display(kind, float(v[index]), system) for _, kind, v in columns)])
    return table_text(rows)


def _line_text(line: LineResult, result: CircuitResult, system: System) -> str:
    drawn = line.line
    rise = abs(line.rise_m)
    way = "level" if rise < 0.005 else f"{'climbs' if line.rise_m > 0 else 'falls'} {_length(rise, system)}"
    title = f"{drawn.service.value.capitalize()} line {drawn.id}: {_length(line.length_m, system)}, {way}, {drawn.tube}"
    blocks = [title]
    if line.flow is not None:
        blocks.append(_as_drawn_text(line, result, system))
    if split := branch_text(line, result, system, table_text):
        blocks.append(split)
    if line.sweep is not None:
        blocks.append("The whole line at one size, worst of all conditions:")
        blocks.append(_sweep_text(line, line.sweep, system))
    return "\n".join(blocks)


def _as_drawn_text(line: LineResult, result: CircuitResult, system: System) -> str:
    flow, legs = line.flow, line.legs
    if flow is None or legs is None:
        return ""
    rows = [
        [
            "as drawn" if line.proposal is None else "as sized",
            f"drop, {unit_label(Kind.PRESSURE_DIFFERENCE, system)}",
            f"penalty, {unit_label(Kind.TEMPERATURE_DIFFERENCE, system)}",
            f"velocity, {unit_label(Kind.VELOCITY, system)}",
            "oil return"
            if line.line.service is Service.DISCHARGE
            else f"left at its end, {unit_label(Kind.TEMPERATURE_DIFFERENCE, system)}",
            f"charge, {unit_label(Kind.MASS, system)}",
        ]
    ]
    for index, condition in enumerate(result.circuit.conditions):
        ratios = legs.oil_return_ratio[:, index]
        judged = (
            display(Kind.RATIO, float(np.nanmin(ratios)) if np.isfinite(ratios).any() else None, system)
            if line.line.service is Service.DISCHARGE
            else display(Kind.TEMPERATURE_DIFFERENCE, float(flow.outlet_subcooling_K[index]), system)
        )
        rows.append(
            [
                condition.title,
                display(Kind.PRESSURE_DIFFERENCE, float(flow.drop_Pa[index]), system),
                display(Kind.TEMPERATURE_DIFFERENCE, float(flow.saturation_penalty_K[index]), system),
                display(Kind.VELOCITY, float(legs.velocity_m_s[:, index].max()), system),
                judged,
                display(Kind.MASS, float(flow.charge_kg[index]), system),
            ]
        )
    sizes = ", ".join(f"{leg} {size}" for leg, size in zip(legs.ids, legs.sizes, strict=True))
    return textwrap.fill(f"Legs: {sizes}", WIDTH, subsequent_indent="  ") + "\n" + table_text(rows)


def _sweep_text(line: LineResult, sweep: SizeSweep, system: System) -> str:
    gas = line.line.service is Service.DISCHARGE
    judged = sweep.oil_return_ratio if gas else sweep.outlet_subcooling_K
    judged_kind = Kind.RATIO if gas else Kind.TEMPERATURE_DIFFERENCE
    columns = (
        ("bore", Kind.SMALL_LENGTH, sweep.inner_diameter_m),
        ("drop", Kind.PRESSURE_DIFFERENCE, sweep.pressure_drop_Pa),
        ("penalty", Kind.TEMPERATURE_DIFFERENCE, sweep.saturation_penalty_K),
        ("velocity", Kind.VELOCITY, sweep.velocity_m_s),
        ("oil return" if gas else "left at end", judged_kind, judged),
        ("charge", Kind.MASS, sweep.charge_kg),
        ("tube", Kind.MASS, sweep.tube_mass_kg),
    )
    heads = [name + (f", {unit_label(kind, system)}" if unit_label(kind, system) else "") for name, kind, _ in columns]
    rows = [["size", *heads, ""]]
    drawn = set(line.legs.sizes) if line.legs is not None else set()
    for index, size in enumerate(sweep.sizes):
        cells = [display(kind, float(values[index]), system) for _, kind, values in columns]
        word = "drawn" if line.proposal is None else "in use"
        mark = exclusion_word(sweep.excluded_by[index]) + (f"  < {word}" if size in drawn else "")
        rows.append([size, *cells, mark])
    return table_text(rows, left=(0, len(rows[0]) - 1))


def charge_text(charge: ChargeResult, result: CircuitResult, system: System) -> str:
    """Return a circuit's charge in all, and what to add."""
    if charge.total_kg is None:
        return "Charge: not known; see the findings."
    title = next(c.title for c in result.circuit.conditions if c.id == charge.condition)
    parts = [
        f"lines {display_with_unit(Kind.MASS, charge.lines_kg, system)}",
        f"equipment {display_with_unit(Kind.MASS, charge.equipment_kg, system)}",
    ]
    if charge.flooding is not None:
        parts.append(f"winter flooding {display_with_unit(Kind.MASS, charge.flooding_kg, system)}")
    parts.append(f"held on arrival {display_with_unit(Kind.MASS, charge.held_kg, system)}")
    return (
        f"Charge at {title}: {display_with_unit(Kind.MASS, charge.total_kg, system)} ({', '.join(parts)})\n"
        f"To add on site: {display_with_unit(Kind.MASS, charge.to_add_kg, system)}; total between "
        f"{display(Kind.MASS, charge.low_kg, system)} and {display_with_unit(Kind.MASS, charge.high_kg, system)}"
    )


def findings_text(findings: tuple[Finding, ...], system: System) -> str:
    """Return findings with their sentences, rules and sources."""
    if not findings:
        return "Findings: none."
    blocks = []
    for finding in findings:
        lines = [f"{LEVEL_WORDS[finding.level]:7}{finding.title}"]
        lines += textwrap.wrap(finding.message(system), WIDTH - 7, initial_indent=" " * 7, subsequent_indent=" " * 7)
        lines += textwrap.wrap(
            f"[{finding.rule}; {finding.source}]", WIDTH - 7, initial_indent=" " * 7, subsequent_indent=" " * 7
        )
        blocks.append("\n".join(lines))
    return "Findings\n" + "\n".join(blocks)


def _length(length_m: float, system: System) -> str:
    return display_with_unit(Kind.LENGTH, length_m, system)
