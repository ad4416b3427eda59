from __future__ import annotations

import itertools
import math
from dataclasses import replace
from types import ModuleType

import pytest

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Level
from linesizer.domain.route import Leg, Line, LineEnd, Node, Point, Service
from linesizer.drawing.display_list import (
    Circle,
    DisplayList,
    Hotspot,
    Ink,
    Layer,
    Polygon,
    Polyline,
    Target,
    TargetKind,
    Text,
    Width,
)
from linesizer.drawing.options import LegNotes, SceneOptions
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M, Projection, View
from linesizer.drawing.scene import Scene, build_scene
from linesizer.drawing.strokes import SERVICE_STYLES
from linesizer.drawing.ties import line_ends


def words(display: DisplayList) -> set[str]:
    return {item.text for item in display.items if isinstance(item, Text)}


def line(name: str, service: Service, points: list[Point]) -> Line:
    return Line(
        name,
        service,
        tuple(Node(f"n{i}", at) for i, at in enumerate(points)),
        tuple(Leg(f"{name[0]}{i + 1}", f"n{i}", f"n{i + 1}", size="7/8") for i in range(len(points) - 1)),
    )


def pipes(scene: Scene, leg: str, name: str) -> list[Polyline]:
    return [
        item
        for item in scene.display.items
        if isinstance(item, Polyline)
        and item.width is Width.PIPE
        and item.target is not None
        and (item.target.line, item.target.leg) == (name, leg)
    ]


def test_a_label_says_id_size_length_and_the_callers_second_row(jobs: ModuleType) -> None:
    leg = Target("c1", "dis", "d3")
    options = SceneOptions(notes={leg: LegNotes("oil 1.31 at low")})
    shown = words(build_scene([jobs.condenser_above()], options).display)
    assert {"d3  1-3/8  5.00 m", "oil 1.31 at low", "+8.00", "trap", "0.50 %", "Loft condenser"} <= shown


def test_inch_pound_labels_read_like_a_tape(jobs: ModuleType) -> None:
    shown = words(build_scene([jobs.condenser_above()], SceneOptions(system="ip")).display)
    # 5 m is 16 ft 4.85 in, to the nearest sixteenth 7/8; 8 m is 26 ft 2.96 in (derived from 25.4 mm an inch).
    assert "d3  1-3/8  16'-4 7/8\"" in shown
    assert "+26'-2 15/16\"" in shown
    assert "0.060 in/ft" in shown
    assert not any(text.endswith(" m") for text in shown)


def test_a_leg_without_a_size_shows_what_the_sizing_chose(jobs: ModuleType) -> None:
    circuit = jobs.condenser_above()
    open_sizes = replace(circuit.lines[0], legs=tuple(replace(leg, size=None) for leg in circuit.lines[0].legs))
    circuit = replace(circuit, lines=(open_sizes, circuit.lines[1]))
    leg = Target("c1", "dis", "d3")
    assert "d3  no size  5.00 m" in words(build_scene([circuit], SceneOptions()).display)
    chosen = build_scene([circuit], SceneOptions(notes={leg: LegNotes(size="2-1/8")}))
    assert "d3  2-1/8  5.00 m" in words(chosen.display)


def test_a_double_riser_names_both_tubes_and_draws_them(jobs: ModuleType) -> None:
    scene = build_scene([jobs.double_riser()], SceneOptions())
    assert "d3  7/8 + 1-3/8  6.60 m" in words(scene.display)
    assert len(pipes(scene, "d3", "dis")) == 2
    joints = [item for item in scene.display.items if isinstance(item, Circle) and item.fill is Ink.DISCHARGE]
    assert len(joints) == 2


@pytest.mark.parametrize("zoom", [1.0, 2.0, 4.0])
def test_a_double_riser_with_a_line_beside_it_keeps_its_label(jobs: ModuleType, zoom: float) -> None:
    scene = build_scene([jobs.double_riser()], SceneOptions(scale=zoom * FULL_SIZE_UNITS_PER_M))
    assert "d3  7/8 + 1-3/8  6.60 m" in words(scene.display)


