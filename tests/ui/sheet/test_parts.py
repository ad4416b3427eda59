"""What the sheet is put together from: looking, pointing, walking, handles, words."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.circuit import StartCircuit
from linesizer.document.document import Document
from linesizer.domain.finding import Level
from linesizer.domain.route import Service
from linesizer.drawing.display_list import Target
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.projection import View
from linesizer.drawing.scene import build_scene
from linesizer.evaluate import solve
from linesizer.ui.gestures.starts import chosen_start, from_node, missing_services
from linesizer.ui.selection import NOTHING, Selection
from linesizer.ui.sheet.found import found
from linesizer.ui.sheet.furniture import legend_row, line_marks, used_services
from linesizer.ui.sheet.handles import HandleKind, handles
from linesizer.ui.sheet.live_notes import finding_marks, leg_notes
from linesizer.ui.sheet.pointing import box_of, fraction_along, label_boxes, target_at
from linesizer.ui.sheet.sight import Sight
from linesizer.ui.sheet.targets import selection_of, target_of
from linesizer.ui.sheet.walk import legs_in_order, neighbour, stepped
from linesizer.ui.sheet.words import described
from linesizer.units import System
from tests.document.jobs import branching
from tests.drawing.invented_jobs import double_riser
from tests.ui.opened import ABOVE, SAMPLES, TALL, session_over

C = "c1"


def opened(sample: str = ABOVE) -> Document:
    document = Document()
    document.open(SAMPLES / f"{sample}.json")
    return document


# Looking


def test_a_zoom_keeps_what_lies_at_its_place() -> None:
    sight = Sight(View.PLAN, 40.0, 100.0, 50.0)
    point = sight.projection.spot((3.0, 2.0, 0.0))
    x, y = point[0] + sight.dx, point[1] + sight.dy
    zoomed = sight.zoomed(1.7, x, y)
    again = zoomed.projection.spot((3.0, 2.0, 0.0))
    assert (again[0] + zoomed.dx, again[1] + zoomed.dy) == pytest.approx((x, y))
    assert zoomed.zoom == pytest.approx(1.7)


# Pointing


def test_a_node_counts_from_farther_away_than_its_legs() -> None:
    scene = build_scene(opened().job.circuits, SceneOptions(scale=40.0))
    x, y = scene.nodes[Target(C, "dis", node="n3")]
    assert target_at(scene, (x, y - 8.0)) == Target(C, "dis", node="n3")
    assert target_at(scene, (x, y - 14.0)) == Target(C, "dis", "d3")
    assert target_at(scene, (x + 400.0, y + 400.0)) is None


def test_a_label_means_its_leg_also_where_it_lies_near_a_node() -> None:
    scene = build_scene(opened().job.circuits, SceneOptions(scale=40.0))
    for leg in ("d1", "d2", "d3", "d4"):
        for box in label_boxes(scene, Target(C, "dis", leg)):
            assert target_at(scene, (box.left + 1.0, box.centre[1])) == Target(C, "dis", leg)


def test_a_place_on_a_leg_is_read_as_a_fraction_and_kept_off_its_ends() -> None:
    job = opened().job
    scene = build_scene(job.circuits, SceneOptions(scale=40.0))
    geometry = found(job, Selection(C, "dis", "d2")).geometry
    assert geometry is not None
    line = Target(C, "dis")
    start, end = (scene.nodes[Target(C, "dis", node=name)] for name in ("n2", "n3"))
    for share, expected in ((0.3, 0.3), (0.0, 0.02), (1.0, 0.98)):
        spot = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
        assert fraction_along(scene, line, geometry, spot) == pytest.approx(expected, abs=1e-3)
    assert fraction_along(scene, line, geometry, (start[0], start[1] - 60.0)) == 0.5


def test_the_box_of_a_thing_leaves_its_labels_out() -> None:
    scene = build_scene(opened().job.circuits, SceneOptions(scale=40.0))
    box = box_of(scene, Target(C, "dis", "d3"))
    assert box is not None
    assert box.height == pytest.approx(5.6 * 40.0, abs=1.0)
    assert box.width < 20.0
    whole = box_of(scene, Target(C, "dis"))
    assert whole is not None
    assert whole.joined(box) == whole
    assert box_of(scene, Target(C, "dis", "d99")) is None


# Walking


def test_legs_are_walked_in_the_order_of_flow_whatever_the_files_order() -> None:
    line = opened().job.circuits[0].lines[0]
    turned = replace(line, legs=tuple(reversed(line.legs)))
    assert legs_in_order(turned) == ("d1", "d2", "d3", "d4")
    broken = replace(line, nodes=line.nodes[:-1])
    assert legs_in_order(broken) == ("d1", "d2", "d3", "d4")


def test_the_walk_begins_at_either_end_and_ends_there() -> None:
    job = opened().job
    assert stepped(job, NOTHING, True) == Selection(C, "dis", "d1")
    assert stepped(job, NOTHING, False) == Selection(C, "liq", "l4")
    assert stepped(job, Selection(C, "liq"), True) == Selection(C, "liq", "l1")
    assert stepped(job, Selection(C, "liq", "l4"), True) is None
    assert stepped(job, Selection(C, "dis", "d1"), False) is None
    assert stepped(replace(job, circuits=()), NOTHING, True) is None


def test_the_neighbour_is_the_leg_before_else_the_one_behind() -> None:
    line = opened().job.circuits[0].lines[0]
    assert (neighbour(line, "d3"), neighbour(line, "d1")) == ("d2", "d2")
    assert neighbour(replace(line, legs=line.legs[:1]), "d1") is None


# Selections


@pytest.mark.parametrize(
    "selection",
    [
        Selection(C, "dis"),
        Selection(C, "dis", "d1"),
        Selection(C, "dis", node="n1"),
        Selection(C, "dis", "d1", part="p1"),
        Selection(C, equipment="unit"),
    ],
)
def test_a_selection_is_a_target_and_back(selection: Selection) -> None:
    assert selection_of(target_of(selection)) == selection


def test_nothing_and_a_whole_circuit_are_no_target() -> None:
    assert target_of(NOTHING) is None
    assert target_of(Selection(C)) is None
    assert selection_of(None) == NOTHING


def test_what_is_found_is_only_what_is_there() -> None:
    job = opened().job
    assert found(job, Selection("c9", "dis")).circuit is None
    gone = found(job, Selection(C, "dis", "d99"))
    assert gone.selection == Selection(C, "dis")
    assert found(job, Selection(C, equipment="cond")).selection == Selection(C, equipment="cond")


# Starts and handles


def test_drawing_goes_on_from_what_is_selected(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    for selection, node, branches in (
        (NOTHING, "n5", False),
        (Selection(C, "liq"), "m5", False),
        (Selection(C, "dis", "d2"), "n3", True),
        (Selection(C, "dis", node="n1"), "n1", False),
    ):
        session.select(selection)
        start = chosen_start(session)
        assert start is not None
        assert (start.node, start.branches) == (node, branches)
    session.close()


def test_a_begun_circuit_waits_for_both_lines(qtbot: QtBot) -> None:
    session = session_over(None)
    assert chosen_start(session) is None
    session.do(StartCircuit("R134a", 100e3, 2.0, 50.0, 6.0, 5.0, (0.0, 0.0, 0.0), (6.0, 4.0, 9.0)))
    circuit = session.job.circuits[0]
    assert missing_services(circuit) == (Service.DISCHARGE, Service.LIQUID)
    scene = build_scene(session.job.circuits, SceneOptions(scale=40.0))
    begin = handles(session, scene)
    assert [each.letter for each in begin] == ["D", "L"]
    assert begin[1].spot == scene.projection.spot((6.0, 4.0, 9.0))
    session.select(Selection(C, equipment="cond"))
    start = chosen_start(session)
    assert start is not None
    assert start.service is Service.LIQUID
    session.close()


def test_a_selected_leg_has_a_square_at_its_end_a_plus_beside_it_and_at_both_ends_of_its_line(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    session.select(Selection(C, "dis", "d3"))
    scene = build_scene(session.job.circuits, SceneOptions(scale=40.0))
    made = handles(session, scene)
    assert [each.kind for each in made] == [HandleKind.STRETCH, HandleKind.DRAW, HandleKind.DRAW, HandleKind.DRAW]
    assert made[0].spot == scene.nodes[Target(C, "dis", node="n4")]
    assert [each.start.node for each in made if each.start is not None] == [None, "n1", "n5"]
    session.select(NOTHING)
    assert handles(session, scene) == ()
    session.close()


def test_the_plus_keeps_away_from_the_legs_that_meet_there(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    scene = build_scene(session.job.circuits, SceneOptions(scale=40.0))
    for name in ("n2", "n3", "n4"):
        session.select(Selection(C, "dis", node=name))
        plus = handles(session, scene)[0]
        assert target_at(scene, plus.spot) != Target(C, "dis", "d2")
        assert target_at(scene, plus.spot) != Target(C, "dis", "d3")
    session.close()


def test_a_node_names_the_leg_that_comes_to_it() -> None:
    circuit = branching().circuits[0]
    line = next(each for each in circuit.lines if each.legs)
    for leg in line.legs:
        start = from_node(circuit, line, leg.end)
        assert start is not None
        assert start.words in {each.id for each in line.legs if each.end == leg.end}
    assert from_node(circuit, line, "nowhere") is None


# Words


@pytest.mark.parametrize(
    ("selection", "system", "words"),
    [
        (Selection(C, "dis", "d3"), "si", "Leg d3 of discharge line dis, size 1-5/8, 5.60 m up"),
        (Selection(C, "dis", "d3"), "ip", "Leg d3 of discharge line dis, size 1-5/8, 18'-4 1/2\" up"),
        (Selection(C, "dis", node="n4"), "si", "Node n4 of line dis, height +9.00, between d3 and d4."),
        (Selection(C, "dis", node="n1"), "si", "tied to unit"),
        (Selection(C, equipment="unit"), "si", "Indoor unit, unit, at east 0.00 m, north 0.00 m, up 1.20 m."),
        (Selection(C, "liq"), "si", "Line liq, liquid, 4 legs."),
        (NOTHING, "si", ""),
        (Selection(C, "gone"), "si", ""),
    ],
)
def test_a_thing_is_described_in_a_sentence(qtbot: QtBot, selection: Selection, system: System, words: str) -> None:
    session = session_over(ABOVE, system)
    notes = leg_notes(session.result, 0, system)
    said = described(session, selection, notes)
    assert words in said if words else said == ""
    session.close()


# Live figures, legend


def test_every_leg_has_its_drop_and_a_climbing_one_its_oil_return() -> None:
    result = solve(opened().job)
    notes = leg_notes(result, 0, "si")
    assert len(notes) == 8
    assert " oil " in notes[Target(C, "dis", "d3")].second
    assert " oil " not in notes[Target(C, "dis", "d2")].second
    # The liquid line falls from the condenser: its column adds pressure.
    assert notes[Target(C, "liq", "l1")].second.startswith("gain ")
    assert leg_notes(None, 0, "si") == {}


def test_the_oil_return_on_the_sheet_is_that_of_the_stop_and_names_its_corner() -> None:
    """The sample is there to lose its oil under summer's pressure (48 C) at the least load, not at a condition."""
    result = solve(opened(TALL).job)
    for leg, ratio in (("d1", 0.72), ("d3", 0.72)):
        stop = next(item for item in result.findings if item.leg == leg and item.code == "oil_return_short")
        assert stop.condition is None
        assert stop.value == pytest.approx(ratio, abs=0.005)
        for at in (0, 1):
            second = leg_notes(result, at, "si")[Target(C, "dis", leg)].second
            assert second.endswith(f"   oil {stop.value:.2f} at low, 48.0 °C")
    # 48 C are 118.4 F
    assert leg_notes(result, 0, "ip")[Target(C, "dis", "d3")].second.endswith(" at low, 118.4 °F")


