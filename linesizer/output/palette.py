"""The colours behind the display list's tokens, light and dark: adapted from Okabe and Ito's published palette."""

from __future__ import annotations

from typing import Literal, TypeAlias

from linesizer.drawing.display_list import Ink

ThemeName: TypeAlias = Literal["light", "dark"]

PALETTES: dict[ThemeName, dict[Ink, str]] = {
    "light": {
        Ink.PANEL: "#FCFBF8",
        Ink.RULE: "#D9D4C8",
        Ink.GRID: "#E9E5DB",
        Ink.FACE: "#EFECE4",
        Ink.INK: "#1F2933",
        Ink.QUIET: "#69707A",
        Ink.DISCHARGE: "#D55E00",
        Ink.LIQUID: "#0072B2",
        Ink.DRAIN: "#00785A",
        Ink.SELECTION: "#F0E442",
        Ink.DECIDE: "#E69F00",
        Ink.STOP: "#A5306B",
        Ink.FITS: "#00785A",
    },
    "dark": {
        Ink.PANEL: "#1B2027",
        Ink.RULE: "#313944",
        Ink.GRID: "#252C35",
        Ink.FACE: "#272F38",
        Ink.INK: "#E6E8EA",
        Ink.QUIET: "#98A1AC",
        Ink.DISCHARGE: "#F58A3C",
        Ink.LIQUID: "#56B4E9",
        Ink.DRAIN: "#3CC39A",
        Ink.SELECTION: "#F0E442",
        Ink.DECIDE: "#F0B43C",
        Ink.STOP: "#E27BB1",
        Ink.FITS: "#3CC39A",
    },
}
