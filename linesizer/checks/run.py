"""All rules of a circuit, heaviest findings first."""

from __future__ import annotations

from linesizer.checks.charge_data import charge_data
from linesizer.checks.context import CircuitView
from linesizer.checks.liquid_margin import liquid_margin
from linesizer.checks.not_calculated import not_calculated
from linesizer.checks.oil_return import oil_return
from linesizer.checks.passes_flow import passes_flow
from linesizer.checks.penalty import penalty
from linesizer.checks.rating import rating
from linesizer.domain.finding import Finding

RULES = (passes_flow, liquid_margin, oil_return, penalty, rating)


def findings(view: CircuitView) -> tuple[Finding, ...]:
    """Return a circuit's findings, stops first, in the order of the rules within a level."""
    found = [
        *not_calculated(view.circuit),
        *(item for rule in RULES for item in rule(view)),
        *charge_data(view.circuit),
    ]
    return tuple(sorted(found, key=lambda finding: -finding.level.weight))
