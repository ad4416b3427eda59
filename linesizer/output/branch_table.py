"""How a line's flow splits between parallel condensers, as text for a terminal."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from linesizer.domain.branch_result import BranchResult
from linesizer.domain.result import CircuitResult, LineResult
from linesizer.domain.route import Service
from linesizer.units import Kind, System, display, unit_label


def branch_rows(line: LineResult, result: CircuitResult, system: System) -> list[list[str]]:
    """Return a head and a row for each condenser at each condition; empty where one condenser takes the whole flow."""
    if not line.branches:
        return []
    gas = line.line.service is Service.DISCHARGE
    names = {item.id: item.name or item.id for item in result.circuit.equipment}
    heads = [
        "way to" if gas else "way from",
        "at",
        "share, %",
        f"drop, {unit_label(Kind.PRESSURE_DIFFERENCE, system)}",
        f"penalty, {unit_label(Kind.TEMPERATURE_DIFFERENCE, system)}",
    ]
    if not gas:
        heads += [f"column short by, {unit_label(Kind.LENGTH, system)}", f"falls, {unit_label(Kind.LENGTH, system)}"]
    rows = [heads]
    for branch in line.branches:
        for index, condition in enumerate(result.circuit.conditions):
            rows.append([names[branch.equipment], condition.title, *_cells(branch, index, gas, system)])
    return rows


def _cells(branch: BranchResult, index: int, gas: bool, system: System) -> list[str]:
    cells = [
        f"{100.0 * branch.share[index]:.1f}",
        display(Kind.PRESSURE_DIFFERENCE, float(branch.drop_Pa[index]), system),
        display(Kind.TEMPERATURE_DIFFERENCE, float(branch.saturation_penalty_K[index]), system),
    ]
    if not gas:
        # A column cannot be told from a full one by less than a millimetre.
        short_m = round(float(branch.column_short_m[index]), 3)
        cells.append(display(Kind.LENGTH, short_m, system))
        cells.append(display(Kind.LENGTH, branch.own_fall_m, system))
    return cells


def branch_text(
    line: LineResult,
    result: CircuitResult,
    system: System,
    table: Callable[[Sequence[Sequence[str]], tuple[int, ...]], str],
) -> str:
    """Return the split as a table made by ``table``; empty where one condenser takes the whole flow."""
    rows = branch_rows(line, result, system)
    return table(rows, (0, 1)) if rows else ""
