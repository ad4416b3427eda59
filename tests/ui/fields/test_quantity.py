"""Quantity fields under a person's hands: typing, committing, refusing, nudging, undoing, switching units."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QKeySequence, QShortcut, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.drawing.display_list import Ink
from linesizer.storage.ranges import Range
from linesizer.ui.fields.commit import commit_pending
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.session import Session
from linesizer.units import Kind
from tests.ui.fields.bench import Taken, a_session, enter, leave, on_bench, retype
from tests.ui.opened import OFFSCREEN

pytestmark = OFFSCREEN


def temperature(
    qtbot: QtBot, session: Session, taken: Taken, value: float | None = 5.0, **more: object
) -> QuantityField:
    field = QuantityField(session, Kind.TEMPERATURE, "Water", taken, "What leaves.", **more)  # type: ignore[arg-type]
    on_bench(qtbot, session, field)
    field.show_value(value)
    return field


@pytest.mark.parametrize(
    ("typed", "stored"),
    [("7", 7.0), ("41 F", 5.0), ("6,5", 6.5), ("280.15 K", 7.0), ("−3", -3.0), ("50°F", 10.0)],
)
def test_either_unit_is_read_and_enter_commits(qtbot: QtBot, typed: str, stored: float) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken, 1.0)
    retype(field, typed)
    assert field.text() == typed
    assert taken.values == []
    enter(field)
    assert taken.values == [pytest.approx(stored)]
    assert taken.merges == [False]
    assert field.text() == f"{stored:.1f}"


def test_leaving_commits_once_and_an_unchanged_text_never(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken, 5.04)
    leave(field)
    assert taken.values == []
    field.setFocus()
    retype(field, "5.0")
    enter(field)
    assert taken.values == [], "the same figure typed again must not round what is stored"
    retype(field, "8")
    leave(field)
    assert taken.values == [8.0]


def test_inch_pound_reads_a_bare_number_in_its_own_unit(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    session.use_units("ip")
    field.retell()
    assert field.text() == "41.0"
    assert field.shown_unit == "°F"
    retype(field, "50")
    enter(field)
    assert taken.values == [pytest.approx(10.0)]


def test_a_bad_entry_stays_marked_until_escape_restores(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken, within=Range(-20.0, 20.0))
    with qtbot.waitSignal(field.reason_changed):
        retype(field, "200")
        leave(field)
    assert field.text() == "200"
    assert taken.values == []
    assert field.reason == "200.0 °C is outside what is allowed: -20 to 20 °C."
    assert field.reason in field.toolTip()
    assert field.reason in field.accessibleDescription()
    stop = session.theme.colour(Ink.STOP)
    picture = field.grab().toImage()
    assert picture.pixelColor(4, picture.height() - 1) == stop
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert (field.text(), field.reason) == ("5.0", "")
    assert "outside" not in field.toolTip()
    assert field.grab().toImage().pixelColor(4, picture.height() - 1) != stop


def test_typing_on_takes_the_mark_away(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    retype(field, "abc")
    enter(field)
    assert '"abc" does not start with a number' in field.toolTip() or field.reason
    assert field.hasFocus()
    QTest.keyClick(field, Qt.Key.Key_Backspace)
    assert field.reason == ""
    assert field.text() == "ab"


def test_what_the_command_refuses_is_said_at_the_field(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    taken.refused = 9.0
    field = temperature(qtbot, session, taken)
    retype(field, "9")
    enter(field)
    assert field.refused
    assert field.reason == "It is the one value that is refused."
    assert field.text() == "9"
    assert field.value == 5.0


def test_an_empty_entry_is_none_only_where_that_is_allowed(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    retype(field, " ")
    enter(field)
    assert field.reason == "Water needs a value."
    QTest.keyClick(field, Qt.Key.Key_Escape)
    field.optional = True
    field.show_default(12.0)
    retype(field, "")
    QTest.keyClick(field, Qt.Key.Key_Delete)
    enter(field)
    assert taken.values == [None]
    assert field.placeholderText() == "12.0"


def test_units_switched_in_the_middle_of_typing_lose_nothing(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken, show_unit=False)
    assert field.shown_unit == ""
    retype(field, "12")
    session.use_units("ip")
    field.retell()
    assert field.text() == "12"
    assert field.shown_unit == "°C", "the field says in which unit the number will be read"
    QTest.keyClicks(field, ".5")
    enter(field)
    assert taken.values == [12.5]
    assert field.text() == "54.5"
    assert field.shown_unit == ""


def test_arrows_nudge_and_a_row_of_them_is_one_act(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken, within=Range(0.0, 6.2))
    for _ in range(3):
        QTest.keyClick(field, Qt.Key.Key_Up)
    assert taken.values == [5.5, 6.0, 6.2]
    assert taken.merges == [False, True, True]
    retype(field, "3")
    QTest.keyClick(field, Qt.Key.Key_Down)
    assert taken.values[3:] == [2.5], "a nudge starts from what is typed"
    assert taken.merges[3:] == [False], "and does not swallow the step before the typing"
    QTest.keyClick(field, Qt.Key.Key_PageDown)
    assert taken.values[-1] == 0.0
    assert taken.merges[-1] is True


def test_leaving_and_an_undo_end_a_row_of_nudges(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    QTest.keyClick(field, Qt.Key.Key_Up)
    leave(field)
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_Up)
    field.show_value(1.0)
    QTest.keyClick(field, Qt.Key.Key_Up)
    assert taken.merges == [False, False, False]


def test_nudges_step_in_the_units_of_the_screen(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    session.use_units("ip")
    field.retell()
    QTest.keyClick(field, Qt.Key.Key_Up)
    assert field.text() == "42.0"
    assert taken.values == [pytest.approx(42.0 / 1.8 - 32.0 / 1.8)]


def test_undo_takes_back_typing_first_then_the_document(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    session.do(SetConditionFields("c1", "full", (("superheat_K", 7.0),)))
    field = temperature(qtbot, session, taken)
    QTest.keyClick(field, Qt.Key.Key_End)
    QTest.keyClicks(field, "3")
    assert field.text() == "5.03"
    QTest.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert field.text() == "5.0"
    assert session.job.circuits[0].conditions[0].superheat_K == 7.0
    QTest.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.job.circuits[0].conditions[0].superheat_K == 6.0


def test_the_windows_undo_works_from_an_unedited_field(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    heard: list[str] = []
    shortcut = QShortcut(QKeySequence(QKeySequence.StandardKey.Undo), field.window())
    shortcut.activated.connect(lambda: heard.append("undo"))
    QTest.keyClicks(field, "3")
    QTest.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert heard == []
    QTest.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert heard == ["undo"]


def test_saving_from_the_keyboard_commits_first(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    when_saved: list[list[float]] = []
    shortcut = QShortcut(QKeySequence(QKeySequence.StandardKey.Save), field.window())
    shortcut.activated.connect(lambda: when_saved.append(list(taken.values)))
    retype(field, "8")
    QTest.keyClick(field, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    assert when_saved == [[8.0]]


def test_a_window_can_bring_a_half_made_entry_to_its_end(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    assert commit_pending()
    retype(field, "8")
    assert commit_pending()
    assert taken.values == [8.0]
    retype(field, "x")
    assert not commit_pending()


def test_what_is_typed_outlives_a_refresh_but_not_another_value(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    retype(field, "oops")
    field.show_value(5.0)
    assert field.text() == "oops"
    leave(field)
    assert field.refused
    field.show_value(5.0)
    assert field.text() == "oops"
    field.show_value(6.0)
    assert (field.text(), field.reason) == ("6.0", "")


def test_a_released_field_commits_nothing(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    retype(field, "8")
    field.release()
    leave(field)
    assert taken.values == []


def test_the_wheel_never_changes_a_value(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    wheel = QWheelEvent(
        QPointF(5, 5), field.mapToGlobal(QPointF(5, 5)), QPoint(0, 0), QPoint(0, 120), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(field, wheel)
    assert taken.values == []
    assert not wheel.isAccepted()


def test_trouble_marks_the_stored_value_and_goes_with_it(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = temperature(qtbot, session, taken)
    field.show_trouble("There is no condensing up there.")
    assert field.reason == "There is no condensing up there."
    assert not field.refused
    field.show_trouble("")
    assert field.reason == ""


def test_a_gauge_pressure_counts_from_the_air_at_the_site(qtbot: QtBot) -> None:
    session, taken = a_session(), Taken()
    field = QuantityField(session, Kind.PRESSURE, "Design pressure", taken, "")
    on_bench(qtbot, session, field)
    field.show_value(24e5 + session.atmosphere_Pa)
    assert field.text() == "24.00"
    retype(field, "365.25 psia")
    enter(field)
    # 1 psi = 6894.757 Pa (NIST SP 811, from memory)
    assert taken.values == [pytest.approx(365.25 * 6894.757, rel=1e-6)]