def test_services_differ_by_dashes_and_letter_not_by_colour_alone() -> None:
    styles = SERVICE_STYLES.values()
    assert set(SERVICE_STYLES) == set(Service)
    assert len({style.dash for style in styles}) == len(SERVICE_STYLES)
    assert len({style.letter for style in styles}) == len(SERVICE_STYLES)
    assert SERVICE_STYLES[Service.DISCHARGE].letter == "D"
    assert SERVICE_STYLES[Service.LIQUID].letter == "L"
    assert SERVICE_STYLES[Service.DRAIN].letter == "C"


@pytest.mark.parametrize("job", ["condenser_above", "tall_riser", "condenser_below"])
def test_every_line_carries_its_letter(jobs: ModuleType, job: str) -> None:
    circuit = getattr(jobs, job)()
    scene = build_scene([circuit], SceneOptions())
    for each in circuit.lines:
        letters = [
            item.text
            for item in scene.display.items
            if isinstance(item, Text)
            and item.layer is Layer.SYMBOL
            and item.target
            and item.target.line == each.id
            and item.bold
        ]
        assert set(letters) == {SERVICE_STYLES[each.service].letter}


def test_dashes_meet_at_the_corners(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above()], SceneOptions())
    for leg in ("l1", "l2", "l3"):
        (stroke,) = pipes(scene, leg, "liq")
        length = math.dist(*stroke.points)
        periods = (length + stroke.dash_offset - stroke.dash[0] / 2.0) / sum(stroke.dash)
        assert periods == pytest.approx(round(periods)), "a whole number of dashes"
        assert stroke.dash_offset == pytest.approx(stroke.dash[0] / 2.0), "which starts in the middle of one"


def crossing(rear_z: float) -> Circuit:
    # Seen from above, the liquid line crosses the discharge line at (2, 0) without a joint.
    return Circuit(
        "c1",
        "R134a",
        (),
        lines=(
            line("dis", Service.DISCHARGE, [(0.0, 0.0, 3.0), (4.0, 0.0, 3.0)]),
            line("liq", Service.LIQUID, [(2.0, -2.0, rear_z), (2.0, 2.0, rear_z)]),
        ),
    )


@pytest.mark.parametrize(("rear_z", "rear", "front"), [(1.0, "liq", "dis"), (5.0, "dis", "liq")])
def test_the_rear_pipe_has_a_gap_where_pipes_cross(rear_z: float, rear: str, front: str) -> None:
    scene = build_scene([crossing(rear_z)], SceneOptions(view=View.PLAN))
    first, second = pipes(scene, f"{rear[0]}1", rear)
    assert len(pipes(scene, f"{front[0]}1", front)) == 1
    at = Projection(View.PLAN).spot((2.0, 0.0, 0.0))
    gap = (first.points[-1], second.points[0])
    assert math.dist(*gap) == pytest.approx(13.0)
    assert ((gap[0][0] + gap[1][0]) / 2.0, (gap[0][1] + gap[1][1]) / 2.0) == pytest.approx(at)


def test_pipes_that_meet_at_a_joint_have_no_gap() -> None:
    tee = Line(
        "dis",
        Service.DISCHARGE,
        (
            Node("a", (0.0, 0.0, 0.0)),
            Node("b", (2.0, 0.0, 0.0)),
            Node("c", (4.0, 0.0, 0.0)),
            Node("d", (2.0, 2.0, 0.0)),
        ),
        (Leg("d1", "a", "b"), Leg("d2", "b", "c"), Leg("d3", "b", "d")),
    )
    scene = build_scene([Circuit("c1", "R134a", (), lines=(tee,))], SceneOptions())
    for leg in ("d1", "d2", "d3"):
        assert len(pipes(scene, leg, "dis")) == 1
    node = Target("c1", "dis", node="b")
    assert any(
        isinstance(item, Circle) and item.fill is Ink.DISCHARGE and item.target == node for item in scene.display.items
    )


