"""The dialog for a blend of one's own, under mouse and keyboard: what is entered, built, stopped, and handed over."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QWidget
from pytestqt.qtbot import QtBot

from linesizer.domain.blend import Blend, BlendBasis
from linesizer.errors import UserError
from linesizer.properties import own_blends
from linesizer.properties.blend_building import BlendBuild, BuildStoppedError
from linesizer.ui.dialogs.blend_dialog import BlendDialog
from linesizer.ui.dialogs.blend_progress import BuildingDialog
from linesizer.ui.dialogs.questions import Questions
from tests.own_blends import HALF, MILD, NAME, built
from tests.ui.fields.bench import POPUPS

pytestmark = POPUPS

LONG_ms = 30_000
K = Qt.Key


class Taken:
    """What the dialog has handed over; refuses where it is told to."""

    def __init__(self) -> None:
        self.blends: list[tuple[str, Blend]] = []
        self.refuse = False

    def __call__(self, name: str, blend: Blend) -> None:
        if self.refuse:
            raise UserError("TEST-01", what="Cannot.", why="It is too hot.", remedy="Cool it.")
        self.blends.append((name, blend))


@pytest.fixture
def taken() -> Taken:
    return Taken()


@pytest.fixture
def dialog(qtbot: QtBot, taken: Taken) -> BlendDialog:
    made = BlendDialog(taken, "si")
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(made)
    with qtbot.waitActive(made):
        made.show()
        made.activateWindow()
    return made


def click(widget: QWidget) -> None:
    QTest.mouseClick(widget, Qt.MouseButton.LeftButton)


def choose(box: QComboBox, words: str) -> None:
    """Choose with the arrow keys, as without opening the list."""
    box.setFocus()
    while box.currentText() != words:
        before = box.currentIndex()
        wanted = box.findText(words)
        QTest.keyClick(box, K.Key_Down if wanted > before else K.Key_Up)
        assert box.currentIndex() != before


def fill(dialog: BlendDialog, name: str = NAME, shares: tuple[tuple[str, str], ...] = ()) -> None:
    """Type a blend in, with the keyboard."""
    dialog.name.setFocus()
    QTest.keyClicks(dialog.name, name)
    for index, (component, share) in enumerate(shares or (("R134a", "0.9"), ("R227ea", "10 %"))):
        choose(dialog.components[index], component)
        dialog.fractions[index].setFocus()
        QTest.keyClicks(dialog.fractions[index], share)


def test_the_sum_follows_every_key_and_only_a_whole_can_be_built(dialog: BlendDialog) -> None:
    assert not dialog.build.isEnabled()
    assert "Enter a name" in dialog.told.text()
    fill(dialog, shares=(("R32", "0.5"), ("R125", "0.4")))
    assert dialog.sum.text() == "Sum 0.9"
    assert "sum to 0.9" in dialog.told.text()
    assert not dialog.build.isEnabled()
    QTest.keyClick(dialog.fractions[1], K.Key_Backspace)
    QTest.keyClick(dialog.fractions[1], K.Key_5)
    assert dialog.sum.text() == "Sum 1"
    assert dialog.told.text() == ""
    assert dialog.build.isEnabled()
    QTest.keyClick(dialog.fractions[1], K.Key_X)
    assert dialog.sum.text() == "Sum –"
    assert not dialog.build.isEnabled()


def test_tab_goes_from_the_name_through_the_components_to_the_buttons(dialog: BlendDialog) -> None:
    fill(dialog)
    dialog.name.setFocus()
    seen = []
    for _ in range(12):
        focus = QApplication.focusWidget()
        assert focus is not None
        seen.append(focus.accessibleName() or getattr(focus, "text", str)())
        QTest.keyClick(focus, K.Key_Tab)
    assert seen[:9] == [
        "Name",
        "Fractions by",
        "Component 1",
        "Fraction 1",
        "Component 2",
        "Fraction 2",
        "Another component",
        "Safety group",
        "GWP",
    ]
    assert "Build" in [word.replace("&", "") for word in seen]


def test_more_components_up_to_six(dialog: BlendDialog) -> None:
    for _ in range(4):
        assert dialog.more.isEnabled()
        click(dialog.more)
    assert len(dialog.components) == 6
    assert not dialog.more.isEnabled()
    fill(dialog, shares=tuple((name, "0.2") for name in ("R32", "R125", "R134a", "R1234yf", "R1234ze(E)")))
    assert dialog.sum.text() == "Sum 1"
    assert dialog.build.isEnabled()
    assert len(dialog.blend().composition) == 5


def test_basis_and_what_is_stated_become_part_of_the_blend(dialog: BlendDialog) -> None:
    fill(dialog)
    choose(dialog.basis, "by mole")
    choose(dialog.group, "A2L")
    QTest.keyClicks(dialog.gwp, "1500")
    QTest.keyClicks(dialog.limit, "250 g/m3")
    blend = dialog.blend()
    assert (blend.basis, blend.safety_group, blend.gwp, blend.rcl_kg_m3) == (BlendBasis.MOLE, "A2L", 1500.0, 0.25)


@pytest.mark.parametrize("name", ["R410A", "a b"])
def test_a_name_that_cannot_be_is_told_before_anything_is_built(name: str, dialog: BlendDialog) -> None:
    fill(dialog, name)
    assert not dialog.build.isEnabled()
    assert dialog.told.text() != ""


def test_a_taken_name_is_told(dialog: BlendDialog) -> None:
    built(NAME, HALF)
    fill(dialog)
    assert "R32/125 50/50" in dialog.told.text()
    assert not dialog.build.isEnabled()


def test_it_is_built_with_progress_while_the_window_lives_and_then_used(
    qtbot: QtBot, dialog: BlendDialog, taken: Taken
) -> None:
    fill(dialog)
    steps: list[int] = []
    beats: list[int] = []
    dialog.bar.valueChanged.connect(steps.append)
    heart = QTimer(interval=20)
    heart.timeout.connect(lambda: beats.append(1))
    heart.start()
    click(dialog.build)
    assert not dialog.build.isEnabled()
    assert not dialog.name.isEnabled()
    assert dialog.stop.isEnabled()
    qtbot.waitUntil(dialog.use.isEnabled, timeout=LONG_ms)
    heart.stop()
    assert steps == list(range(1, 9))
    assert len(beats) > 20  # the thread of the window was free meanwhile
    for words in ("not a shipped refrigerant", "uncertainty", "% in saturation pressure", "viscosity"):
        assert words in dialog.told.text()
    assert own_blends.table_of(NAME, MILD) is not None
    assert taken.blends == []
    click(dialog.use)
    assert taken.blends == [(NAME, MILD)]
    assert not dialog.isVisible()


def test_what_is_changed_after_building_has_to_be_built_again(qtbot: QtBot, dialog: BlendDialog) -> None:
    fill(dialog)
    click(dialog.build)
    qtbot.waitUntil(dialog.use.isEnabled, timeout=LONG_ms)
    QTest.keyClicks(dialog.name, "2")
    assert not dialog.use.isEnabled()
    assert dialog.build.isEnabled()


def test_a_job_that_cannot_take_it_says_why(qtbot: QtBot, dialog: BlendDialog, taken: Taken) -> None:
    taken.refuse = True
    fill(dialog)
    click(dialog.build)
    qtbot.waitUntil(dialog.use.isEnabled, timeout=LONG_ms)
    click(dialog.use)
    assert dialog.isVisible()
    assert dialog.told.text() == "Cannot. It is too hot. Cool it."


def test_stop_ends_it_and_leaves_nothing(qtbot: QtBot, dialog: BlendDialog, own_data_folder: Path) -> None:
    fill(dialog)
    click(dialog.build)
    click(dialog.stop)
    qtbot.waitUntil(dialog.build.isEnabled, timeout=LONG_ms)
    assert "stopped" in dialog.told.text()
    assert not dialog.stop.isEnabled()
    assert dialog.name.isEnabled()
    assert [path for path in own_data_folder.rglob("*") if path.is_file()] == []


def test_escape_ends_the_builder_too(qtbot: QtBot, dialog: BlendDialog, own_data_folder: Path) -> None:
    fill(dialog)
    click(dialog.build)
    QTest.keyClick(dialog, K.Key_Escape)
    assert not dialog.isVisible()
    assert not dialog._builder.busy
    qtbot.wait(100)
    assert [path for path in own_data_folder.rglob("*") if path.is_file()] == []


def test_a_blend_that_cannot_be_built_says_why(qtbot: QtBot, dialog: BlendDialog) -> None:
    fill(dialog, shares=(("R717", "0.5"), ("R744", "0.5")))
    click(dialog.build)
    qtbot.waitUntil(dialog.build.isEnabled, timeout=LONG_ms)
    assert "R717 with R744" in dialog.told.text()
    assert not dialog.use.isEnabled()


# What a job carries and the folder lacks


@pytest.fixture
def questions(qtbot: QtBot) -> Questions:
    parent = QWidget()
    qtbot.addWidget(parent)
    made = Questions(parent)
    made.kept = parent  # type: ignore[attr-defined]  # the bot holds it only weakly
    return made


def test_missing_blends_are_built_one_after_the_other(questions: Questions) -> None:
    assert questions.build(((NAME, MILD), ("Other", HALF)))
    assert {one.name for one in own_blends.stored()} == {NAME, "Other"}


def test_stop_ends_the_building_of_missing_blends(questions: Questions, own_data_folder: Path) -> None:
    said: list[str] = []

    def act() -> None:
        box = QApplication.activeModalWidget()
        if not isinstance(box, BuildingDialog) or not box.stage.text():
            QTimer.singleShot(10, act)
            return
        said.append(box.said.text())
        click(box.stop)
        assert not box._builder.busy
        said.append("ended")

    QTimer.singleShot(0, act)
    assert not questions.build(((NAME, MILD),))
    assert NAME in said[0]
    assert "not a shipped refrigerant" in said[0]
    assert said[-1] == "ended"
    assert [path for path in own_data_folder.rglob("*") if path.is_file()] == []


def test_what_keeps_a_missing_blend_from_being_built_is_told(
    questions: Questions, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[UserError] = []
    monkeypatch.setattr(questions, "tell", told.append)
    assert not questions.build(((NAME, Blend((("R717", 0.5), ("R744", 0.5)))),))
    assert [error.code for error in told] == ["PROP-13"]


def test_a_stopped_build_cannot_be_run_again() -> None:
    build = BlendBuild(NAME, MILD)
    build.stop()
    with pytest.raises(BuildStoppedError):
        build.run(lambda _done, _stage: None)
