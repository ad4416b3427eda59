"""The legs of a job as they are drawn: paths in space with traps, loops and double risers, moved apart on the sheet."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import SAME_PLACE_M, LegGeometry, leg_geometry
from linesizer.domain.route import Leg, Line, Point
from linesizer.drawing.bends import Bend, TwoTubes, add, opposite, rounded, two_tubes, u_bend
from linesizer.drawing.display_list import Target
from linesizer.drawing.projection import Projection, Spot, View
from linesizer.drawing.symbols import sign_factor

BESIDE = 14.0
"""How far a line moves over that would lie on another, [sheet units]: half of it shows across a run at 30 degrees."""

_U_WIDTH, _U_HEIGHT = 17.0, 20.0
_TUBE_SPACING = 15.0
_LEAST_SEAL, _MOST_SEAL = 9.0, 20.0
_SLOTS = (0, 1, -1, 2, -2, 3, -3)


@dataclass(slots=True)
class Run:
    """One leg as drawn: paths in space, [m], the straight stretch that carries parts, its line's move on the sheet."""

    circuit: Circuit
    line: Line
    leg: Leg
    geometry: LegGeometry
    target: Target
    path_m: tuple[Point, ...] = ()
    second_m: tuple[Point, ...] = ()
    straight_m: tuple[Point, Point] = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    joints_m: tuple[Point, ...] = ()
    levels_m: list[tuple[Point, Point]] = field(default_factory=list)
    shift: Spot = (0.0, 0.0)

    def spot(self, projection: Projection, at_m: Point) -> Spot:
        """Return where a point of this leg lies on the sheet, its line's move included."""
        x, y = projection.spot(at_m)
        return (x + self.shift[0], y + self.shift[1])

    def places(self, projection: Projection, path_m: Sequence[Point]) -> NDArray[np.float64]:
        """Return a path as right, down, depth, shape (n, 3), its line's move included."""
        return np.asarray(projection.spots(path_m) + np.array([*self.shift, 0.0]))


def sound_legs(line: Line) -> list[LegGeometry]:
    """Return the legs that have both nodes and a length; a route that is being repaired is drawn as far as it goes."""
    places = {node.id: node.at_m for node in line.nodes}
    found = []
    for index, leg in enumerate(line.legs):
        start, end = places.get(leg.start), places.get(leg.end)
        if start is None or end is None or math.dist(start, end) < SAME_PLACE_M:
            continue
        found.append(leg_geometry(index, leg, start, end))
    return found


def lay_runs(circuits: Iterable[Circuit], projection: Projection) -> list[Run]:
    """Return the legs of all lines of some circuits as they are drawn, in the order of the job."""
    runs: list[Run] = []
    placed = np.zeros((0, 4))
    for circuit in circuits:
        for line in circuit.lines:
            own = _line_runs(circuit, line, sound_legs(line), projection)
            drawn = _sheet_segments(own, projection)
            shift = _free_shift(drawn, placed, projection)
            placed = np.concatenate([placed, drawn + np.array([*shift, *shift])])
            for run in own:
                run.shift = shift
            runs.extend(own)
    return runs


def _sheet_segments(runs: Sequence[Run], projection: Projection) -> NDArray[np.float64]:
    """Return every stretch of the legs' paths as right, down, right, down, shape (n, 4)."""
    paths = [projection.spots(path)[:, :2] for run in runs for path in (run.path_m, run.second_m) if path]
    return np.concatenate([np.hstack([path[:-1], path[1:]]) for path in paths]) if paths else np.zeros((0, 4))


def _free_shift(own: NDArray[np.float64], placed: NDArray[np.float64], projection: Projection) -> Spot:
    """Return the least move of a line on the sheet that leaves none of its legs on a leg placed before."""
    # Across all three axes of the isometric view at once, or across both of the other views.
    ux, uy = (1.0, 0.0) if projection.view is View.ISOMETRIC else (math.sqrt(0.5), math.sqrt(0.5))
    best, least = (0.0, 0.0), math.inf
    for slot in _SLOTS:
        shift = (slot * BESIDE * ux, slot * BESIDE * uy)
        covered = _shared_length(own + np.array([*shift, *shift]), placed)
        if covered < least - 1e-6:
            best, least = shift, covered
        if least <= 0.0:
            break
    return best


