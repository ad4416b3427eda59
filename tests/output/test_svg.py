from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from linesizer.drawing.display_list import (
    Anchor,
    Box,
    Circle,
    DisplayList,
    Hotspot,
    Ink,
    Plate,
    Polygon,
    Polyline,
    Target,
    Text,
    Width,
)
from linesizer.output.palette import PALETTES, ThemeName
from linesizer.output.svg import svg_picture

SVG = "{http://www.w3.org/2000/svg}"
LIST = DisplayList(
    (
        Polyline(((0.0, 0.0), (30.0, 40.0)), Ink.LIQUID, Width.PIPE, (13.0, 5.0), 6.5),
        Polygon(((0.0, 0.0), (10.0, 0.0), (5.0, 8.0)), Ink.FACE, Ink.QUIET),
        Circle((20.0, 20.0), 4.0, None, Ink.STOP),
        Text(
            (50.0, 10.0),
            'd3 <1-5/8"> & more',
            anchor=Anchor.START,
            plate=Plate(Box(48.0, 0.0, 160.0, 20.0), 10.0, Ink.PANEL),
        ),
        Hotspot((0.0, 0.0), 4.0, Target("c1", "dis", node="n1")),
    ),
    40.0,
)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_primitive_becomes_one_element_in_the_themes_colours(theme: ThemeName) -> None:
    colours = PALETTES[theme]
    root = ET.fromstring(svg_picture(LIST, colours, title="a picture"))
    assert root.findtext(f"{SVG}title") == "a picture"
    (line,) = root.iter(f"{SVG}polyline")
    assert line.attrib["stroke"] == colours[Ink.LIQUID]
    assert line.attrib["stroke-dasharray"] == "13 5"
    assert line.attrib["stroke-dashoffset"] == "6.5"
    assert line.attrib["points"] == "0,0 30,40"
    assert line.attrib["fill"] == "none"
    (shape,) = root.iter(f"{SVG}polygon")
    assert (shape.attrib["fill"], shape.attrib["stroke"]) == (colours[Ink.FACE], colours[Ink.QUIET])
    (ring,) = root.iter(f"{SVG}circle")
    assert (ring.attrib["fill"], ring.attrib["r"]) == ("none", "4")
    (text,) = root.iter(f"{SVG}text")
    assert text.text == 'd3 <1-5/8"> & more'
    assert text.attrib["text-anchor"] == "start"
    ground, plate = root.iter(f"{SVG}rect")
    assert ground.attrib["fill"] == colours[Ink.PANEL]
    assert plate.attrib["width"] == "112"


def test_the_picture_shows_the_box_that_is_asked_for() -> None:
    root = ET.fromstring(svg_picture(LIST, PALETTES["light"], Box(-10.0, -20.0, 190.0, 80.0)))
    assert root.attrib["viewBox"] == "-10 -20 200 100"
    assert (root.attrib["width"], root.attrib["height"]) == ("200", "100")


def test_an_empty_list_is_still_a_picture() -> None:
    assert ET.fromstring(svg_picture(DisplayList((), 40.0), PALETTES["dark"])).tag == f"{SVG}svg"


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_each_theme_knows_every_token(theme: ThemeName) -> None:
    assert set(PALETTES[theme]) == set(Ink)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("ink", [Ink.INK, Ink.QUIET, Ink.DISCHARGE, Ink.LIQUID, Ink.DRAIN, Ink.STOP])
def test_what_is_drawn_stands_out_from_its_ground(theme: ThemeName, ink: Ink) -> None:
    """WCAG 2.2, criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (graphics, 3 to 1); its relative luminance from memory."""
    colours = PALETTES[theme]
    least = 4.5 if ink in (Ink.INK, Ink.QUIET) else 3.0
    for ground in (Ink.PANEL, Ink.FACE):
        if ink in (Ink.INK, Ink.QUIET) and ground is Ink.FACE:
            continue  # no text stands on the sides of equipment
        assert _contrast(colours[ink], colours[ground]) >= least


def _contrast(first: str, second: str) -> float:
    bright, dim = sorted((_luminance(first), _luminance(second)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def _luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
