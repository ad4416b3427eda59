"""What would turn a finding: a little more or less flow, another size, the range of the oil film's density."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeAlias

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.result import LineResult, SizeSweep
from linesizer.units import Kind

FLOW_EXPONENTS = {
    "penalty_over_limit": 1.8,
    "penalty_over_aim": 1.8,
    "vapour_drop_fraction": 1.8,
    "flooding_bypass_opens": 1.8,
    "oil_return_short": 1.0,
    "oil_return_near": 1.0,
    "mach_limit": 1.0,
    "discharge_velocity_max": 1.0,
    "gas_velocity_noise": 1.0,
    "level_velocity_flat": 1.0,
    "riser_velocity_flat": 1.0,
    "discharge_velocity_low": 1.0,
    "liquid_velocity_fast_valve": 1.0,
    "liquid_velocity_max": 1.0,
    "drain_velocity": 1.0,
}
"""How a finding's figure goes with the flow: velocities and the oil-return ratio in proportion, drops to the power 1.8
(ASHRAE Handbook - Refrigeration, footnote of the line-capacity tables, from memory)."""

FILM_RANGE_kg_m3 = 50.0
"""How far the film's density may be off either way: the recalled handbook rows come out with 900 to 1000 (derived)."""

Said: TypeAlias = tuple[str, tuple[tuple[str, Figure | str], ...]]
"""A sentence with a ``{name}`` for each of the figures beside it."""

MOST_CHANGE = 0.5
"""A flow that would have to change by more than half is no near thing, and is not named."""


def with_flip(view: CircuitView, finding: Finding) -> Finding:
    """Return a finding whose words end with what would turn it, unchanged where nothing near would."""
    said = [found for found in (_by_flow(finding), _by_size(view, finding), _by_film(view, finding)) if found]
    if not said:
        return finding
    words = " ".join((finding.words, *(sentence for sentence, _ in said)))
    return replace(finding, words=words, figures=(*finding.figures, *(item for _, found in said for item in found)))


def _by_flow(finding: Finding) -> Said | None:
    exponent = FLOW_EXPONENTS.get(finding.code)
    if exponent is None or not finding.value or not finding.limit or finding.value <= 0.0 or finding.limit <= 0.0:
        return None
    change = (finding.limit / finding.value) ** (1.0 / exponent) - 1.0
    if not 0.0 < abs(change) <= MOST_CHANGE:
        return None
    per_cent = f"{max(1.0, 100.0 * abs(change)):.0f} % {'more' if change > 0.0 else 'less'}"
    return "About {other_flow} flow would turn it.", (("other_flow", per_cent),)


def _by_size(view: CircuitView, finding: Finding) -> Said | None:
    if finding.code not in ("penalty_over_limit", "penalty_over_aim") or finding.limit is None:
        return None
    line = next((found for found in view.lines if found.line.id == finding.line), None)
    if line is None or line.sweep is None:
        return None
    size = _first_within(line, line.sweep, finding.limit)
    return None if size is None else ("The whole line in {other_size} would meet it.", (("other_size", size),))


def _first_within(line: LineResult, sweep: SizeSweep, limit_K: float) -> str | None:
    """Return the smallest size whose penalty stays within a limit, by the figure that the service is judged by."""
    penalty = sweep.saturation_penalty_K if line.line.service == "discharge" else sweep.tube_penalty_K
    within = np.flatnonzero(penalty <= limit_K)
    return sweep.sizes[int(within[0])] if len(within) else None


def _by_film(view: CircuitView, finding: Finding) -> Said | None:
    """Return whether a lighter oil film, within the range of what is known, would turn a finding on oil return."""
    if finding.code not in ("oil_return_short", "oil_return_near") or not finding.value or not finding.limit:
        return None
    film = view.flow.film_density
    lighter = film - FILM_RANGE_kg_m3
    # The least flow goes with the root of the film's density; the gas's own, which is small against it, is left out.
    if finding.value * float(np.sqrt(film / lighter)) < finding.limit:
        return None
    return (
        "So would an oil film of {lighter} instead of {film}, which is within what is not known.",
        (("lighter", Figure(Kind.DENSITY, lighter)), ("film", Figure(Kind.DENSITY, film))),
    )
