"""The real shapes at nodes, in space: traps, inverted loops, the two tubes of a double riser."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesizer.domain.route import Point

_UP: Point = (0.0, 0.0, 1.0)


def add(at: Point, *steps: tuple[float, Point]) -> Point:
    """Return a point moved by lengths along vectors."""
    x, y, z = at
    for length, (dx, dy, dz) in steps:
        x, y, z = x + length * dx, y + length * dy, z + length * dz
    return (x, y, z)


def opposite(direction: Point) -> Point:
    """Return a vector turned round."""
    return (-direction[0], -direction[1], -direction[2])


def level_direction(direction: Point | None) -> Point | None:
    """Return the horizontal unit vector of a run that is more level than steep, else None."""
    if direction is None or abs(direction[2]) > 0.7:
        return None
    length = math.hypot(direction[0], direction[1])
    return (direction[0] / length, direction[1] / length, 0.0)


@dataclass(frozen=True, slots=True)
class Bend:
    """The pipe about a node: how much of the arriving and the leaving run it takes, and its own points between, [m].

    ``level_m`` is the stretch of a level line in it: the liquid in a trap, the crown of a loop.
    """

    trim_in_m: float
    trim_out_m: float
    points_m: tuple[Point, ...]
    level_m: tuple[Point, Point]


def u_bend(
    at_m: Point, arriving: Point | None, leaving: Point | None, width_m: float, height_m: float, down: bool
) -> Bend:
    """Return the U of a trap (``down``) or an inverted loop at a node.

    The U lies in the level run beside the node.  Between two steep runs it stands in the riser itself, as the pipe
    steps aside, over and back.

    Parameters
    ----------
    at_m : Point
        The node.
    arriving, leaving : Point or None
        Unit directions of flow; None at an end of the line.
    width_m, height_m : float
        The U's width and height.
    down : bool
        True for a trap, False for a loop.
    """
    u = opposite(_UP) if down else _UP
    w, h = width_m, height_m
    level_in, level_out = level_direction(arriving), level_direction(leaving)
    # A run that goes on the way the U came from would lie on the U's own limb.
    back = leaving is not None and leaving[2] * u[2] > 0.7
    if level_in is not None and not back:
        foot = add(at_m, (-w, level_in))
        points = (foot, add(foot, (h, u)), add(at_m, (h, u)), at_m)
        return Bend(w, 0.0, points, _level(foot, at_m, h, u, down))
    if level_in is not None:
        first, second = add(at_m, (-2.0 * w, level_in)), add(at_m, (-w, level_in))
        run = (first, add(first, (h, u)), add(second, (h, u)), second, at_m)
        return Bend(2.0 * w, 0.0, run, _level(first, second, h, u, down))
    if level_out is not None and (arriving is None or arriving[2] * u[2] > 0.7):
        second = add(at_m, (w, level_out))
        points = (at_m, add(at_m, (h, u)), add(second, (h, u)), second)
        return Bend(0.0, w, points, _level(at_m, second, h, u, down))
    if level_out is not None:
        first, second = add(at_m, (w, level_out)), add(at_m, (2.0 * w, level_out))
        run = (at_m, first, add(first, (h, u)), add(second, (h, u)), second)
        return Bend(0.0, 2.0 * w, run, _level(first, second, h, u, down))
    along = leaving or arriving or _UP
    e: Point = (1.0, 0.0, 0.0)
    if abs(along[0]) > 0.7:
        e = (0.0, 1.0, 0.0)
    a, b = 1.15 * h, 0.6 * h
    sign = 1.0 if along[2] >= 0.0 else -1.0
    corners = ((0.0, -a), (-w, -a), (-w, b), (0.0, b), (0.0, -b), (w, -b), (w, a), (0.0, a))
    path = tuple(add(at_m, (x, e), (sign * y, _UP)) for x, y in corners)
    low = [point for point in path if abs(point[2] - at_m[2] - (-b if down else b)) < 1e-9]
    trap = (low[0], low[-1]) if len(low) > 1 else (path[3], path[4])
    lift = 0.35 * h if down else 0.0
    return Bend(
        a if arriving is not None else 0.0,
        a if leaving is not None else 0.0,
        path,
        (add(trap[0], (lift, _UP)), add(trap[1], (lift, _UP))),
    )


def _level(first: Point, second: Point, height: float, u: Point, down: bool) -> tuple[Point, Point]:
    share = 0.5 if down else 1.0
    return (add(first, (share * height, u)), add(second, (share * height, u)))


@dataclass(frozen=True, slots=True)
class TwoTubes:
    """A double riser: the points of its small and large tube, how much of the leaving run it takes, its joints, [m]."""

    small_m: tuple[Point, ...]
    large_m: tuple[Point, ...]
    trim_out_m: float
    joints_m: tuple[Point, ...]
    seal_m: tuple[Point, Point]


def two_tubes(
    foot_m: Point,
    top_m: Point,
    arriving: Point | None,
    leaving: Point | None,
    spacing_m: float,
    seal_m: float,
) -> TwoTubes:
    """Return the tubes of a double riser: the small one leaves first, the large one behind a trap.

    Both rise above the leaving run and enter it from above, so that oil does not fall back into the tube at rest.
    """
    length = math.dist(foot_m, top_m)
    up: Point = (
        (top_m[0] - foot_m[0]) / length,
        (top_m[1] - foot_m[1]) / length,
        (top_m[2] - foot_m[2]) / length,
    )
    out = level_direction(leaving)
    aside = out or level_direction(arriving) or (1.0, 0.0, 0.0)
    came = level_direction(arriving)
    if out is not None and came is not None and sum(p * q for p, q in zip(out, came, strict=True)) < -0.5:
        aside = opposite(aside)
    s = spacing_m
    c, rise = 0.5 * s, 0.55 * s
    ahead = out is not None and aside == out
    far = add(foot_m, (0.4 * s, aside))
    large_foot = (
        foot_m,
        far,
        add(far, (-seal_m, up)),
        add(foot_m, (1.4 * s, aside), (-seal_m, up)),
    )
    b = 1.4 * s
    seal = (add(far, (-0.5 * seal_m, up)), add(foot_m, (b, aside), (-0.5 * seal_m, up)))
    if out is None:
        large = (*large_foot, add(top_m, (b, aside), (rise, up)), add(top_m, (rise, up)), top_m)
        return TwoTubes((foot_m, top_m), large, 0.0, (foot_m, top_m), seal)
    # Seen along the leaving run: where each tube comes down into it.
    first, second = (b + c, b + 2.0 * c) if ahead else (c, 2.0 * c)
    inner_from, outer_from = (b, 0.0) if ahead else (0.0, -b)
    inner_top = (
        add(top_m, (inner_from, out), (rise, up)),
        add(top_m, (first, out), (rise, up)),
        add(top_m, (first, out)),
    )
    outer_top = (
        add(top_m, (outer_from, out), (2.0 * rise, up)),
        add(top_m, (second, out), (2.0 * rise, up)),
        add(top_m, (second, out)),
    )
    small = (foot_m, *(outer_top if ahead else inner_top))
    large = (*large_foot, *(inner_top if ahead else outer_top))
    return TwoTubes(small, large, first, (foot_m, add(top_m, (second, out))), seal)


def rounded(points_m: tuple[Point, ...], radius_m: float) -> tuple[Point, ...]:
    """Return a path whose inner corners are rounded off, as a bent tube's are."""
    if len(points_m) < 3 or radius_m <= 0.0:
        return points_m
    path = [points_m[0]]
    for before, corner, after in zip(points_m, points_m[1:], points_m[2:], strict=False):
        room = min(math.dist(before, corner), math.dist(corner, after)) / 2.0
        r = min(radius_m, room)
        if r < 1e-9:
            path.append(corner)
            continue
        start, end = _towards(corner, before, r), _towards(corner, after, r)
        for i in range(5):
            t = i / 4.0
            path.append(
                (
                    _curve(start[0], corner[0], end[0], t),
                    _curve(start[1], corner[1], end[1], t),
                    _curve(start[2], corner[2], end[2], t),
                )
            )
    path.append(points_m[-1])
    return tuple(path)


def _towards(start: Point, end: Point, length: float) -> Point:
    share = length / math.dist(start, end)
    return (
        start[0] + share * (end[0] - start[0]),
        start[1] + share * (end[1] - start[1]),
        start[2] + share * (end[2] - start[2]),
    )


def _curve(a: float, b: float, c: float, t: float) -> float:
    # A quadratic curve whose middle is drawn out towards the corner, close to a quarter circle.
    return (1.0 - t) ** 2 * a + 2.0 * t * (1.0 - t) * b + t**2 * c
