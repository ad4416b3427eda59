"""Both looks: every text on its ground is readable; the desktop's choice is followed until a person has made one."""

from __future__ import annotations

import re

import pytest
from PySide6.QtGui import QColor, QGuiApplication, QPalette
from pytestqt.qtbot import QtBot

from linesizer.drawing.display_list import Ink
from linesizer.output.palette import PALETTES, ThemeName
from linesizer.ui.theme import Theme, font

TEXT, GRAPHIC = 4.5, 3.0
"""Least contrast of text, and of what carries a meaning without being text: WCAG 2.2, success criteria 1.4.3 and 1.4.11
(level AA; from memory)."""

LETTERED = (Ink.INK, Ink.QUIET, Ink.LIQUID, Ink.DRAIN, Ink.STOP, Ink.FITS)
"""Tokens that text is written in."""
MARKS = (*LETTERED, Ink.DISCHARGE)
"""Tokens of strokes and marks; the triangle's fill is not among them, since the word beside it says the same."""
LOOKS: tuple[ThemeName, ...] = ("light", "dark")


def luminance(colour: QColor) -> float:
    """Return the relative luminance as WCAG 2.2 defines it."""

    def linear(share: float) -> float:
        return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)

    red, green, blue = (linear(each) for each in (colour.redF(), colour.greenF(), colour.blueF()))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: QColor, other: QColor) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_is_measured_as_wcag_says() -> None:
    # White on black is 21:1 by definition; #767676 on white is the known lightest grey that passes 4.5:1.
    assert contrast(QColor("#000000"), QColor("#FFFFFF")) == pytest.approx(21.0)
    assert contrast(QColor("#767676"), QColor("#FFFFFF")) == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("ink", LETTERED)
def test_text_is_readable_on_the_panel(look: ThemeName, ink: Ink) -> None:
    assert contrast(QColor(PALETTES[look][ink]), QColor(PALETTES[look][Ink.PANEL])) >= TEXT


@pytest.mark.parametrize("look", LOOKS)
def test_ink_is_readable_on_raised_faces(look: ThemeName) -> None:
    assert contrast(QColor(PALETTES[look][Ink.INK]), QColor(PALETTES[look][Ink.FACE])) >= TEXT


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("ink", MARKS)
def test_strokes_and_marks_stand_out_from_the_panel(look: ThemeName, ink: Ink) -> None:
    assert contrast(QColor(PALETTES[look][ink]), QColor(PALETTES[look][Ink.PANEL])) >= GRAPHIC


@pytest.mark.parametrize("look", LOOKS)
def test_ink_is_readable_on_the_selection_at_its_strongest(look: ThemeName) -> None:
    panel, chosen = QColor(PALETTES[look][Ink.PANEL]), QColor(PALETTES[look][Ink.SELECTION])
    share = 0.28
    mixed = QColor.fromRgbF(
        *(
            share * a + (1.0 - share) * b
            for a, b in zip(chosen.getRgbF()[:3], panel.getRgbF()[:3], strict=True)  # type: ignore[index]  # Qt's tuple
        )
    )
    assert contrast(QColor(PALETTES[look][Ink.INK]), mixed) >= TEXT


@pytest.mark.parametrize("look", LOOKS)
def test_every_pair_of_text_and_ground_in_qts_own_palette_is_readable(qtbot: QtBot, look: ThemeName) -> None:
    Theme(look)
    palette, role = QGuiApplication.palette(), QPalette.ColorRole
    for text, ground in (
        (role.WindowText, role.Window),
        (role.Text, role.Base),
        (role.Text, role.AlternateBase),
        (role.ButtonText, role.Button),
        (role.ToolTipText, role.ToolTipBase),
        (role.PlaceholderText, role.Base),
        (role.HighlightedText, role.Highlight),
        (role.Link, role.Window),
    ):
        assert contrast(palette.color(text), palette.color(ground)) >= TEXT, text


def test_both_looks_have_every_token_and_no_other() -> None:
    for look in LOOKS:
        assert set(PALETTES[look]) == set(Ink)
        assert all(re.fullmatch("#[0-9A-F]{6}", value) for value in PALETTES[look].values())


def test_a_choice_is_told_once_and_changes_qts_palette(qtbot: QtBot) -> None:
    theme = Theme("light")
    told: list[str] = []
    theme.changed.connect(lambda: told.append(theme.name))
    theme.choose("dark")
    theme.choose("dark")
    assert told == ["dark"]
    assert QGuiApplication.palette().color(QPalette.ColorRole.Window) == theme.colour(Ink.PANEL)
    assert theme.colour(Ink.INK).name().upper() == PALETTES["dark"][Ink.INK]
    theme.choose("light")
    assert told == ["dark", "light"]


def test_without_a_choice_the_desktop_is_followed(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    theme = Theme(None)
    here: ThemeName = theme.name
    other: ThemeName = "dark" if here == "light" else "light"
    monkeypatch.setattr("linesizer.ui.theme._desktop", lambda: other)
    QGuiApplication.styleHints().colorSchemeChanged.emit(QGuiApplication.styleHints().colorScheme())
    assert theme.name == other
    theme.choose(here)
    QGuiApplication.styleHints().colorSchemeChanged.emit(QGuiApplication.styleHints().colorScheme())
    assert theme.name == here


def test_figures_are_of_one_width(qtbot: QtBot) -> None:
    from PySide6.QtGui import QFontMetricsF

    measure = QFontMetricsF(font(13))
    assert len({round(measure.horizontalAdvance(digit), 3) for digit in "0123456789"}) == 1
    assert font(14, bold=True).pixelSize() == 14
    assert font(14, bold=True).bold()
