"""Label layout: no label over another, over a pipe, an arrow or a symbol; what finds no room is hidden, the least first.

Labels keep their size while the drawing scales.  Each label has a fixed list of places around what it names, near ones
first; labels choose in the order of their rank, so the answer depends on nothing but the question.  During a drag the
places of the last layout are tried first, so that a small move of a node leaves the other labels where they are.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from linesizer.drawing.clutter import Clutter
from linesizer.drawing.display_list import Box, Target
from linesizer.drawing.outline import nearest_on_ring
from linesizer.drawing.projection import Spot

LabelKey: TypeAlias = tuple[Target, str]
"""What a label names, and which of its labels it is."""

CLEARANCE = 6.0
"""Least distance between a label and the centre of a pipe, or the outline of anything else, [sheet units]."""

BETWEEN = 3.0
"""Least distance between two labels, [sheet units]."""

_ALONG = (0.5, 0.36, 0.64, 0.22, 0.78, 0.08, 0.92)
_AWAY = (0.0, 14.0, 32.0, 58.0, 96.0, 150.0)
_AWAY_COST = (0.0, 3.0, 5.0, 8.0, 12.0, 18.0)
_FORM_COST = (0.0, 3.5, 9.0, 14.0)
_TURNS_DEG = (0, 180, 25, -25, 155, -155, 50, -50, 130, -130, 75, -75, 105, -105, 90, -90)
_BUCKET = 96.0


@dataclass(frozen=True, slots=True)
class LabelRequest:
    """One label that wants a place.

    ``start`` to ``end`` is the stretch that it names, both the same for a point; ``half`` is the half extent of what stands
    there and ``outline`` its outline, where leaders end (equipment).  ``forms`` are the sizes (width, height) that it may take, the fullest first.  Labels of a lower
    ``rank`` choose first.  ``reach`` is how many of the distances it may move away.
    """

    key: LabelKey
    rank: int
    start: Spot
    end: Spot
    forms: tuple[tuple[float, float], ...]
    half: tuple[float, float] = (0.0, 0.0)
    outline: tuple[Spot, ...] = ()
    reach: int = 6


@dataclass(frozen=True, slots=True)
class LabelPlace:
    """Where a label stands: which of its forms, its box, its place in the list, and its leader where it had to move away."""

    form: int
    box: Box
    slot: int
    leader: tuple[Spot, Spot] | None


LabelSlots: TypeAlias = Mapping[LabelKey, int]
"""The places chosen by a layout, to be tried first in the next."""


@dataclass(frozen=True, slots=True)
class _Places:
    """Candidate places of one request: boxes (n, 4), the anchors that they point at (n, 2), away class and cost, (n,)."""

    boxes: NDArray[np.float64]
    anchors: NDArray[np.float64]
    away: NDArray[np.intp]
    forms: NDArray[np.intp]
    cost: NDArray[np.float64]


def lay_out(
    requests: Sequence[LabelRequest], clutter: Clutter, previous: LabelSlots | None = None
) -> dict[LabelKey, LabelPlace]:
    """Return a place for every label that finds one.

    Parameters
    ----------
    requests : sequence of LabelRequest
        The labels; of equal ranks the earlier chooses first.
    clutter : Clutter
        Everything else that is drawn, not yet settled.
    previous : mapping, optional
        The slots of the layout before, for a drag.
    """
    if not requests:
        return {}
    previous = previous or {}
    spots = [spot for request in requests for spot in (request.start, request.end)]
    reach = max(
        max(form[0] for form in request.forms) + max(request.half) for request in requests
    ) + _AWAY[-1] + 40.0
    room = Box.around(spots)
    taken = clutter.bounds
    gap = clutter.settle((room if taken is None else room.joined(taken)).grown(reach), CLEARANCE)
    ordered = sorted(range(len(requests)), key=lambda i: (requests[i].rank, i))
    places = [_places(request, gap) for request in requests]
    free = np.split(
        clutter.free(np.concatenate([place.boxes for place in places])),
        np.cumsum([len(place.boxes) for place in places])[:-1],
    )
    shelf = _Shelf()
    chosen: dict[LabelKey, LabelPlace] = {}
    for i in ordered:
        request, place = requests[i], places[i]
        found = _choose(place, free[i], previous.get(request.key), shelf, clutter, request.outline)
        if found is not None:
            chosen[request.key] = found
            shelf.put(found)
    return chosen


def _choose(
    place: _Places,
    free: NDArray[np.bool_],
    before: int | None,
    shelf: _Shelf,
    clutter: Clutter,
    outline: tuple[Spot, ...],
) -> LabelPlace | None:
    candidates = np.flatnonzero(free)
    order: list[int] = candidates[np.argsort(place.cost[candidates], kind="stable")].tolist()
    if before is not None and before < len(free) and free[before]:
        order.insert(0, before)
    for slot in order:
        left, top, right, bottom = place.boxes[slot].tolist()
        box = Box(left, top, right, bottom)
        if shelf.meets_box(box.grown(BETWEEN)):
            continue
        leader: tuple[Spot, Spot] | None = None
        if place.away[slot] > 0:
            ax, ay = nearest_on_ring(outline, box.centre) if outline else place.anchors[slot].tolist()
            leader = ((min(max(ax, left), right), min(max(ay, top), bottom)), (ax, ay))
            if shelf.meets_segment(*leader) or clutter.crossed(*leader, 2.0 * CLEARANCE):
                continue
        return LabelPlace(int(place.forms[slot]), box, slot, leader)
    return None


class _Shelf:
    """Labels and leaders already placed, found again by coarse squares of the sheet."""

    def __init__(self) -> None:
        self._boxes: defaultdict[tuple[int, int], list[Box]] = defaultdict(list)
        self._leaders: list[tuple[Spot, Spot]] = []

    def put(self, place: LabelPlace) -> None:
        for square in _squares(place.box):
            self._boxes[square].append(place.box)
        if place.leader is not None:
            self._leaders.append(place.leader)

    def meets_box(self, box: Box) -> bool:
        if any(other.meets(box) for square in _squares(box) for other in self._boxes.get(square, ())):
            return True
        return any(crosses_box(start, end, box) for start, end in self._leaders)

    def meets_segment(self, start: Spot, end: Spot) -> bool:
        around = Box.around((start, end))
        for square in _squares(around):
            if any(crosses_box(start, end, box.grown(BETWEEN)) for box in self._boxes.get(square, ())):
                return True
        return any(crosses(start, end, a, b) for a, b in self._leaders)


def _squares(box: Box) -> list[tuple[int, int]]:
    rows = range(int(box.top // _BUCKET), int(box.bottom // _BUCKET) + 1)
    return [(c, r) for c in range(int(box.left // _BUCKET), int(box.right // _BUCKET) + 1) for r in rows]


def crosses_box(start: Spot, end: Spot, box: Box) -> bool:
    """Return whether a straight stretch has a point inside a box."""
    low, high = 0.0, 1.0
    for at, step, least, most in (
        (start[0], end[0] - start[0], box.left, box.right),
        (start[1], end[1] - start[1], box.top, box.bottom),
    ):
        if abs(step) < 1e-12:
            if not least < at < most:
                return False
            continue
        first, last = sorted(((least - at) / step, (most - at) / step))
        low, high = max(low, first), min(high, last)
        if low >= high:
            return False
    return True


def crosses(a: Spot, b: Spot, c: Spot, d: Spot) -> bool:
    """Return whether two straight stretches cross."""

    def side(p: Spot, q: Spot, r: Spot) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0.0 and side(c, d, a) * side(c, d, b) < 0.0


def _places(request: LabelRequest, gap: float) -> _Places:
    forms = np.array(request.forms)
    length = math.dist(request.start, request.end)
    if length < 1.0:
        return _places_around(request, forms, gap)
    along, side, away, form = _STRETCH
    pick = (form < len(forms)) & (away < request.reach)
    along, side, away, form = along[pick], side[pick], away[pick], form[pick]
    dx, dy = (request.end[0] - request.start[0]) / length, (request.end[1] - request.start[1]) / length
    # The first side is above the pipe, or left of a riser.
    nx, ny = (dy, -dx) if dx > 1e-9 or (abs(dx) <= 1e-9 and dy < 0.0) else (-dy, dx)
    half = forms[form] / 2.0
    off = side * (half @ np.array([abs(nx), abs(ny)]) + gap * (abs(nx) + abs(ny)) + 0.5 + np.array(_AWAY)[away])
    anchors = np.array(request.start) + (along * length)[:, None] * np.array([dx, dy])
    centre = anchors + off[:, None] * np.array([nx, ny])
    cost = (
        np.array(_AWAY_COST)[away] + np.array(_FORM_COST)[form] + 2.5 * np.abs(along - 0.5) + np.where(side > 0, 0.0, 0.4)
    )
    return _Places(np.hstack([centre - half, centre + half]), anchors, away, form, cost)


def _places_around(request: LabelRequest, forms: NDArray[np.float64], gap: float) -> _Places:
    turn, away, form = _AROUND
    pick = (form < len(forms)) & (away < request.reach)
    turn, away, form = turn[pick], away[pick], form[pick]
    angle = np.radians(np.array(_TURNS_DEG, dtype=np.float64))[turn]
    ux, uy = np.cos(angle), np.sin(angle)
    half = forms[form] / 2.0
    reach = gap - 1.0 + np.array(_AWAY)[away]
    wide, tall = request.half
    # A box around what stands there, rounded off: near the axes the label keeps its whole half extent away.
    centre = np.stack(
        [
            request.start[0] + ux * reach + np.clip(1.6 * ux, -1.0, 1.0) * (half[:, 0] + wide),
            request.start[1] + uy * reach + np.clip(1.6 * uy, -1.0, 1.0) * (half[:, 1] + tall),
        ],
        axis=1,
    )
    anchors = np.broadcast_to(np.array(request.start), centre.shape)
    cost = np.array(_AWAY_COST)[away] + np.array(_FORM_COST)[form] + 0.12 * turn
    return _Places(np.hstack([centre - half, centre + half]), anchors, away, form, cost)


def _stretch() -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.intp], NDArray[np.intp]]:
    form, along, side, away = (
        each.ravel()
        for each in np.meshgrid(
            np.arange(len(_FORM_COST)), np.array(_ALONG), np.array([1.0, -1.0]), np.arange(len(_AWAY)), indexing="ij"
        )
    )
    return along.astype(np.float64), side.astype(np.float64), away.astype(np.intp), form.astype(np.intp)


def _around() -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
    form, turn, away = (
        each.ravel().astype(np.intp)
        for each in np.meshgrid(
            np.arange(len(_FORM_COST)), np.arange(len(_TURNS_DEG)), np.arange(len(_AWAY)), indexing="ij"
        )
    )
    return turn, away, form


_STRETCH = _stretch()
_AROUND = _around()
