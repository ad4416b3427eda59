"""Findings: order, words, going to the place, the remedy as one undoable step, copying."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.delete import DeleteLine
from linesizer.document.commands.equipment import SetEquipmentFields
from linesizer.document.commands.size import SetLineSize
from linesizer.domain.finding import Finding, Level
from linesizer.domain.job import Job
from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.finding_words import copied, counts, in_order
from linesizer.ui.panels.findings_model import MESSAGE_ROLE, SOURCE_ROLE, FindingsModel
from linesizer.ui.panels.findings_panel import FindingsPanel
from tests.ui.opened import (
    ABOVE,
    BELOW,
    OFFSCREEN,
    TALL,
    click_cell,
    double_text,
    session_over,
    settled,
    shown,
    troubled,
)

pytestmark = OFFSCREEN


def finding(level: Level, code: str = "x", line: str | None = None) -> Finding:
    return Finding(code, level, f"title of {code}", "words", "c1", line=line, rule="a_rule", source="a source")


def test_heaviest_first_and_counted_in_words() -> None:
    mixed = [finding(Level.NOTE, "a"), finding(Level.STOP, "b"), finding(Level.WARN, "c"), finding(Level.NOTE, "d")]
    assert [item.code for item in in_order(mixed)] == ["b", "c", "a", "d"]
    assert counts(mixed) == "1 stop  1 to decide  2 notes"
    assert counts([finding(Level.NOTE)]) == "1 note"
    assert counts([]) == "none"


def test_each_finding_says_its_sentence_in_the_units_of_the_screen(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    assert panel.subtitle.startswith("2 stops  3 to decide  ")
    assert [item.leg for item in panel.model.findings[:3]] == ["d1", "d3", "d2"]
    assert "m/s" in str(panel.model.index(0).data(MESSAGE_ROLE))
    assert "Jacobs" in str(panel.model.index(0).data(SOURCE_ROLE))
    session.use_units("ip")
    assert "fpm" in str(panel.model.index(0).data(MESSAGE_ROLE))


def test_a_click_goes_to_the_leg_and_the_condition(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    assert session.condition == 0
    # The level run's slow gas is worst at the second condition; the risers' worst is a corner, which is nobody's own.
    click_cell(panel.view, panel.model.index(2))
    assert (session.selection.circuit, session.selection.line, session.selection.leg) == ("c1", "dis", "d2")
    assert session.condition == 1
    assert not session.document.modified


def test_arrow_keys_walk_and_enter_goes_there(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    panel.view.setFocus()
    panel.view.setCurrentIndex(panel.model.index(0))
    QTest.keyClick(panel.view, Qt.Key.Key_Down)
    assert session.selection.leg == "d3"
    with qtbot.waitSignal(panel.place_entered):
        QTest.keyClick(panel.view, Qt.Key.Key_Return)


def test_the_remedy_is_one_undoable_step_by_mouse(qtbot: QtBot) -> None:
    session = session_over(BELOW)
    panel = shown(qtbot, FindingsPanel(session))
    first = panel.model.index(0)
    assert panel.model.findings[0].remedy is not None
    before = session.job
    QTest.mouseClick(panel.view.viewport(), Qt.MouseButton.LeftButton, pos=panel.view.remedy_place(first))
    assert session.document.undo_label == "change subcooling of condition low"
    settled(qtbot, session)
    assert "flashing_before_valve" not in [item.code for item in panel.model.findings if item.condition == "low"]
    session.document.undo()
    assert session.job is before


def test_the_remedy_is_one_undoable_step_by_key(qtbot: QtBot) -> None:
    session = session_over(BELOW)
    panel = shown(qtbot, FindingsPanel(session))
    panel.view.setFocus()
    panel.view.setCurrentIndex(panel.model.index(0))
    QTest.keyClick(panel.view, Qt.Key.Key_R)
    assert session.document.undo_label == "change subcooling of condition low"


def test_a_finding_without_remedy_has_none_to_press(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    panel.view.setFocus()
    slow = panel.model.index(2)
    assert panel.model.findings[2].remedy is None
    panel.view.setCurrentIndex(slow)
    assert panel.view.delegate.remedy_box(slow).isEmpty()
    QTest.keyClick(panel.view, Qt.Key.Key_R)
    assert not session.document.modified


def test_ctrl_c_copies_the_finding_and_the_menu_all(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    panel.view.setFocus()
    panel.view.setCurrentIndex(panel.model.index(0))
    QTest.keyClick(panel.view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    text = QGuiApplication.clipboard().text()
    assert text == copied(panel.model.findings[0], session.job, "si")
    assert text.startswith("STOP  d1: oil does not come up\nAt design condensing with least load the gas")
    assert "[oil_return_stop_ratio; practice set general" in text
    menu = panel.menu(panel.model.index(0))
    next(action for action in menu.actions() if action.text() == "Copy all").trigger()
    assert QGuiApplication.clipboard().text().count("oil does not come up") == 2


def test_a_new_result_changes_the_list_in_place_and_keeps_where_the_person_is(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    panel.view.setCurrentIndex(panel.model.index(1))
    before = session.selection
    with qtbot.assertNotEmitted(panel.model.modelReset):
        session.do(SetConditionFields("c1", session.job.circuits[0].conditions[1].id, (("capacity_W", 13_600.0),)))
        settled(qtbot, session)
    assert panel.view.currentIndex().row() == 1
    assert session.selection == before


def test_a_list_that_grows_keeps_the_finding_that_was_current(qtbot: QtBot) -> None:
    session = session_over(BELOW)
    panel = shown(qtbot, FindingsPanel(session))
    panel.model.fold(folded=False)
    panel.view.setCurrentIndex(panel.model.index(2))
    kept = panel.model.findings[1].code
    session.do(SetEquipmentFields("c1", "cond", (("volume_m3", None),)))
    settled(qtbot, session)
    assert "charge_data_missing" in [item.code for item in panel.model.findings]
    assert panel.view.currentIndex().isValid()
    assert not panel.model.folded
    at = panel.model.finding_at(panel.view.currentIndex().row())
    assert at is not None
    assert at.code == kept


def rows(panel: FindingsPanel) -> list[str]:
    return [str(panel.model.index(row).data()) for row in range(panel.model.rowCount())]


def test_many_notes_fold_away_beneath_what_weighs_more(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    levels = [item.level for item in panel.model.findings]
    notes, heavy = levels.count(Level.NOTE), len(levels) - levels.count(Level.NOTE)
    assert notes >= 4
    assert rows(panel)[heavy:] == [f"{notes} notes"]
    fold = panel.model.index(heavy)
    assert panel.model.finding_at(heavy) is None
    assert f"{notes} notes, folded away" in str(fold.data(Qt.ItemDataRole.AccessibleTextRole))
    before = session.selection
    with qtbot.assertNotEmitted(panel.model.modelReset):
        click_cell(panel.view, fold)
    assert panel.model.rowCount() == heavy + 1 + notes
    assert rows(panel)[heavy + 1 :] == [item.title for item in panel.model.findings[heavy:]]
    assert session.selection == before
    click_cell(panel.view, panel.model.index(heavy))
    assert panel.model.rowCount() == heavy + 1


def test_the_keyboard_folds_notes_and_walks_into_them(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    panel.view.setFocus()
    at = panel.model.fold_row
    panel.view.setCurrentIndex(panel.model.index(at))
    for key, folded in (
        *((Qt.Key.Key_Return, False), (Qt.Key.Key_Space, True), (Qt.Key.Key_Left, True), (Qt.Key.Key_Right, False)),
        *((Qt.Key.Key_Right, False), (Qt.Key.Key_Left, True), (Qt.Key.Key_R, True), (Qt.Key.Key_Right, False)),
    ):
        QTest.keyClick(panel.view, key)
        assert panel.model.folded is folded
        assert panel.view.currentIndex().row() == at
    QTest.keyClick(panel.view, Qt.Key.Key_Down)
    first = panel.model.finding_at(at + 1)
    assert first is not None
    assert first.level is Level.NOTE
    assert (session.selection.line, session.selection.leg) == (first.line, first.leg)
    menu = panel.menu(panel.model.index(at))
    assert [action.text().split("\t")[0] for action in menu.actions()] == ["Fold the notes away", "Copy all"]


def test_the_row_of_notes_stays_current_and_folded_through_a_new_result(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    panel.view.setCurrentIndex(panel.model.index(panel.model.fold_row))
    before = panel.model.rowCount()
    session.do(SetLineSize("c1", "dis", "1-1/8"))
    settled(qtbot, session)
    assert panel.model.rowCount() != before
    assert panel.model.folded
    assert panel.view.currentIndex().row() == panel.model.fold_row >= 0


def test_a_note_that_is_read_is_not_folded_away_when_something_heavier_comes(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, FindingsPanel(session))
    assert panel.model.fold_row == -1
    panel.view.setCurrentIndex(panel.model.index(2))
    at = panel.model.finding_at(2)
    assert at is not None
    session.do(SetLineSize("c1", "dis", "2-1/8"))
    settled(qtbot, session)
    assert panel.model.fold_row > 0
    now = panel.model.finding_at(panel.view.currentIndex().row())
    assert now is not None
    assert (now.code, now.level) == (at.code, Level.NOTE)


def test_few_notes_and_notes_alone_do_not_fold() -> None:
    model = FindingsModel()
    stop, notes = finding(Level.STOP), tuple(finding(Level.NOTE, name) for name in "abcd")
    for found, fold_row, count in (((stop, *notes[:3]), -1, 4), (notes, -1, 4), ((stop, *notes), 1, 2)):
        model.show(found, Job(()), "si")
        assert (model.fold_row, model.rowCount()) == (fold_row, count)
        assert model.findings == found


def test_copying_all_takes_the_folded_notes_along(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    assert panel.model.folded
    assert panel.text().count("NOTE  ") == sum(item.level is Level.NOTE for item in panel.model.findings)


def test_no_findings_says_what_was_checked(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, FindingsPanel(session))
    assert panel.subtitle.endswith(" notes")
    assert "stop" not in panel.subtitle
    # Without lines, and with a charge below every threshold, there is nothing to find.
    session.do(DeleteLine("c1", "dis"))
    session.do(DeleteLine("c1", "liq"))
    session.do(SetEquipmentFields("c1", "unit", (("operating_kg", 0.5),)))
    session.do(SetEquipmentFields("c1", "cond", (("operating_kg", 0.5),)))
    settled(qtbot, session)
    assert panel.is_empty
    assert panel.empty.text.startswith("No findings.")
    assert "oil return" in panel.empty.text
    assert "no approval" in panel.empty.text
    assert panel.subtitle == "none"


def test_an_empty_job_teaches(qtbot: QtBot) -> None:
    panel = shown(qtbot, FindingsPanel(session_over(None)))
    assert panel.is_empty
    assert "which rule" in panel.empty.text


def test_findings_of_an_earlier_job_stay_greyed(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    assert session.preview(
        SetConditionFields("c1", session.job.circuits[0].conditions[0].id, (("condensing_C", 90.0),))
    )
    before = len(panel.model.findings)
    troubled(qtbot, session)
    assert len(panel.model.findings) == before > 2
    assert panel.view.delegate.stale
    assert panel.stale_note.text.startswith("not current")


@pytest.mark.parametrize(("level", "ink"), [(Level.STOP, Ink.STOP), (Level.WARN, Ink.DECIDE)])
def test_shape_and_word_stand_for_the_level_beside_the_colour(qtbot: QtBot, level: Level, ink: Ink) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, FindingsPanel(session))
    assert isinstance(panel.model, FindingsModel)
    panel.model.show((replace(finding(level), line="dis"),), session.job, "si")
    panel.view.clearSelection()
    index = panel.model.index(0)
    rect = panel.view.visualRect(index)
    mark = panel.view.delegate.layout(index, rect.width()).mark.translated(rect.topLeft())
    image = panel.view.viewport().grab().toImage()
    colour = session.theme.colour(ink).rgb()
    assert image.pixelColor(mark.center()).rgb() == colour
    corner = image.pixelColor(mark.left() + 2, mark.top() + 2).rgb()
    assert (corner == colour) is (level is Level.STOP)
    text = str(index.data(Qt.ItemDataRole.AccessibleTextRole))
    assert text.startswith("stop" if level is Level.STOP else "decide")


def test_at_twice_the_text_size_the_remedy_has_a_row_of_its_own(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    session = session_over(BELOW)
    panel = shown(qtbot, FindingsPanel(session))
    plain = panel.view.delegate.layout(panel.model.index(0), 460)
    assert plain.remedy.top() == plain.place.top()
    double_text(monkeypatch)
    panel = shown(qtbot, FindingsPanel(session_over(BELOW)))
    large = panel.view.delegate.layout(panel.model.index(0), 460)
    assert large.remedy.bottom() < large.place.top()
    assert large.remedy.left() > 0
    assert large.height > 1.8 * plain.height
