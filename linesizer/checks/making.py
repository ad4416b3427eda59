"""Making a finding from a practice rule: level, source and the usual figures filled in."""

from __future__ import annotations

from linesizer.checks.context import CircuitView, rule_source
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.remedy import Remedy
from linesizer.units import Kind


def by_rule(
    view: CircuitView,
    rule_name: str,
    *,
    code: str,
    title: str,
    words: str,
    line: str | None = None,
    leg: str | None = None,
    condition: int | None = None,
    kind: Kind | None = None,
    value: float | None = None,
    limit: float | None = None,
    level: Level | None = None,
    remedy: Remedy | None = None,
    **figures: Figure | str,
) -> Finding:
    """Return a finding under a rule of the practice set.

    ``words`` may name ``{line}``, ``{leg}``, ``{condition}``, ``{value}`` and ``{limit}``, which are filled in from the
    arguments, and whatever else is in ``figures``.  ``condition`` is an index into the circuit's conditions.
    """
    rule = view.practice.rule(rule_name)
    known: dict[str, Figure | str] = {}
    if line is not None:
        known["line"] = line
    if leg is not None:
        known["leg"] = leg
    if condition is not None:
        known["condition"] = view.condition_title(condition)
    if kind is not None:
        for name, number in (("value", value), ("limit", limit)):
            if number is not None:
                known[name] = Figure(kind, number)
    known.update(figures)
    return Finding(
        code=code,
        level=rule.level if level is None else level,
        title=title,
        words=words,
        circuit=view.circuit.id,
        line=line,
        leg=leg,
        condition=None if condition is None else view.condition_id(condition),
        kind=kind,
        value=value,
        limit=limit,
        rule=rule_name,
        source=rule_source(view.practice, rule),
        figures=tuple(known.items()),
        remedy=remedy,
    )
