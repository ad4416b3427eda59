"""Words on a shaded ground can be read in both looks (WCAG 2.2, 1.4.3, AA; formula and limit from memory)."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication

from linesizer.drawing.display_list import Ink
from linesizer.output.palette import PALETTES, ThemeName
from linesizer.ui.panels.legible import HOVER, channels, contrast, legible, mixed
from linesizer.ui.theme import Theme

WORDS = (Ink.INK, Ink.QUIET, Ink.STOP, Ink.FITS)
GROUNDS = ((Ink.SELECTION, 0.25), (Ink.SELECTION, 0.14), (Ink.FACE, 1.0), (Ink.FACE, 0.4))


def test_black_on_white_is_21_to_1() -> None:
    assert contrast((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)) == pytest.approx(21.0)
    assert contrast((1.0, 1.0, 1.0), (0.0, 0.0, 0.0)) == pytest.approx(21.0)


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("ink", WORDS)
@pytest.mark.parametrize("ground", GROUNDS)
def test_every_word_can_be_read(qapp: QApplication, look: ThemeName, ink: Ink, ground: tuple[Ink, float]) -> None:
    palette = PALETTES[look]
    beneath = mixed(channels(palette[ground[0]]), channels(palette[Ink.PANEL]), ground[1])
    painted = legible(Theme(look), ink, *ground)
    assert contrast(channels(painted.name()), beneath) >= 4.5


def test_a_colour_that_can_be_read_is_left_alone(qapp: QApplication) -> None:
    assert legible(Theme("light"), Ink.STOP).name().upper() == PALETTES["light"][Ink.STOP]
    assert legible(Theme("dark"), Ink.STOP).name().upper() != PALETTES["dark"][Ink.STOP]


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("ink", WORDS)
def test_words_under_the_pointer_need_no_other_colour(qapp: QApplication, look: ThemeName, ink: Ink) -> None:
    palette = PALETTES[look]
    beneath = mixed(channels(palette[Ink.FACE]), channels(palette[Ink.PANEL]), HOVER)
    assert contrast(channels(palette[ink]), beneath) >= 4.5