def _shared_length(own: NDArray[np.float64], placed: NDArray[np.float64]) -> float:
    """Return the length along which some stretches lie on others, nearer than two pipes are wide."""
    if not len(own) or not len(placed):
        return 0.0
    a, d = own[:, None, :2], (own[:, 2:] - own[:, :2])[:, None]
    length = np.hypot(d[..., 0], d[..., 1])
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        u = d / length[..., None]
        e = placed[None, :, 2:] - placed[None, :, :2]
        size = np.hypot(e[..., 0], e[..., 1])
        parallel = np.abs(u[..., 0] * e[..., 1] - u[..., 1] * e[..., 0]) < 0.03 * size
        p, q = placed[None, :, :2] - a, placed[None, :, 2:] - a
        away = np.abs(u[..., 0] * p[..., 1] - u[..., 1] * p[..., 0])
        first, last = (p * u).sum(axis=-1), (q * u).sum(axis=-1)
        shared = np.minimum(length, np.maximum(first, last)) - np.maximum(0.0, np.minimum(first, last))
        counted = (length > 1.0) & (size > 1.0) & parallel & (away < 5.0) & (shared > 4.0)
    return float(np.where(counted, shared, 0.0).sum())


def _line_runs(circuit: Circuit, line: Line, legs: list[LegGeometry], projection: Projection) -> list[Run]:
    arriving: defaultdict[str, list[int]] = defaultdict(list)
    leaving: defaultdict[str, list[int]] = defaultdict(list)
    for i, geometry in enumerate(legs):
        arriving[geometry.leg.end].append(i)
        leaving[geometry.leg.start].append(i)
    trim_in, trim_out = [0.0] * len(legs), [0.0] * len(legs)
    tubes: dict[int, TwoTubes] = {}
    scale = projection.scale
    size = sign_factor(scale)

    def before(node: str) -> LegGeometry | None:
        return legs[arriving[node][0]] if arriving[node] else None

    def after(node: str) -> LegGeometry | None:
        return legs[leaving[node][0]] if leaving[node] else None

    for i, geometry in enumerate(legs):
        riser = geometry.leg.double_riser
        if riser is None:
            continue
        came, goes = before(geometry.leg.start), after(geometry.leg.end)
        room = min(geometry.length_m / 4.0, goes.length_m / 4.0 if goes is not None else math.inf)
        spacing = min(size * _TUBE_SPACING / scale, room)
        seal = min(max(riser.seal_m * scale, _LEAST_SEAL), _MOST_SEAL) / scale
        tubes[i] = two_tubes(
            geometry.start_m,
            geometry.end_m,
            came.direction if came is not None else None,
            goes.direction if goes is not None else None,
            spacing,
            min(seal, geometry.length_m / 3.0),
        )
        for j in leaving[geometry.leg.end]:
            trim_out[j] = tubes[i].trim_out_m
    own_bend: dict[int, Bend] = {}
    end_bend: dict[int, Bend] = {}
    for fitting in line.fittings:
        came, goes = before(fitting.node), after(fitting.node)
        one = goes or came
        if fitting.kind not in ("trap", "loop") or one is None:
            continue
        if goes is not None and goes.leg.double_riser is not None:
            continue  # the double riser brings its own trap
        at_m = one.start_m if goes is not None else one.end_m
        room = min(each.length_m for each in (came, goes) if each is not None) * 0.3
        bend = u_bend(
            at_m,
            came.direction if came is not None else None,
            goes.direction if goes is not None else None,
            min(size * _U_WIDTH / scale, room),
            min(size * _U_HEIGHT / scale, 1.5 * room),
            fitting.kind == "trap",
        )
        for i in arriving[fitting.node]:
            trim_in[i] = bend.trim_in_m
        if goes is not None:
            i = leaving[fitting.node][0]
            own_bend[i], trim_out[i] = bend, max(trim_out[i], bend.trim_out_m)
        else:
            end_bend[arriving[fitting.node][0]] = bend
    found = []
    for i, geometry in enumerate(legs):
        run = Run(circuit, line, geometry.leg, geometry, Target(circuit.id, line.id, geometry.leg.id))
        start = add(geometry.start_m, (trim_out[i], geometry.direction))
        end = add(geometry.end_m, (trim_in[i], opposite(geometry.direction)))
        run.straight_m = (start, end)
        path: tuple[Point, ...] = (start, end)
        radius = 0.45 * size * _U_WIDTH / scale
        for bends, leads in ((own_bend, True), (end_bend, False)):
            bend_here = bends.get(i)
            if bend_here is None:
                continue
            curve = rounded(bend_here.points_m, radius)
            path = _joined(curve, path) if leads else _joined(path, curve)
            run.levels_m.append(bend_here.level_m)
        two = tubes.get(i)
        if two is not None:
            path, run.second_m = (
                rounded(two.small_m, 0.3 * _TUBE_SPACING / scale),
                rounded(two.large_m, 0.3 * _TUBE_SPACING / scale),
            )
            run.joints_m = two.joints_m
            run.levels_m.append(two.seal_m)
        run.path_m = path
        found.append(run)
    return found


def _joined(first: tuple[Point, ...], second: tuple[Point, ...]) -> tuple[Point, ...]:
    return first + (second[1:] if math.dist(first[-1], second[0]) < 1e-9 else second)
