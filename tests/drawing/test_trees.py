"""Trees on the sheet: dots at tees, arrows on branches, ports at equipment; circuits that are not the shown one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from linesizer.document.commands.circuit import DuplicateCircuit
from linesizer.domain.circuit import Circuit
from linesizer.drawing.display_list import Circle, Ink, Layer, Polygon, Polyline, Target, Text, Width
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.projection import View
from linesizer.drawing.scene import Scene, build_scene
from linesizer.storage import job_file

SAMPLE = job_file.read(Path(__file__).parents[2] / "samples" / "two-condensers.json").job
(TWO,) = SAMPLE.circuits
BOTH = DuplicateCircuit(TWO.id).apply(SAMPLE).circuits
C1, C2 = BOTH[0].id, BOTH[1].id


def drawn(circuits: tuple[Circuit, ...], scale: float = 48.0, **more: object) -> Scene:
    return build_scene(circuits, SceneOptions(scale=scale, **more))  # type: ignore[arg-type]


def squares(scene: Scene) -> dict[str, Polygon]:
    """Return the ports that are drawn, by line and node of their ends."""
    return {
        f"{item.target.line} {item.target.node}": item
        for item in scene.display.items
        if isinstance(item, Polygon) and len(item.points) == 4 and item.target is not None and item.target.node
    }


def test_each_tee_is_a_filled_dot_where_its_three_legs_meet() -> None:
    scene = drawn((TWO,))
    dots = {
        (item.target.line, item.target.node): item
        for item in scene.display.items
        if isinstance(item, Circle) and item.layer is Layer.SYMBOL and item.target is not None and item.target.node
    }
    assert set(dots) == {("dis", "n5"), ("liq", "m6")}
    assert dots["dis", "n5"].fill is Ink.DISCHARGE
    assert dots["liq", "m6"].centre == scene.nodes[Target("c1", "liq", node="m6")]


def test_every_branch_has_an_arrow() -> None:
    scene = drawn((TWO,))
    arrows = {
        item.target.leg
        for item in scene.display.items
        if isinstance(item, Polygon)
        and len(item.points) == 3
        and item.fill in (Ink.DISCHARGE, Ink.LIQUID)
        and item.target is not None
    }
    assert arrows >= {"d5", "d6", "d7", "d8", "l1", "l2", "l3", "l4", "l5"}


@pytest.mark.parametrize("scale", [24.0, 48.0, 96.0, 192.0])
@pytest.mark.parametrize("view", [View.ISOMETRIC, View.PLAN, View.FROM_SOUTH])
def test_no_label_of_a_tree_lies_on_another(scale: float, view: View) -> None:
    scene = drawn((TWO,), scale=scale, view=view)
    boxes = [
        item.plate.box
        for item in scene.display.items
        if isinstance(item, Text) and item.plate is not None and item.layer is Layer.LABEL
    ]
    assert boxes
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert a.right <= b.left or b.right <= a.left or a.bottom <= b.top or b.bottom <= a.top


def test_a_port_stands_at_each_end_with_its_word() -> None:
    scene = drawn((TWO,), scale=96.0)
    assert set(squares(scene)) == {"dis n1", "dis n7", "dis n9", "liq m1", "liq m3", "liq m10"}
    assert {each.fill for each in squares(scene).values()} == {Ink.DISCHARGE, Ink.LIQUID}
    words = {item.text for item in scene.display.items if isinstance(item, Text)}
    assert words >= {"inlet", "outlet", "liquid"}


def test_a_port_that_follows_from_the_order_alone_is_hollow_and_has_no_word() -> None:
    free = replace(TWO, lines=tuple(replace(line, ends=()) for line in TWO.lines))
    scene = drawn((free,), scale=96.0)
    assert {each.fill for each in squares(scene).values()} == {Ink.PANEL}
    assert not {item.text for item in scene.display.items if isinstance(item, Text)} & {"inlet", "outlet"}


# Several circuits


def colours(scene: Scene, circuit: str) -> set[Ink]:
    return {
        item.ink
        for item in scene.display.items
        if isinstance(item, Polyline) and item.width is Width.PIPE and item.target and item.target.circuit == circuit
    }


def labelled(scene: Scene, circuit: str) -> set[str]:
    return {
        item.target.leg
        for item in scene.display.items
        if isinstance(item, Text)
        and item.layer is Layer.LABEL
        and item.target
        and item.target.circuit == circuit
        and item.target.leg
    }


@pytest.mark.parametrize(("shown", "other"), [(C1, C2), (C2, C1)])
def test_the_circuit_that_is_not_shown_is_drawn_quietly(shown: str, other: str) -> None:
    scene = drawn(BOTH, circuit=shown)
    assert colours(scene, shown) == {Ink.DISCHARGE, Ink.LIQUID}
    assert colours(scene, other) == {Ink.QUIET}
    assert labelled(scene, shown)
    assert labelled(scene, other) == set()
    dashes = {
        item.target.line: bool(item.dash)
        for item in scene.display.items
        if isinstance(item, Polyline) and item.width is Width.PIPE and item.target and item.target.circuit == other
    }
    assert dashes == {"dis": False, "liq": True}


def test_quiet_equipment_is_named_with_its_circuit() -> None:
    scene = drawn(BOTH, circuit=C1)
    words = {item.text for item in scene.display.items if isinstance(item, Text)}
    assert words >= {"Near condenser", "Near condenser, Circuit 2"}


def test_all_are_drawn_in_full_where_none_is_shown() -> None:
    scene = drawn(BOTH)
    assert colours(scene, C1) == colours(scene, C2) == {Ink.DISCHARGE, Ink.LIQUID}


def test_every_leg_of_a_quiet_circuit_can_be_pointed_at() -> None:
    scene = drawn(BOTH, circuit=C1)
    legs = {item.target.leg for item in scene.display.items if item.target and item.target.circuit == C2}
    assert legs >= {leg.id for line in TWO.lines for leg in line.legs}
