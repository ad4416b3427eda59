"""The line across the top: which job, saved or not, current or not, and the switch of the units."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.job import SetJobInfo
from linesizer.ui.header import Header
from linesizer.ui.session import Session
from tests.ui.opened import ABOVE, OFFSCREEN, session_over

pytestmark = OFFSCREEN


def header_over(qtbot: QtBot, session: Session) -> Header:
    header = Header(session)
    qtbot.addWidget(header, before_close_func=lambda _: session.close())
    header.resize(1200, 60)
    header.show()
    return header


def label(header: Header, name: str) -> str:
    return next(each.text() for each in header.findChildren(QLabel) if each.accessibleName() == name)


def button(header: Header, words: str) -> QPushButton:
    return next(each for each in header.findChildren(QPushButton) if each.text() == words)


def test_it_names_the_job_with_number_and_revision(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    header = header_over(qtbot, session)
    assert label(header, "Job") == session.job.info.title
    assert label(header, "About the job") == "remote condenser lines   TD-041   rev A"
    session.do(SetJobInfo((("title", ""), ("number", ""), ("revision", ""))))
    assert label(header, "Job") == "Untitled job"
    assert label(header, "About the job") == "remote condenser lines"


def test_it_says_saved_or_not_and_nothing_of_an_untouched_new_job(qtbot: QtBot, tmp_path: Path) -> None:
    session = session_over(ABOVE)
    header = header_over(qtbot, session)
    assert label(header, "State of the job") == "saved"
    session.do(SetJobInfo((("revision", "B"),)))
    assert label(header, "State of the job") == "not saved"
    session.document.save(tmp_path / "b.json")
    assert label(header, "State of the job") == "saved"
    session.document.new()
    assert label(header, "State of the job") == ""


def test_it_says_calculating_and_not_current(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    header = header_over(qtbot, session)
    session.busy.emit(True)
    assert "calculating" in label(header, "State of the job")
    session.busy.emit(False)
    assert "calculating" not in label(header, "State of the job")
    condition = session.job.circuits[0].conditions[0].id
    session.do(SetConditionFields("c1", condition, (("subcooling_K", 60.0),)))
    assert label(header, "State of the job") == "not saved   figures not current"
    session.document.undo()
    assert label(header, "State of the job") == "saved"


def test_the_switch_shows_and_sets_the_units_by_mouse_and_keyboard(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    header = header_over(qtbot, session)
    assert (button(header, "SI").isChecked(), button(header, "inch-pound").isChecked()) == (True, False)
    QTest.mouseClick(button(header, "inch-pound"), Qt.MouseButton.LeftButton)
    assert session.units == "ip"
    button(header, "SI").setFocus()
    QTest.keyClick(button(header, "SI"), Qt.Key.Key_Space)
    assert session.units == "si"
    session.use_units("ip")
    assert button(header, "inch-pound").isChecked()
    for words in ("SI", "inch-pound"):
        assert button(header, words).accessibleName() == f"Units: {words}"
        assert button(header, words).toolTip()


def test_the_chosen_units_stand_out_in_both_looks(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    header = header_over(qtbot, session)
    for look in ("dark", "light"):
        session.theme.choose(look)
        grounds = {}
        for words in ("SI", "inch-pound"):
            picture = button(header, words).grab().toImage()
            grounds[words] = picture.pixelColor(picture.width() // 2, 4).lightness()
        assert abs(grounds["SI"] - grounds["inch-pound"]) > 100
