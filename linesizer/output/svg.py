"""A display list as an SVG picture."""

from __future__ import annotations

from collections.abc import Mapping
from xml.sax.saxutils import escape, quoteattr

from linesizer.drawing.display_list import (
    Box,
    Circle,
    DisplayList,
    Hotspot,
    Ink,
    Polygon,
    Polyline,
    Primitive,
    Spots,
)

FONTS = "DejaVu Sans, Verdana, Helvetica, Arial, sans-serif"
_MARGIN = 16.0


def svg_picture(display: DisplayList, colours: Mapping[Ink, str], box: Box | None = None, title: str = "") -> str:
    """Return a display list as the text of an SVG file.

    Parameters
    ----------
    display : DisplayList
        What to draw.
    colours : mapping of Ink to str
        The colour of every token, ``#RRGGBB``.
    box : Box, optional
        The part of the sheet to show; everything drawn, with a small margin, without.
    title : str
        The picture's title for a reader that does not see it.
    """
    shown = box or (display.bounds() or Box(0.0, 0.0, 1.0, 1.0)).grown(_MARGIN)
    rows = [
        '<svg xmlns="http://www.w3.org/2000/svg" '
        f'width="{_number(shown.width)}" height="{_number(shown.height)}" '
        f'viewBox="{_number(shown.left)} {_number(shown.top)} {_number(shown.width)} {_number(shown.height)}" '
        f"font-family={quoteattr(FONTS)}>",
    ]
    if title:
        rows.append(f"<title>{escape(title)}</title>")
    rows.append(_rectangle(shown, 0.0, colours[Ink.PANEL], None))
    for item in display.items:
        rows.extend(_element(item, display, colours))
    rows.append("</svg>")
    return "\n".join(rows) + "\n"


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"


def _places(points: Spots) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _paint(fill: str | None, outline: str | None, width: float) -> str:
    stroke = "" if outline is None else f' stroke="{outline}" stroke-width="{_number(width)}" stroke-linejoin="round"'
    return f'fill="{fill or "none"}"{stroke}'


def _rectangle(box: Box, radius: float, fill: str | None, outline: str | None) -> str:
    return (
        f'<rect x="{_number(box.left)}" y="{_number(box.top)}" width="{_number(box.width)}" '
        f'height="{_number(box.height)}" rx="{_number(radius)}" {_paint(fill, outline, 1.1)}/>'
    )


def _element(item: Primitive, display: DisplayList, colours: Mapping[Ink, str]) -> list[str]:
    def colour(ink: Ink | None) -> str | None:
        return None if ink is None else colours[ink]

    if isinstance(item, Hotspot):
        return []
    if isinstance(item, Polyline):
        dash = ""
        if item.dash:
            lengths = " ".join(_number(length) for length in item.dash)
            dash = f' stroke-dasharray="{lengths}" stroke-dashoffset="{_number(item.dash_offset)}"'
        cap = "butt" if item.dash else "round"
        return [
            f'<polyline points="{_places(item.points)}" '
            f'{_paint(None, colour(item.ink), item.width.value)} stroke-linecap="{cap}"{dash}/>'
        ]
    if isinstance(item, Polygon):
        return [
            f'<polygon points="{_places(item.points)}" '
            f"{_paint(colour(item.fill), colour(item.outline), item.width.value)}/>"
        ]
    if isinstance(item, Circle):
        return [
            f'<circle cx="{_number(item.centre[0])}" cy="{_number(item.centre[1])}" r="{_number(item.radius)}" '
            f"{_paint(colour(item.fill), colour(item.outline), item.width.value)}/>"
        ]
    rows = []
    if item.plate is not None:
        plate = item.plate
        rows.append(_rectangle(plate.box, plate.radius, colour(plate.fill), colour(plate.outline)))
    height = display.text_height(item)
    weight = ' font-weight="bold"' if item.bold else ""
    # The row's middle lies 0.36 of the font's height above its base line.
    rows.append(
        f'<text x="{_number(item.at[0])}" y="{_number(item.at[1] + 0.36 * height)}" font-size="{_number(height)}" '
        f'text-anchor="{item.anchor}" fill="{colours[item.ink]}"{weight} '
        f'xml:space="preserve">{escape(item.text)}</text>'
    )
    return rows
