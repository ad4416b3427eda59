"""Colours of words on a shaded ground: the token's own where it can be read there, else as much of it as can be."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtGui import QColor

from linesizer.drawing.display_list import Ink
from linesizer.output.palette import PALETTES, ThemeName
from linesizer.ui.theme import Theme

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3 (AA), text of ordinary size (from memory)."""

SELECTED = 0.25
"""How much of the selection's colour lies over the panel where something is selected or in use."""

HOVER = 0.4
"""How much of the face's colour lies over the panel under the pointer: what leaves every word as it is legible."""

_STEPS = 20


def legible(theme: Theme, ink: Ink, ground: Ink = Ink.SELECTION, strength: float = SELECTED) -> QColor:
    """Return a token's colour for words on the panel that is shaded with another token."""
    return QColor.fromRgbF(*_legible(theme.name, ink, ground, strength))


@lru_cache(maxsize=256)
def _legible(name: ThemeName, ink: Ink, ground: Ink, strength: float) -> tuple[float, float, float]:
    palette = PALETTES[name]
    beneath = mixed(channels(palette[ground]), channels(palette[Ink.PANEL]), strength)
    own, strong = channels(palette[ink]), channels(palette[Ink.INK])
    for step in range(_STEPS + 1):
        colour = mixed(strong, own, step / _STEPS)
        # What is painted has 256 levels: a hair more than needed keeps it above the limit.
        if contrast(colour, beneath) >= LEAST_CONTRAST + 0.05:
            return colour
    return strong


Channels = tuple[float, float, float]


def channels(colour: str) -> Channels:
    """Return red, green and blue of ``#RRGGBB``, 0 to 1."""
    red, green, blue = (int(colour[place : place + 2], 16) / 255.0 for place in (1, 3, 5))
    return red, green, blue


def mixed(over: Channels, under: Channels, strength: float) -> Channels:
    """Return one colour laid over another."""
    red, green, blue = (a * strength + b * (1.0 - strength) for a, b in zip(over, under, strict=True))
    return red, green, blue


def contrast(one: Channels, other: Channels) -> float:
    """Return the contrast ratio of WCAG 2.2, 1 to 21."""
    bright, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def _luminance(colour: Channels) -> float:
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
