"""What the result says on the sheet: a second row for each leg, a mark for each finding."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from linesizer.domain.finding import Level
from linesizer.domain.result import CircuitResult, LegResult, Result
from linesizer.drawing.display_list import Target
from linesizer.drawing.options import LegNotes
from linesizer.units import Kind, System, display, display_with_unit


def leg_notes(result: Result | None, condition: int, system: System) -> dict[Target, LegNotes]:
    """Return each leg's drop at a condition by its index, and the worst oil return of one that climbs.

    Where the oil return is worst at another condition, its id stands behind the ratio: ``oil 1.31 at low``.  Where it
    is worst at a corner of the load grid, so does the condition that gives its load: ``oil 0.72 at low, 50.0 °C``.
    """
    notes: dict[Target, LegNotes] = {}
    if result is None:
        return notes
    for whole in result.circuits:
        names = (*(each.id for each in whole.circuit.conditions), *_corner_names(whole, system))
        for line in whole.lines:
            legs = line.legs
            if legs is None:
                continue
            at = min(condition, legs.inlet_Pa.shape[1] - 1)
            for i, name in enumerate(legs.ids):
                target = Target(whole.circuit.id, line.line.id, name)
                notes[target] = LegNotes(_second(legs, i, at, names, system), legs.sizes[i])
    return notes


def _second(legs: LegResult, leg: int, condition: int, names: tuple[str, ...], system: System) -> str:
    drop_Pa = float(legs.inlet_Pa[leg, condition] - legs.outlet_Pa[leg, condition])
    if not math.isfinite(drop_Pa):
        return "flow does not pass"
    word = "drop" if drop_Pa >= 0.0 else "gain"
    words = f"{word} {display_with_unit(Kind.PRESSURE_DIFFERENCE, abs(drop_Pa), system)}"
    ratios = np.concatenate([legs.oil_return_ratio[leg], legs.corner_ratio[leg]])
    if not np.isfinite(ratios).any():
        return words
    worst = int(np.nanargmin(ratios))
    where = "" if worst == condition else f" at {names[worst]}"
    return f"{words}   oil {display(Kind.RATIO, float(ratios[worst]), system)}{where}"


def _corner_names(whole: CircuitResult, system: System) -> Iterator[str]:
    for corner in whole.corners:
        load = next(each.id for each in whole.circuit.conditions if each.capacity_W == corner.capacity_W)
        yield f"{load}, {display_with_unit(Kind.TEMPERATURE, corner.condensing_C, system)}"


def finding_marks(result: Result | None) -> dict[Target, Level]:
    """Return the weightiest finding of each leg, and of each line where a finding names no leg of it."""
    marks: dict[Target, Level] = {}
    if result is None:
        return marks
    for finding in result.findings:
        if finding.line is None:
            continue
        target = Target(finding.circuit, finding.line, finding.leg)
        if target not in marks or finding.level.weight > marks[target].weight:
            marks[target] = finding.level
    return marks
