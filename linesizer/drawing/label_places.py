"""The places that a label may take: a fixed list around what it names, near ones first."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from linesizer.drawing.display_list import Target
from linesizer.drawing.projection import Spot

LabelKey: TypeAlias = tuple[Target, str]
"""What a label names, and which of its labels it is."""

_ALONG = (0.5, 0.36, 0.64, 0.22, 0.78, 0.08, 0.92)
_AWAY = (0.0, 14.0, 32.0, 58.0, 96.0, 150.0)
_AWAY_COST = (0.0, 3.0, 5.0, 8.0, 12.0, 18.0)
_FORM_COST = (0.0, 3.5, 9.0, 14.0, 20.0)
_TURNS_DEG = (
    0.0,
    180.0,
    25.0,
    -25.0,
    155.0,
    -155.0,
    50.0,
    -50.0,
    130.0,
    -130.0,
    75.0,
    -75.0,
    105.0,
    -105.0,
    90.0,
    -90.0,
)


@dataclass(frozen=True, slots=True)
class LabelRequest:
    """One label that wants a place.

    ``start`` to ``end`` is the stretch that it names, both the same for a point; ``half`` is the half extent of what
    stands there and ``outline`` its outline, where leaders end.  ``forms`` are the sizes (width, height) that it may
    take, the fullest first.  Labels of a lower ``rank`` choose first.  ``reach`` is how many of the distances it may
    move away, ``spread`` how far what it names reaches to each side of its stretch.
    """

    key: LabelKey
    rank: int
    start: Spot
    end: Spot
    forms: tuple[tuple[float, float], ...]
    half: tuple[float, float] = (0.0, 0.0)
    outline: tuple[Spot, ...] = ()
    reach: int = 6
    spread: float = 0.0


@dataclass(frozen=True, slots=True)
class Places:
    """Some candidate places of one request.

    Slots, (n,), boxes, (n, 4), the anchors that they point at, (n, 2), and whether each exists for this request, its
    class of distance and its form, (n,).
    """

    slots: NDArray[np.intp]
    boxes: NDArray[np.float64]
    anchors: NDArray[np.float64]
    exists: NDArray[np.bool_]
    away: NDArray[np.intp]
    forms: NDArray[np.intp]


def candidate_places(requests: Sequence[LabelRequest], gap: float, slots: NDArray[np.intp]) -> list[Places]:
    """Return candidate places of every request; one calculation for all of a kind.

    ``slots`` has shape (1, n), the same for all, or (requests, n); one that is none does not exist.  ``gap`` is the
    distance from a path at which a box beside it is sure to be free, [sheet units].
    """
    found: list[Places | None] = [None] * len(requests)
    lengths = [math.dist(request.start, request.end) for request in requests]
    for short, whole, boxes_of in ((False, _STRETCH, _beside), (True, _AROUND, _around)):
        chosen = [i for i, length in enumerate(lengths) if (length < 1.0) is short]
        if not chosen:
            continue
        own = slots if len(slots) == 1 else slots[chosen]
        real = (own >= 0) & (own < len(whole.form))
        template = whole.pick(np.where(real, own, 0))
        asked = [requests[i] for i in chosen]
        halves = np.zeros((len(asked), len(_FORM_COST), 2))
        for k, request in enumerate(asked):
            halves[k, : len(request.forms)] = request.forms
        half = halves[np.arange(len(asked))[:, None], template.form] / 2.0
        boxes, anchors = boxes_of(template, asked, half, gap)
        count = np.array([len(request.forms) for request in asked])[:, None]
        reach = np.array([request.reach for request in asked])[:, None]
        # A label that has lost its length or its second row for want of room does not also go far away.
        most = np.where(template.form > 1, np.minimum(3, reach), reach)
        exists = real & (template.form < count) & (template.away < most)
        all_slots, away, form = (np.broadcast_to(each, exists.shape) for each in (own, template.away, template.form))
        for k, i in enumerate(chosen):
            found[i] = Places(all_slots[k], boxes[k], anchors[k], exists[k], away[k], form[k])
    return [place for place in found if place is not None]


def _beside(
    template: _Template, requests: Sequence[LabelRequest], half: NDArray[np.float64], gap: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return boxes and anchors along stretches, (requests, candidates, 4) and (requests, candidates, 2)."""
    start = np.array([request.start for request in requests])[:, None]
    step = np.array([request.end for request in requests])[:, None] - start
    u = step / np.hypot(step[..., 0], step[..., 1])[..., None]
    # The first side is above the pipe, or left of a riser.
    sign = np.where((u[..., 0] > 1e-9) | ((np.abs(u[..., 0]) <= 1e-9) & (u[..., 1] < 0.0)), 1.0, -1.0)
    n = np.stack([u[..., 1], -u[..., 0]], axis=-1) * sign[..., None]
    support = half[..., 0] * np.abs(n[..., 0]) + half[..., 1] * np.abs(n[..., 1])
    spread = np.array([request.spread for request in requests])[:, None]
    clear = spread + gap * np.abs(n).sum(axis=-1) + 0.5
    away = np.array(_AWAY)[template.away]
    anchors = start + template.along[..., None] * step
    beside = (template.side * (support + clear + away))[..., None] * n
    around = template.turn * (spread + gap + away)[..., None] + _cornered(template.turn) * half
    centre = anchors + np.where(template.turns[..., None], around, beside)
    return np.concatenate([centre - half, centre + half], axis=-1), anchors


