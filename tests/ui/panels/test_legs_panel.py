"""The table of legs: the drawing's twin, edited by hand, copied and pasted."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.restore import RestoreJob
from linesizer.document.commands.turn import TurnLeg
from linesizer.domain.geometry import line_geometry
from linesizer.domain.route import DoubleRiser, Joint, Leg
from linesizer.ui import worker
from linesizer.ui.panels.leg_columns import PLACE_OF, Column
from linesizer.ui.panels.leg_editors import EntryEditor
from linesizer.ui.panels.legs_panel import LegsPanel
from linesizer.ui.session import Session
from tests.ui.opened import (
    ABOVE,
    OFFSCREEN,
    TALL,
    click_cell,
    line_of,
    place_of,
    select,
    session_over,
    settled,
    shown,
    troubled,
)

pytestmark = OFFSCREEN


def cell(panel: LegsPanel, leg: str, column: Column) -> QModelIndex:
    row = next(row for row, entry in enumerate(panel.model.entries) if entry.leg.id == leg)
    return panel.model.index(row, PLACE_OF[column])


def text(panel: LegsPanel, leg: str, column: Column) -> str:
    return str(cell(panel, leg, column).data())


def edit(panel: LegsPanel, leg: str, column: Column) -> QWidget:
    index = cell(panel, leg, column)
    click_cell(panel.view, index)
    QTest.mouseDClick(panel.view.viewport(), Qt.MouseButton.LeftButton, pos=place_of(panel.view, index))
    editor = panel.view.indexWidget(index) or panel.view.findChild(EntryEditor) or panel.view.findChild(QComboBox)
    assert isinstance(editor, QWidget)
    return editor


def typed(panel: LegsPanel, leg: str, column: Column, entry: str, key: Qt.Key | None = Qt.Key.Key_Return) -> QLineEdit:
    editor = edit(panel, leg, column)
    assert isinstance(editor, QLineEdit)
    editor.selectAll()
    QTest.keyClicks(editor, entry)
    if key is not None:
        press(editor, key)
    return editor


def chosen(panel: LegsPanel, leg: str, column: Column, label: str) -> None:
    editor = edit(panel, leg, column)
    assert isinstance(editor, QComboBox)
    editor.setCurrentIndex(editor.findText(label))
    press(editor, Qt.Key.Key_Return)


def press(editor: QWidget, key: Qt.Key) -> None:
    QTest.keyClick(editor, key)
    # Qt commits an entry from its queue.
    QApplication.processEvents()


def leg_of(session: Session, line: str, leg: str) -> Leg:
    return next(found for found in line_of(session, line).legs if found.id == leg)


def length_of(session: Session, line: str, leg: str) -> float:
    return next(found.length_m for found in line_geometry(line_of(session, line)).legs if found.leg.id == leg)


def open_editors(panel: LegsPanel) -> list[EntryEditor]:
    return [editor for editor in panel.view.findChildren(EntryEditor) if editor.isVisible()]


def test_every_leg_has_a_row_in_the_order_of_flow(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    assert [entry.leg.id for entry in panel.model.entries] == ["d1", "d2", "d3", "d4", "l1", "l2", "l3", "l4"]
    assert [text(panel, leg, Column.DIRECTION) for leg in ("d1", "d2", "d4", "l1")] == ["U", "E", "N", "D"]
    assert text(panel, "d3", Column.FITTING) == "long elbow, 90°"
    assert text(panel, "d2", Column.FITTING) == "bend 90°"
    assert text(panel, "l3", Column.PARTS) == "filter-drier, sight glass"
    assert text(panel, "d1", Column.PLACE) == "Plant room"
    found = session.line_result("c1", "dis")
    assert found is not None
    assert found.legs is not None
    assert text(panel, "d1", Column.VELOCITY) == f"{found.legs.velocity_m_s[0, 0]:.2f}"
    assert text(panel, "d2", Column.OIL_RETURN) == "–"


def test_live_figures_are_those_of_the_chosen_condition(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    full = text(panel, "d1", Column.VELOCITY)
    session.choose_condition(1)
    assert float(text(panel, "d1", Column.VELOCITY)) < float(full)
    assert "Lowest step, winter" in panel.subtitle


@pytest.mark.parametrize(
    ("entry", "length_m"),
    [("3.4", 3.4), ("3,4 m", 3.4), ("11'6\"", 3.5052), ("138 in", 3.5052), ("11 ft 6 1/2 in", 3.5179)],
)
def test_a_length_is_typed_as_people_write_it(qtbot: QtBot, entry: str, length_m: float) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    typed(panel, "d2", Column.LENGTH, entry)
    assert length_of(session, "dis", "d2") == pytest.approx(length_m)
    assert session.document.undo_label == "change length of d2"
    assert not open_editors(panel)


def test_typing_on_a_cell_begins_an_entry(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    panel.view.setFocus()
    panel.view.setCurrentIndex(cell(panel, "d2", Column.LENGTH))
    QTest.keyClick(panel.view.viewport(), Qt.Key.Key_7)
    editor = open_editors(panel)[0]
    assert editor.text() == "7"
    press(editor, Qt.Key.Key_Return)
    assert length_of(session, "dis", "d2") == pytest.approx(7.0)


def test_a_bad_entry_keeps_its_editor_open_with_the_reason(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    before = session.job
    editor = typed(panel, "d2", Column.LENGTH, "six")
    assert open_editors(panel) == [editor]
    assert editor.text() == "six"
    assert "six" in panel.delegate.reason.text()
    assert panel.delegate.reason.isVisible()
    assert "six" in editor.accessibleDescription()
    assert session.job is before
    # Looking elsewhere does not lose what was typed.
    click_cell(panel.view, cell(panel, "l2", Column.LENGTH))
    assert open_editors(panel) == [editor]
    editor.selectAll()
    QTest.keyClicks(editor, "6.5")
    press(editor, Qt.Key.Key_Return)
    assert not open_editors(panel)
    assert panel.delegate.reason.isHidden()
    assert length_of(session, "dis", "d2") == pytest.approx(6.5)


def test_what_the_document_refuses_is_said_in_the_cell(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    editor = typed(panel, "d2", Column.LENGTH, "0")
    assert open_editors(panel) == [editor]
    assert "Its length is 0 m" in panel.delegate.reason.text()
    assert not session.document.modified


def test_escape_gives_an_entry_up(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    editor = typed(panel, "d2", Column.LENGTH, "six")
    press(editor, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not open_editors(panel))
    assert panel.delegate.reason.isHidden()
    assert not session.document.modified


def test_leaving_an_untouched_cell_changes_nothing(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    # 2.345 shows as 2.35: committing what is shown would move the line by 5 mm.
    typed(panel, "d2", Column.LENGTH, "2.345")
    before = session.job
    editor = edit(panel, "d2", Column.LENGTH)
    press(editor, Qt.Key.Key_Return)
    assert session.job is before


def test_units_switched_mid_edit_keep_what_was_typed_and_what_it_meant(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    editor = typed(panel, "d2", Column.LENGTH, "3.4", None)
    session.use_units("ip")
    assert open_editors(panel) == [editor]
    assert editor.text() == "3.4"
    press(editor, Qt.Key.Key_Return)
    assert length_of(session, "dis", "d2") == pytest.approx(3.4)
    assert text(panel, "d2", Column.LENGTH) == "11.15"


def test_an_untouched_editor_follows_the_units(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    editor = edit(panel, "d2", Column.LENGTH)
    assert isinstance(editor, QLineEdit)
    assert editor.text() == "6.00"
    session.use_units("ip")
    assert editor.text() == "19.69"


def test_a_direction_turns_the_leg(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    typed(panel, "d4", Column.DIRECTION, "west")
    assert text(panel, "d4", Column.DIRECTION) == "W"
    assert length_of(session, "dis", "d4") == pytest.approx(4.0)
    assert session.document.undo_label == "change direction of d4"


def test_a_slant_is_shown_and_typed_as_offsets(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    typed(panel, "d4", Column.DIRECTION, "N 3; U 4")
    assert text(panel, "d4", Column.DIRECTION) == "N 3.00; U 4.00"
    assert text(panel, "d4", Column.LENGTH) == "5.00"


def test_a_size_is_chosen_from_the_catalogue_and_given_back_to_the_line(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    chosen(panel, "d3", Column.SIZE, "1-3/8")
    assert leg_of(session, "dis", "d3").size == "1-3/8"
    assert session.document.undo_label == "set size of d3 to 1-3/8"
    chosen(panel, "d3", Column.SIZE, "as the line: 1-5/8")
    assert leg_of(session, "dis", "d3").size is None
    assert text(panel, "d3", Column.SIZE) == "1-5/8"


def typed_size(panel: LegsPanel, leg: str, entry: str, key: Qt.Key = Qt.Key.Key_Return) -> QComboBox:
    editor = edit(panel, leg, Column.SIZE)
    assert isinstance(editor, QComboBox)
    QTest.keyClicks(editor, entry)
    press(editor, key)
    return editor


def test_two_sizes_are_typed_as_a_double_riser_and_one_makes_it_single_again(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    typed_size(panel, "d3", "7/8 + 1-3/8")
    assert leg_of(session, "dis", "d3").double_riser == DoubleRiser("7/8", "1-3/8", 0.3)
    assert session.document.undo_label == "make d3 a double riser of 7/8 and 1-3/8"
    assert text(panel, "d3", Column.SIZE) == "7/8 + 1-3/8"
    typed_size(panel, "d3", "7/8 + 1-3/8, 0,4 m")
    assert leg_of(session, "dis", "d3").double_riser == DoubleRiser("7/8", "1-3/8", 0.4)
    session.use_units("ip")
    editor = edit(panel, "d3", Column.SIZE)
    assert isinstance(editor, QComboBox)
    assert editor.currentText() == "7/8 + 1-3/8, 15 3/4 in"
    before = session.job
    press(editor, Qt.Key.Key_Return)
    assert session.job is before
    typed_size(panel, "d3", "1-1/8")
    assert (leg_of(session, "dis", "d3").double_riser, leg_of(session, "dis", "d3").size) == (None, "1-1/8")
    typed_size(panel, "d3", "open", Qt.Key.Key_Tab)
    assert leg_of(session, "dis", "d3").size is None


def test_a_double_riser_gives_way_to_the_line_s_size_from_the_list(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    typed_size(panel, "d3", "7/8 + 1-3/8")
    chosen(panel, "d3", Column.SIZE, "as the line: 1-5/8")
    assert leg_of(session, "dis", "d3").double_riser is None


def test_a_size_that_cannot_be_keeps_its_cell_open_with_the_reason(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    before = session.job
    for entry, why in (("7/8 +", "two sizes with a plus"), ("13/8", '"13/8"')):
        editor = typed_size(panel, "d3", entry)
        assert editor.isVisible()
        assert panel.delegate.reason.isVisible()
        assert why in panel.delegate.reason.text()
        press(editor, Qt.Key.Key_Escape)
        assert not panel.delegate.reason.isVisible()
    assert session.job is before


def test_a_copied_double_riser_is_pasted_with_its_seal(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    typed_size(panel, "d3", "7/8 + 1-3/8, 450")
    panel._copy_rows(list(range(5)))
    assert "\t7/8 + 1-3/8, 450 mm\t" in QGuiApplication.clipboard().text()
    circuit = session.job.circuits[0]
    bare = replace(circuit.lines[1], legs=(), nodes=circuit.lines[1].nodes[:1], ends=(), fittings=())
    session.do(RestoreJob(replace(session.job, circuits=(replace(circuit, lines=(circuit.lines[0], bare)),))))
    select(session, "liq")
    panel.view.setFocus()
    QTest.keyClick(panel.view, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    legs = line_of(session, "liq").legs
    assert [leg.double_riser for leg in legs] == [None, None, DoubleRiser("7/8", "1-3/8", 0.45), None, None]
    assert [leg.size for leg in legs] == ["1-5/8", "1-5/8", None, "1-5/8", "1-5/8"]


def test_place_joint_tube_fitting_fall_and_insulation_are_changed_in_their_cells(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    chosen(panel, "d3", Column.PLACE, "Plant room")
    chosen(panel, "d3", Column.JOINT, "mechanical")
    chosen(panel, "d3", Column.TUBE, "Copper type K (ASTM B88)")
    chosen(panel, "d3", Column.FITTING, "Trap")
    typed(panel, "d3", Column.FALL, "1:200")
    typed(panel, "d3", Column.INSULATION, '1/2"')
    leg = leg_of(session, "dis", "d3")
    assert (leg.place, leg.joint, leg.tube) == ("plant", Joint.MECHANICAL, "ASTM-B88-K")
    assert [fitting.kind for fitting in line_of(session, "dis").fittings] == ["trap"]
    assert leg.fall == pytest.approx(0.005)
    assert leg.insulation_m == pytest.approx(0.0127)
    for _ in range(6):
        session.document.undo()
    assert not session.document.modified


def test_selection_goes_both_ways(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    select(session, "liq", "l2")
    assert panel.view.currentIndex().row() == 5
    panel.view.setFocus()
    QTest.keyClick(panel.view, Qt.Key.Key_Down)
    assert (session.selection.line, session.selection.leg) == ("liq", "l3")
    click_cell(panel.view, cell(panel, "d1", Column.SIZE))
    assert (session.selection.line, session.selection.leg) == ("dis", "d1")


def test_ctrl_c_copies_rows_with_heads_for_a_spreadsheet(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    click_cell(panel.view, cell(panel, "d2", Column.LENGTH))
    QTest.keyClick(panel.view, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClick(panel.view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    rows = [row.split("\t") for row in QGuiApplication.clipboard().text().splitlines()]
    assert len(rows) == 3
    assert rows[0][:6] == ["line", "leg", "from", "to", "direction", "length, m"]
    assert rows[1][:7] == ["dis", "d2", "n2", "n3", "E", "6", "1-5/8"]
    assert rows[2][1] == "d3"


def test_copied_legs_pasted_elsewhere_are_the_same_route(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    panel._copy_rows([0, 1, 2, 3])
    circuit = session.job.circuits[0]
    bare = replace(circuit.lines[1], legs=(), nodes=circuit.lines[1].nodes[:1], ends=(), fittings=())
    session.do(RestoreJob(replace(session.job, circuits=(replace(circuit, lines=(circuit.lines[0], bare)),))))
    select(session, "liq")
    session.use_units("ip")
    panel.view.setFocus()
    QTest.keyClick(panel.view, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    old, new = (line_geometry(line_of(session, name)).legs for name in ("dis", "liq"))
    assert session.document.undo_label == "paste 4 legs into liq"
    assert [leg.length_m for leg in new] == pytest.approx([leg.length_m for leg in old])
    for before, after in zip(old, new, strict=True):
        assert after.direction == pytest.approx(before.direction)
    assert [leg.leg.size for leg in new] == ["1-5/8"] * 4
    assert "parts" in panel.problems.text


def test_bad_rows_are_listed_and_nothing_happens(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    before = session.job
    QGuiApplication.clipboard().setText("U\t2\nX\t3\nE\t\n")
    panel.view.setFocus()
    QTest.keyClick(panel.view, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert session.job is before
    assert panel.problems.isVisible()
    assert "Row 2" in panel.problems.text
    assert "Row 3" in panel.problems.text
    QTest.mouseClick(panel._dismiss, Qt.MouseButton.LeftButton)
    assert panel.problems.isHidden() or not panel.problems.isVisible()


def test_rows_that_the_route_refuses_are_told_too(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    select(session, "dis")
    before = session.job
    # The line ends running north: straight back south lies on its last leg.
    QGuiApplication.clipboard().setText("S\t2")
    panel.view.setFocus()
    QTest.keyClick(panel.view, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert session.job is before
    assert "d4" in panel.problems.text


def test_an_empty_line_is_drawn_by_pasting(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    circuit = session.job.circuits[0]
    bare = replace(circuit.lines[0], legs=(), nodes=circuit.lines[0].nodes[:1], ends=(), fittings=())
    session.do(RestoreJob(replace(session.job, circuits=(replace(circuit, lines=(bare,)),))))
    panel = shown(qtbot, LegsPanel(session), 840, 300)
    assert panel.is_empty
    assert "Line dis has no legs yet" in panel.empty.text
    QGuiApplication.clipboard().setText("U\t2.2\nE\t6")
    panel.setFocus()
    QTest.keyClick(panel, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert [round(leg.length_m, 9) for leg in line_geometry(line_of(session, "dis")).legs] == [2.2, 6.0]
    assert not panel.is_empty


def test_delete_takes_the_leg_away(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    click_cell(panel.view, cell(panel, "d4", Column.LENGTH))
    QTest.keyClick(panel.view, Qt.Key.Key_Delete)
    assert session.document.undo_label == "delete d4"
    assert [leg.id for leg in line_of(session, "dis").legs] == ["d1", "d2", "d3"]


def test_a_new_result_changes_cells_in_place(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    before = text(panel, "d1", Column.VELOCITY)
    with qtbot.assertNotEmitted(panel.model.modelReset):
        session.do(SetConditionFields("c1", "full", (("capacity_W", 80_000.0),)))
        settled(qtbot, session)
    assert float(text(panel, "d1", Column.VELOCITY)) < float(before)


def test_a_drag_shows_at_once(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    session.preview(TurnLeg("c1", "dis", "d2", (7.5, 0.0, 0.0)))
    assert text(panel, "d2", Column.LENGTH) == "7.50"
    session.end_preview()
    assert text(panel, "d2", Column.LENGTH) == "6.00"


def test_the_route_does_not_wait_for_its_figures(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    monkeypatch.setattr(worker, "QUICK_S", 0.0)
    assert session.preview(SetConditionFields("c1", "full", (("condensing_C", 110.0),)))
    troubled(qtbot, session)
    session.preview(TurnLeg("c1", "dis", "d2", (7.5, 0.0, 0.0)))
    assert not session.current
    assert text(panel, "d2", Column.LENGTH) == "7.50"


def test_figures_of_an_earlier_job_stay_greyed(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    before = text(panel, "d1", Column.VELOCITY)
    condition = session.job.circuits[0].conditions[0].id
    assert session.preview(SetConditionFields("c1", condition, (("condensing_C", 90.0),)))
    troubled(qtbot, session)
    assert panel.delegate.stale
    assert text(panel, "d1", Column.VELOCITY) == before
    assert panel.stale_note.isVisible()


def test_an_empty_job_teaches(qtbot: QtBot) -> None:
    panel = shown(qtbot, LegsPanel(session_over(None)), 840, 300)
    assert panel.is_empty
    assert "spreadsheet" in panel.empty.text


def test_an_accessible_cell_says_its_leg_and_head(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, LegsPanel(session), 1200, 320)
    said = cell(panel, "d2", Column.LENGTH).data(Qt.ItemDataRole.AccessibleTextRole)
    assert said == "leg d2, length, m: 6.00"
    assert not math.isnan(float(text(panel, "d2", Column.LENGTH)))
