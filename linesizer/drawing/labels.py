"""Label layout: no label over another, over a pipe, an arrow or a symbol; what finds no room is hidden, the least first.

Labels keep their size while the drawing scales.  Each label has a fixed list of places around what it names, near ones
first; labels choose in the order of their rank, so the answer depends on nothing but the question.  During a drag the
places of the last layout are tried first, so that a small move of a node leaves the other labels where they are.
"""

from __future__ import annotations

import math
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
_FIRST_BATCH, _BATCH = 8, 56

HIDDEN = -1
"""The slot of a label that found no room."""


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
"""The places chosen by a layout, ``HIDDEN`` among them, to be tried first in the next."""


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
    gap = clutter.settle(CLEARANCE)
    ordered = sorted(range(len(requests)), key=lambda i: (requests[i].rank, i))
    places = [_places(request, gap) for request in requests]
    free = np.split(
        clutter.free(np.concatenate([place.boxes for place in places])),
        np.cumsum([len(place.boxes) for place in places])[:-1],
    )
    shelf = _Shelf(len(requests))
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
    if before is not None:
        # During a drag a label stays where it was; if that place is gone, or there was none, only near ones are tried.
        if 0 <= before < len(free) and free[before]:
            found = _first_good(place, np.array([before]), shelf, clutter, outline)
            if found is not None:
                return found
        candidates = np.flatnonzero(free & (place.away <= 1)) if before == HIDDEN else np.flatnonzero(free)
    else:
        candidates = np.flatnonzero(free)
    candidates = candidates[np.argsort(place.cost[candidates], kind="stable")]
    low = 0
    for count in (_FIRST_BATCH, _BATCH, len(candidates)):
        found = _first_good(place, candidates[low : low + count], shelf, clutter, outline)
        if found is not None:
            return found
        low += count
    return None


def _first_good(
    place: _Places, batch: NDArray[np.intp], shelf: _Shelf, clutter: Clutter, outline: tuple[Spot, ...]
) -> LabelPlace | None:
    """Return the first of some candidates that meets no label placed and whose leader, where it has one, passes."""
    if len(batch):
        batch = batch[shelf.leaves_free(place.boxes[batch])]
    if not len(batch):
        return None
    boxes = place.boxes[batch]
    away = place.away[batch] > 0
    ends = place.anchors[batch]
    if outline:
        centres = (boxes[:, :2] + boxes[:, 2:]) / 2.0
        ends = np.array([nearest_on_ring(outline, (float(x), float(y))) for x, y in centres])
    leaders = np.hstack([np.clip(ends, boxes[:, :2], boxes[:, 2:]), ends])
    good = ~away
    if not good[0]:
        good[away] = shelf.lets_pass(leaders[away]) & ~clutter.crossed(leaders[away], 2.0 * CLEARANCE)
    chosen = np.flatnonzero(good)
    if not len(chosen):
        return None
    i = int(chosen[0])
    slot = int(batch[i])
    x0, y0, x1, y1 = (float(value) for value in leaders[i])
    left, top, right, bottom = (float(value) for value in boxes[i])
    leader = ((x0, y0), (x1, y1)) if away[i] else None
    return LabelPlace(int(place.forms[slot]), Box(left, top, right, bottom), slot, leader)


class _Shelf:
    """Labels and leaders already placed; every question is asked of all of them at once."""

    def __init__(self, most: int) -> None:
        self._boxes = np.empty((most, 4))
        self._leaders = np.empty((most, 4))
        self._placed = self._led = 0

    def put(self, place: LabelPlace) -> None:
        box = place.box
        self._boxes[self._placed] = (box.left, box.top, box.right, box.bottom)
        self._placed += 1
        if place.leader is not None:
            self._leaders[self._led] = (*place.leader[0], *place.leader[1])
            self._led += 1

    def leaves_free(self, boxes: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Return which boxes, shape (n, 4), keep their distance from the labels placed and lie on no leader, (n,)."""
        own, others = boxes[:, None], self._boxes[None, : self._placed]
        meets = (
            (own[..., 0] < others[..., 2] + BETWEEN)
            & (own[..., 2] > others[..., 0] - BETWEEN)
            & (own[..., 1] < others[..., 3] + BETWEEN)
            & (own[..., 3] > others[..., 1] - BETWEEN)
        )
        crossed = meets_boxes(self._leaders[: self._led], boxes, BETWEEN)
        return np.asarray(~meets.any(axis=1) & ~crossed.any(axis=0))

    def lets_pass(self, leaders: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Return which leaders, shape (n, 4), cross no label and no leader placed, (n,)."""
        over = meets_boxes(leaders, self._boxes[: self._placed], BETWEEN).any(axis=1)
        return np.asarray(~over & ~_cross(leaders, self._leaders[: self._led]).any(axis=1))


def meets_boxes(stretches: NDArray[np.float64], boxes: NDArray[np.float64], margin: float) -> NDArray[np.bool_]:
    """Return which straight stretches (x, y, x, y), (n, 4), have a point in which grown boxes, (m, 4), as (n, m)."""
    a, d = stretches[:, None, :2], (stretches[:, 2:] - stretches[:, :2])[:, None]
    centre = (boxes[None, :, :2] + boxes[None, :, 2:]) / 2.0
    half = (boxes[None, :, 2:] - boxes[None, :, :2]) / 2.0 + margin
    # The stretch's own box, then the stretch's line, must not have the box wholly to one side.
    middle = a + d / 2.0 - centre
    near = (np.abs(middle) < half + np.abs(d) / 2.0).all(axis=-1)
    across = np.abs(d[..., 0] * middle[..., 1] - d[..., 1] * middle[..., 0])
    return np.asarray(near & (across < half[..., 0] * np.abs(d[..., 1]) + half[..., 1] * np.abs(d[..., 0])))


def _cross(first: NDArray[np.float64], second: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which straight stretches, (n, 4), cross which others, (m, 4), as (n, m)."""
    a, b = first[:, None, :2], first[:, None, 2:]
    c, d = second[None, :, :2], second[None, :, 2:]

    def side(p: NDArray[np.float64], q: NDArray[np.float64], r: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(
            (q[..., 0] - p[..., 0]) * (r[..., 1] - p[..., 1]) - (q[..., 1] - p[..., 1]) * (r[..., 0] - p[..., 0])
        )

    return np.asarray((side(a, b, c) * side(a, b, d) < 0.0) & (side(c, d, a) * side(c, d, b) < 0.0))


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
        np.array(_AWAY_COST)[away]
        + np.array(_FORM_COST)[form]
        + 2.5 * np.abs(along - 0.5)
        + np.where(side > 0, 0.0, 0.4)
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
