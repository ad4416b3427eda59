"""Where the body of a piece of equipment stands about its connection point: it hides as little pipe as can be."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.route import Point
from linesizer.drawing.equipment_symbols import Body, covered, half_extents_m
from linesizer.drawing.projection import Projection, Spot
from linesizer.drawing.runs import Run

_SAMPLE = 4.0
_AXES: tuple[Point, Point, Point] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
# What each side costs that the connection point could lie on, in samples of hidden pipe: west, east, south, north,
# below, above.
_SIDE_COST: dict[Role, tuple[float, ...]] = {
    Role.UNIT: (5.0, 6.0, 5.0, 6.0, 16.0, 0.0),
    Role.CONDENSER: (1.0, 0.0, 1.0, 0.0, 5.0, 6.0),
    Role.RECEIVER: (0.0, 0.0, 2.0, 2.0, 4.0, 0.0),
    Role.SUBCOOLER: (0.0, 0.0, 1.0, 1.0, 3.0, 3.0),
}


def _stands() -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    """Return where the connection point may lie on a body, in half extents, shape (n, 3), and on which side, (n,)."""
    points, sides = [], []
    for axis, sign in itertools.product(range(3), (-1.0, 1.0)):
        for p, q in itertools.product((-0.6, 0.0, 0.6), repeat=2):
            point = [0.0, 0.0, 0.0]
            point[axis] = sign
            point[(axis + 1) % 3], point[(axis + 2) % 3] = p, q
            points.append(point)
            sides.append(2 * axis + (1 if sign > 0 else 0))
    return np.array(points), np.array(sides)


_STANDS, _SIDES = _stands()


def place_bodies(equipment: Sequence[Equipment], runs: Sequence[Run], projection: Projection) -> list[Body]:
    """Return the body of each piece of equipment, none on a pipe where that can be avoided and none on another."""
    samples = _pipe_samples(runs, projection)
    placed: list[Body] = []
    for each in equipment:
        placed.append(_place(each, samples, placed, projection))
    return placed


def _pipe_samples(runs: Sequence[Run], projection: Projection) -> NDArray[np.float64]:
    """Return places along all pipes: right, down, depth, shape (n, 3)."""
    found = []
    for run in runs:
        a, b = run.places(projection, run.straight_m)
        count = max(2, int(math.hypot(b[0] - a[0], b[1] - a[1]) / _SAMPLE) + 1)
        share = np.linspace(0.0, 1.0, count)[:, None]
        found.append(a + share * (b - a))
    return np.concatenate(found) if found else np.zeros((0, 3))


def _place(equipment: Equipment, samples: NDArray[np.float64], placed: Sequence[Body], projection: Projection) -> Body:
    half = half_extents_m(equipment.role, projection.scale)
    at = np.array(equipment.at_m)
    middles = at - _STANDS * np.array(half)
    spots = projection.spots(middles)
    reach = 2.5 * sum(half) * projection.scale
    x, y = projection.spot(equipment.at_m)
    near = samples[(np.abs(samples[:, 0] - x) < reach) & (np.abs(samples[:, 1] - y) < reach)]
    over = covered(projection, half, near[None, :, :2] - spots[:, None, :2])
    behind = near[None, :, 2] < spots[:, None, 2]
    cost = (over * np.where(behind, 1.3, 1.0)).sum(axis=1)
    cost = cost + np.array(_SIDE_COST[equipment.role])[_SIDES] + 1.5 * (np.abs(_STANDS) == 0.6).sum(axis=1)
    reach_x, reach_y = _reach(half, projection)
    for body in placed:
        cx, cy = projection.spot(body.centre_m)
        other_x, other_y = _reach(body.half_m, projection)
        wide = _shared(spots[:, 0], reach_x, cx, other_x)
        tall = _shared(spots[:, 1], reach_y, cy, other_y)
        cost = cost + wide * tall / 40.0
    best = int(np.argmin(np.round(cost, 6)))
    return Body(equipment.role, _point(middles[best]), half)


def _point(values: NDArray[np.float64]) -> Point:
    return (float(values[0]), float(values[1]), float(values[2]))


def _shared(at: NDArray[np.float64], half: float, other: float, other_half: float) -> NDArray[np.float64]:
    """Return by how much intervals about some places reach into another one."""
    low = np.maximum(at - half, other - other_half)
    return np.asarray(np.maximum(0.0, np.minimum(at + half, other + other_half) - low))


def _reach(half_m: Point, projection: Projection) -> Spot:
    """Return the half extents of a body's upright box on the sheet."""
    vectors = [projection.vector(axis) for axis in _AXES]
    x, y = (sum(abs(v[i]) * half for v, half in zip(vectors, half_m, strict=True)) for i in (0, 1))
    return (projection.scale * x, projection.scale * y)


def hidden_stretch(body: Body, projection: Projection, start: Spot, end: Spot) -> tuple[float, float] | None:
    """Return the part of a straight stretch, from 0 to 1, that lies within a body's outline; None where none does."""
    cx, cy = projection.spot(body.centre_m)
    vectors = [projection.vector(axis) for axis in _AXES]
    low, high = 0.0, 1.0
    for vx, vy in vectors:
        size = math.hypot(vx, vy)
        if size < 1e-9:
            continue
        nx, ny = -vy / size, vx / size
        reach = projection.scale * sum(
            abs(nx * ox + ny * oy) * half for (ox, oy), half in zip(vectors, body.half_m, strict=True)
        )
        at = nx * (start[0] - cx) + ny * (start[1] - cy)
        step = nx * (end[0] - start[0]) + ny * (end[1] - start[1])
        if abs(step) < 1e-9:
            if abs(at) >= reach:
                return None
            continue
        first, last = sorted(((-reach - at) / step, (reach - at) / step))
        low, high = max(low, first), min(high, last)
        if low >= high:
            return None
    return (low, high)
