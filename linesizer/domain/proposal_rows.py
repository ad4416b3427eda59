"""What the sizing proposes for a line as plain values, for the result file."""

from __future__ import annotations

import math
from typing import Any

from linesizer.domain.proposal import Combination, SizeProposal
from linesizer.domain.route import DoubleRiser


def proposal_row(proposal: SizeProposal) -> dict[str, Any]:
    """Return a proposal as plain values."""
    return {
        "objective": proposal.objective.value,
        "fits": proposal.fits,
        "combinations": proposal.combinations,
        "open_legs": list(proposal.open_legs),
        "chosen": _combination(proposal.chosen),
        "best": [
            {"objective": objective.value, "combination": _combination(best)} for objective, best in proposal.best
        ],
        "front": [_combination(one) for one in proposal.front],
        "exclusions": [
            {
                "rule": one.rule,
                "combinations": one.combinations,
                "nearest": _finite(one.nearest),
                "limit": _finite(one.limit),
            }
            for one in proposal.exclusions
        ],
    }


def _combination(one: Combination) -> dict[str, Any]:
    figures = (
        "penalty_K",
        "tube_mass_kg",
        "charge_kg",
        "velocity_m_s",
        "oil_return_ratio",
        "outlet_subcooling_K",
        "extra_power_W",
        "yearly_cost",
    )
    return {
        "sizes": [_build(leg, build) for leg, build in one.sizes],
        **{name: _finite(getattr(one, name)) for name in figures},
    }


def _build(leg: str, build: str | DoubleRiser) -> dict[str, Any]:
    if not isinstance(build, DoubleRiser):
        return {"leg": leg, "size": build, "double_riser": None}
    return {
        "leg": leg,
        "size": None,
        "double_riser": {"small": build.small, "large": build.large, "seal_m": _finite(build.seal_m)},
    }


def _finite(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else float(value)
