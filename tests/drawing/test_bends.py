from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesizer.domain.route import Point
from linesizer.drawing.bends import rounded, two_tubes, u_bend

E: Point = (1.0, 0.0, 0.0)
W: Point = (-1.0, 0.0, 0.0)
N: Point = (0.0, 1.0, 0.0)
U: Point = (0.0, 0.0, 1.0)
D: Point = (0.0, 0.0, -1.0)
AT: Point = (5.0, 0.0, 2.0)


def legs(points: tuple[Point, ...]) -> list[tuple[Point, Point]]:
    return [(a, b) for a, b in itertools.pairwise(points) if math.dist(a, b) > 1e-9]


@pytest.mark.parametrize("down", [True, False])
@pytest.mark.parametrize(
    ("arriving", "leaving"),
    [(E, U), (E, D), (E, E), (E, N), (U, E), (D, E), (None, E), (E, None), (U, U), (D, D), (None, U)],
)
def test_a_u_joins_the_run_before_to_the_run_after(arriving: Point | None, leaving: Point | None, down: bool) -> None:
    bend = u_bend(AT, arriving, leaving, 0.4, 0.5, down)
    if arriving is not None:
        start = tuple(at - bend.trim_in_m * d for at, d in zip(AT, arriving, strict=True))
        assert bend.points_m[0] == pytest.approx(start)
    if leaving is not None:
        end = tuple(at + bend.trim_out_m * d for at, d in zip(AT, leaving, strict=True))
        assert bend.points_m[-1] == pytest.approx(end)
    heights = [z - AT[2] for _, _, z in bend.points_m]
    if down:
        assert min(heights) < -0.25
    else:
        assert max(heights) > 0.25
    # No limb lies on another: the pipe never turns straight back.
    for (a, b), (_, d) in itertools.pairwise(legs(bend.points_m)):
        first = [q - p for p, q in zip(a, b, strict=True)]
        second = [q - p for p, q in zip(b, d, strict=True)]
        cosine = sum(p * q for p, q in zip(first, second, strict=True)) / math.hypot(*first) / math.hypot(*second)
        assert cosine > -0.99


@pytest.mark.parametrize(("leaving", "down"), [(D, True), (U, False)])
def test_a_run_that_goes_on_the_way_of_the_u_does_not_lie_on_it(leaving: Point, down: bool) -> None:
    bend = u_bend(AT, E, leaving, 0.4, 0.5, down)
    along = [p for p in bend.points_m if abs(p[0] - AT[0]) < 1e-9 and abs(p[2] - AT[2]) > 1e-9]
    assert not along


def test_the_level_of_a_trap_lies_between_its_limbs() -> None:
    bend = u_bend(AT, E, U, 0.4, 0.5, True)
    (x0, _, z0), (x1, _, z1) = bend.level_m
    assert z0 == z1
    assert -0.5 < z0 - AT[2] < 0.0
    assert x1 - x0 == pytest.approx(0.4)


@pytest.mark.parametrize(("arriving", "leaving"), [(E, E), (E, W), (E, N), (N, E), (None, E)])
def test_both_tubes_of_a_double_riser_enter_the_upper_run_from_above(arriving: Point | None, leaving: Point) -> None:
    """Both enter from above so that oil does not fall back (engineering-basis section 5)."""
    foot, top = (0.0, 0.0, 1.0), (0.0, 0.0, 7.0)
    two = two_tubes(foot, top, arriving, leaving, 0.4, 0.3)
    for path in (two.small_m, two.large_m):
        assert path[0] == foot
        before, last = path[-2:]
        assert before[2] > last[2] == 7.0
        assert before[:2] == pytest.approx(last[:2])
        away = [p - q for p, q in zip(last, top, strict=True)]
        assert sum(p * q for p, q in zip(away, leaving, strict=True)) >= two.trim_out_m - 1e-9
    assert min(z for _, _, z in two.large_m) == pytest.approx(0.7), "the large tube has the trap"
    assert min(z for _, _, z in two.small_m) == 1.0
    if arriving is not None:
        # At the foot nothing runs back along the pipe that arrives.
        for point in (*two.small_m, *two.large_m):
            if abs(point[2] - 1.0) < 1e-9 and point != foot:
                assert sum((p - q) * d for p, q, d in zip(point, foot, arriving, strict=True)) > -1e-9
    small, large = (legs(path) for path in (two.small_m, two.large_m))
    for a, b in small:
        for c, d in large:
            assert not _clash(a, b, c, d), "the tubes meet only where they leave the foot"


def _clash(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two stretches come within a centimetre of each other away from their common ends."""
    return any(math.dist(_at(a, b, i / 20.0), _at(c, d, j / 20.0)) < 0.01 for i in range(1, 20) for j in range(1, 20))


def _at(a: Point, b: Point, t: float) -> Point:
    return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2]))


coordinate = st.floats(-10.0, 10.0)


@given(
    st.lists(st.tuples(coordinate, coordinate, coordinate), min_size=2, max_size=6, unique=True), st.floats(0.0, 3.0)
)
def test_a_rounded_path_keeps_its_ends_and_is_no_longer(points: list[Point], radius: float) -> None:
    path = rounded(tuple(points), radius)
    assert path[0] == points[0]
    assert path[-1] == points[-1]
    length = sum(math.dist(a, b) for a, b in itertools.pairwise(points))
    assert sum(math.dist(a, b) for a, b in itertools.pairwise(path)) <= length + 1e-9
