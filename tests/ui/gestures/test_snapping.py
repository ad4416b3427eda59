"""Steps are round in both systems; a pull is read along the nearest of the six directions."""

from __future__ import annotations

import pytest

from linesizer.document.direction import Axis, Direction
from linesizer.drawing.projection import Projection, View
from linesizer.ui.gestures.snapping import axis_of, in_steps, pull, step_m
from linesizer.units import System


@pytest.mark.parametrize(
    ("scale", "system", "ordinary", "fine"),
    [
        (40.0, "si", 0.1, 0.01),
        (160.0, "si", 0.1, 0.01),
        (16.0, "si", 0.2, 0.02),
        (7.0, "si", 0.5, 0.05),
        (2.0, "si", 2.0, 0.2),
        (160.0, "ip", 0.0254, 0.0254 / 8.0),
        (40.0, "ip", 3.0 * 0.0254, 0.0254 / 2.0),
        (20.0, "ip", 6.0 * 0.0254, 0.0254),
        (2.0, "ip", 5.0 * 0.3048, 6.0 * 0.0254),
    ],
)
def test_the_step_is_round_and_can_be_aimed_at(scale: float, system: System, ordinary: float, fine: float) -> None:
    assert step_m(scale, system) == pytest.approx(ordinary)
    assert step_m(scale, system, fine=True) == pytest.approx(fine)
    assert step_m(scale, system) * scale >= 3.0


def test_lengths_in_steps_have_no_dust() -> None:
    assert in_steps(2.3449, 0.1) == 2.3
    assert in_steps(0.7, 0.1) == 0.7
    assert in_steps(0.04, 0.1) == 0.0


@pytest.mark.parametrize("direction", list(Direction))
def test_a_pull_in_isometric_tells_all_six_directions_apart(direction: Direction) -> None:
    projection = Projection(View.ISOMETRIC, 40.0)
    x, y = projection.vector(direction.vector)
    found = pull(projection, 80.0 * x + 3.0, 80.0 * y - 2.0, 0.1)
    assert found is not None
    assert found.direction is direction
    assert found.length_m == pytest.approx(2.0, abs=0.11)
    axis, sign = axis_of(direction)
    assert (found.axis, found.distance_m > 0.0) == (axis, sign > 0.0)


def test_a_pull_never_goes_along_the_line_of_sight() -> None:
    for degrees in range(0, 360, 7):
        from math import cos, radians, sin

        found = pull(Projection(View.PLAN, 40.0), 60.0 * cos(radians(degrees)), 60.0 * sin(radians(degrees)), 0.1)
        assert found is not None
        assert found.axis is not Axis.UP


def test_a_pull_can_be_held_to_an_axis() -> None:
    projection = Projection(View.ISOMETRIC, 40.0)
    found = pull(projection, 0.0, -60.0, 0.1, Axis.EAST)
    assert found is not None
    assert found.direction is Direction.EAST
    assert found.length_m == pytest.approx(0.75, abs=0.051)


def test_no_way_is_no_pull() -> None:
    assert pull(Projection(View.ISOMETRIC, 40.0), 0.0, 0.0, 0.1) is None
    assert pull(Projection(View.ISOMETRIC, 40.0), 1.0, 0.0, 0.1) is None
