"""Where pipes cross on the sheet without a joint the rear one has a gap."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from linesizer.drawing.projection import Spot

Interval = tuple[float, float]
"""A stretch of a path by distance from its start, [sheet units]."""

_HALF_GAP = 6.5
_MOST_HALF_GAP = 16.0
_AT_AN_END = 3.0


def crossing_gaps(
    paths: Sequence[NDArray[np.float64]], legs: Sequence[int]
) -> tuple[dict[int, list[Interval]], dict[int, list[Interval]]]:
    """Return the gaps of rear paths, and the same stretches of the front paths, which arrows and letters keep clear of.

    Parameters
    ----------
    paths : sequence of arrays, shape (n, 3)
        Right, down, [sheet units], and depth, [m]; the larger depth is in front.
    legs : sequence of int
        The leg of each path: the tubes of one leg do not cross each other.
    """
    rear: defaultdict[int, list[Interval]] = defaultdict(list)
    front: defaultdict[int, list[Interval]] = defaultdict(list)
    if not paths:
        return rear, front
    start = np.concatenate([path[:-1] for path in paths])
    step = np.concatenate([np.diff(path, axis=0) for path in paths])
    owner = np.repeat(np.arange(len(paths)), [len(path) - 1 for path in paths])
    length = np.hypot(step[:, 0], step[:, 1])
    ends = np.cumsum(length)
    first = np.array([ends[i] - length[i] for i in np.unique(owner, return_index=True)[1]])
    total = np.bincount(owner, weights=length)
    gone = ends - length - first[owner]
    for i, j in _crossing_pairs(start, step, owner):
        if legs[owner[i]] == legs[owner[j]]:
            continue
        sine = step[i, 0] * step[j, 1] - step[i, 1] * step[j, 0]
        dx, dy = start[j, 0] - start[i, 0], start[j, 1] - start[i, 1]
        t, u = (dx * step[j, 1] - dy * step[j, 0]) / sine, (dx * step[i, 1] - dy * step[i, 0]) / sine
        at = {i: gone[i] + t * length[i], j: gone[j] + u * length[j]}
        if any(not _AT_AN_END < at[k] < total[owner[k]] - _AT_AN_END for k in (i, j)):
            continue
        in_front = start[i, 2] + t * step[i, 2] > start[j, 2] + u * step[j, 2] + 1e-9
        back, fore = (j, i) if in_front else (i, j)
        if abs(start[i, 2] + t * step[i, 2] - start[j, 2] - u * step[j, 2]) <= 1e-9:
            back, fore = j, i
        half = float(min(_HALF_GAP * length[i] * length[j] / abs(sine), _MOST_HALF_GAP))
        for found, side in ((rear, back), (front, fore)):
            middle = float(at[side])
            found[int(owner[side])].append((middle - half, middle + half))
    return rear, front


def _crossing_pairs(
    start: NDArray[np.float64], step: NDArray[np.float64], owner: NDArray[np.intp]
) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    count = len(start)
    for low in range(0, count, 256):
        rows = slice(low, min(count, low + 256))
        a, d = start[rows, None], step[rows, None]
        b, e = start[None], step[None]
        sine = d[..., 0] * e[..., 1] - d[..., 1] * e[..., 0]
        dx, dy = b[..., 0] - a[..., 0], b[..., 1] - a[..., 1]
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            t = (dx * e[..., 1] - dy * e[..., 0]) / sine
            u = (dx * d[..., 1] - dy * d[..., 0]) / sine
            size = np.hypot(d[..., 0], d[..., 1]) * np.hypot(e[..., 0], e[..., 1])
            meets = (np.abs(sine) > 0.05 * size) & (t >= 0.0) & (t < 1.0) & (u >= 0.0) & (u < 1.0)
        i, j = np.nonzero(meets)
        i = i + low
        keep = (i < j) & (owner[i] != owner[j])
        found.extend(zip(i[keep].tolist(), j[keep].tolist(), strict=True))
    return found


def path_length(points: Sequence[Spot]) -> float:
    """Return the length of a path on the sheet."""
    return sum(math.dist(a, b) for a, b in itertools.pairwise(points))


def pieces(points: Sequence[Spot], gaps: Sequence[Interval]) -> list[tuple[float, tuple[Spot, ...]]]:
    """Return what is left of a path without some stretches: the distance of each piece from the start, its points."""
    left: list[tuple[float, tuple[Spot, ...]]] = []
    total = path_length(points)
    at = 0.0
    for low, high in [*sorted(gaps), (total, total)]:
        if low > at + 1e-9:
            left.append((at, _between(points, at, min(low, total))))
        at = max(at, high)
    return left


def _between(points: Sequence[Spot], low: float, high: float) -> tuple[Spot, ...]:
    found: list[Spot] = []
    gone = 0.0
    for a, b in itertools.pairwise(points):
        length = math.dist(a, b)
        if gone + length >= low and gone <= high and length > 0.0:
            for at in (low - gone, high - gone):
                share = min(1.0, max(0.0, at / length))
                spot = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
                if not found or math.dist(found[-1], spot) > 1e-9:
                    found.append(spot)
        gone += length
    return tuple(found) if len(found) > 1 else tuple(points[:2])
