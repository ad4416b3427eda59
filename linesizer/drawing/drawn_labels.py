"""The labels that a drawing asks for, and how each is painted where the layout put it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from linesizer.domain.finding import Level
from linesizer.drawing.display_list import (
    Anchor,
    Box,
    Circle,
    Ink,
    Layer,
    Plate,
    Polyline,
    Primitive,
    Spots,
    Target,
    Text,
    TextSize,
    Width,
    bounds,
)
from linesizer.drawing.label_places import LabelKey, LabelRequest
from linesizer.drawing.labels import LabelPlace
from linesizer.drawing.marks import GLYPH, finding_mark, level_mark, slope_triangle
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.projection import Projection, Spot
from linesizer.drawing.text_size import text_width

SELECTED, STOPPED, NAME, LEG, LEVEL, SLOPE, PORT = range(7)
"""Ranks: what chooses its place first, and is hidden last."""

_PLATE_PAD = 9.0
_PLATE_HEIGHT = 1.7
_ROW_HEIGHT = 1.3

Draw = Callable[[LabelPlace], list[Primitive]]


class LabelBook:
    """Collects label requests, then paints the ones that found a place."""

    def __init__(self, projection: Projection, options: SceneOptions) -> None:
        self.requests: list[LabelRequest] = []
        self._draw: dict[LabelKey, Draw] = {}
        self._projection = projection
        self._options = options
        self._levels: list[tuple[Spot, str]] = []

    def primitives(self, places: Mapping[LabelKey, LabelPlace]) -> list[Primitive]:
        """Return the labels that found a place, with their leaders."""
        items: list[Primitive] = []
        for key, place in places.items():
            label = self._draw[key](place)
            if place.leader is not None:
                # The rows of a label may be narrower than its box; a shoulder leads from them to the leader's start.
                start, end = place.leader
                shoulder = self._near_side(label, start)
                points = (start, end) if math.dist(shoulder, start) < 1.0 else (shoulder, start, end)
                items.append(Polyline(points, Ink.QUIET, Width.HAIR, target=key[0], layer=Layer.LEADER))
                items.append(Circle(end, 1.8, Ink.QUIET, target=key[0], layer=Layer.LEADER))
            items.extend(label)
        return items

    def _near_side(self, label: list[Primitive], end: Spot) -> Spot:
        """Return the place on a label's own rows and marks that is nearest to another place."""
        boxes = (bounds(item, self._options.text_factor) for item in label)
        starts = [(min(max(end[0], b.left), b.right), min(max(end[1], b.top), b.bottom)) for b in boxes]
        return min(starts, key=lambda start: math.dist(start, end))

    def leg(
        self,
        target: Target,
        words: tuple[str, str, str],
        second: str,
        stretch: tuple[Spot, Spot],
        spread: float,
        outline: Ink,
    ) -> None:
        """Ask for a leg's label: a plate, a second row beneath; ``spread`` is how far the leg reaches to each side."""
        options = self._options
        height, below = TextSize.PROSE.value * options.text_factor, TextSize.LABEL.value * options.text_factor
        mark = options.marks.get(target)
        lead = 0.0 if mark is None else (GLYPH + 5.0) * options.text_factor
        chosen = target in options.selection or Target(target.circuit, target.line) in options.selection
        rows = [(words[0], second), *((row, "") for row in words)] if second else [(row, "") for row in words]
        if mark is not None:
            rows.append(("", ""))  # the mark alone is the last to go
        forms = []
        for first, other in rows:
            wide = text_width(first, height, bold=chosen) + 2.0 * _PLATE_PAD + lead if first else lead
            tall = _PLATE_HEIGHT * height if first else lead
            if other:
                wide, tall = max(wide, text_width(other, below) + 4.0), tall + _ROW_HEIGHT * below
            forms.append((wide, tall))

        def draw(place: LabelPlace) -> list[Primitive]:
            first, other = rows[place.form]
            if not first and mark is not None:
                return [finding_mark(place.box.centre, mark, GLYPH * options.text_factor, target)]
            middle = place.box.centre[0]
            wide = text_width(first, height, bold=chosen) + 2.0 * _PLATE_PAD + lead
            tall = _PLATE_HEIGHT * height
            box = Box(middle - wide / 2.0, place.box.top, middle + wide / 2.0, place.box.top + tall)
            y = box.centre[1]
            items: list[Primitive] = [
                Text(
                    (middle + lead / 2.0, y),
                    first,
                    TextSize.PROSE,
                    bold=chosen,
                    plate=Plate(box, tall / 2.0, Ink.PANEL, outline),
                    target=target,
                )
            ]
            if mark is not None:
                size = GLYPH * options.text_factor
                items.append(finding_mark((box.left + _PLATE_PAD + size / 2.0, y), mark, size, target))
            if other:
                at = (middle, place.box.bottom - 0.55 * below)
                items.append(Text(at, other, TextSize.LABEL, ink=Ink.QUIET, target=target))
            return items

        rank = SELECTED if chosen else STOPPED if mark is Level.STOP else LEG
        self._ask(LabelRequest((target, "leg"), rank, *stretch, tuple(forms), spread=spread), draw)

    def name(self, target: Target, words: str, centre: Spot, half: tuple[float, float], outline: Spots) -> None:
        """Ask for the name of a piece of equipment."""
        factor = self._options.text_factor
        height = TextSize.PROSE.value * factor
        mark = self._options.marks.get(target)
        lead = 0.0 if mark is None else (GLYPH + 5.0) * factor

        def draw(place: LabelPlace) -> list[Primitive]:
            x, y = place.box.left + 2.0, place.box.centre[1]
            items: list[Primitive] = []
            if mark is not None:
                items.append(finding_mark((x + 0.5 * GLYPH * factor, y), mark, GLYPH * factor, target))
            return [*items, Text((x + lead, y), words, TextSize.PROSE, Anchor.START, target=target)]

        form = (text_width(words, height) + 4.0 + lead, _ROW_HEIGHT * height)
        rank = SELECTED if target in self._options.selection else STOPPED if mark is Level.STOP else NAME
        self._ask(LabelRequest((target, "name"), rank, centre, centre, (form,), half, outline), draw)

    def level(self, target: Target, word: str, words: str, at: Spot, half: tuple[float, float]) -> None:
        """Ask for the height of a node, with its mark and a word before it; the same words close by are said once.

        ``half`` is the half extent of the trap or the loop that stands there.
        """
        near = 70.0
        if not word and any(w == words and math.dist(s, at) < near for s, w in self._levels):
            return
        self._levels.append((at, words))
        factor = self._options.text_factor
        height, lead = TextSize.LABEL.value * factor, (GLYPH + 4.0) * factor
        before = text_width(word, height) + 4.0 * factor if word else 0.0

        def draw(place: LabelPlace) -> list[Primitive]:
            left, y = place.box.left + 2.0, place.box.centre[1]
            x = left + before
            mark = level_mark((x + 0.5 * GLYPH * factor, y + 0.36 * GLYPH * factor), GLYPH * factor, target=target)
            first = Text((left, y), word, TextSize.LABEL, Anchor.START, Ink.QUIET, target=target)
            height_row = Text((x + lead, y), words, TextSize.LABEL, Anchor.START, Ink.QUIET, target=target)
            return [*((first,) if word else ()), *mark, height_row]

        form = self._small(words, before + lead, height)
        (x, y), (w, h) = at, half
        outline = ((x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h)) if w > 0.0 else ()
        self._ask(LabelRequest((target, "level"), LEVEL, at, at, (form,), half, outline, 4), draw)

    def port(self, target: Target, words: str, at: Spot) -> None:
        """Ask for the word of a port beside it."""
        factor = self._options.text_factor
        height = TextSize.LABEL.value * factor

        def draw(place: LabelPlace) -> list[Primitive]:
            left, y = place.box.left + 2.0, place.box.centre[1]
            return [Text((left, y), words, TextSize.LABEL, Anchor.START, Ink.QUIET, target=target)]

        form = self._small(words, 0.0, height)
        self._ask(LabelRequest((target, "port"), PORT, at, at, (form,), (5.0, 5.0), reach=5), draw)

    def slope(self, target: Target, words: str, start: Spot, end: Spot, falls_right: bool) -> None:
        """Ask for the mark of a slope beside a run."""
        factor = self._options.text_factor
        height, lead = TextSize.LABEL.value * factor, (1.4 * GLYPH + 4.0) * factor

        def draw(place: LabelPlace) -> list[Primitive]:
            x, y = place.box.left + 2.0, place.box.centre[1]
            return [
                slope_triangle((x + 0.7 * GLYPH * factor, y), falls_right, GLYPH * factor, target=target),
                Text((x + lead, y), words, TextSize.LABEL, Anchor.START, Ink.QUIET, target=target),
            ]

        form = self._small(words, lead, height)
        self._ask(LabelRequest((target, "slope"), SLOPE, start, end, (form,), reach=2), draw)

    def _small(self, words: str, lead: float, height: float) -> tuple[float, float]:
        return (text_width(words, height) + 4.0 + lead, _ROW_HEIGHT * height)

    def _ask(self, request: LabelRequest, draw: Draw) -> None:
        self.requests.append(request)
        self._draw[request.key] = draw