def _around(
    template: _Template, requests: Sequence[LabelRequest], half: NDArray[np.float64], gap: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return boxes and anchors around points or bodies, (requests, candidates, 4) and (requests, candidates, 2)."""
    start = np.array([request.start for request in requests])[:, None]
    body = np.array([request.half for request in requests])[:, None]
    u = template.turn
    centre = start + u * (gap - 1.0 + np.array(_AWAY)[template.away])[..., None]
    centre = centre + _cornered(u) * (half + body)
    return np.concatenate([centre - half, centre + half], axis=-1), np.broadcast_to(start, centre.shape)


def _cornered(u: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return directions scaled so that near the axes a label keeps its whole half extent away."""
    return np.asarray(np.minimum(np.maximum(1.6 * u, -1.0), 1.0))


@dataclass(frozen=True, slots=True)
class _Template:
    """The places of a kind of label, the cheapest first, (candidates,); a slot is a place in this order.

    A place lies either beside a stretch (``along`` it, on a ``side``) or, where ``turns``, around the middle of it.
    """

    form: NDArray[np.intp]
    away: NDArray[np.intp]
    along: NDArray[np.float64]
    side: NDArray[np.float64]
    turn: NDArray[np.float64]
    turns: NDArray[np.bool_]

    def pick(self, s: NDArray[np.intp]) -> _Template:
        """Return some of the places, in the shape of their slots."""
        return _Template(self.form[s], self.away[s], self.along[s], self.side[s], self.turn[s], self.turns[s])


def _template(beside: bool) -> _Template:
    rows: list[tuple[float, int, int, float, float, float, bool]] = []
    for form, form_cost in enumerate(_FORM_COST):
        for away, away_cost in enumerate(_AWAY_COST):
            cost = form_cost + away_cost
            if beside:
                for along, side in itertools.product(_ALONG, (1.0, -1.0)):
                    own = 2.5 * abs(along - 0.5) + (0.0 if side > 0.0 else 0.4)
                    rows.append((cost + own, form, away, along, side, 0.0, False))
                if form > 2 or away == 0:
                    continue
            for k, turn in enumerate(_TURNS_DEG):
                rows.append((cost + 0.12 * k + (1.0 if beside else 0.0), form, away, 0.5, 1.0, turn, True))
    rows.sort(key=lambda row: row[0])
    angle = np.radians(np.array([row[5] for row in rows]))
    return _Template(
        np.array([row[1] for row in rows], dtype=np.intp),
        np.array([row[2] for row in rows], dtype=np.intp),
        np.array([row[3] for row in rows]),
        np.array([row[4] for row in rows]),
        np.stack([np.cos(angle), np.sin(angle)], axis=-1),
        np.array([row[6] for row in rows]),
    )


_STRETCH, _AROUND = _template(True), _template(False)
MOST_SLOTS = max(len(_STRETCH.form), len(_AROUND.form))
"""Every slot is smaller than this."""