@pytest.mark.parametrize("system", ["si", "ip"])
def test_labels_that_name_a_corner_stay_apart_and_narrower_than_a_third_of_the_sheet(system: System) -> None:
    result = solve(opened(TALL).job)
    notes = leg_notes(result, 0, system)
    options = SceneOptions(scale=24.0, system=system, notes=notes, marks=finding_marks(result))
    scene = build_scene(result.job.circuits, options)
    boxes = [(target, box) for target in notes for box in label_boxes(scene, target)]
    assert {target.leg for target, _ in boxes} >= {"d1", "d2", "d3", "d4", "l1", "l2", "l3"}
    assert max(box.width for _, box in boxes) < 270.0  # of a sheet of 820 at the window's usual size
    touching = [(one, two) for (one, a), (two, b) in combinations(boxes, 2) if one != two and a.meets(b)]
    assert touching == []


@pytest.mark.parametrize(
    ("levels", "shown"),
    [
        ((Level.NOTE, Level.NOTE), {}),
        ((Level.NOTE, Level.STOP), {Service.LIQUID: Level.STOP}),
        ((Level.WARN, Level.NOTE), {Service.DISCHARGE: Level.WARN}),
        ((Level.STOP, Level.WARN), {Service.DISCHARGE: Level.STOP, Service.LIQUID: Level.WARN}),
    ],
)
def test_a_note_about_a_whole_line_has_no_mark_in_the_legend(
    levels: tuple[Level, Level], shown: dict[Service, Level]
) -> None:
    circuits = opened().job.circuits
    marks = dict(zip((Target(C, "dis"), Target(C, "liq")), levels, strict=True))
    assert line_marks(circuits, marks) == shown
    assert line_marks(circuits, {Target(C, "dis", "d1"): Level.STOP}) == {}


