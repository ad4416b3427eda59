"""Lines on the sheet: pipes with their gaps, parts, arrows, letters, joints, ties, and the labels asked for."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from linesizer.domain.circuit import Circuit
from linesizer.domain.route import Line, Point
from linesizer.drawing.bends import opposite
from linesizer.drawing.clutter import Clutter
from linesizer.drawing.crossings import Interval, crossing_gaps
from linesizer.drawing.display_list import (
    Box,
    Circle,
    Ink,
    Layer,
    Polygon,
    Polyline,
    Primitive,
    Target,
    Width,
    bounds,
)
from linesizer.drawing.drawn_equipment import Placed
from linesizer.drawing.drawn_labels import LabelBook
from linesizer.drawing.equipment_place import hidden_stretch
from linesizer.drawing.fixtures import Stretch, spread_parts
from linesizer.drawing.frame import pipe_frame, unit_spot
from linesizer.drawing.hit import inside
from linesizer.drawing.label_words import leg_words, level_words, size_words, slope_words
from linesizer.drawing.marks import ARROW_LENGTH, LETTER_HALF, flow_arrow, level_mark, service_letter
from linesizer.drawing.options import LegNotes, SceneOptions
from linesizer.drawing.outline import nearest_on_ring
from linesizer.drawing.projection import Projection, Spot
from linesizer.drawing.runs import Run
from linesizer.drawing.skew import is_skew, offset_box
from linesizer.drawing.strokes import SERVICE_STYLES, ServiceStyle, pipe_strokes
from linesizer.drawing.symbols import PART_SYMBOLS, UNIT, part_symbol, sign_factor
from linesizer.drawing.ties import DrawnEnd, drawn_ends

_LEAST_LETTERED = 150.0
"""A leg this long on the sheet gets a letter of its own; the longest leg of each line always does."""

_PORT_HALF = 3.2
_END_ON = 1.5
_LESS = 3.0
_BEND_HALF = (20.0, 16.0)
_STEEP = 0.25


def draw_lines(
    circuits: Sequence[Circuit],
    runs: Sequence[Run],
    placed: Sequence[Placed],
    projection: Projection,
    options: SceneOptions,
    items: list[Primitive],
    clutter: Clutter,
    book: LabelBook,
) -> None:
    """Draw every leg of every line, and ask for its labels."""
    pen = _Pen(projection, options, items, clutter, book)
    hidden = [_hidden(run, placed, projection) for run in runs]
    paths = [run.places(projection, path) for run in runs for path in (run.path_m, run.second_m) if path]
    owners = [i for i, run in enumerate(runs) for path in (run.path_m, run.second_m) if path]
    rear, front = crossing_gaps(paths, owners)
    first_path: dict[int, int] = {}
    for k, i in enumerate(owners):
        first_path.setdefault(i, k)
        points = tuple((float(x), float(y)) for x, y in paths[k][:, :2])
        pen.pipe(runs[i], points, rear.get(k, []), hidden[i])
    longest: dict[tuple[str, str], Run] = {}
    for run in runs:
        key = (run.circuit.id, run.line.id)
        if key not in longest or run.geometry.length_m > longest[key].geometry.length_m + 1e-9:
            longest[key] = run
    for i, run in enumerate(runs):
        k = first_path[i]
        lead = _lead(run, projection)
        crossed = [(low - lead, high - lead) for low, high in (*rear.get(k, []), *front.get(k, []))]
        is_longest = longest[run.circuit.id, run.line.id] is run
        pen.fixtures(run, crossed, hidden[i], is_longest)
    pen.nodes(runs)
    for circuit in circuits:
        pen.ties(circuit, runs, placed)


def _lead(run: Run, projection: Projection) -> float:
    """Return how much of a leg's path lies before its straight stretch, [sheet units]."""
    points = [run.spot(projection, at) for at in run.path_m]
    start = run.spot(projection, run.straight_m[0])
    gone = 0.0
    for a, b in pairwise(points):
        if math.dist(a, start) < 1e-6:
            return gone
        gone += math.dist(a, b)
    return 0.0


def _hidden(run: Run, placed: Sequence[Placed], projection: Projection) -> tuple[list[Interval], bool]:
    """Return the parts of a leg's straight stretch that lie on a body, by share, and whether it passes behind one."""
    a, b = run.places(projection, run.straight_m)
    found, behind = [], False
    for _, _, body in placed:
        part = hidden_stretch(body, projection, (float(a[0]), float(a[1])), (float(b[0]), float(b[1])))
        if part is None:
            continue
        found.append(part)
        middle = (part[0] + part[1]) / 2.0
        behind = behind or a[2] + middle * (b[2] - a[2]) < projection.depth_m(body.centre_m) - 1e-9
    return found, behind


