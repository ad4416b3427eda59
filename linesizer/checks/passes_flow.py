"""Whether a line can carry its flow at all."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.route import Service
from linesizer.units import Kind

DISCHARGE_WORDS = (
    "Line {line} cannot carry {flow} at {condition}: the pressure that it would take at its start lies above the "
    "refrigerant's table, close to the critical point. Choose larger tubes."
)
LIQUID_WORDS = (
    "Line {line} cannot carry {flow} at {condition}: its drop leaves no pressure that the refrigerant's table "
    "covers at "
    "its end. Choose larger tubes, or less lift."
)


def passes_flow(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each line that cannot pass its flow at some condition."""
    for line in view.lines:
        if line.flow is None or bool(line.flow.passes_flow.all()):
            continue
        worst = int(np.argmax(np.where(line.flow.passes_flow, -np.inf, view.conditions.mass_flow_kg_s)))
        flow = float(view.conditions.mass_flow_kg_s[worst])
        yield Finding(
            code="flow_does_not_pass",
            level=Level.STOP,
            title=f"{line.line.id}: the flow does not pass",
            words=DISCHARGE_WORDS if line.line.service is Service.DISCHARGE else LIQUID_WORDS,
            circuit=view.circuit.id,
            line=line.line.id,
            condition=view.condition_id(worst),
            kind=Kind.MASS_FLOW,
            value=flow,
            rule="physics",
            source="pressure balance along the line",
            figures=(
                ("line", line.line.id),
                ("flow", Figure(Kind.MASS_FLOW, flow)),
                ("condition", view.condition_title(worst)),
            ),
        )
