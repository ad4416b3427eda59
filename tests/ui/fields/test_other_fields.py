"""Words, dates, notes, choices and switches."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.job import SetJobInfo
from linesizer.drawing.display_list import Ink
from linesizer.ui.fields.choice import Choice, ChoiceField
from linesizer.ui.fields.row import FieldRow
from linesizer.ui.fields.switch import SwitchField
from linesizer.ui.fields.text import DateField, NotesField, TextField
from linesizer.ui.session import Session
from tests.ui.fields.bench import POPUPS, Taken, a_session, enter, leave, on_bench, pick, retype

pytestmark = POPUPS

COLOURS = (Choice("r", "red"), Choice("g", "green", "of grass"), Choice("b", "blue"))


def test_words_are_committed_without_blanks_at_their_ends(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = on_bench(qtbot, session, TextField(session, "Oil", taken, optional=True))
    field.show_value("POE")
    retype(field, "  PVE ")
    leave(field)
    field.setFocus()
    retype(field, " ")
    enter(field)
    assert taken.values == ["PVE", None]
    assert field.text() == ""


@pytest.mark.parametrize(("typed", "stored"), [("2026-2-3", "2026-02-03"), ("2026/12/31", "2026-12-31"), ("", "")])
def test_a_date_is_written_as_the_file_does(qtbot: QtBot, typed: str, stored: str) -> None:
    session, taken = a_session(), Taken()
    field = on_bench(qtbot, session, DateField(session, "Date", taken))
    field.show_value("2020-01-01")
    retype(field, typed or " ")
    enter(field)
    assert taken.values == [stored]


@pytest.mark.parametrize("typed", ["2026-02-30", "tomorrow", "24.11.2026", "99999-1-1"])
def test_what_is_no_date_is_refused(qtbot: QtBot, typed: str) -> None:
    session, taken = a_session(), Taken()
    field = on_bench(qtbot, session, DateField(session, "Date", taken))
    retype(field, typed)
    enter(field)
    assert taken.values == []
    assert "no day of the calendar" in field.reason


def test_notes_keep_their_lines_and_commit_on_leaving(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = on_bench(qtbot, session, NotesField(session, "Notes", taken))
    field.show_value("One.")
    retype(field, "Two.")
    QTest.keyClick(field, Qt.Key.Key_Return)
    QTest.keyClicks(field, "Three.")
    field.show_value("One.")
    assert taken.values == []
    leave(field)
    assert taken.values == ["Two.\nThree."]
    field.setFocus()
    retype(field, "gone")
    QTest.keyClick(field, Qt.Key.Key_Escape)
    leave(field)
    assert taken.values == ["Two.\nThree."]


def test_undo_in_notes_reaches_the_document_once_nothing_is_typed(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    session.do(SetJobInfo((("title", "Another"),)))
    field = on_bench(qtbot, session, NotesField(session, "Notes", taken))
    QTest.keyClicks(field, "x")
    QTest.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.job.info.title == "Another"
    QTest.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.job.info.title != "Another"


def test_a_choice_commits_by_keyboard(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = on_bench(qtbot, session, ChoiceField(session, "Colour", COLOURS, taken))
    field.show_value("g")
    assert field.currentText() == "green   of grass"
    for key in (Qt.Key.Key_Down, Qt.Key.Key_End):
        QTest.keyClick(field, key)
        assert field.view().isVisible()
        QTest.keyClick(field.view(), Qt.Key.Key_Up)
        QTest.keyClick(field.view(), Qt.Key.Key_Escape)
    assert taken.values == [], "walking through the list commits nothing"
    pick(field, 2)
    assert taken.values == ["b"]
    field.show_value("b")
    assert field.currentText() == "blue"
    QTest.keyClicks(field, "r")
    QTest.keyClick(field.view(), Qt.Key.Key_Return)
    assert taken.values == ["b", "r"]


def test_a_refused_choice_stays_marked_until_escape(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    taken.refused = "b"
    field = on_bench(qtbot, session, ChoiceField(session, "Colour", COLOURS, taken))
    field.show_value("g")
    pick(field, 2)
    assert field.reason == "It is the one value that is refused."
    assert field.currentText() == "blue"
    field.show_value("g")
    assert field.currentText() == "blue", "a refresh does not take the choice away"
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert (field.reason, field.currentText()) == ("", "green   of grass")


def test_other_choices_keep_what_is_chosen(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = on_bench(qtbot, session, ChoiceField(session, "Colour", COLOURS, taken))
    field.show_value("g")
    field.offer((Choice("g", "green"), Choice("k", "black")))
    assert field.currentText() == "green"
    field.offer((Choice("k", "black"),))
    assert field.currentIndex() == -1
    assert taken.values == []


def test_a_switch_changes_by_space_and_by_click_and_goes_back_where_refused(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = on_bench(qtbot, session, SwitchField(session, "Separator", taken))
    field.show_value(False)
    QTest.keyClick(field, Qt.Key.Key_Space)
    assert (taken.values, field.text()) == ([True], "yes")
    taken.refused = False
    QTest.mouseClick(field, Qt.MouseButton.LeftButton)
    assert (taken.values, field.text(), field.isChecked()) == ([True], "yes", True)
    assert field.reason == "It is the one value that is refused."


def row(session: Session, taken: Taken, words: str = "A name that is rather long") -> FieldRow:
    field = TextField(session, words, taken)
    field.show_value("value")
    return FieldRow(session, words, field)


def test_a_row_puts_the_field_below_its_words_where_there_is_no_room_beside(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    made = row(session, taken)
    on_bench(qtbot, session, made)
    made.resize(400, made.heightForWidth(400))
    assert made.field.x() > 100
    one = made.heightForWidth(400)
    assert made.heightForWidth(120) > one
    made.resize(120, made.heightForWidth(120))
    assert made.field.x() == 0
    assert made.field.width() == 120
    assert made.field.geometry().bottom() <= made.height()


def test_a_row_grows_by_the_reason_and_writes_it_in_the_inks_of_a_stop(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    taken.refused = "bad"
    made = row(session, taken, "Oil")
    on_bench(qtbot, session, made)
    before = made.heightForWidth(280)
    retype(made.field, "bad")
    enter(made.field)
    assert made.heightForWidth(280) > before
    qtbot.waitUntil(lambda: made.height() >= made.heightForWidth(made.width()))
    picture = made.grab().toImage()
    stop = session.theme.colour(Ink.STOP)
    below = made.field.geometry().bottom() + 2
    inked = [picture.pixelColor(x, y) for x in range(picture.width()) for y in range(below, picture.height())]
    # Smoothed letters hardly ever hold the pure colour.
    assert min(abs(c.red() - stop.red()) + abs(c.green() - stop.green()) for c in inked) < 8
