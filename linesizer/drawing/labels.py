"""Label layout: no label over another, a pipe, an arrow or a symbol; what finds no room is hidden, the least first.

Labels keep their size while the drawing scales.  Each label has a fixed list of places around what it names, near ones
first; labels choose in the order of their rank, so the answer depends on nothing but the question.  During a drag the
slots of the last layout are kept where they still fit, so that a small move of a node leaves the other labels where
they are; what was hidden stays hidden until the next layout from scratch, on release.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from linesizer.drawing.clutter import Clutter
from linesizer.drawing.display_list import Box
from linesizer.drawing.label_places import MOST_SLOTS, LabelKey, LabelRequest, Places, candidate_places
from linesizer.drawing.label_shelf import BETWEEN, Shelf, cross, meets_boxes, near_boxes
from linesizer.drawing.outline import nearest_on_ring
from linesizer.drawing.projection import Spot

CLEARANCE = 6.0
"""Least distance between a label and the centre of a pipe, or the outline of anything else, [sheet units]."""

HIDDEN = -1
"""The slot of a label that found no room."""

_SPARE = 2.0 * CLEARANCE
"""The last part of a leader, where it reaches what it names, may come near it."""

_NEAR, _FAR = np.split(np.arange(MOST_SLOTS)[None], [160], axis=1)
"""Slots worked out for all labels together; the farther ones only for a label that finds no room in these."""

_FIRST_BATCH = 12

LabelSlots: TypeAlias = Mapping[LabelKey, int]
"""The slots chosen by a layout, ``HIDDEN`` among them, to be tried first in the next."""


@dataclass(frozen=True, slots=True)
class LabelPlace:
    """Where a label stands: its form, box, slot among its places, and its leader where it had to move away."""

    form: int
    box: Box
    slot: int
    leader: tuple[Spot, Spot] | None


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
    return _Layout(requests, clutter, previous or {}).run()


class _Layout:
    """One layout in the making."""

    def __init__(self, requests: Sequence[LabelRequest], clutter: Clutter, previous: LabelSlots) -> None:
        self._requests = requests
        self._clutter = clutter
        self._previous = previous
        self._gap = clutter.settle(CLEARANCE)
        self._shelf = Shelf(len(requests))

    def run(self) -> dict[LabelKey, LabelPlace]:
        requests = self._requests
        placed = self._keep() if self._previous else {}
        for place in placed.values():
            self._put(place)
        waiting = [
            i for i, request in enumerate(requests) if i not in placed and self._previous.get(request.key) != HIDDEN
        ]
        waiting.sort(key=lambda i: (requests[i].rank, i))
        if waiting:
            near = self._candidates(waiting, _NEAR)
            far: dict[int, tuple[Places, NDArray[np.intp]]] = {}
            for k, i in enumerate(waiting):
                found = self._choose(requests[i], *near[i])
                if found is None:
                    # The first label that needs the farther slots works them out for all that come after it.
                    far = far or self._candidates(waiting[k:], _FAR)
                    found = self._first_good(requests[i], *far[i])
                if found is not None:
                    self._put(found)
                    placed[i] = found
        return {requests[i].key: placed[i] for i in sorted(placed)}

    def _put(self, place: LabelPlace) -> None:
        box, leader = place.box, place.leader
        line = None if leader is None else (*leader[0], *leader[1])
        self._shelf.put((box.left, box.top, box.right, box.bottom), line)

    def _free(self, places: Sequence[Places]) -> list[NDArray[np.bool_]]:
        """Return which places exist and lie on nothing drawn."""
        exist = [place.exists for place in places]
        free = np.concatenate(exist)
        free[free] = self._clutter.free(np.concatenate([place.boxes[place.exists] for place in places]))
        return np.split(free, np.cumsum([len(each) for each in exist])[:-1])

    def _keep(self) -> dict[int, LabelPlace]:
        """Return the labels that can stay in their former slots, by index: still free, and in nobody else's way."""
        requests = self._requests
        slots = np.array([self._previous.get(request.key, HIDDEN) for request in requests])
        places = candidate_places(requests, self._gap, slots[:, None])
        free = self._free(places)
        found = [(i, place) for i, (place, is_free) in enumerate(zip(places, free, strict=True)) if is_free[0]]
        if not found:
            return {}
        boxes = np.array([place.boxes[0] for _, place in found])
        leaders = np.concatenate([_leaders(self._requests[i], place, slice(0, 1)) for i, place in found])
        led = np.flatnonzero([place.away[0] > 0 for _, place in found])
        others = ~np.eye(len(found), dtype=np.bool_)
        clash = near_boxes(boxes, boxes) & others
        clash[led] |= meets_boxes(leaders[led], boxes, BETWEEN) & others[led]
        clash |= clash.T
        good = np.asarray(~clash.any(axis=1))
        good[led] &= ~cross(leaders[led], leaders[led]).any(axis=1) & ~self._clutter.crossed(leaders[led], _SPARE)
        return {i: _label_place(place, 0, leaders[k]) for k, (i, place) in enumerate(found) if good[k]}

    def _candidates(self, which: Sequence[int], slots: NDArray[np.intp]) -> dict[int, tuple[Places, NDArray[np.intp]]]:
        """Return the places of some labels, by index, and which of them lie on nothing drawn."""
        places = candidate_places([self._requests[i] for i in which], self._gap, slots)
        free = self._free(places)
        return {i: (place, np.flatnonzero(each)) for i, place, each in zip(which, places, free, strict=True)}

    def _choose(self, request: LabelRequest, near: Places, candidates: NDArray[np.intp]) -> LabelPlace | None:
        for batch in (candidates[:_FIRST_BATCH], candidates[_FIRST_BATCH:]):
            found = self._first_good(request, near, batch)
            if found is not None:
                return found
        return None

    def _first_good(self, request: LabelRequest, place: Places, batch: NDArray[np.intp]) -> LabelPlace | None:
        """Return the first of some candidates that meets no label placed and whose leader, where it has one, passes."""
        if len(batch):
            batch = batch[self._shelf.leaves_free(place.boxes[batch])]
        if not len(batch):
            return None
        away = place.away[batch] > 0
        leaders = _leaders(request, place, batch)
        good = ~away
        if not good[0]:
            led = np.flatnonzero(away)
            led = led[~self._clutter.crossed(leaders[led], _SPARE)]
            good[led] = self._shelf.lets_pass(leaders[led])
        chosen = np.flatnonzero(good)
        if not len(chosen):
            return None
        i = int(chosen[0])
        return _label_place(place, int(batch[i]), leaders[i])


def _leaders(request: LabelRequest, place: Places, which: NDArray[np.intp] | slice) -> NDArray[np.float64]:
    """Return the leaders of some candidates, (n, 4): from the near side of the label to what it names."""
    boxes, ends = place.boxes[which], place.anchors[which]
    if request.outline:
        centres = (boxes[:, :2] + boxes[:, 2:]) / 2.0
        ends = np.array([nearest_on_ring(request.outline, (x, y)) for x, y in centres.tolist()])
    return np.hstack([np.minimum(np.maximum(ends, boxes[:, :2]), boxes[:, 2:]), ends])


def _label_place(place: Places, index: int, leader: NDArray[np.float64]) -> LabelPlace:
    left, top, right, bottom = place.boxes[index].tolist()
    x0, y0, x1, y1 = leader.tolist()
    return LabelPlace(
        int(place.forms[index]),
        Box(left, top, right, bottom),
        int(place.slots[index]),
        ((x0, y0), (x1, y1)) if place.away[index] > 0 else None,
    )
