"""Oil return up the vapour risers, against the entrainment criterion and the practice set's margin above it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView, rule_source
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.result import LegResult, LineResult
from linesizer.units import Kind

STOP_WORDS = (
    "At {condition} the gas in riser {leg} ({size}) moves at {velocity}; {least} is the least that carries oil up. Oil "
    "stays in the riser and leaves the compressor short of it. A smaller riser, a double riser or a higher least load "
    "cures it."
)
WARN_WORDS = (
    "At {condition} the gas in riser {leg} ({size}) carries {value} times the least flow that brings oil up; practice "
    "asks for {limit}. The criterion marks only the onset: about {reserve} of the flow may be lost before oil stays."
)


def oil_return(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each climbing vapour leg whose flow is below the criterion, or below the margin above it."""
    for line in view.lines:
        if line.legs is None:
            continue
        for leg in np.flatnonzero(line.legs.climbs):
            ratios = line.legs.oil_return_ratio[leg]
            if not np.isfinite(ratios).any():
                continue
            worst = int(np.nanargmin(ratios))
            found = _short(view, line, line.legs, int(leg), worst)
            if found is not None:
                yield found


def _short(view: CircuitView, line: LineResult, legs: LegResult, leg: int, worst: int) -> Finding | None:
    value = float(legs.oil_return_ratio[leg, worst])
    stop = view.practice.value("oil_return_stop_ratio")
    margin = view.practice.value("oil_return_margin_ratio")
    if value >= max(stop, margin):
        return None
    broken = "oil_return_stop_ratio" if value < stop else "oil_return_margin_ratio"
    rule, limit = view.practice.rule(broken), view.practice.value(broken)
    below = value < stop
    return Finding(
        code="oil_return_short" if below else "oil_return_near",
        level=rule.level,
        title=f"{legs.ids[leg]}: {'oil does not come up' if below else 'little reserve for oil return'}",
        words=STOP_WORDS if below else WARN_WORDS,
        circuit=view.circuit.id,
        line=line.line.id,
        leg=legs.ids[leg],
        condition=view.condition_id(worst),
        kind=Kind.RATIO,
        value=value,
        limit=limit,
        rule=broken,
        source=rule_source(view.practice, rule),
        figures=(
            ("condition", view.condition_title(worst)),
            ("leg", legs.ids[leg]),
            ("size", legs.sizes[leg]),
            ("value", Figure(Kind.RATIO, value)),
            ("limit", Figure(Kind.RATIO, limit)),
            ("velocity", Figure(Kind.VELOCITY, value * float(legs.minimum_velocity_m_s[leg, worst]))),
            # A job's own stop ratio moves the velocity that it asks for, not the criterion.
            ("least", Figure(Kind.VELOCITY, stop * float(legs.minimum_velocity_m_s[leg, worst]))),
            ("reserve", f"{100.0 * (1.0 - stop / value):.0f} %"),
        ),
    )
