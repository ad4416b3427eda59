"""What the profile's plots are asked to show, and by which strokes."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.drawing.display_list import Ink
from linesizer.ui.plots.legend import Stroke
from linesizer.ui.plots.profile_series import Profile
from linesizer.units import Kind, System, display_with_unit

STYLES: tuple[tuple[float, ...], ...] = ((), (9.0, 4.0), (2.0, 3.0), (9.0, 3.0, 2.0, 3.0))
"""Dashes of the conditions, so that they differ without colour."""

ELEVATION_DASH = (4.0, 4.0)
ASKED_DASH = (1.0, 3.0)


@dataclass(frozen=True, slots=True)
class ProfileView:
    """What the plots show: a profile, its conditions and which of them leads, units, the margin that practice asks."""

    profile: Profile
    conditions: tuple[int, ...]
    leading: int
    system: System
    atmosphere_Pa: float
    ink: Ink
    stale: bool
    asked_K: float | None


def strokes(view: ProfileView) -> tuple[Stroke, ...]:
    """Return the legend's entries: each condition, the elevation, what practice asks for."""
    found = []
    for index in view.conditions:
        curve = view.profile.curves[index]
        words = f"pressure, and below it {view.profile.margin_word}: {curve.title}"
        if not curve.passes:
            words = f"{curve.title}: the flow does not pass"
        found.append(curve_stroke(view, index, words))
    found.append(Stroke("elevation, scale at the right", Ink.QUIET, dash=ELEVATION_DASH))
    if view.asked_K is not None:
        asked = display_with_unit(Kind.TEMPERATURE_DIFFERENCE, view.asked_K, view.system)
        found.append(Stroke(f"practice asks for {asked} at the end; below 0 it boils", Ink.INK, 0.8, ASKED_DASH))
    elif any(view.profile.curves[index].turns_m is not None for index in view.conditions):
        found.append(Stroke(f"at 0 superheat it {view.profile.turn_word}", Ink.INK))
    return tuple(found)


def curve_stroke(view: ProfileView, index: int, words: str = "") -> Stroke:
    """Return the stroke of one condition's curves."""
    leads = index == view.leading or len(view.conditions) == 1
    dash = STYLES[view.conditions.index(index) % len(STYLES)]
    return Stroke(words, Ink.QUIET if view.stale else view.ink, 1.0 if leads else 0.75, dash)
