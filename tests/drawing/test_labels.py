"""No label touches anything, by a check of its own on what is painted: it shares no code with the layout."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from types import ModuleType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Level
from linesizer.domain.part import Part
from linesizer.domain.route import FittingAt, Leg, Line, Node, Point, Service
from linesizer.drawing.display_list import (
    Box,
    Circle,
    DisplayList,
    Layer,
    Polygon,
    Polyline,
    Target,
    Text,
    bounds,
    text_box,
)
from linesizer.drawing.hit import distance
from linesizer.drawing.labels import HIDDEN
from linesizer.drawing.options import LegNotes, SceneOptions
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M, View
from linesizer.drawing.scene import build_scene
from linesizer.units import System

ZOOMS = (0.50, 0.71, 1.00, 1.41, 2.00, 2.83, 4.00)


def enters(start: tuple[float, float], end: tuple[float, float], box: Box) -> bool:
    """Liang and Barsky's clipping of a line by a window: whether any of it is inside."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    first, last = 0.0, 1.0
    for p, q in (
        (-dx, start[0] - box.left),
        (dx, box.right - start[0]),
        (-dy, start[1] - box.top),
        (dy, box.bottom - start[1]),
    ):
        if abs(p) < 1e-9:
            if q <= 0.0:
                return False
        elif p < 0.0:
            first = max(first, q / p)
        else:
            last = min(last, q / p)
    return first < last


def overlaps(display: DisplayList) -> list[str]:
    """Return what touches what, in words; empty for a clean drawing."""
    labels: list[tuple[Text, Box]] = []
    for item in display.items:
        if isinstance(item, Text) and item.layer is Layer.LABEL:
            own = text_box(item, display.text_factor)
            labels.append((item, own.joined(item.plate.box) if item.plate is not None else own))
    wrong = [
        f"{a.text!r} on {b.text!r}"
        for (a, first), (b, second) in itertools.combinations(labels, 2)
        if first.meets(second)
    ]
    for item in display.items:
        if isinstance(item, Polyline):
            if item.layer in (Layer.GRID, Layer.SELECTION, Layer.LABEL, Layer.LEADER):
                continue
            runs, margin, closed = item.points, item.width.value / 2.0, False
        elif isinstance(item, Polygon) and item.layer is not Layer.LABEL:
            runs, margin, closed = (*item.points, item.points[0]), 0.0, True
        elif isinstance(item, Circle) and item.layer is Layer.SYMBOL:
            runs, margin, closed = (item.centre, item.centre), item.radius, False
        else:
            continue
        for text, box in labels:
            grown = box.grown(margin)
            hit = any(enters(a, b, grown) for a, b in itertools.pairwise(runs))
            hit = hit or (margin > 0.0 and any(_inside(point, grown) for point in runs))
            if hit or (closed and _holds(item, box.centre)):
                wrong.append(f"{text.text!r} on {type(item).__name__} of {item.target}")
    for item in display.items:
        if isinstance(item, Polyline) and item.layer is Layer.LEADER:
            wrong.extend(
                f"leader of {item.target} through {text.text!r}"
                for text, box in labels
                if text.target != item.target and any(enters(a, b, box) for a, b in itertools.pairwise(item.points))
            )
            start, end = item.points[-2:]
            away = math.dist(start, end)
            # The last 12 units are where it reaches what it names.
            short = tuple(
                a + (b - a) * max(0.0, away - 12.0) / max(away, 1e-9) for a, b in zip(start, end, strict=True)
            )
            wrong.extend(
                f"leader of {item.target} over the pipe of {pipe.target}"
                for pipe in display.items
                if isinstance(pipe, Polyline) and pipe.layer in (Layer.PIPE, Layer.HIDDEN_PIPE)
                for a, b in itertools.pairwise(pipe.points)
                if cross(start, (short[0], short[1]), a, b)
            )
    return wrong


def cross(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]) -> bool:
    """Whether two straight stretches cross, by the signs of four areas."""

    def area(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return area(a, b, c) * area(a, b, d) < 0.0 and area(c, d, a) * area(c, d, b) < 0.0


def _inside(point: tuple[float, float], box: Box) -> bool:
    return box.left < point[0] < box.right and box.top < point[1] < box.bottom


def _holds(item: object, point: tuple[float, float]) -> bool:
    """Whether a polygon's winding about a point is not zero."""
    assert isinstance(item, Polygon)
    angles = [math.atan2(y - point[1], x - point[0]) for x, y in item.points]
    turned = sum((b - a + math.pi) % math.tau - math.pi for a, b in itertools.pairwise([*angles, angles[0]]))
    return abs(turned) > 1.0


def test_the_check_itself_sees_an_overlap(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above()], SceneOptions())
    pipe = next(item for item in scene.display.items if isinstance(item, Polyline) and item.layer is Layer.PIPE)
    middle = ((pipe.points[0][0] + pipe.points[1][0]) / 2.0, (pipe.points[0][1] + pipe.points[1][1]) / 2.0)
    spoilt = replace(scene.display, items=(*scene.display.items, Text(middle, "in the way")))
    assert any("in the way" in words for words in overlaps(spoilt))


