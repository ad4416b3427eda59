"""The legs of a circuit as the rows of a table, with what the last good result says of each."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesizer.document.direction import Direction
from linesizer.domain.branches import reading_order
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import LegGeometry, line_geometry
from linesizer.domain.result import CircuitResult, LegResult
from linesizer.domain.route import Leg, Line, Point
from linesizer.ui.panels.branch_words import branch_words
from linesizer.units import Kind, System, display

ALONG_AXIS_WITHIN = 1e-9
"""How much of a unit direction may lie off its axis."""


@dataclass(frozen=True, slots=True)
class LegFigures:
    """What a leg shows at one condition; NaN where a figure does not exist."""

    velocity_m_s: float = math.nan
    drop_Pa: float = math.nan
    oil_return_ratio: float = math.nan
    charge_kg: float = math.nan


NO_FIGURES = LegFigures()


@dataclass(frozen=True, slots=True)
class LegEntry:
    """One row: the leg, the line that it belongs to, its geometry, the turn at its start, its figures."""

    circuit: str
    line: Line
    leg: Leg
    geometry: LegGeometry
    turn_deg: float
    figures: LegFigures
    last: bool
    """Whether the next row belongs to another line."""
    branch: str = ""
    """Where a leg leads that carries a part of the flow only: ``to Condenser 2``."""

    @property
    def tube(self) -> str:
        """The tube that the leg is built from."""
        return self.leg.tube or self.line.tube

    @property
    def size(self) -> str | None:
        """The size that it is built in, None while it is open; a double riser has two."""
        return self.leg.size or self.line.default_size

    @property
    def fitting(self) -> str | None:
        """The fitting that the job states at its start."""
        return next((found.kind for found in self.line.fittings if found.node == self.leg.start), None)


def leg_entries(circuit: Circuit, result: CircuitResult | None, condition: int) -> tuple[LegEntry, ...]:
    """Return the rows of a circuit's legs, line by line, in the order of flow, one branch after the other.

    Parameters
    ----------
    circuit : Circuit
        As it is now.
    result : CircuitResult or None
        The last good one, whose legs are found by their ids.
    condition : int
        Index of the condition whose figures are shown.
    """
    entries = []
    for line in circuit.lines:
        legs = None if result is None else next((f.legs for f in result.lines if f.line.id == line.id), None)
        figures = {} if legs is None else _figures(legs, condition)
        geometry = line_geometry(line)
        drawn = {leg.leg.id: (leg, turn) for leg, turn in zip(geometry.legs, geometry.turns_deg, strict=True)}
        words = branch_words(circuit, line)
        for place, name in enumerate(reading_order(line)):
            leg, turn = drawn[name]
            last = place == len(drawn) - 1
            found = figures.get(name, NO_FIGURES)
            entries.append(LegEntry(circuit.id, line, leg.leg, leg, turn, found, last, words.get(name, "")))
    return tuple(entries)


def _figures(legs: LegResult, condition: int) -> dict[str, LegFigures]:
    if condition >= legs.velocity_m_s.shape[1]:
        return {}
    drop_Pa = legs.inlet_Pa[:, condition] - legs.outlet_Pa[:, condition]
    columns = (
        legs.velocity_m_s[:, condition].tolist(),
        drop_Pa.tolist(),
        legs.oil_return_ratio[:, condition].tolist(),
        legs.charge_kg[:, condition].tolist(),
    )
    return {name: LegFigures(*row) for name, *row in zip(legs.ids, *columns, strict=True)}


def axis_of(direction: Point) -> Direction | None:
    """Return which of the six directions a unit vector has, None for one on a slant."""
    for candidate in Direction:
        vector = candidate.vector
        if all(abs(a - b) <= ALONG_AXIS_WITHIN for a, b in zip(direction, vector, strict=True)):
            return candidate
    return None


def direction_text(entry: LegEntry, system: System) -> str:
    """Return a leg's direction as a person types it: ``U``, or offsets with their letters, ``E 1.20; U 3.00``."""
    found = axis_of(entry.geometry.direction)
    if found is not None:
        return found.value
    start_m, end_m = entry.geometry.start_m, entry.geometry.end_m
    words = []
    for place, (plus, minus) in enumerate((("E", "W"), ("N", "S"), ("U", "D"))):
        offset_m = end_m[place] - start_m[place]
        if abs(offset_m) > ALONG_AXIS_WITHIN:
            words.append(f"{plus if offset_m > 0 else minus} {display(Kind.LENGTH, abs(offset_m), system)}")
    return "; ".join(words)


def implied_fitting(entry: LegEntry) -> str:
    """Return what stands at a leg's start where the job states nothing: the bend that the route makes there."""
    return f"bend {entry.turn_deg:.3g}°" if entry.turn_deg > 0.0 else ""
