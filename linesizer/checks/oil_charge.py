"""Oil beyond the compressor's own: a long system keeps some in the refrigerant and on its walls."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.units import Kind

WORDS = (
    "The circuit's {charge} are more than the {limit_kg} that a compressor's own oil is meant for; practice adds "
    "{value} of oil, {fraction} of what is beyond. The compressor maker's own rule goes first; add it only after the "
    "level in the compressor has settled."
)


def oil_charge(view: CircuitView) -> Iterator[Finding]:
    """Yield a note with the oil to add where the charge is greater than factory oil covers."""
    above = view.practice.value("oil_extra_above_kg")
    fraction = view.practice.value("oil_extra_fraction")
    total = view.charge.total_kg
    if total is None or total <= above or fraction <= 0.0:
        return
    yield by_rule(
        view,
        "oil_extra_fraction",
        code="oil_charge",
        title=f"{view.circuit.title}: oil to add",
        words=WORDS,
        level=Level.NOTE,
        kind=Kind.MASS,
        value=fraction * (total - above),
        charge=Figure(Kind.MASS, total),
        limit_kg=Figure(Kind.MASS, above),
        fraction=f"{100.0 * fraction:g} %",
    )
