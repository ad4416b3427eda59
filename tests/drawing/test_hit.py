from __future__ import annotations

import math
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesizer.drawing.display_list import (
    Box,
    Circle,
    DisplayList,
    Hotspot,
    Ink,
    Layer,
    Plate,
    Polygon,
    Polyline,
    Target,
    TargetKind,
    Text,
    Width,
)
from linesizer.drawing.hit import Hit, distance, hits, inside, to_segment
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.scene import build_scene

LEG = Target("c1", "dis", "d1")
PIPE = Polyline(((0.0, 0.0), (100.0, 0.0)), Ink.DISCHARGE, Width.PIPE, target=LEG)


@pytest.mark.parametrize(
    ("spot", "away"),
    [
        ((50.0, 0.0), 0.0),
        ((50.0, 1.5), 0.0),
        ((50.0, 10.0), 10.0 - 1.6),
        ((-3.0, -4.0), 5.0 - 1.6),
        ((103.0, 4.0), 5.0 - 1.6),
    ],
)
def test_the_distance_to_a_pipe_is_to_its_painted_edge(spot: tuple[float, float], away: float) -> None:
    assert distance(PIPE, spot) == pytest.approx(away)


def test_inside_a_filled_shape_the_distance_is_zero_and_to_an_outline_it_is_to_the_line() -> None:
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert distance(Polygon(square, Ink.FACE), (5.0, 5.0)) == 0.0
    assert distance(Polygon(square, None, Ink.INK), (5.0, 4.0)) == pytest.approx(4.0)
    assert distance(Circle((0.0, 0.0), 5.0, Ink.INK), (3.0, 0.0)) == 0.0
    assert distance(Circle((0.0, 0.0), 5.0, None, Ink.INK), (3.0, 0.0)) == pytest.approx(2.0)
    assert distance(Circle((0.0, 0.0), 5.0, Ink.INK), (0.0, 9.0)) == pytest.approx(4.0)
    plate = Plate(Box(-20.0, -10.0, 20.0, 10.0), 10.0, Ink.PANEL)
    assert distance(Text((0.0, 0.0), "d1", plate=plate), (20.0, 14.0)) == pytest.approx(4.0)


def test_the_nearest_comes_first_and_each_thing_once() -> None:
    far = Target("c1", "liq", "l1")
    display = DisplayList(
        (
            PIPE,
            Polyline(((0.0, 8.0), (100.0, 8.0)), Ink.LIQUID, Width.PIPE, target=far),
            Polyline(((0.0, 0.5), (100.0, 0.5)), Ink.DISCHARGE, Width.PIPE, target=LEG),
            Polyline(((0.0, 3.0), (100.0, 3.0)), Ink.GRID, layer=Layer.GRID),
        ),
        40.0,
    )
    found = hits(display, (50.0, 3.0), within=6.0)
    assert [hit.target for hit in found] == [LEG, far]
    assert found[0].distance == pytest.approx(3.0 - 0.5 - 1.6)
    assert hits(display, (50.0, 30.0), within=6.0) == ()


def test_a_part_on_a_leg_is_meant_before_the_leg_and_a_node_before_the_legs_that_meet_there() -> None:
    part, node = Target("c1", "dis", "d1", part="p1"), Target("c1", "dis", node="n2")
    valve = Polygon(((40.0, -5.0), (60.0, -5.0), (60.0, 5.0), (40.0, 5.0)), Ink.PANEL, target=part)
    display = DisplayList((PIPE, valve, Hotspot((100.0, 0.0), 4.0, node)), 40.0)
    assert [hit.target for hit in hits(display, (50.0, 0.0))] == [part, LEG]
    assert [hit.target for hit in hits(display, (99.0, 0.0))] == [node, LEG]
    assert hits(display, (99.0, 0.0), kinds=[TargetKind.LEG]) == (Hit(LEG, 0.0),)


def test_the_mark_of_a_selection_cannot_be_hit() -> None:
    mark = Polyline(((0.0, 0.0), (100.0, 0.0)), Ink.SELECTION, Width.SELECTION, target=LEG, layer=Layer.SELECTION)
    assert hits(DisplayList((mark,), 40.0), (50.0, 0.0)) == ()


def test_every_leg_is_hit_at_its_arrow(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above()], SceneOptions())
    for item in scene.display.items:
        if isinstance(item, Polygon) and len(item.points) == 3 and item.fill in (Ink.DISCHARGE, Ink.LIQUID):
            x = sum(point[0] for point in item.points) / 3.0
            y = sum(point[1] for point in item.points) / 3.0
            assert item.target in [hit.target for hit in hits(scene.display, (x, y), within=0.5)]


def test_a_label_selects_the_leg_that_it_names(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above()], SceneOptions())
    label = next(item for item in scene.display.items if isinstance(item, Text) and item.text.startswith("d3"))
    assert hits(scene.display, label.at)[0].target == Target("c1", "dis", "d3")


coordinates = st.floats(-100.0, 100.0)
spots = st.tuples(coordinates, coordinates)


@given(a=spots, b=spots, p=spots)
def test_a_segment_is_never_nearer_than_its_nearest_sample(
    a: tuple[float, float], b: tuple[float, float], p: tuple[float, float]
) -> None:
    samples = [(a[0] + (b[0] - a[0]) * i / 200.0, a[1] + (b[1] - a[1]) * i / 200.0) for i in range(201)]
    nearest = min(math.dist(sample, p) for sample in samples)
    assert to_segment(a, b, p) <= nearest + 1e-9
    assert to_segment(a, b, p) >= nearest - math.dist(a, b) / 400.0 - 1e-9


def test_inside_counts_crossings_also_for_a_hollow_shape() -> None:
    hollow = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 4.0), (0.0, 10.0))
    assert inside(hollow, (5.0, 2.0))
    assert not inside(hollow, (5.0, 8.0))
    assert not inside(hollow, (12.0, 5.0))


def test_what_a_target_names_is_its_kind() -> None:
    assert Target("c", "l").kind is TargetKind.LINE
    assert Target("c", "l", "g").kind is TargetKind.LEG
    assert Target("c", "l", node="n").kind is TargetKind.NODE
    assert Target("c", "l", "g", part="p").kind is TargetKind.PART
    assert Target("c", equipment="e").kind is TargetKind.EQUIPMENT
