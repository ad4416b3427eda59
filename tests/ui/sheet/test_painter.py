"""The painter puts every primitive where the list says, in the token's colour, and nothing of it on another scale."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from linesizer.drawing.display_list import (
    Box,
    Circle,
    DisplayList,
    Hotspot,
    Ink,
    Plate,
    Polygon,
    Polyline,
    Primitive,
    Target,
    Text,
    Width,
)
from linesizer.output.palette import PALETTES
from linesizer.ui.sheet.painter import Kit, Picture
from linesizer.ui.theme import font

WHITE = QColor("#FFFFFF")


def kit() -> Kit:
    return Kit(lambda ink: QColor(PALETTES["light"][ink]), lambda height, bold: font(height, bold=bold))


def paint(*items: Primitive, scale: float = 1.0, part: QRectF | None = None) -> QImage:
    image = QImage(200, 100, QImage.Format.Format_RGB32)
    image.fill(WHITE)
    painter = QPainter(image)
    painter.scale(scale, scale)
    Picture(DisplayList(items, 40.0), kit()).paint(painter, part)
    painter.end()
    return image


def colour(ink: Ink) -> QColor:
    return QColor(PALETTES["light"][ink])


def inked(image: QImage) -> QRectF:
    """Return the box of everything that is not white."""
    spots = [(x, y) for x in range(200) for y in range(100) if image.pixelColor(x, y) != WHITE]
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    return QRectF(min(xs), min(ys), max(xs) - min(xs) + 1, max(ys) - min(ys) + 1)


def test_a_pipe_is_as_thick_as_its_class(qtbot: QtBot) -> None:
    image = paint(Polyline(((20.0, 50.0), (180.0, 50.0), (180.0, 51.0)), Ink.DISCHARGE, Width.SELECTION))
    column = [image.pixelColor(100, y) == colour(Ink.DISCHARGE) for y in range(100)]
    assert sum(column) == 11


def test_dashes_leave_their_gaps(qtbot: QtBot) -> None:
    image = paint(Polyline(((0.0, 50.5), (200.0, 50.5)), Ink.LIQUID, Width.PIPE, (10.0, 10.0)))
    assert [image.pixelColor(x, 50) == colour(Ink.LIQUID) for x in (5, 15, 25, 35)] == [True, False, True, False]
    shifted = paint(Polyline(((0.0, 50.5), (200.0, 50.5)), Ink.LIQUID, Width.PIPE, (10.0, 10.0), 10.0))
    assert [shifted.pixelColor(x, 50) == colour(Ink.LIQUID) for x in (5, 15, 25, 35)] == [False, True, False, True]


def test_straight_strokes_of_one_pen_are_all_painted_and_in_order(qtbot: QtBot) -> None:
    lines = [Polyline(((10.0, 10.5 + 10.0 * i), (190.0, 10.5 + 10.0 * i)), Ink.RULE, Width.SYMBOL) for i in range(8)]
    lines.append(Polyline(((10.0, 95.5), (190.0, 95.5)), Ink.DRAIN, Width.PIPE))
    cover = Polygon(((0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (0.0, 30.0)), Ink.FACE)
    over = Polyline(((10.0, 20.5), (190.0, 20.5)), Ink.STOP, Width.PIPE)
    image = paint(*lines, cover, over)
    assert image.pixelColor(50, 10) == colour(Ink.FACE)
    assert image.pixelColor(150, 10) == colour(Ink.RULE)
    assert image.pixelColor(50, 20) == colour(Ink.STOP)
    assert image.pixelColor(150, 80) == colour(Ink.RULE)
    assert image.pixelColor(150, 95) == colour(Ink.DRAIN)


def test_areas_and_circles_are_filled_outlined_or_both(qtbot: QtBot) -> None:
    square = ((20.0, 20.0), (60.0, 20.0), (60.0, 60.0), (20.0, 60.0))
    both = paint(Polygon(square, Ink.FACE, Ink.STOP, Width.PIPE))
    assert (both.pixelColor(40, 40), both.pixelColor(20, 40)) == (colour(Ink.FACE), colour(Ink.STOP))
    ring = paint(Circle((100.0, 50.0), 20.0, None, Ink.INK, Width.PIPE))
    assert (ring.pixelColor(100, 50), ring.pixelColor(120, 50)) == (WHITE, colour(Ink.INK))
    disc = paint(Circle((100.0, 50.0), 20.0, Ink.DRAIN))
    assert disc.pixelColor(100, 50) == colour(Ink.DRAIN)


def test_text_is_centred_on_its_place_with_its_plate_beneath(qtbot: QtBot) -> None:
    plain = inked(paint(Text((100.0, 50.0), "HIH")))
    assert abs(plain.center().x() - 100.0) <= 1.0
    assert abs(plain.center().y() - 50.0) <= 1.0
    plate = Plate(Box(60.0, 40.0, 140.0, 60.0), 8.0, Ink.PANEL, Ink.STOP)
    image = paint(Text((100.0, 50.0), "HIH", plate=plate))
    box = inked(image)
    assert (box.left(), box.right()) == (59.0, 141.0)
    assert image.pixelColor(66, 50) == colour(Ink.PANEL)


def test_a_hotspot_is_not_painted(qtbot: QtBot) -> None:
    image = paint(Hotspot((100.0, 50.0), 20.0, Target("c1")))
    assert all(image.pixelColor(x, 50) == WHITE for x in range(200))


def test_paper_enlarges_the_whole_drawing_text_and_all(qtbot: QtBot) -> None:
    once = inked(paint(Text((40.0, 20.0), "HIH")))
    twice = inked(paint(Text((40.0, 20.0), "HIH"), scale=2.0))
    assert abs(twice.width() - 2.0 * once.width()) <= 3.0
    assert abs(twice.center().x() - 80.0) <= 1.5


def test_only_what_meets_the_part_is_painted(qtbot: QtBot) -> None:
    items = (Circle((30.0, 50.0), 10.0, Ink.STOP), Circle((170.0, 50.0), 10.0, Ink.STOP))
    image = paint(*items, part=QRectF(0.0, 0.0, 100.0, 100.0))
    assert (image.pixelColor(30, 50), image.pixelColor(170, 50)) == (colour(Ink.STOP), WHITE)


def test_the_box_is_around_everything_painted(qtbot: QtBot) -> None:
    items = (
        Polyline(((20.0, 30.0), (150.0, 30.0)), Ink.INK, Width.PIPE),
        Circle((100.0, 50.0), 20.0, Ink.DRAIN),
        Text((60.0, 80.0), "words", plate=Plate(Box(30.0, 70.0, 90.0, 90.0), 4.0, Ink.FACE)),
    )
    picture = Picture(DisplayList(items, 40.0), kit())
    assert picture.box is not None
    assert picture.box.contains(inked(paint(*items)).adjusted(1.0, 1.0, -1.0, -1.0))
    assert Picture(DisplayList((), 40.0), kit()).box is None