def test_of_two_lines_of_a_service_the_weightier_mark_stands_in_the_legend() -> None:
    circuit = opened().job.circuits[0]
    second = replace(circuit, lines=(circuit.lines[0], replace(circuit.lines[0], id="dis2")))
    for levels in ((Level.WARN, Level.STOP), (Level.STOP, Level.WARN)):
        marks = dict(zip((Target(C, "dis"), Target(C, "dis2")), levels, strict=True))
        assert line_marks((second,), marks) == {Service.DISCHARGE: Level.STOP}


def test_the_weightiest_finding_marks_its_place() -> None:
    marks = finding_marks(solve(opened(TALL).job))
    assert marks[Target(C, "dis", "d1")].value == "stop"
    assert marks[Target(C, "dis", "d3")].value == "stop"
    assert finding_marks(None) == {}


@pytest.mark.parametrize("order", [(Level.NOTE, Level.STOP, Level.WARN), (Level.STOP, Level.NOTE, Level.WARN)])
def test_of_several_findings_at_one_place_the_weightiest_counts(order: tuple[Level, ...]) -> None:
    result = solve(opened(TALL).job)
    one = next(finding for finding in result.findings if finding.leg == "d1")
    whole = replace(result.circuits[0], findings=tuple(replace(one, level=level) for level in order))
    assert finding_marks(replace(result, circuits=(whole,))) == {Target(C, "dis", "d1"): Level.STOP}


def test_the_legend_names_the_services_in_use_and_ends_at_the_edge() -> None:
    circuits = (double_riser(),)
    services = used_services(circuits)
    row, box = legend_row(services, {}, 900.0, 20.0)
    words = [item.text for item in row if hasattr(item, "text")]
    assert len(words) == len(services)
    assert box is not None
    assert box.right == 900.0
    assert legend_row((), {}, 900.0, 20.0) == ((), None)