@pytest.mark.parametrize("view", [View.ISOMETRIC, View.PLAN, View.FROM_SOUTH])
def test_lines_of_two_services_on_one_route_are_both_seen(view: View) -> None:
    points: list[Point] = [(0.0, 0.0, 0.0), (0.0, 0.0, 3.0), (4.0, 0.0, 3.0), (4.0, 3.0, 3.0)]
    circuit = Circuit(
        "c1",
        "R134a",
        (),
        lines=(
            line("dis", Service.DISCHARGE, points),
            line("liq", Service.LIQUID, points[::-1]),
            line("sec", Service.DRAIN, points),
        ),
    )
    scene = build_scene([circuit], SceneOptions(view=view))
    moves = [scene.shifts[Target("c1", name)] for name in ("dis", "liq", "sec")]
    assert moves[0] == (0.0, 0.0)
    assert len(set(moves)) == 3
    # Wider than a pipe apart, square to every axis that the view shows.
    for axis in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)):
        x, y = Projection(view, 1.0).vector(axis)
        for dx, dy in moves[1:]:
            assert math.hypot(x, y) < 0.1 or abs(x * dy - y * dx) > 2.0 * Width.PIPE.value


def test_a_line_of_its_own_stays_where_it_is(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above()], SceneOptions())
    assert set(scene.shifts.values()) == {(0.0, 0.0)}


def test_selection_lies_beneath_what_it_marks(jobs: ModuleType) -> None:
    chosen = {
        Target("c1", "dis", "d3"),
        Target("c1", "liq", node="n3"),
        Target("c1", "liq", "l4", part="l4p1"),
        Target("c1", equipment="rec"),
    }
    scene = build_scene([jobs.condenser_above()], SceneOptions(selection=frozenset(chosen)))
    beneath = [item for item in scene.display.items if item.layer is Layer.SELECTION]
    assert {item.target for item in beneath} == chosen
    order = [item.layer for item in scene.display.items]
    assert order == sorted(order)
    assert order[0] is Layer.SELECTION


def test_selecting_a_line_marks_all_its_legs(jobs: ModuleType) -> None:
    circuit = jobs.condenser_above()
    scene = build_scene([circuit], SceneOptions(selection=frozenset([Target("c1", "liq")])))
    marked = {item.target.leg for item in scene.display.items if item.layer is Layer.SELECTION and item.target}
    assert marked == {leg.id for leg in circuit.lines[1].legs}


@pytest.mark.parametrize(("level", "shape"), [(Level.STOP, 4), (Level.WARN, 3)])
def test_a_finding_is_marked_on_its_legs_label(jobs: ModuleType, level: Level, shape: int) -> None:
    leg = Target("c1", "liq", "l3")
    scene = build_scene([jobs.condenser_above()], SceneOptions(marks={leg: level}))
    marks = [
        item
        for item in scene.display.items
        if isinstance(item, Polygon)
        and item.layer is Layer.LABEL
        and item.target == leg
        and item.fill in (Ink.STOP, Ink.DECIDE)
    ]
    assert [len(mark.points) for mark in marks] == [shape]


def test_parts_stand_in_place_in_the_order_of_the_leg_and_apart(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above()], SceneOptions())
    spots = []
    for part in ("l4p1", "l4p2", "l4p3"):
        target = Target("c1", "liq", "l4", part=part)
        first = next(item for item in scene.display.items if item.target == target and isinstance(item, Polygon))
        spots.append(sum(x for x, _ in first.points) / len(first.points))
    assert spots == sorted(spots, reverse=True), "the leg runs west, to the left on the sheet"
    assert all(a - b > 12.0 for a, b in itertools.pairwise(spots))


def test_parts_on_a_short_leg_shrink_rather_than_touch() -> None:
    from linesizer.domain.part import Part

    parts = tuple(Part(f"p{i}", "filter_drier", 0.5) for i in range(4))
    one = line("liq", Service.LIQUID, [(0.0, 0.0, 0.0), (2.0, 0.0, 0.0)])
    circuit = Circuit("c1", "R32", (), lines=(replace(one, legs=(replace(one.legs[0], parts=parts),)),))
    scene = build_scene([circuit], SceneOptions(view=View.PLAN))
    boxes = []
    for part in parts:
        target = Target("c1", "liq", "l1", part=part.id)
        body = next(item for item in scene.display.items if item.target == target and isinstance(item, Polygon))
        boxes.append((min(x for x, _ in body.points), max(x for x, _ in body.points)))
    assert all(a[1] < b[0] for a, b in itertools.pairwise(boxes))
    assert boxes[0][0] > 0.0
    assert boxes[-1][1] < 80.0


