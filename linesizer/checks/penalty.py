"""Pressure drop as a loss of saturation temperature, against the practice set's limits."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView, rule_source
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.result import LineResult
from linesizer.domain.route import Service
from linesizer.solver.arrays import FloatArray
from linesizer.units import Kind

DISCHARGE_WORDS = (
    "Friction, fittings and parts of discharge line {line} cost {value} of condensing temperature at {condition}; "
    "the limit is {limit}. The compressor pays for it in power. A larger tube lowers it; look at the risers' "
    "oil return "
    "before choosing one."
)
DISCHARGE_TARGET_WORDS = (
    "Friction, fittings and parts of discharge line {line} cost {value} of condensing temperature at {condition}; "
    "the usual aim is {limit}."
)
LIQUID_WORDS = (
    "Tube and fittings of liquid line {line} cost {value} of saturation temperature at {condition}; the limit is "
    "{limit}. That much subcooling is gone before lift and parts take theirs. A larger tube lowers it."
)


def penalty(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each line whose drop costs more saturation temperature than practice allows."""
    for line in view.lines:
        if line.flow is None:
            continue
        if line.line.service is Service.DISCHARGE:
            found = _over(view, line, line.flow.saturation_penalty_K, "discharge_penalty_K", DISCHARGE_WORDS)
            if found is None:
                found = _over(
                    view, line, line.flow.saturation_penalty_K, "discharge_penalty_target_K", DISCHARGE_TARGET_WORDS
                )
        elif line.line.service is Service.LIQUID:
            found = _over(view, line, line.flow.tube_penalty_K, "liquid_penalty_K", LIQUID_WORDS)
        else:
            found = None
        if found is not None:
            yield found


def _over(view: CircuitView, line: LineResult, penalty_K: FloatArray, name: str, words: str) -> Finding | None:
    aim = name == "discharge_penalty_target_K"
    code, title = (
        ("penalty_over_aim", "drop above the usual aim") if aim else ("penalty_over_limit", "drop costs too much")
    )
    if not np.isfinite(penalty_K).any():
        return None
    worst = int(np.nanargmax(penalty_K))
    value, limit = float(penalty_K[worst]), view.practice.value(name)
    if not value > limit:
        return None
    rule = view.practice.rule(name)
    return Finding(
        code=code,
        level=rule.level,
        title=f"{line.line.id}: {title}",
        words=words,
        circuit=view.circuit.id,
        line=line.line.id,
        condition=view.condition_id(worst),
        kind=Kind.TEMPERATURE_DIFFERENCE,
        value=value,
        limit=limit,
        rule=name,
        source=rule_source(view.practice, rule),
        figures=(
            ("line", line.line.id),
            ("condition", view.condition_title(worst)),
            ("value", Figure(Kind.TEMPERATURE_DIFFERENCE, value)),
            ("limit", Figure(Kind.TEMPERATURE_DIFFERENCE, limit)),
        ),
    )
