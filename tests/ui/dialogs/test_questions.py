"""The questions as they stand on the screen: each button's answer, and Escape never does harm."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from linesizer.errors import UserError
from linesizer.ui.dialogs.questions import Lost, OnDisk, Questions, Unsaved
from tests.ui.opened import OFFSCREEN

pytestmark = OFFSCREEN

ESCAPE, RETURN = "Escape", "Return"
PATH = Path("some", "cellar.json")


class Person:
    """Answers the next box by a button's words, by Escape or by Return; keeps what the box said."""

    def __init__(self, answer: str) -> None:
        self.answer = answer
        self.text = ""
        QTimer.singleShot(0, self.act)

    def act(self) -> None:
        box = QApplication.activeModalWidget()
        if not isinstance(box, QMessageBox) or not box.isVisible():
            QTimer.singleShot(10, self.act)
            return
        self.text = f"{box.text()} {box.informativeText()}"
        if self.answer in (ESCAPE, RETURN):
            QTest.keyClick(box, Qt.Key.Key_Escape if self.answer == ESCAPE else Qt.Key.Key_Return)
            return
        button = next(each for each in box.buttons() if each.text().replace("&", "") == self.answer)
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)


@pytest.fixture
def questions(qtbot: QtBot) -> Questions:
    parent = QWidget()
    qtbot.addWidget(parent)
    made = Questions(parent)
    made.kept = parent  # type: ignore[attr-defined]  # the bot holds it only weakly
    return made


@pytest.mark.parametrize(
    ("answer", "expected"),
    [
        ("Save", Unsaved.SAVE),
        ("Discard", Unsaved.DISCARD),
        ("Cancel", Unsaved.STAY),
        (ESCAPE, Unsaved.STAY),
        (RETURN, Unsaved.SAVE),
    ],
)
def test_unsaved_work(questions: Questions, answer: str, expected: Unsaved) -> None:
    person = Person(answer)
    # Some desktops call it otherwise.
    if answer == "Discard":
        person.answer = _words(QMessageBox.StandardButton.Discard)
    assert questions.unsaved("Wharf Cold Store") is expected
    assert "Wharf Cold Store" in person.text


def _words(button: QMessageBox.StandardButton) -> str:
    box = QMessageBox()
    box.setStandardButtons(button)
    return box.button(button).text().replace("&", "")


@pytest.mark.parametrize(
    ("answer", "expected"),
    [("Read it again", OnDisk.READ_AGAIN), ("Keep what is open", OnDisk.KEEP_MINE), (ESCAPE, OnDisk.KEEP_MINE)],
)
@pytest.mark.parametrize("modified", [True, False])
def test_a_file_that_someone_else_changed(questions: Questions, answer: str, expected: OnDisk, modified: bool) -> None:
    person = Person(answer)
    assert questions.changed_on_disk(PATH, modified=modified) is expected
    assert "cellar.json" in person.text
    assert ("Your own unsaved changes would be gone" in person.text) is modified


@pytest.mark.parametrize(
    ("answer", "expected"), [("Overwrite it", True), ("Cancel", False), (ESCAPE, False), (RETURN, False)]
)
def test_overwriting_what_someone_else_wrote(questions: Questions, answer: str, expected: bool) -> None:
    Person(answer)
    assert questions.overwrite_changed(PATH) is expected


@pytest.mark.parametrize(
    ("answer", "expected"),
    [
        ("Bring it back", Lost.RECOVER),
        ("Throw it away", Lost.DISCARD),
        ("Ask again next time", Lost.LATER),
        (ESCAPE, Lost.LATER),
        (RETURN, Lost.RECOVER),
    ],
)
def test_work_that_was_cut_off(questions: Questions, answer: str, expected: Lost) -> None:
    person = Person(answer)
    reached = datetime(2026, 11, 24, 12, 0, tzinfo=UTC)
    assert questions.lost_work("cellar.json", reached, 1) is expected
    assert "cellar.json" in person.text
    assert "after 1 act." in person.text
    assert "November 2026" in person.text


def test_an_error_is_told_with_reason_and_remedy(questions: Questions) -> None:
    person = Person(RETURN)
    questions.tell(UserError("TEST-01", what="It was not saved.", why="The disk is full.", remedy="Make room."))
    assert person.text == "It was not saved. The disk is full.\n\nMake room."


@pytest.mark.parametrize(
    ("chosen", "expected"),
    [("/somewhere/job", Path("/somewhere/job.json")), ("/somewhere/job.txt", Path("/somewhere/job.txt")), ("", None)],
)
def test_a_name_without_an_ending_gets_one(
    questions: Questions, monkeypatch: pytest.MonkeyPatch, chosen: str, expected: Path | None
) -> None:
    answer: Callable[..., tuple[str, str]] = lambda *_: (chosen, "")  # noqa: E731
    monkeypatch.setattr("linesizer.ui.dialogs.questions.QFileDialog.getSaveFileName", answer)
    assert questions.save_path(Path("x.json")) == expected