def test_a_trap_is_a_real_u_below_its_node(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above()], SceneOptions())
    node = scene.nodes[Target("c1", "dis", node="n3")]
    riser = pipes(scene, "d3", "dis")[0]
    assert max(y for _, y in riser.points) > node[1] + 12.0
    loop = build_scene([jobs.tall_riser()], SceneOptions())
    node = loop.nodes[Target("c1", "dis", node="n5")]
    assert min(y for _, y in pipes(loop, "d5", "dis")[0].points) < node[1] - 12.0


def test_an_end_apart_from_its_equipment_has_a_thin_tie(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above()], SceneOptions())
    ties = {item.target for item in scene.display.items if isinstance(item, Polyline) and item.layer is Layer.TIE}
    assert Target("c1", "liq", node="n1") in ties
    assert Target("c1", "dis", node="n1") not in ties


def test_an_end_tied_to_nothing_is_an_open_ring() -> None:
    circuit = Circuit("c1", "R32", (), lines=(line("dis", Service.DISCHARGE, [(0.0, 0.0, 0.0), (0.0, 0.0, 2.0)]),))
    scene = build_scene([circuit], SceneOptions())
    rings = [item for item in scene.display.items if isinstance(item, Circle) and item.fill is Ink.PANEL]
    assert {ring.target.node for ring in rings if ring.target} == {"n0", "n1"}


def test_ends_that_the_job_leaves_out_go_to_unit_and_condensers_in_order() -> None:
    equipment = (
        Equipment("k1", Role.CONDENSER),
        Equipment("u", Role.UNIT),
        Equipment("k2", Role.CONDENSER),
        Equipment("r", Role.RECEIVER),
    )
    spread = Line(
        "dis",
        Service.DISCHARGE,
        (),
        (Leg("d1", "a", "b"), Leg("d2", "b", "c"), Leg("d3", "b", "d")),
    )
    circuit = Circuit("c1", "R32", (), equipment=equipment, lines=(spread,))

    def names(each: Line) -> list[tuple[str, str | None]]:
        return [(node, end.id if end else None) for node, end in line_ends(circuit, each)]

    assert names(spread) == [("a", "u"), ("c", "k1"), ("d", "k2")]
    assert names(replace(spread, ends=(LineEnd("c", "k2"),))) == [("a", "u"), ("c", "k2"), ("d", "k1")]
    assert names(replace(spread, ends=(LineEnd("d", "k1"),))) == [("a", "u"), ("c", "k2"), ("d", "k1")]
    drain = Line("cdr", Service.DRAIN, (), (Leg("c1", "a", "b"),))
    assert names(drain) == [("a", "k1"), ("b", "r")]
    assert names(replace(drain, service=Service.LIQUID)) == [("a", "k1"), ("b", "u")]


def test_a_route_under_repair_is_drawn_as_far_as_it_goes() -> None:
    broken = Line(
        "dis",
        Service.DISCHARGE,
        (Node("a", (0.0, 0.0, 0.0)), Node("b", (2.0, 0.0, 0.0)), Node("c", (2.0, 0.0, 0.0))),
        (Leg("d1", "a", "b"), Leg("d2", "b", "c"), Leg("d3", "b", "nowhere"), Leg("d4", "b", "a")),
    )
    scene = build_scene([Circuit("c1", "R32", (), lines=(broken,))], SceneOptions())
    assert pipes(scene, "d1", "dis")
    assert pipes(scene, "d4", "dis")
    assert not pipes(scene, "d2", "dis")
    assert not pipes(scene, "d3", "dis")


@pytest.mark.parametrize("view", list(View))
def test_nothing_drawn_is_an_empty_list(view: View) -> None:
    scene = build_scene([Circuit("c1", "R32", ())], SceneOptions(view=view))
    assert scene.display.items == ()
    assert scene.display.bounds() is None


