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
    left, top, right, bottom = first.T[:, :, None]
    grown = second + np.array([-BETWEEN, -BETWEEN, BETWEEN, BETWEEN])
    low_x, low_y, high_x, high_y = grown.T[:, None, :]
    return np.asarray((left < high_x) & (right > low_x) & (top < high_y) & (bottom > low_y))


def meets_boxes(stretches: NDArray[np.float64], boxes: NDArray[np.float64], margin: float) -> NDArray[np.bool_]:
    """Return which straight stretches (x, y, x, y), (n, 4), have a point in which grown boxes, (m, 4), as (n, m)."""
    x0, y0, x1, y1 = stretches.T[:, :, None]
    left, top, right, bottom = boxes.T[:, None, :]
    dx, dy = (x1 - x0) / 2.0, (y1 - y0) / 2.0
    half_x, half_y = (right - left) / 2.0 + margin, (bottom - top) / 2.0 + margin
    # The stretch's own box, then the stretch's line, must not have the box wholly to one side.
    off_x, off_y = x0 + dx - (left + right) / 2.0, y0 + dy - (top + bottom) / 2.0
    size_x, size_y = np.abs(dx), np.abs(dy)
    near = (np.abs(off_x) < half_x + size_x) & (np.abs(off_y) < half_y + size_y)
    return np.asarray(near & (np.abs(dx * off_y - dy * off_x) < half_x * size_y + half_y * size_x))


def cross(first: NDArray[np.float64], second: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which straight stretches, (n, 4), cross which others, (m, 4), as (n, m)."""
    ax, ay, bx, by = first.T[:, :, None]
    cx, cy, dx, dy = second.T[:, None, :]
    ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
    wx, wy = cx - ax, cy - ay
    # Each stretch has the ends of the other on its two sides.
    of_first = (ux * wy - uy * wx) * (ux * (wy + vy) - uy * (wx + vx)) < 0.0
    of_second = (vx * wy - vy * wx) * (vx * (wy - uy) - vy * (wx - ux)) < 0.0
    return np.asarray(of_first & of_second)
