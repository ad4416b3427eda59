from __future__ import annotations

import itertools
import math
from types import ModuleType

import pytest

from linesizer.domain.equipment import Role
from linesizer.domain.finding import Level
from linesizer.drawing.display_list import Box, Circle, Ink, Polygon, Polyline, Primitive, Text, TextSize
from linesizer.drawing.equipment_symbols import Body, equipment_primitives, half_extents_m
from linesizer.drawing.frame import Frame, pipe_frame
from linesizer.drawing.hit import inside
from linesizer.drawing.legend import ROW_HEIGHT, SIGN_WIDTH, finding_entries, legend, legend_entries
from linesizer.drawing.marks import (
    axis_marker,
    break_mark,
    dimension_line,
    finding_mark,
    flow_arrow,
    level_mark,
    slope_triangle,
)
from linesizer.drawing.projection import Direction, Projection, View
from linesizer.drawing.symbols import OTHER_PART, PART_SYMBOLS, UNIT, Symbol, part_symbol

SYMBOLS = {**PART_SYMBOLS, "": OTHER_PART}


def places(items: tuple[Primitive, ...]) -> list[tuple[float, float]]:
    found = []
    for item in items:
        if isinstance(item, Polyline | Polygon):
            found.extend(item.points)
        elif isinstance(item, Circle):
            x, y = item.centre
            found.extend([(x - item.radius, y - item.radius), (x + item.radius, y + item.radius)])
        elif isinstance(item, Text):
            found.append(item.at)
    return found


@pytest.mark.parametrize("symbol", SYMBOLS.values(), ids=SYMBOLS.keys())
def test_every_sign_is_drawn_inside_its_frame(symbol: Symbol) -> None:
    items = symbol.primitives(Frame(size=1.0))
    assert items
    for x, y in places(items):
        assert abs(x) <= symbol.half_length + 1e-9
        assert -symbol.above - 1e-9 <= y <= symbol.below + 1e-9, "y points down on the sheet"


@pytest.mark.parametrize("symbol", SYMBOLS.values(), ids=SYMBOLS.keys())
def test_a_sign_fills_the_frame_that_it_declares(symbol: Symbol) -> None:
    # A frame that is too large keeps labels and neighbours away for nothing.
    box = Box.around(places(symbol.primitives(Frame(size=1.0))))
    assert box.right == pytest.approx(symbol.half_length, abs=0.2)
    assert box.top == pytest.approx(-symbol.above, abs=0.2)


@pytest.mark.parametrize("symbol", SYMBOLS.values(), ids=SYMBOLS.keys())
def test_a_sign_is_the_same_every_time_and_moves_with_its_frame(symbol: Symbol) -> None:
    here, there = Frame((0.0, 0.0), size=UNIT), Frame((100.0, -50.0), size=UNIT)
    assert symbol.primitives(here) == symbol.primitives(here)
    moved = [(x + 100.0, y - 50.0) for x, y in places(symbol.primitives(here))]
    for a, b in zip(moved, places(symbol.primitives(there)), strict=True):
        assert math.dist(a, b) == pytest.approx(0.0, abs=UNIT)  # discs keep their radius, corners their place
    assert places(symbol.primitives(there))[0] == pytest.approx(moved[0])


def test_signs_differ_from_each_other() -> None:
    drawn = {name: symbol.primitives(Frame(size=UNIT)) for name, symbol in SYMBOLS.items()}
    assert len(set(drawn.values())) == len(drawn)
    assert len({symbol.words for symbol in SYMBOLS.values()}) == len(SYMBOLS)


def test_a_check_valve_passes_towards_its_bar() -> None:
    triangle, bar = part_symbol("check_valve").primitives(Frame(size=1.0))
    assert isinstance(triangle, Polygon)
    assert isinstance(bar, Polyline)
    tip = max(x for x, _ in triangle.points)
    assert tip < min(x for x, _ in bar.points), "the triangle's tip touches the bar, which lies downstream"


@pytest.mark.parametrize(
    ("kind", "sign"), [("angle_valve", "stop_valve"), ("service_valve", "stop_valve"), ("strainer", "filter_drier")]
)
def test_kinds_of_one_family_share_a_sign(kind: str, sign: str) -> None:
    assert part_symbol(kind) is PART_SYMBOLS[sign]


def test_a_kind_nobody_drew_gets_the_plain_box() -> None:
    assert part_symbol("perpetual_motion_device") is OTHER_PART


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("direction", list(Direction))
def test_a_frame_lies_along_the_pipe_and_never_collapses(view: View, direction: Direction) -> None:
    projection = Projection(view, 40.0)
    frame = pipe_frame(projection, direction.vector, (5.0, 6.0), 10.0)
    x, y = projection.vector(direction.vector)
    if math.hypot(x, y) > 0.5:
        assert frame.along == pytest.approx((x, y))
    area = abs(frame.along[0] * frame.across[1] - frame.along[1] * frame.across[0])
    assert area > 0.5