@pytest.mark.parametrize("view", list(View))
def test_every_leg_node_part_and_equipment_can_be_pointed_at(jobs: ModuleType, view: View) -> None:
    circuit = jobs.condenser_below()
    scene = build_scene([circuit], SceneOptions(view=view))
    found = {item.target for item in scene.display.items}
    legs = {Target("c1", each.id, leg.id) for each in circuit.lines for leg in each.legs}
    nodes = {Target("c1", each.id, node=node.id) for each in circuit.lines for node in each.nodes}
    equipment = {Target("c1", equipment=each.id) for each in circuit.equipment}
    assert legs | nodes | equipment <= found
    if view is View.ISOMETRIC:
        kinds = {target.part for target in found if target is not None and target.kind is TargetKind.PART}
        assert kinds == {part.id for each in circuit.lines for leg in each.legs for part in leg.parts}
    assert {item.target for item in scene.display.items if isinstance(item, Hotspot)} == nodes
    assert set(scene.nodes) == nodes


def test_a_riser_seen_end_on_is_a_ring(jobs: ModuleType) -> None:
    scene = build_scene([jobs.condenser_above()], SceneOptions(view=View.PLAN))
    riser = Target("c1", "dis", "d3")
    rings = [
        item
        for item in scene.display.items
        if isinstance(item, Circle) and item.target == riser and item.fill is Ink.PANEL
    ]
    assert len(rings) == 1
    assert rings[0].centre == pytest.approx(scene.nodes[Target("c1", "dis", node="n4")])


def test_a_skew_run_shows_its_offsets_with_the_plane_hatched(jobs: ModuleType) -> None:
    scene = build_scene([jobs.parallel_condensers()], SceneOptions())
    thin = [
        item
        for item in scene.display.items
        if isinstance(item, Polyline)
        and item.width is Width.HAIR
        and item.target == Target("c1", "dis", "d5")
        and item.layer is Layer.TIE
    ]
    assert len(thin) > 4


def test_an_arrow_shows_the_flow_on_every_leg_long_enough(jobs: ModuleType) -> None:
    circuit = jobs.condenser_above()
    scene = build_scene([circuit], SceneOptions())
    for each in circuit.lines:
        places = {node.id: node.at_m for node in each.nodes}
        for leg in each.legs:
            arrows = [
                item
                for item in scene.display.items
                if isinstance(item, Polygon)
                and item.target == Target("c1", each.id, leg.id)
                and item.fill is SERVICE_STYLES[each.service].ink
            ]
            assert len(arrows) == 1
            a, b = (scene.projection.spot(places[node]) for node in (leg.start, leg.end))
            tip, left, right = arrows[0].points
            tail = ((left[0] + right[0]) / 2.0, (left[1] + right[1]) / 2.0)
            assert (tip[0] - tail[0]) * (b[0] - a[0]) + (tip[1] - tail[1]) * (b[1] - a[1]) > 0.0


def test_a_pipe_behind_equipment_is_painted_before_it() -> None:
    unit = Equipment("u", Role.UNIT, at_m=(0.0, 0.0, 0.0))
    behind = line("liq", Service.LIQUID, [(4.0, 6.0, 0.0), (6.0, 4.0, 0.0)])
    # The eye looks down from the south-west: what lies north-east of the body passes behind it.
    circuit = Circuit(
        "c1", "R32", (), equipment=(unit,), lines=(replace(behind, ends=(LineEnd("n0", "x"), LineEnd("n1", "x"))),)
    )
    moved = replace(circuit, equipment=(replace(unit, at_m=(1.5, 1.5, 3.6)),))
    scene = build_scene([moved], SceneOptions())
    assert [stroke.layer for stroke in pipes(scene, "l1", "liq")] == [Layer.HIDDEN_PIPE]


@pytest.mark.parametrize("job", ["condenser_above", "condenser_below", "double_riser", "long_job"])
def test_primitives_hold_plain_numbers(jobs: ModuleType, job: str) -> None:
    """A painter hands them to its toolkit, and a worker to another thread: no array scalars."""
    for item in build_scene([getattr(jobs, job)()], SceneOptions()).display.items:
        if isinstance(item, Polyline | Polygon):
            numbers = [number for point in item.points for number in point]
        else:
            numbers = [*(item.centre if isinstance(item, Circle) else item.at)]
        if isinstance(item, Polyline):
            numbers += [*item.dash, item.dash_offset]
        if isinstance(item, Text) and item.plate is not None:
            box = item.plate.box
            numbers += [box.left, box.top, box.right, box.bottom]
        assert {type(number) for number in numbers} == {float}, item
