"""How much a leg falls in the direction of flow."""

from __future__ import annotations

from linesizer.domain.geometry import SAME_PLACE_M, LegGeometry


def fall_in_flow(leg: LegGeometry) -> float:
    """Return the slope down in the direction of flow, [m/m]: infinite for a drop, minus infinity for a riser.

    A leg that is drawn level falls as its ``fall`` says.
    """
    if is_drawn_level(leg):
        return leg.leg.fall
    return -leg.slope


def is_drawn_level(leg: LegGeometry) -> bool:
    """Tell whether both ends of a leg stand at one height, so that only its stated fall gives it a slope."""
    return abs(leg.rise_m) < SAME_PLACE_M
