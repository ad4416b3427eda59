"""Labels and leaders already placed, as arrays: every question is asked of all of them at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

BETWEEN = 3.0
"""Least distance between two labels, [sheet units]."""


class Shelf:
    """Room for ``most`` labels and leaders."""

    def __init__(self, most: int) -> None:
        self._boxes = np.empty((most, 4))
        self._leaders = np.empty((most, 4))
        self._placed = self._led = 0

    def put(self, box: tuple[float, float, float, float], leader: tuple[float, float, float, float] | None) -> None:
        """Place a label (left, top, right, bottom) and its leader (x, y, x, y)."""
        self._boxes[self._placed] = box
        self._placed += 1
        if leader is not None:
            self._leaders[self._led] = leader
            self._led += 1

    def leaves_free(self, boxes: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Return which boxes, shape (n, 4), keep their distance from the labels placed and lie on no leader, (n,)."""
        free = np.asarray(~near_boxes(boxes, self._boxes[: self._placed]).any(axis=1))
        left = np.flatnonzero(free)
        free[left] = ~meets_boxes(self._leaders[: self._led], boxes[left], BETWEEN).any(axis=0)
        return free

    def lets_pass(self, leaders: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Return which leaders, shape (n, 4), cross no label and no leader placed, (n,)."""
        passes = np.asarray(~meets_boxes(leaders, self._boxes[: self._placed], BETWEEN).any(axis=1))
        left = np.flatnonzero(passes)
        passes[left] = ~cross(leaders[left], self._leaders[: self._led]).any(axis=1)
        return passes


def near_boxes(first: NDArray[np.float64], second: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which boxes, (n, 4), come nearer than ``BETWEEN`` to which others, (m, 4), as (n, m)."""
    own, others = first[:, None], second[None]
    return np.asarray(
        (own[..., 0] < others[..., 2] + BETWEEN)
        & (own[..., 2] > others[..., 0] - BETWEEN)
        & (own[..., 1] < others[..., 3] + BETWEEN)
        & (own[..., 3] > others[..., 1] - BETWEEN)
    )


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


def cross(first: NDArray[np.float64], second: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which straight stretches, (n, 4), cross which others, (m, 4), as (n, m)."""
    a, b = first[:, None, :2], first[:, None, 2:]
    c, d = second[None, :, :2], second[None, :, 2:]

    def side(p: NDArray[np.float64], q: NDArray[np.float64], r: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(
            (q[..., 0] - p[..., 0]) * (r[..., 1] - p[..., 1]) - (q[..., 1] - p[..., 1]) * (r[..., 0] - p[..., 0])
        )

    return np.asarray((side(a, b, c) * side(a, b, d) < 0.0) & (side(c, d, a) * side(c, d, b) < 0.0))
