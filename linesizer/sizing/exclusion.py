"""The limits that exclude a size, in the order in which they are named, each with the word that tables show."""

from __future__ import annotations

SHORT_WORDS = {
    "flow_does_not_pass": "flow does not pass",
    "oil_return_stop_ratio": "oil return",
    "liquid_margin_stop_K": "liquid boils",
    "rating_temper": "tube rating",
    "discharge_penalty_K": "penalty",
    "liquid_penalty_K": "penalty",
    "oil_return_margin_ratio": "oil return reserve",
    "liquid_margin_at_valve_K": "subcooling left",
    "discharge_velocity_max_m_s": "velocity",
    "liquid_velocity_fast_valve_m_s": "velocity",
    "liquid_velocity_max_m_s": "velocity",
    "drain_velocity_m_s": "velocity",
}


def exclusion_word(rule: str | None) -> str:
    """Return what a table shows for a size: ``fits``, or which limit puts it out."""
    return "fits" if rule is None else f"out: {SHORT_WORDS[rule]}"
