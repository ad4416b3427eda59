"""A refrigerant that is no shipped one: whence its table is, and how far it may be off."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.checks.context import CircuitView
from linesizer.checks.naming import listed
from linesizer.domain.finding import Finding, Level

WORDS = (
    "{refrigerant} ({composition}) is a blend of your own, not a shipped refrigerant: its table was built on {built} "
    "by the {method}. Uncertainty: {uncertainty} ({basis}); viscosity {liquid} % for liquid, {vapour} % for vapour. "
    "{estimated}Safety group and limits of concentration are known only where you enter them; ask the refrigerant's "
    "maker for the rest."
)
ESTIMATED_WORDS = (
    "Nobody has fitted how {pairs} act on each other: that is estimated. Compare saturation pressures with the maker's "
    "table before you build by these figures. "
)


def own_blend(view: CircuitView) -> Iterator[Finding]:
    """Yield a note for a circuit with an own blend; a person has to decide where parameters are estimated."""
    record = view.table.own
    if record is None:
        return
    name, viscosity = view.circuit.refrigerant, view.table.viscosity_uncertainty
    estimated = [" with ".join(pair.components) for pair in record.estimated]
    yield Finding(
        code="own_blend",
        level=Level.WARN if estimated else Level.NOTE,
        title=f"{name} is a blend of your own" + (", in part estimated" if estimated else ""),
        words=WORDS.replace("{estimated}", ESTIMATED_WORDS if estimated else ""),
        circuit=view.circuit.id,
        rule="own blend",
        source=f"table built on {record.built}, checked against CoolProp {view.table.coolprop_version}",
        figures=(
            ("refrigerant", name),
            ("composition", record.blend.words),
            ("built", record.built),
            ("method", record.method),
            ("uncertainty", record.uncertainty_words),
            ("basis", record.basis_of_uncertainty),
            ("liquid", f"{100.0 * viscosity.liquid:g}"),
            ("vapour", f"{100.0 * viscosity.vapour:g}"),
            ("pairs", listed(estimated) if estimated else ""),
        ),
    )
