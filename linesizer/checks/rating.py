"""Whether each leg's tube bears the high side's design pressure."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView, gauge_figure, rule_source
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import LineResult
from linesizer.domain.route import Joint
from linesizer.units import Kind

WORDS = (
    "Leg {leg} ({size}, {joint}) may bear {value} at {temperature}; the design pressure there is {limit}. A heavier "
    "tube, a smaller size, a rating that the tube's or the joint's maker lists (entered with its source in the notes), "
    "mechanical joints where that maker rates them, or steel would do. Where the local code asks for another method, "
    "that method decides."
)
TOO_HOT_WORDS = (
    "Leg {leg} ({size}, {joint}) would run at {temperature}, above what the tube's stress table covers. Enter "
    "the rating "
    "that the tube's maker lists for that temperature, or bring the discharge temperature down."
)

NO_PRESSURE_WORDS = (
    "{refrigerant} has no saturation pressure at {limit}, by which the design pressure of {circuit} would be taken, so "
    "no tube is rated. Enter the high side's design pressure."
)


def rating(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for the worst leg of each size and joint whose tube is rated below the design pressure."""
    if not np.isfinite(view.maximum_gauge_Pa):
        yield _no_design_pressure(view)
        return
    for line in view.lines:
        if line.legs is None:
            continue
        allowed, demand = view.ratings[line.line.id], view.demands[line.line.id]
        short = np.flatnonzero(~(allowed >= demand))
        seen: set[tuple[str, str, Joint]] = set()
        for index in sorted(short, key=lambda i: float(allowed[i] - demand[i]) if np.isfinite(allowed[i]) else -np.inf):
            leg = line_geometry(line.line).legs[index].leg
            key = (line.legs.sizes[index], leg.tube or line.line.tube, leg.joint)
            if key not in seen:
                seen.add(key)
                yield _short(view, line, int(index), float(allowed[index]), float(demand[index]))


def _no_design_pressure(view: CircuitView) -> Finding:
    rule = view.practice.rule("design_saturation_C")
    limit = view.practice.value("design_saturation_C")
    return Finding(
        code="no_design_pressure",
        level=Level.STOP,
        title=f"{view.circuit.title}: high-side design pressure is not stated",
        words=NO_PRESSURE_WORDS,
        circuit=view.circuit.id,
        rule="design_saturation_C",
        source=rule_source(view.practice, rule),
        figures=(
            ("circuit", view.circuit.title),
            ("refrigerant", view.circuit.refrigerant),
            ("limit", Figure(Kind.TEMPERATURE, limit)),
        ),
    )


def _short(view: CircuitView, line: LineResult, index: int, allowed: float, demand: float) -> Finding:
    leg = line_geometry(line.line).legs[index].leg
    known = bool(np.isfinite(allowed))
    rule = view.practice.rule("rating_temper")
    legs = line.legs
    size = legs.sizes[index] if legs is not None else ""
    return Finding(
        code="rating_short",
        level=rule.level,
        title=f"{leg.id}: tube too weak for the design pressure",
        words=WORDS if known else TOO_HOT_WORDS,
        circuit=view.circuit.id,
        line=line.line.id,
        leg=leg.id,
        kind=Kind.PRESSURE_DIFFERENCE,
        value=allowed if known else None,
        limit=demand,
        rule="rating_temper",
        source=rule_source(view.practice, rule),
        figures=(
            ("leg", leg.id),
            ("size", size),
            ("joint", leg.joint.value),
            ("value", gauge_figure(allowed if known else 0.0)),
            ("limit", gauge_figure(demand)),
            ("temperature", Figure(Kind.TEMPERATURE, view.rating_temperature_C(line.line.service))),
        ),
    )
