"""Level gas runs: they fall a little in the direction of flow, so that oil and condensate run with the gas."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.checks.naming import listed
from linesizer.domain.finding import Finding
from linesizer.domain.geometry import LegGeometry, line_geometry
from linesizer.domain.remedy import GiveFall
from linesizer.domain.route import Line, Service
from linesizer.solver.fall import fall_in_flow, is_drawn_level
from linesizer.units import Kind

WORDS = (
    "{legs} of gas line {line} {run} level and {falls} by {value} in the direction of flow; practice asks for "
    "{limit}. Oil and condensate then run on with the gas, not back to the compressor when it stops."
)


def slopes(view: CircuitView) -> Iterator[Finding]:
    """Yield a note for each gas line with level legs that do not fall in the direction of flow."""
    for line in view.circuit.lines:
        if line.service is Service.DISCHARGE:
            yield from _level(view, line)


def _level(view: CircuitView, line: Line) -> Iterator[Finding]:
    limit, climb = view.practice.value("gas_fall_in_flow"), view.practice.value("oil_return_climb_slope")
    # What climbs steeper than that is a riser, and judged as one.
    short = [leg for leg in line_geometry(line).legs if -climb <= fall_in_flow(leg) < limit]
    if not short:
        return
    worst: LegGeometry = min(short, key=fall_in_flow)
    level = tuple(leg.leg.id for leg in short if is_drawn_level(leg))
    one = len(short) == 1
    yield by_rule(
        view,
        "gas_fall_in_flow",
        code="gas_fall_short",
        title=f"{worst.leg.id}: level gas run without a fall",
        words=WORDS,
        line=line.id,
        leg=worst.leg.id,
        kind=Kind.SLOPE,
        value=fall_in_flow(worst),
        limit=limit,
        remedy=GiveFall(line.id, level, limit) if level else None,
        legs=f"{'Leg' if one else 'Legs'} {listed([leg.leg.id for leg in short])}",
        run="runs" if one else "run",
        falls="falls" if one else "the worst falls",
    )
