from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesizer.drawing.projection import Direction, Projection, View

metres = st.floats(-500.0, 500.0)
points = st.tuples(metres, metres, metres)
scales = st.floats(1.0, 400.0)


@pytest.mark.parametrize(
    ("direction", "angle_deg"),
    # Angles above the horizontal, to the right counted from 0: isometric axes at 30 degrees left and right and vertical
    # (ISO 6412-2, from memory; the project's drawing-conventions.md).
    [
        (Direction.EAST, 30.0),
        (Direction.UP, 90.0),
        (Direction.NORTH, 150.0),
        (Direction.WEST, 210.0),
        (Direction.DOWN, 270.0),
        (Direction.SOUTH, 330.0),
    ],
)
def test_isometric_axes_stand_at_thirty_degrees_in_true_length(direction: Direction, angle_deg: float) -> None:
    x, y = Projection(View.ISOMETRIC, 40.0).spot(direction.vector)
    assert math.hypot(x, y) == pytest.approx(40.0)
    assert math.degrees(math.atan2(-y, x)) % 360.0 == pytest.approx(angle_deg)


@pytest.mark.parametrize(
    ("view", "right", "up"),
    [
        (View.PLAN, Direction.EAST, Direction.NORTH),
        (View.FROM_SOUTH, Direction.EAST, Direction.UP),
        (View.FROM_EAST, Direction.NORTH, Direction.UP),
        (View.FROM_NORTH, Direction.WEST, Direction.UP),
        (View.FROM_WEST, Direction.SOUTH, Direction.UP),
    ],
)
def test_plan_and_elevations_show_what_a_person_standing_there_sees(
    view: View, right: Direction, up: Direction
) -> None:
    projection = Projection(view, 10.0)
    assert projection.spot(right.vector) == pytest.approx((10.0, 0.0))
    assert projection.spot(up.vector) == pytest.approx((0.0, -10.0)), "the sheet's y points down"


@pytest.mark.parametrize("view", list(View))
def test_the_eye_looks_along_the_direction_that_depth_measures(view: View) -> None:
    projection = Projection(view, 40.0)
    # A move that only changes depth leaves the place on the sheet alone.
    nearer = {
        View.ISOMETRIC: (-1.0, -1.0, 1.0),
        View.PLAN: (0.0, 0.0, 1.0),
        View.FROM_SOUTH: (0.0, -1.0, 0.0),
        View.FROM_EAST: (1.0, 0.0, 0.0),
        View.FROM_NORTH: (0.0, 1.0, 0.0),
        View.FROM_WEST: (-1.0, 0.0, 0.0),
    }[view]
    assert projection.spot(nearer) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert projection.depth_m(nearer) > projection.depth_m((0.0, 0.0, 0.0))


@given(start=points, length=st.floats(0.01, 300.0), scale=scales, view=st.sampled_from(list(View)))
def test_a_run_drawn_is_the_run_read_back(
    start: tuple[float, float, float], length: float, scale: float, view: View
) -> None:
    projection = Projection(view, scale)
    for direction in Direction:
        end = tuple(a + length * d for a, d in zip(start, direction.vector, strict=True))
        along = projection.along(start, projection.spot(end), direction.vector)
        if math.hypot(*projection.vector(direction.vector)) < 1e-9:
            assert along is None
            continue
        assert along is not None
        assert along.length_m == pytest.approx(length, rel=1e-6, abs=1e-6)
        snap = projection.snap(start, projection.spot(end))
        assert snap is not None
        assert snap.direction is direction
        assert snap.end_m == pytest.approx(end, rel=1e-6, abs=1e-6)


def test_snapping_takes_the_nearest_of_the_six_directions_and_whole_steps() -> None:
    projection = Projection(View.ISOMETRIC, 40.0)
    angle = math.radians(30.0 + 20.0)
    snap = projection.snap((1.0, 2.0, 3.0), _off(projection, (1.0, 2.0, 3.0), 100.0, angle), step_m=0.1)
    assert snap is not None
    assert snap.direction is Direction.EAST
    assert snap.length_m == pytest.approx(round(100.0 * math.cos(math.radians(20.0)) / 40.0, 1))
    assert snap.miss == pytest.approx(100.0 * math.sin(math.radians(20.0)))
    assert snap.end_m == pytest.approx((1.0 + snap.length_m, 2.0, 3.0))
    beyond = projection.snap((1.0, 2.0, 3.0), _off(projection, (1.0, 2.0, 3.0), 100.0, math.radians(65.0)))
    assert beyond is not None
    assert beyond.direction is Direction.UP


def _off(projection: Projection, at: tuple[float, float, float], away: float, angle: float) -> tuple[float, float]:
    x, y = projection.spot(at)
    return (x + away * math.cos(angle), y - away * math.sin(angle))


def test_nothing_snaps_where_the_run_would_have_no_length() -> None:
    projection = Projection(View.ISOMETRIC, 40.0)
    assert projection.snap((1.0, 1.0, 1.0), projection.spot((1.0, 1.0, 1.0))) is None
    assert projection.snap((0.0, 0.0, 0.0), projection.spot((0.04, 0.0, 0.0)), step_m=0.1) is None


def test_plan_never_snaps_to_a_riser() -> None:
    projection = Projection(View.PLAN, 40.0)
    found = {
        snap.direction
        for angle in range(0, 360, 7)
        if (snap := projection.snap((0.0, 0.0, 0.0), (50.0 * math.cos(angle), 50.0 * math.sin(angle)))) is not None
    }
    assert found == {Direction.NORTH, Direction.EAST, Direction.SOUTH, Direction.WEST}


@given(at=st.lists(points, min_size=1, max_size=5), scale=scales, view=st.sampled_from(list(View)))
def test_many_points_at_once_are_the_points_one_by_one(
    at: list[tuple[float, float, float]], scale: float, view: View
) -> None:
    projection = Projection(view, scale)
    singly = np.array([(*projection.spot(point), projection.depth_m(point)) for point in at])
    np.testing.assert_allclose(projection.spots(at), singly, rtol=1e-12, atol=1e-6)


@pytest.mark.parametrize("letter", ["N", "e", "S", "w", "U", "d"])
def test_a_letter_names_a_direction(letter: str) -> None:
    assert Direction.from_letter(letter).letter == letter.upper()


def test_any_other_letter_is_refused() -> None:
    with pytest.raises(ValueError, match="N E S W U D"):
        Direction.from_letter("x")