def noted(circuit: Circuit) -> SceneOptions:
    legs = [Target(circuit.id, line.id, leg.id) for line in circuit.lines for leg in line.legs]
    return SceneOptions(
        notes={target: LegNotes("1.2 kPa" if i % 3 else "oil 1.31 at low") for i, target in enumerate(legs)},
        marks=dict(zip(legs[1::2], itertools.cycle(Level), strict=False)),
        selection=frozenset(legs[2:3]),
    )


@pytest.mark.parametrize("system", ["si", "ip"])
@pytest.mark.parametrize("zoom", ZOOMS)
@pytest.mark.parametrize(
    "job", ["condenser_above", "tall_riser", "condenser_below", "double_riser", "parallel_condensers", "long_job"]
)
def test_no_label_touches_anything(jobs: ModuleType, job: str, zoom: float, system: System) -> None:
    circuit = getattr(jobs, job)()
    options = replace(noted(circuit), scale=zoom * FULL_SIZE_UNITS_PER_M, system=system)
    scene = build_scene([circuit], options)
    assert overlaps(scene.display) == []
    shown = [item for item in scene.display.items if isinstance(item, Text) and item.layer is Layer.LABEL]
    assert shown


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("job", ["condenser_above", "tall_riser", "condenser_below"])
def test_no_label_touches_anything_in_any_view(jobs: ModuleType, job: str, view: View) -> None:
    circuit = getattr(jobs, job)()
    scene = build_scene([circuit], replace(noted(circuit), view=view))
    assert overlaps(scene.display) == []


@pytest.mark.parametrize("factor", [1.0, 1.5, 2.0])
def test_large_text_does_not_touch_either(jobs: ModuleType, factor: float) -> None:
    circuit = jobs.condenser_above()
    scene = build_scene([circuit], replace(noted(circuit), text_factor=factor, scale=60.0))
    assert overlaps(scene.display) == []


def test_two_circuits_side_by_side_do_not_touch(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above(), jobs.double_riser()], SceneOptions())
    assert overlaps(scene.display) == []


@pytest.mark.parametrize("job", ["condenser_above", "tall_riser", "condenser_below"])
def test_at_full_size_and_above_every_leg_is_labelled(jobs: ModuleType, job: str) -> None:
    circuit = getattr(jobs, job)()
    for zoom in (1.0, 2.0, 4.0):
        scene = build_scene([circuit], SceneOptions(scale=zoom * FULL_SIZE_UNITS_PER_M))
        missing = [target for target, kind in scene.hidden if kind == "leg"]
        # A leg of 0.7 m is shorter than its own arrow needs at full size; it may go without.
        assert len(missing) <= (1 if zoom == 1.0 else 0), missing


steps = st.tuples(
    st.sampled_from([(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)]), st.floats(0.1, 8.0)
)
kinds = st.sampled_from(["ball_valve", "check_valve", "filter_drier", "solenoid_valve", "oil_separator", "sleeve"])


@st.composite
def random_circuits(draw: st.DrawFn) -> Circuit:
    lines = []
    for name, service in (("dis", Service.DISCHARGE), ("liq", Service.LIQUID)):
        start = draw(st.tuples(*[st.floats(-4.0, 4.0)] * 3))
        points: list[Point] = [start]
        for (dx, dy, dz), length in draw(st.lists(steps, min_size=1, max_size=9)):
            x, y, z = points[-1]
            points.append((x + dx * length, y + dy * length, z + dz * length))
        count = len(points) - 1
        lines.append(
            Line(
                name,
                service,
                tuple(Node(f"n{i}", at) for i, at in enumerate(points)),
                tuple(
                    Leg(
                        f"{name[0]}{i + 1}",
                        f"n{i}",
                        f"n{i + 1}",
                        size=draw(st.sampled_from(["7/8", "1-5/8"])),
                        fall=draw(st.sampled_from([0.0, 0.0, 0.01])),
                        parts=tuple(
                            Part(f"p{k}", kind, at)
                            for k, (kind, at) in enumerate(
                                draw(st.lists(st.tuples(kinds, st.floats(0.0, 1.0)), max_size=3))
                            )
                        ),
                    )
                    for i in range(count)
                ),
                fittings=tuple(
                    FittingAt(f"n{draw(st.integers(0, count))}", kind)
                    for kind in draw(st.lists(st.sampled_from(["trap", "loop"]), max_size=2))
                ),
            )
        )
    ends = (lines[0].nodes[0].at_m, lines[0].nodes[-1].at_m)
    return Circuit(
        "c1",
        "R134a",
        (),
        equipment=(Equipment("u", Role.UNIT, at_m=ends[0]), Equipment("k", Role.CONDENSER, "Roof", at_m=ends[1])),
        lines=tuple(lines),
    )


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(circuit=random_circuits(), zoom=st.sampled_from(ZOOMS), view=st.sampled_from([View.ISOMETRIC, *View]))
def test_no_label_touches_anything_on_any_route(circuit: Circuit, zoom: float, view: View) -> None:
    options = replace(noted(circuit), scale=zoom * FULL_SIZE_UNITS_PER_M, view=view)
    scene = build_scene([circuit], options)
    assert overlaps(scene.display) == []


