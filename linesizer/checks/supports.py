"""How many supports each line takes: a count for the parts list."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.checks.naming import listed
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.solver.supports import supports
from linesizer.units import Kind

WORDS = (
    "Line {line} takes about {count}, by practice's spacing: {sizes}. One stands within {near} of each bend, "
    "connection and heavy part; a riser has one at least every {vertical}, and one a storey. Clamps carry the "
    "insulation without crushing it and let the tube slide."
)


def support_count(view: CircuitView) -> Iterator[Finding]:
    """Yield a note with the number of supports of each line."""
    for line in view.circuit.lines:
        counts = supports(line, view.practice)
        if not counts:
            continue
        total = sum(item.count for item in counts)
        yield by_rule(
            view,
            "support_spacing_m",
            code="supports",
            level=Level.NOTE,
            title=f"{line.id}: about {total} support{'' if total == 1 else 's'}",
            words=WORDS,
            line=line.id,
            value=float(total),
            count=f"{total} support{'' if total == 1 else 's'}",
            sizes=listed([f"{item.count} for {item.size}" for item in counts]),
            near=Figure(Kind.LENGTH, view.practice.value("support_from_elbow_m")),
            vertical=Figure(Kind.LENGTH, view.practice.value("support_spacing_vertical_m")),
        )