def test_isometric_frames_are_sheared_onto_the_axes() -> None:
    projection = Projection(View.ISOMETRIC, 40.0)
    level = pipe_frame(projection, Direction.EAST.vector, (0.0, 0.0), 10.0)
    assert level.across == pytest.approx((0.0, -1.0)), "a sign on a level run stands upright"
    riser = pipe_frame(projection, Direction.UP.vector, (0.0, 0.0), 10.0)
    assert riser.across == pytest.approx(projection.vector(Direction.EAST.vector)), "a sign on a riser lies to the east"


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("role", list(Role))
def test_equipment_is_drawn_within_its_outline_in_every_view(view: View, role: Role) -> None:
    projection = Projection(view, 40.0)
    body = Body(role, (2.0, -1.0, 0.5), half_extents_m(role, 40.0))
    items = equipment_primitives(body, projection)
    outline = body.outline(projection)
    assert len(items) > 1
    assert len(outline) >= 4
    grown = Box.around(outline).grown(1.0)
    centre = grown.centre
    for x, y in places(items):
        # Shrunk a little towards the middle, every place lies inside.
        assert inside(outline, (centre[0] + 0.97 * (x - centre[0]), centre[1] + 0.97 * (y - centre[1])))


def test_equipment_keeps_a_readable_size_at_every_zoom() -> None:
    for scale in (2.0, 20.0, 40.0, 160.0):
        east = half_extents_m(Role.UNIT, scale)[0] * scale * 2.0
        assert 40.0 <= east <= 100.0


def test_an_arrow_points_with_the_flow() -> None:
    arrow = flow_arrow((10.0, 20.0), (0.0, -1.0), Ink.INK)
    assert arrow.points[0][1] < 20.0
    assert all(y > 20.0 for _, y in arrow.points[1:])


@pytest.mark.parametrize("falls_right", [True, False])
def test_the_thin_end_of_a_slope_points_down_it(falls_right: bool) -> None:
    thick_low, thick_high, thin = slope_triangle((0.0, 0.0), falls_right).points
    assert (thin[0] > 0.0) is falls_right
    assert thick_low[0] == thick_high[0]
    assert thick_low[0] == -thin[0]


def test_a_level_mark_stands_on_its_line() -> None:
    line, triangle = level_mark((3.0, 4.0))
    assert isinstance(triangle, Polygon)
    assert triangle.points[0] == (3.0, 4.0)
    assert all(y < 4.0 for _, y in triangle.points[1:])
    assert isinstance(line, Polyline)
    assert {y for _, y in line.points} == {4.0}


def test_findings_differ_by_shape_not_by_colour_alone() -> None:
    stop, warn, note = (finding_mark((0.0, 0.0), level) for level in (Level.STOP, Level.WARN, Level.NOTE))
    assert isinstance(stop, Polygon)
    assert isinstance(warn, Polygon)
    assert (len(stop.points), len(warn.points)) == (4, 3)
    assert isinstance(note, Circle)


@pytest.mark.parametrize("view", list(View))
def test_the_axis_marker_names_the_axes_that_the_view_shows(view: View) -> None:
    words = [item.text for item in axis_marker(Projection(view), (0.0, 0.0)) if isinstance(item, Text)]
    expected = {
        View.ISOMETRIC: ["E", "N", "up"],
        View.PLAN: ["E", "N"],
        View.FROM_SOUTH: ["E", "up"],
        View.FROM_EAST: ["N", "up"],
        View.FROM_NORTH: ["E", "up"],
        View.FROM_WEST: ["N", "up"],
    }
    assert words == expected[view]


def test_a_dimension_that_follows_from_others_stands_in_brackets() -> None:
    def words(follows: bool) -> str:
        items = dimension_line((0.0, 0.0), (100.0, 0.0), "2.50 m", (0.0, -20.0), follows=follows)
        return next(item.text for item in items if isinstance(item, Text))

    assert words(False) == "2.50 m"
    assert words(True) == "(2.50 m)"


def test_a_break_mark_interrupts_the_line_between_two_zigzags() -> None:
    blank, *zigzags = break_mark((0.0, 0.0), (1.0, 0.0), (0.0, -1.0))
    assert isinstance(blank, Polygon)
    assert blank.outline is None
    assert len(zigzags) == 2


def test_the_legend_explains_every_part_of_the_jobs(jobs: ModuleType) -> None:
    circuits = [make() for make in jobs.JOBS.values()]
    entries = legend_entries(circuits)
    words = {entry.words for entry in entries}
    kinds = {part.kind for c in circuits for line in c.lines for leg in line.legs for part in leg.parts}
    assert {part_symbol(kind).words for kind in kinds} <= words
    assert len(words) == len(entries)
    for entry in (*entries, *finding_entries()):
        box = Box.around(places(entry.sign))
        assert box.width <= SIGN_WIDTH
        assert box.height <= ROW_HEIGHT + 4.0


def test_the_rows_of_a_legend_do_not_touch() -> None:
    rows = [item for item in legend(finding_entries(), (0.0, 0.0)) if isinstance(item, Text)]
    steps = [b.at[1] - a.at[1] for a, b in itertools.pairwise(rows)]
    assert all(step >= TextSize.LABEL.value * 1.4 for step in steps)