def test_the_same_question_has_the_same_answer(jobs: ModuleType) -> None:
    first = build_scene([jobs.condenser_below()], SceneOptions())
    second = build_scene([jobs.condenser_below()], SceneOptions())
    assert first.display == second.display
    assert first.slots == second.slots


def moved_node(circuit: Circuit, line: str, node: str, by: Point) -> Circuit:
    def shifted(each: Node) -> Node:
        at = each.at_m
        return replace(each, at_m=(at[0] + by[0], at[1] + by[1], at[2] + by[2])) if each.id == node else each

    lines = tuple(
        replace(each, nodes=tuple(shifted(n) for n in each.nodes)) if each.id == line else each
        for each in circuit.lines
    )
    return replace(circuit, lines=lines)


def test_a_small_move_of_a_node_leaves_the_labels_where_they_are(jobs: ModuleType) -> None:
    circuit = jobs.condenser_above()
    scene = build_scene([circuit], SceneOptions())
    slots = scene.slots
    for step in range(1, 6):
        nudged = moved_node(circuit, "liq", "n5", (0.01 * step, 0.0, 0.0))
        after = build_scene([nudged], SceneOptions(), slots)
        assert overlaps(after.display) == []
        changed = [key for key in slots if slots[key] != after.slots.get(key)]
        assert len(changed) <= 1, changed
        slots = after.slots


def test_a_label_whose_place_is_taken_during_a_drag_finds_another(jobs: ModuleType) -> None:
    circuit = jobs.condenser_above()
    scene = build_scene([circuit], SceneOptions())
    slots = scene.slots
    for step in range(12):
        # The liquid riser is dragged across the drawing, past everything else.
        pulled = moved_node(
            moved_node(circuit, "liq", "n3", (-0.9 * step, 0.0, 0.0)), "liq", "n4", (-0.9 * step, 0.0, 0.0)
        )
        after = build_scene([pulled], SceneOptions(), slots)
        assert overlaps(after.display) == []
        slots = after.slots


def test_what_was_hidden_stays_hidden_until_the_drag_ends(jobs: ModuleType) -> None:
    circuit = jobs.long_job()
    crowded = build_scene([circuit], SceneOptions(scale=12.0))
    assert HIDDEN in crowded.slots.values()
    still = build_scene([circuit], SceneOptions(scale=12.0), crowded.slots)
    assert still.slots == crowded.slots
    assert still.display == crowded.display


def test_the_least_important_label_goes_first(jobs: ModuleType) -> None:
    """Order of the brief for the sheet: selected, stop finding, size and length, elevation."""
    circuit = jobs.long_job()
    legs = [Target("c1", line.id, leg.id) for line in circuit.lines for leg in line.legs]
    chosen, stopped = legs[10], legs[40]
    plain = build_scene([circuit], SceneOptions(scale=9.0))
    hidden_legs = {target for target, kind in plain.hidden if kind == "leg"}
    chosen = next(target for target in legs if target in hidden_legs)
    stopped = next(target for target in reversed(legs) if target in hidden_legs)
    scene = build_scene([circuit], SceneOptions(scale=9.0, selection=frozenset([chosen]), marks={stopped: Level.STOP}))
    assert (chosen, "leg") not in scene.hidden
    assert (stopped, "leg") not in scene.hidden
    levels = [target for target, kind in scene.hidden if kind == "level"]
    assert levels, "elevations give way before sizes and lengths"


def test_a_label_that_moved_away_has_a_leader_to_what_it_names(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_below()], SceneOptions())
    leaders = [item for item in scene.display.items if isinstance(item, Polyline) and item.layer is Layer.LEADER]
    assert leaders
    for leader in leaders:
        x, y = leader.points[0]
        own = [
            bounds(item) for item in scene.display.items if item.layer is Layer.LABEL and item.target == leader.target
        ]
        assert any(b.left - 1.0 <= x <= b.right + 1.0 and b.top - 1.0 <= y <= b.bottom + 1.0 for b in own)
        end = leader.points[-1]
        named = [item for item in scene.display.items if item.target == leader.target and item.layer < Layer.LEADER]
        assert any(distance(item, end) < 2.0 for item in named), leader.target
