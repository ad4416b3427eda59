"""Equipment as bodies in space with their signs: the unit, condensers, receivers, subcoolers."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesizer.domain.equipment import Role
from linesizer.domain.route import Point
from linesizer.drawing.display_list import Ink, Layer, Primitive, Spots, Target, Width
from linesizer.drawing.frame import EASTWARD, NORTHWARD, UPRIGHT, Brush, Frame, arc, unit_spot
from linesizer.drawing.outline import hull
from linesizer.drawing.projection import Projection, Spot

_AXES = (EASTWARD, NORTHWARD, UPRIGHT)

BODY_m: dict[Role, Point] = {
    Role.UNIT: (1.5, 1.2, 1.5),
    Role.CONDENSER: (2.2, 1.5, 0.9),
    Role.RECEIVER: (1.5, 0.55, 0.55),
    Role.SUBCOOLER: (1.0, 0.5, 0.5),
}
"""Extents of a body east, north and up; signs, not dimensions: the job file holds none."""

_LEAST_SCALE, _MOST_SCALE = 32.0, 60.0
"""Between these scales a body grows with the drawing; beyond them it keeps its size on the sheet."""


@dataclass(frozen=True, slots=True)
class Body:
    """Where a piece of equipment stands on the sheet: its role, middle and half extents in space."""

    role: Role
    centre_m: Point
    half_m: Point

    def corners(self, projection: Projection) -> list[Spot]:
        """Return the sheet places of the eight corners."""
        return [
            projection.spot(
                (
                    self.centre_m[0] + x * self.half_m[0],
                    self.centre_m[1] + y * self.half_m[1],
                    self.centre_m[2] + z * self.half_m[2],
                )
            )
            for x in (-1.0, 1.0)
            for y in (-1.0, 1.0)
            for z in (-1.0, 1.0)
        ]

    def outline(self, projection: Projection) -> Spots:
        """Return the outline on the sheet."""
        return hull(self.corners(projection)) if self.role is not Role.RECEIVER else _capsule(self, projection)


def half_extents_m(role: Role, scale: float) -> Point:
    """Return the half extents of a body, [m], for a scale, [sheet units a metre]."""
    factor = min(max(scale, _LEAST_SCALE), _MOST_SCALE) / scale / 2.0
    east, north, up = BODY_m[role]
    return (east * factor, north * factor, up * factor)


def covered(projection: Projection, half_m: Point, offsets: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which places lie within the outline of a box, from offsets to its middle on the sheet, (..., 2)."""
    vectors = [np.array(projection.vector(axis)) * projection.scale for axis in _AXES]
    inside = np.ones(offsets.shape[:-1], dtype=np.bool_)
    for vector in vectors:
        length = math.hypot(*vector)
        if length < 1e-9:
            continue
        normal = np.array([-vector[1], vector[0]]) / length
        reach = sum(abs(float(normal @ other)) * half for other, half in zip(vectors, half_m, strict=True))
        inside &= np.abs(offsets @ normal) < reach
    return inside


def equipment_primitives(
    body: Body, projection: Projection, target: Target | None = None, layer: Layer = Layer.EQUIPMENT
) -> tuple[Primitive, ...]:
    """Return a body with its sign."""
    if body.role is Role.RECEIVER:
        return _receiver(body, projection, target, layer)
    items: list[Primitive] = []
    faces = list(_faces(body, projection))
    for frame, half, _ in faces:
        brush = Brush(frame, target, layer)
        brush.area(
            [(-half[0], -half[1]), (half[0], -half[1]), (half[0], half[1]), (-half[0], half[1])],
            Ink.FACE,
            Ink.QUIET,
            Width.THIN,
        )
        items.extend(brush.items)
    upright = [face for face in faces if face[2] != 2] or faces
    flat = [face for face in faces if face[2] == 2] or faces[:1]
    # The south side is the wider one in the isometric view and has the sign.
    frame, half, _ = max(upright, key=lambda face: face[1][0])
    brush = Brush(frame, target, layer)
    if body.role is Role.UNIT:
        _compressor_sign(brush, half)
    elif body.role is Role.CONDENSER:
        _zigzag(brush, half, 0.0 if len(faces) > 1 else -0.5 * half[1])
        frame, half, _ = flat[0]
        fan = Brush(frame, target, layer)
        _fan(fan, half, 0.0 if len(faces) > 1 else 0.45 * half[1])
        items.extend(fan.items)
    else:
        _zigzag(brush, half, 0.0)
    items.extend(brush.items)
    return tuple(items)


