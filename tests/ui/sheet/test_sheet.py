"""The sheet shows the job with its live figures, follows what is selected, says what is not current, teaches."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QHelpEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolTip
from pytestqt.qtbot import QtBot

from linesizer.document.commands.circuit import StartCircuit
from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.node import MoveNode
from linesizer.document.commands.size import SetLegSize
from linesizer.document.direction import Axis
from linesizer.domain.circuit import Circuit
from linesizer.drawing.display_list import Ink, Layer, Target, Text
from linesizer.drawing.labels import LabelSlots
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.projection import View
from linesizer.drawing.scene import Scene, build_scene
from linesizer.ui.selection import NOTHING, Selection
from linesizer.ui.sheet import drawing_cache
from linesizer.ui.sheet.pointing import label_boxes
from linesizer.ui.sheet.sheet import Sheet
from tests.ui.on_sheet import LEFT, C, leg, leg_pos, move_to, node, node_pos, pos, settle, sheet_over
from tests.ui.opened import ABOVE, BELOW, OFFSCREEN, SAMPLES, TALL, select

pytestmark = OFFSCREEN


def texts(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.scene().display.items if isinstance(item, Text)]


def painted(sheet: Sheet) -> QImage:
    return sheet.grab().toImage()


def begin(sheet: Sheet) -> None:
    sheet.session.do(StartCircuit("R134a", 100e3, 2.0, 50.0, 6.0, 5.0, (0.0, 0.0, 0.0), (6.0, 4.0, 9.0)))


# What it shows


def test_each_leg_shows_its_size_its_length_and_its_live_drop(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    found = sheet.session.line_result(C, "dis")
    assert found is not None
    assert found.legs is not None
    drop_kPa = float(found.legs.drop_Pa[2, 0]) / 1e3
    words = texts(sheet)
    assert "d3  1-5/8  5.60 m" in words
    # The least over conditions and corners: the one with the least load under the highest pressure, 50 C of "full".
    worst = min(float(found.legs.oil_return_ratio[2].min()), float(found.legs.corner_ratio[2].min()))
    assert worst < float(found.legs.oil_return_ratio[2].min())
    assert f"drop {drop_kPa:.2f} kPa   oil {worst:.2f} at low, 50.0 °C" in words
    sheet.session.do(SetLegSize(C, "dis", ("d3",), "1-3/8"))
    assert "d3  1-3/8  5.60 m" in texts(sheet)
    assert f"drop {drop_kPa:.2f} kPa" not in " ".join(words for words in texts(sheet) if "oil" in words)


def test_the_figures_are_those_of_the_chosen_condition(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    full = [words for words in texts(sheet) if words.startswith("drop")]
    sheet.session.choose_condition(1)
    low = [words for words in texts(sheet) if words.startswith("drop")]
    assert low
    assert set(full).isdisjoint(low)
    assert not [words for words in low if words.endswith("at low")]


def test_units_switch_live_and_do_not_change_the_job(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    job = sheet.session.job
    sheet.session.use_units("ip")
    words = " ".join(texts(sheet))
    assert "18'-4 1/2\"" in words
    assert "psi" in words
    assert "kPa" not in words
    assert sheet.session.job is job


@pytest.mark.parametrize("sample", [ABOVE, BELOW, TALL])
@pytest.mark.parametrize("view", list(View))
def test_the_whole_drawing_is_in_sight_at_first_in_every_view(qtbot: QtBot, sample: str, view: View) -> None:
    sheet = sheet_over(qtbot, sample, scale=None)
    sheet.look(view)
    box = sheet.drawn().bounds
    assert box is not None
    box.translate(sheet.sight.dx, sheet.sight.dy)
    assert sheet.rect().contains(box.toAlignedRect())
    assert box.width() > 0.4 * sheet.width() or box.height() > 0.4 * sheet.height()


def test_a_finding_marks_its_leg_and_a_finding_of_a_line_its_service(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, TALL)
    marks = {item.target for item in sheet.scene().display.items if getattr(item, "fill", None) is Ink.STOP}
    assert {leg("d1"), leg("d3")} <= marks
    below = sheet_over(qtbot, BELOW)
    assert below.cache.marks[Target(C, "liq")].value == "stop"
    stop = below.session.theme.colour(Ink.STOP).rgb()
    image = painted(below)
    head = [image.pixel(x, y) for x in range(500, 1000) for y in range(14, 40)]
    assert stop in head


def test_the_chosen_view_is_bold_and_an_elevation_names_its_side(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    words = sheet.view_words
    assert [word.text() for word in words.words] == ["Isometric", "plan", "elevation from south"]
    QTest.mouseClick(words.words[1], LEFT)
    assert (sheet.sight.view, words.index) == (View.PLAN, 1)
    QTest.mouseClick(words.words[2], LEFT)
    assert sheet.sight.view is View.FROM_SOUTH
    QTest.mouseClick(words.words[2], LEFT)
    assert sheet.sight.view is View.FROM_EAST
    assert words.words[2].text() == "elevation from east"
    QTest.mouseClick(words.words[0], LEFT)
    assert (sheet.sight.view, words.index) == (View.ISOMETRIC, 0)


def test_light_and_dark_paint_their_own_ground(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    light = painted(sheet).pixelColor(1, 1)
    sheet.session.theme.choose("dark")
    dark = painted(sheet).pixelColor(1, 1)
    sheet.session.theme.choose("light")
    assert light.lightness() > 220  # the paper, or a line of its grid (226)
    assert dark.lightness() < 50
    assert painted(sheet).pixelColor(1, 1) == light


# Not current


def test_figures_that_are_not_current_are_slanted_and_the_sheet_says_why(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    row = next(
        item
        for item in sheet.scene().display.items
        if isinstance(item, Text) and item.layer is Layer.LABEL and item.text.startswith("drop")
    )
    select(sheet.session, "dis", "d2")
    place = QRect(pos(sheet, row.at) - QPoint(40, 8), QSize(80, 16))
    other = QRect(pos(sheet, label_boxes(sheet.scene(), leg("d4"))[0].centre) - QPoint(30, 6), QSize(60, 12))
    fresh = painted(sheet)
    assert sheet.stale_note.isHidden()
    assert "not current" not in sheet.accessibleDescription()
    # Nothing condenses at 200 C: the last good figures stay.
    sheet.session.preview(SetConditionFields(C, "full", (("condensing_C", 200.0),)))
    assert not sheet.session.current
    assert row.text in texts(sheet)
    stale = painted(sheet)
    assert stale.copy(place) != fresh.copy(place)
    assert stale.copy(other) == fresh.copy(other)
    # As readable as before: the darkest of it is as dark.
    assert abs(darkest(stale.copy(place)) - darkest(fresh.copy(place))) < 12
    assert not sheet.stale_note.isHidden()
    assert sheet.stale_note.text.startswith("not current")
    assert "not current" in sheet.accessibleDescription()
    sheet.session.end_preview()
    assert painted(sheet) == fresh
    assert sheet.stale_note.isHidden()


def darkest(image: QImage) -> int:
    return min(image.pixelColor(x, y).lightness() for x in range(image.width()) for y in range(image.height()))


# Selecting


def test_a_click_selects_a_leg_a_node_equipment_a_part_and_a_label(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    QTest.mouseClick(sheet, LEFT, pos=leg_pos(sheet, "d2", share=0.3))
    assert sheet.session.selection == Selection(C, "dis", "d2")
    QTest.mouseClick(sheet, LEFT, pos=QPoint(930, 300))
    QTest.mouseClick(sheet, LEFT, pos=node_pos(sheet, "n4"))
    assert sheet.session.selection == Selection(C, "dis", node="n4")
    label = next(item for item in sheet.scene().display.items if isinstance(item, Text) and item.text.startswith("l2"))
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, label.at))
    assert sheet.session.selection == Selection(C, "liq", "l2")
    name = next(item for item in sheet.scene().display.items if getattr(item, "text", "") == "Indoor unit")
    assert isinstance(name, Text)
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, (name.at[0] + 20.0, name.at[1])))
    assert sheet.session.selection == Selection(C, equipment="unit")
    part = next(each for each in sheet.session.job.circuits[0].lines[1].legs if each.id == "l3").parts[0]
    sign = next(item for item in sheet.scene().display.items if item.target == Target(C, "liq", "l3", part=part.id))
    spot = getattr(sign, "centre", None) or getattr(sign, "points")[0]  # noqa: B009
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, spot))
    assert sheet.session.selection == Selection(C, "liq", "l3", part=part.id)


def test_a_selection_made_elsewhere_comes_into_sight(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, scale=160.0)
    sheet.take_sight(sheet.sight.moved(-5000.0, 0.0))
    select(sheet.session, "dis", "d3")
    assert sheet.rect().contains(leg_pos(sheet, "d3"))
    still = sheet.sight
    select(sheet.session, "dis", "d2")
    select(sheet.session, "dis", "d3")
    assert sheet.rect().contains(leg_pos(sheet, "d3"))
    assert (sheet.sight.scale, sheet.sight.view) == (still.scale, still.view)


def test_a_click_does_not_move_the_paper(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    at = leg_pos(sheet, "d3")
    sheet.take_sight(sheet.sight.moved(990.0 - at.x(), 0.0))
    before = sheet.sight
    QTest.mouseClick(sheet, LEFT, pos=leg_pos(sheet, "d3"))
    assert sheet.session.selection.leg == "d3"
    assert sheet.sight == before


def test_what_is_gone_is_no_longer_selected(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d4")
    QTest.keyClicks(sheet, "U")
    QTest.keyClicks(sheet.typed_line.field, "1")
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_Return)
    assert sheet.session.selection.node is not None
    sheet.session.document.undo()
    assert sheet.session.selection == Selection(C, "dis")


def test_the_pointer_lights_up_what_lies_beneath_and_shows_what_it_can_do(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = painted(sheet)
    at = leg_pos(sheet, "d3")
    move_to(sheet, at)
    assert sheet.hovered == leg("d3")
    assert sheet.cursor().shape() is Qt.CursorShape.PointingHandCursor
    lit = painted(sheet)
    assert lit.pixelColor(at.x() + 4, at.y()) != before.pixelColor(at.x() + 4, at.y())
    move_to(sheet, node_pos(sheet, "n3"))
    assert sheet.hovered == node("n3")
    assert sheet.cursor().shape() is Qt.CursorShape.SizeAllCursor
    move_to(sheet, QPoint(930, 300))
    assert sheet.hovered is None
    assert sheet.cursor().shape() is Qt.CursorShape.ArrowCursor
    QApplication.sendEvent(sheet, QEvent(QEvent.Type.Leave))
    assert painted(sheet) == before


@pytest.mark.qt_log_ignore("does not support (propagateSizeHints|raise)", extend=True)
def test_a_tooltip_says_the_figures_of_what_lies_beneath(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    at = leg_pos(sheet, "d3")
    QApplication.sendEvent(sheet, QHelpEvent(QEvent.Type.ToolTip, at, sheet.mapToGlobal(at)))
    assert "Leg d3 of discharge line dis, size 1-5/8, 5.60 m up" in QToolTip.text()
    QToolTip.hideText()


def test_a_screen_reader_hears_what_is_selected_with_its_figures(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    assert sheet.accessibleName() == "Sheet"
    assert sheet.accessibleDescription().startswith("Nothing is selected")
    select(sheet.session, "dis", "d3")
    heard = sheet.accessibleDescription()
    assert heard.startswith("Leg d3 of discharge line dis, size 1-5/8, 5.60 m up, drop ")
    sheet.session.do(SetLegSize(C, "dis", ("d3",), "1-3/8"))
    assert "size 1-3/8" in sheet.accessibleDescription()
    sheet.session.select(Selection(C, equipment="cond"))
    assert sheet.accessibleDescription().startswith("Loft condenser, condenser, at east 5.20 m")


# Empty


def test_an_empty_job_teaches_the_next_step(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, None)
    assert sheet.lesson.text.startswith("Nothing to draw yet")
    assert "Nothing to draw yet" in sheet.accessibleDescription()
    begin(sheet)
    assert sheet.lesson.text.startswith("Draw the discharge line Press D, or click the ring at Indoor unit")
    assert not sheet.lesson.isHidden()
    sheet.session.use_units("ip")
    assert "7'3\"" in sheet.lesson.text
    QTest.keyClicks(sheet, "D")
    QTest.keyClicks(sheet.typed_line.field, "U 2")
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_Return)
    assert sheet.lesson.isHidden()
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_Escape)
    sheet.session.select(NOTHING)
    assert sheet.typed_line.words == "press L to draw the liquid line from Condenser"


def test_a_job_that_has_just_begun_comes_into_sight(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, None)
    before = sheet.sight
    begin(sheet)
    qtbot.waitUntil(lambda: sheet.sight != before)
    box = sheet.drawn().bounds
    assert box is not None
    box.translate(sheet.sight.dx, sheet.sight.dy)
    assert sheet.rect().contains(box.toAlignedRect())


def test_another_file_comes_into_sight(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, scale=150.0)
    before = sheet.sight
    sheet.session.document.open(SAMPLES / f"{TALL}.json")
    qtbot.waitUntil(lambda: sheet.sight.scale != before.scale)


# What it costs


def test_nothing_is_made_anew_to_paint_again_to_pan_or_to_hover(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    painted(sheet)
    builds = sheet.cache.builds
    sheet.take_sight(sheet.sight.moved(20.0, 10.0))
    painted(sheet)
    move_to(sheet, leg_pos(sheet, "d3"))
    painted(sheet)
    assert sheet.cache.builds == builds
    sheet.session.do(SetLegSize(C, "dis", ("d3",), "1-3/8"))
    painted(sheet)
    assert sheet.cache.builds == builds + 1


def test_labels_wait_for_the_end_of_a_zoom(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    slots = dict(sheet.scene().slots)
    sheet.take_sight(sheet.sight.zoomed(1.01, 500.0, 360.0))
    kept = dict(sheet.scene().slots)
    same = [key for key in slots if kept.get(key) == slots[key]]
    assert len(same) > 0.5 * len(slots)
    builds = sheet.cache.builds
    settle(qtbot, sheet)
    painted(sheet)
    assert sheet.cache.builds == builds + 1


def test_labels_keep_their_places_in_a_drag_and_are_laid_out_on_release(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = dict(sheet.scene().slots)
    sheet.session.preview(MoveNode(C, "dis", "n3", Axis.EAST, 0.1))
    during = dict(sheet.scene().slots)
    assert sum(during[key] == before[key] for key in before) > 0.7 * len(before)
    builds = sheet.cache.builds
    sheet.session.end_preview()
    assert dict(sheet.scene().slots) == before
    assert sheet.cache.builds == builds + 1


def test_labels_stay_where_they_are_while_only_figures_change(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    sheet = sheet_over(qtbot)
    kept: list[bool] = []

    def watched(circuits: tuple[Circuit, ...], options: SceneOptions, previous: LabelSlots | None = None) -> Scene:
        kept.append(previous is not None)
        return build_scene(circuits, options, previous)

    monkeypatch.setattr(drawing_cache, "build_scene", watched)
    sheet.session.do(SetConditionFields(C, "full", (("capacity_W", 91000.0),)))
    sheet.scene()
    sheet.session.choose_condition(1)
    sheet.scene()
    select(sheet.session, "dis", "d2")
    sheet.scene()
    assert kept == [True, True, True]
    sheet.session.do(MoveNode(C, "dis", "n3", Axis.EAST, 0.1))
    sheet.scene()
    assert kept[3:] == [False]


def test_resizing_keeps_the_middle_in_the_middle(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    spot = sheet.sight.spot(500.0, 380.0)
    sheet.resize(1200, 900)
    assert sheet.sight.spot(600.0, 450.0) == pytest.approx(spot)
