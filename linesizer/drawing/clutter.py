"""What a label must keep clear of, as a grid of cells whose sums answer any box at once."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from linesizer.drawing.display_list import Box
from linesizer.drawing.projection import Spot

_CELL = 3.0
_MOST_CELLS = 400_000
_BoolArray = NDArray[np.bool_]
_FloatArray = NDArray[np.float64]


class Clutter:
    """Paths and areas that are taken.

    Paths are sampled at most a cell apart and areas fill whole cells, so a box that is called free is free; one that is
    called taken may still have up to a cell to spare.
    """

    def __init__(self) -> None:
        self._segments: list[tuple[float, float, float, float]] = []
        self._areas: list[tuple[Spot, ...]] = []
        self._boxes: list[Box] = []
        self._margin = 0.0
        self._cell = _CELL
        self._left = self._top = 0.0
        self._taken: _BoolArray = np.zeros((1, 1), dtype=np.bool_)
        self._near: _BoolArray = np.zeros((1, 1), dtype=np.bool_)
        self._sums: NDArray[np.int32] = np.zeros((2, 2), dtype=np.int32)

    def add_path(self, points: Sequence[Spot]) -> None:
        """Take the places along a path."""
        self._segments.extend((*a, *b) for a, b in itertools.pairwise(points))

    def add_area(self, points: Iterable[Spot]) -> None:
        """Take a convex area, given by its corners in turn."""
        self._areas.append(tuple(points))

    def add_box(self, box: Box) -> None:
        """Take an upright box."""
        self._boxes.append(box)

    @property
    def bounds(self) -> Box | None:
        """The smallest box around everything taken."""
        spots = [spot for s in self._segments for spot in (s[:2], s[2:])]
        spots.extend(spot for area in self._areas for spot in area)
        spots.extend(spot for box in self._boxes for spot in ((box.left, box.top), (box.right, box.bottom)))
        return Box.around(spots) if spots else None

    def settle(self, clearance: float) -> float:
        """Lay the grid over everything taken; boxes asked for later keep ``clearance`` from paths.

        Returns
        -------
        float
            The distance from a path at which a box with its side along the path is sure to be called free.
        """
        room = (self.bounds or Box(0.0, 0.0, 0.0, 0.0)).grown(3.0 * _CELL)
        self._cell = cell = max(_CELL, math.sqrt(max(1.0, room.width * room.height) / _MOST_CELLS))
        self._margin = clearance + cell / 2.0
        self._left, self._top = room.left, room.top
        columns, rows = (math.ceil(extent / cell) + 1 for extent in (room.width, room.height))
        self._taken = np.zeros((rows, columns), dtype=np.bool_)
        self._mark_segments()
        for area in self._areas:
            self._mark_area(np.array(area))
        for box in self._boxes:
            c0, r0, c1, r1 = self._cells(box)
            self._taken[r0 : r1 + 1, c0 : c1 + 1] = True
        sums = np.zeros((rows + 1, columns + 1), dtype=np.int32)
        np.cumsum(self._taken, axis=0, dtype=np.int32, out=sums[1:, 1:])
        np.cumsum(sums[1:, 1:], axis=1, out=sums[1:, 1:])
        self._sums = sums
        self._near = self._taken.copy()
        for near, far in ((slice(1, None), slice(None, -1)), (slice(None, -1), slice(1, None))):
            self._near[near] |= self._taken[far]
        across = self._near.copy()
        for near, far in ((slice(1, None), slice(None, -1)), (slice(None, -1), slice(1, None))):
            self._near[:, near] |= across[:, far]
        return self._margin + cell

    def free(self, boxes: _FloatArray) -> _BoolArray:
        """Return which boxes (left, top, right, bottom), shape (n, 4), are free, shape (n,)."""
        rows, columns = self._taken.shape
        corner = np.array([self._left, self._top, self._left, self._top])
        grow = np.array([-self._margin, -self._margin, self._margin, self._margin])
        cells = np.floor((boxes - corner + grow) / self._cell).astype(np.intp)
        most = np.array([columns, rows, columns, rows])
        cells[:, 2:] += 1
        c0, r0, c1, r1 = np.minimum(np.maximum(cells, 0), most).T
        s = self._sums
        return np.asarray(s[r1, c1] - s[r0, c1] - s[r1, c0] + s[r0, c0] == 0)

    def crossed(self, stretches: _FloatArray, spare: float) -> _BoolArray:
        """Return which straight stretches (x, y, x, y), shape (n, 4), meet something taken, shape (n,).

        The last ``spare`` sheet units of each, where it reaches what it points at, are left out.
        """
        step = stretches[:, 2:] - stretches[:, :2]
        length = np.hypot(step[:, 0], step[:, 1])
        reach = np.maximum(length - spare, 0.0)
        # A place counts as taken with its neighbours, so that samples two cells apart leave nothing out.
        count = int(float(reach.max(initial=0.0)) / (2.0 * self._cell)) + 2
        share = np.minimum(np.arange(count) * (2.0 * self._cell), reach[:, None]) / np.maximum(length, 1e-9)[:, None]
        c = ((stretches[:, 0, None] + step[:, 0, None] * share - self._left) / self._cell).astype(np.intp)
        r = ((stretches[:, 1, None] + step[:, 1, None] * share - self._top) / self._cell).astype(np.intp)
        rows, columns = self._near.shape
        c = np.minimum(np.maximum(c, 0), columns - 1)
        r = np.minimum(np.maximum(r, 0), rows - 1)
        return np.asarray(self._near[r, c].any(axis=1) & (length > spare))

    def _cells(self, box: Box) -> tuple[int, int, int, int]:
        rows, columns = self._taken.shape
        return (
            min(columns, max(0, int((box.left - self._left) // self._cell))),
            min(rows, max(0, int((box.top - self._top) // self._cell))),
            min(columns - 1, int((box.right - self._left) // self._cell)),
            min(rows - 1, int((box.bottom - self._top) // self._cell)),
        )

    def _mark_segments(self) -> None:
        if not self._segments:
            return
        ends = np.array(self._segments)
        steps = np.ceil(np.hypot(ends[:, 2] - ends[:, 0], ends[:, 3] - ends[:, 1]) / self._cell).astype(np.intp) + 1
        which = np.repeat(np.arange(len(ends)), steps)
        first = np.repeat(np.cumsum(steps) - steps, steps)
        part = (np.arange(len(which)) - first) / np.maximum(1, steps - 1)[which]
        x = ends[which, 0] + part * (ends[which, 2] - ends[which, 0])
        y = ends[which, 1] + part * (ends[which, 3] - ends[which, 1])
        columns = ((x - self._left) // self._cell).astype(np.intp)
        rows = ((y - self._top) // self._cell).astype(np.intp)
        height, width = self._taken.shape
        within = (rows >= 0) & (rows < height) & (columns >= 0) & (columns < width)
        self._taken[rows[within], columns[within]] = True

    def _mark_area(self, corners: _FloatArray) -> None:
        box = Box(*corners.min(axis=0), *corners.max(axis=0))
        c0, r0, c1, r1 = self._cells(box)
        if c1 < c0 or r1 < r0:
            return
        x = self._left + (np.arange(c0, c1 + 1) + 0.5)[None, :] * self._cell
        y = self._top + (np.arange(r0, r1 + 1) + 0.5)[:, None] * self._cell
        turn = 0.0
        inside = np.ones((r1 - r0 + 1, c1 - c0 + 1), dtype=np.bool_)
        following = np.roll(corners, -1, axis=0)
        turn = math.copysign(1.0, float((corners[:, 0] * following[:, 1] - following[:, 0] * corners[:, 1]).sum()))
        for (x0, y0), (x1, y1) in zip(corners, following, strict=True):
            length = math.hypot(x1 - x0, y1 - y0)
            if length > 1e-9:
                inside &= turn * ((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) >= -0.75 * self._cell * length
        self._taken[r0 : r1 + 1, c0 : c1 + 1] |= inside