def _faces(body: Body, projection: Projection) -> Iterator[tuple[Frame, tuple[float, float], int]]:
    """Yield the sides turned to the eye: a frame in sheet units, half extents in it, the axis it is square to."""
    for axis in range(3):
        normal = _AXES[axis]
        towards = projection.depth_m(normal)
        if abs(towards) < 1e-9:
            continue
        sign = math.copysign(1.0, towards)
        middle = tuple(c + sign * n * h for c, n, h in zip(body.centre_m, normal, body.half_m, strict=True))
        first, second = {0: (1, 2), 1: (0, 2), 2: (0, 1)}[axis]
        along, across = unit_spot(projection.vector(_AXES[first])), unit_spot(projection.vector(_AXES[second]))
        if along is None or across is None:
            continue
        frame = Frame(projection.spot((middle[0], middle[1], middle[2])), along, across)
        yield frame, (body.half_m[first] * projection.scale, body.half_m[second] * projection.scale), axis


def _compressor_sign(brush: Brush, half: tuple[float, float]) -> None:
    r = 0.62 * min(half)
    brush.disc((0.0, 0.0), r, Ink.PANEL, Ink.QUIET)
    # Two lines that converge towards the discharge, which leaves upwards.
    for side in (-1.0, 1.0):
        brush.line([(side * 0.87 * r, -0.5 * r), (side * 0.34 * r, 0.94 * r)], Width.THIN, Ink.QUIET)


def _zigzag(brush: Brush, half: tuple[float, float], y: float) -> None:
    w, h = 0.72 * half[0], 0.42 * half[1]
    count = 6
    points = [(-0.95 * half[0], y), (-w, y)]
    points += [(-w + 2.0 * w * (i + 0.5) / count, y + (h if i % 2 == 0 else -h)) for i in range(count)]
    points += [(w, y), (0.95 * half[0], y)]
    brush.line(points, Width.THIN, Ink.QUIET)


def _fan(brush: Brush, half: tuple[float, float], y: float) -> None:
    r = min(0.62 * min(half), half[1] - abs(y) - 1.0)
    brush.disc((0.0, y), r, Ink.PANEL, Ink.QUIET)
    for start in (20.0, 200.0):
        tip = arc((0.0, y), 0.82 * r, start, start + 55.0)
        brush.area([(0.0, y), *tip], Ink.QUIET, None)


def _ends(body: Body, projection: Projection) -> tuple[Spot, Spot, float]:
    half = body.half_m[0] - body.half_m[2]
    x, y, z = body.centre_m
    return (
        projection.spot((x - half, y, z)),
        projection.spot((x + half, y, z)),
        body.half_m[2] * projection.scale,
    )


def _capsule(body: Body, projection: Projection) -> Spots:
    first, second, radius = _ends(body, projection)
    rings = [*_ring(first, radius), *_ring(second, radius)]
    return hull(rings)


def _ring(centre: Spot, radius: float) -> tuple[Spot, ...]:
    return arc(centre, radius, 0.0, 360.0, 32)[:-1]


def _receiver(body: Body, projection: Projection, target: Target | None, layer: Layer) -> tuple[Primitive, ...]:
    first, second, radius = _ends(body, projection)
    brush = Brush(Frame(across=(0.0, 1.0)), target, layer)
    brush.area(_capsule(body, projection), Ink.FACE, Ink.QUIET, Width.THIN)
    axis = unit_spot((second[0] - first[0], second[1] - first[1]))
    if axis is None:
        brush.area(_ring(first, 0.6 * radius), None, Ink.QUIET, Width.THIN)
        return tuple(brush.items)
    ux, uy = axis
    nx, ny = (uy, -ux) if -ux < 0.0 else (-uy, ux)
    # A weld seam at each end of the shell, and the dip line that reaches for the liquid at the outlet.
    for end, sign in ((first, 1.0), (second, -1.0)):
        seam = [
            (
                end[0] + nx * radius * y + sign * ux * 0.25 * radius * (1.0 - y * y),
                end[1] + ny * radius * y + sign * uy * 0.25 * radius * (1.0 - y * y),
            )
            for y in (-1.0, -0.6, 0.0, 0.6, 1.0)
        ]
        brush.line(seam, Width.HAIR, Ink.QUIET)
    x, y = first[0] + 0.62 * (second[0] - first[0]), first[1] + 0.62 * (second[1] - first[1])
    dip = [(x + nx * radius, y + ny * radius), (x - nx * 0.55 * radius, y - ny * 0.55 * radius)]
    brush.line(dip, Width.SYMBOL, Ink.QUIET)
    return tuple(brush.items)