def _longest_clear(taken: Sequence[Interval]) -> Interval:
    """Return the longest part of 0 to 1 that no interval takes; all of it where everything is taken."""
    at, best = 0.0, (0.0, 0.0)
    for low, high in [*sorted(taken), (1.0, 1.0)]:
        if low - at > best[1] - best[0]:
            best = (at, low)
        at = max(at, high)
    return best if best[1] > best[0] else (0.0, 1.0)


class _Pen:
    """Draws legs one after another into the same list."""

    def __init__(
        self,
        projection: Projection,
        options: SceneOptions,
        items: list[Primitive],
        clutter: Clutter,
        book: LabelBook,
    ) -> None:
        self.projection = projection
        self.options = options
        self.items = items
        self.clutter = clutter
        self.book = book

    def take(self, *primitives: Primitive) -> None:
        """Draw primitives, and keep labels away from them."""
        self.items.extend(primitives)
        box: Box | None = None
        owner = primitives[0].target if primitives else None
        if owner is not None and self.options.quiet(owner.circuit):
            return  # labels may lie on what is only there for the whole picture
        for primitive in primitives:
            own = bounds(primitive, self.options.text_factor)
            box = own if box is None else box.joined(own)
        if box is not None:
            # Labels keep their clearance from a pipe's centre; what is wider than a pipe needs less beyond its edge.
            self.clutter.add_box(box.grown(-min(_LESS, box.width / 2.0, box.height / 2.0)))

    def pipe(
        self, run: Run, points: tuple[Spot, ...], gaps: list[Interval], hidden: tuple[list[Interval], bool]
    ) -> None:
        """Draw one tube of a leg, with the selection beneath it."""
        style = self._style(run.circuit, run.line)
        layer = Layer.HIDDEN_PIPE if hidden[1] else Layer.PIPE
        self.items.extend(pipe_strokes(points, style, run.target, layer, gaps))
        # Figures must not lie on a pipe, be it only there for the whole picture.
        self.clutter.add_path(points)
        line = Target(run.circuit.id, run.line.id)
        if run.target in self.options.selection or line in self.options.selection:
            self.items.append(
                Polyline(points, Ink.SELECTION, Width.SELECTION, target=run.target, layer=Layer.SELECTION)
            )

    def fixtures(
        self, run: Run, crossed: list[Interval], hidden: tuple[list[Interval], bool], is_longest: bool
    ) -> None:
        """Draw what stands on a leg, and ask for its labels."""
        projection, style = self.projection, self._style(run.circuit, run.line)
        a, b = (run.spot(projection, at) for at in run.straight_m)
        length = math.dist(a, b)
        low, high = _longest_clear(hidden[0])
        if not self.options.quiet(run.circuit.id):
            self._label(run, self._between(a, b, low), self._between(a, b, high))
        for level in run.levels_m:
            self._level_line(run, level)
        for joint in run.joints_m:
            self.take(Circle(run.spot(projection, joint), 3.6, style.ink, target=run.target))
        if is_skew(run.geometry.direction) and length > _END_ON:
            thin = offset_box(run, projection, run.target)
            self.items.extend(thin)
            for each in thin:
                if isinstance(each, Polyline):
                    self.clutter.add_path(each.points)
        if length <= _END_ON:
            # Seen end on: a ring, with the eye of an arrow that comes or the tail of one that goes.
            self.take(
                Circle(a, 5.5, Ink.PANEL, style.ink, Width.SYMBOL, run.target),
                Circle(a, 1.7, style.ink, target=run.target),
            )
            return
        along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        stretch = Stretch(length, low * length, high * length)
        self._parts(run, stretch, a, length)
        for gap in crossed:
            stretch.take(*gap)
        arrow_at = stretch.find(ARROW_LENGTH, 0.62 * length)
        if arrow_at is not None:
            self.take(flow_arrow(self._between(a, b, arrow_at / length), along, style.ink, run.target))
        if is_longest or length > _LEAST_LETTERED:
            size = 2.0 * LETTER_HALF * self.options.text_factor
            letter_at = stretch.find(size, 0.3 * length, 4.0)
            if letter_at is not None:
                spot = self._between(a, b, letter_at / length)
                self.take(service_letter(spot, style.letter, style.ink, self.options.text_factor, run.target))

    def _parts(self, run: Run, stretch: Stretch, start: Spot, length: float) -> None:
        if not run.leg.parts:
            return
        parts = sorted(run.leg.parts, key=lambda part: part.at)
        projection = self.projection
        first, last = (run.spot(projection, at) for at in (run.geometry.start_m, run.geometry.end_m))
        full = math.dist(first, last)
        offset = math.dist(first, start)
        signs = [part_symbol(part.kind) for part in parts]
        unit = UNIT * sign_factor(projection.scale)
        frame = pipe_frame(projection, run.geometry.direction, start, unit)
        # A sheared sign leans along the pipe by what it stands out from it.
        lean = abs(frame.along[0] * frame.across[0] + frame.along[1] * frame.across[1])
        halves = [unit * max(sign.half_length, 0.2 + lean * max(sign.above, sign.below)) for sign in signs]
        places, factor = spread_parts(stretch, [part.at * full - offset for part in parts], halves)
        end = run.spot(projection, run.straight_m[1])
        for part, sign, place in zip(parts, signs, places, strict=True):
            target = Target(run.circuit.id, run.line.id, run.leg.id, part=part.id)
            spot = self._between(start, end, place / length)
            frame = pipe_frame(projection, run.geometry.direction, spot, unit * factor)
            self.take(*sign.primitives(frame, target))
            if target in self.options.selection:
                radius = (max(sign.half_length, sign.above, sign.below) + 0.3) * unit * factor
                self.items.append(Circle(spot, radius, Ink.SELECTION, target=target, layer=Layer.SELECTION))

    def _label(self, run: Run, start: Spot, end: Spot) -> None:
        options, geometry = self.options, run.geometry
        notes = options.notes.get(run.target, LegNotes())
        words = leg_words(run.line, run.leg, geometry.length_m, options.system, notes.size)
        ink = SERVICE_STYLES[run.line.service].ink
        spread = 0.0
        if run.second_m:
            # A double riser is named from the middle between its tubes, and its label keeps clear of both.
            tube = max(
                pairwise(run.spot(self.projection, at) for at in run.second_m), key=lambda ends: math.dist(*ends)
            )
            dx, dy = ((tube[0][i] + tube[1][i] - start[i] - end[i]) / 4.0 for i in (0, 1))
            ux, uy = unit_spot((end[0] - start[0], end[1] - start[1])) or (1.0, 0.0)
            dx, dy = dx - ux * (dx * ux + dy * uy), dy - uy * (dx * ux + dy * uy)
            start, end = (start[0] + dx, start[1] + dy), (end[0] + dx, end[1] + dy)
            spread = math.hypot(dx, dy)
        self.book.leg(run.target, words, notes.second, (start, end), spread, ink)
        fall = run.leg.fall
        if fall == 0.0 and geometry.run_m > 0.0 and 1e-4 < abs(geometry.slope) <= 0.1:
            fall = -geometry.slope
        if fall != 0.0 and math.dist(start, end) > _END_ON:
            right = (end[0] > start[0] + 1e-6) if abs(end[0] - start[0]) > 1e-6 else True
            self.book.slope(run.target, slope_words(abs(fall), options.system), start, end, right == (fall > 0.0))

    def _level_line(self, run: Run, level: tuple[Point, Point]) -> None:
        a, b = (run.spot(self.projection, at) for at in level)
        if math.dist(a, b) < 3.0:
            return
        middle = self._between(a, b, 0.5)
        self.items.append(Polyline((a, b), Ink.QUIET, Width.HAIR, target=run.target, layer=Layer.SYMBOL))
        self.take(*level_mark(middle, 6.0, target=run.target)[1:])

    def nodes(self, runs: Sequence[Run]) -> None:
        """Draw joints and reducers, mark selected nodes, and ask for heights where the level changes."""
        projection, options = self.projection, self.options
        at_node: defaultdict[Target, list[Run]] = defaultdict(list)
        for run in runs:
            for node in (run.leg.start, run.leg.end):
                at_node[Target(run.circuit.id, run.line.id, node=node)].append(run)
        for target, meeting in at_node.items():
            one = meeting[0]
            at_m = one.geometry.start_m if one.leg.start == target.node else one.geometry.end_m
            spot = one.spot(projection, at_m)
            ink = self._style(one.circuit, one.line).ink
            if len(meeting) > 2:
                self.take(Circle(spot, 4.6, ink, target=target))
            if target in options.selection:
                self.items.append(Circle(spot, 9.0, Ink.SELECTION, target=target, layer=Layer.SELECTION))
                self.take(Circle(spot, 5.0, Ink.PANEL, ink, Width.SYMBOL, target))
            kind = next((fitting.kind for fitting in one.line.fittings if fitting.node == target.node), "")
            word = kind if kind in ("trap", "loop") else ""
            steep = any(abs(run.geometry.rise_m) > _STEEP * run.geometry.length_m for run in meeting)
            if steep and not options.quiet(one.circuit.id):
                words = level_words(at_m[2], options.system)
                half = _BEND_HALF if word else (0.0, 0.0)
                self.book.level(target, word, words, spot, half)
            self._reducer(target, meeting, spot)

    def _reducer(self, target: Target, meeting: Sequence[Run], spot: Spot) -> None:
        came = [run for run in meeting if run.leg.end == target.node]
        goes = [run for run in meeting if run.leg.start == target.node]
        if len(came) != 1 or len(goes) != 1 or came[0].leg.double_riser or goes[0].leg.double_riser:
            return
        notes = self.options.notes
        before, after = (
            size_words(run.line, run.leg, notes.get(run.target, LegNotes()).size) for run in (came[0], goes[0])
        )
        if before == after or any(part.kind == "reducer" for run in meeting for part in run.leg.parts):
            return
        run = goes[0]
        a, b = (run.spot(self.projection, at) for at in run.straight_m)
        length = math.dist(a, b)
        if length < 45.0:
            return
        sign = PART_SYMBOLS["reducer"]
        narrower = _reads_smaller(after, before)
        direction = run.geometry.direction if narrower else opposite(run.geometry.direction)
        at = self._between(a, b, 13.0 / length)
        self.take(
            *sign.primitives(
                pipe_frame(self.projection, direction, at, 0.8 * UNIT * sign_factor(self.projection.scale)), target
            )
        )

    def ties(self, circuit: Circuit, runs: Sequence[Run], placed: Sequence[Placed]) -> None:
        """Draw a thin tie where a line's end stands apart from its equipment, a ring where it is tied to none."""
        bodies = {each.id: body for owner, each, body in placed if owner is circuit}
        for line in circuit.lines:
            own = [run for run in runs if run.line is line and run.circuit is circuit]
            for end in drawn_ends(circuit, line):
                node, equipment = end.node, end.equipment
                run = next((run for run in own if node in (run.leg.start, run.leg.end)), None)
                if run is None:
                    continue
                at_m = run.path_m[0] if run.leg.start == node else run.path_m[-1]
                spot = run.spot(self.projection, at_m)
                target = Target(circuit.id, line.id, node=node)
                ink = self._style(circuit, line).ink
                body = bodies.get(equipment.id) if equipment is not None else None
                if body is None:
                    self.take(Circle(spot, 3.8, Ink.PANEL, ink, Width.SYMBOL, target))
                    continue
                outline = body.outline(self.projection)
                near = nearest_on_ring(outline, spot)
                apart = not inside(outline, spot) and math.dist(near, spot) >= 4.0
                if apart:
                    self.items.append(Polyline((spot, near), Ink.QUIET, Width.THIN, (3.0, 3.0), 0.0, target, Layer.TIE))
                    if not self.options.quiet(circuit.id):
                        self.clutter.add_path((spot, near))
                self._port(circuit, end, near if apart else spot, target, ink)

    def _port(self, circuit: Circuit, end: DrawnEnd, spot: Spot, target: Target, ink: Ink) -> None:
        """Draw the port where an end belongs: filled where the job states it, and its word where it has one."""
        x, y = spot
        h = _PORT_HALF
        corners = ((x - h, y - h), (x + h, y - h), (x + h, y + h), (x - h, y + h))
        self.take(Polygon(corners, ink if end.stated else Ink.PANEL, ink, Width.THIN, target, Layer.SYMBOL))
        if end.port and not self.options.quiet(circuit.id):
            self.book.port(target, end.port, spot)

    def _style(self, circuit: Circuit, line: Line) -> ServiceStyle:
        """Return how a line is drawn: in a quiet circuit its dashes and letter alone tell its service."""
        style = SERVICE_STYLES[line.service]
        return replace(style, ink=Ink.QUIET) if self.options.quiet(circuit.id) else style

    @staticmethod
    def _between(a: Spot, b: Spot, share: float) -> Spot:
        return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def _reads_smaller(first: str, second: str) -> bool:
    """Return whether one trade size reads smaller than another; sizes that do not read as numbers count as equal."""
    a, b = _number(first), _number(second)
    return a is not None and b is not None and a < b


def _number(size: str) -> float | None:
    whole, value = size.split("x")[0], 0.0
    for word in whole.split("-"):
        top, _, bottom = word.partition("/")
        try:
            value += float(top) / float(bottom or 1.0)
        except (ValueError, ZeroDivisionError):
            return None
    return value
