"""Files come in by menu, drop and the list of recent ones, change on the disk meanwhile, and cannot always be saved."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QLabel, QMenu
from pytestqt.qtbot import QtBot

from linesizer.storage.job_file import read
from linesizer.storage.journal import recoverable
from linesizer.ui.dialogs.questions import OnDisk, Unsaved
from linesizer.ui.file_acts import sample_path
from linesizer.ui.main_window import MainWindow
from tests.journeys.hands import ALT, CTRL, K, press, settled, type_text
from tests.ui.opened import ABOVE, BELOW, OFFSCREEN, TALL
from tests.ui.windows import copy_of, window_over

pytestmark = OFFSCREEN


def edit(window: MainWindow) -> None:
    """Make the first leg one size larger, by keyboard."""
    press(window, K.Key_0, ALT)
    press(window, K.Key_Escape)
    press(window, K.Key_Tab)
    press(window, K.Key_Up, CTRL)
    assert (window.session.document.undo_label or "").startswith("set size of d1")
    assert window.isWindowModified()


def drop(window: MainWindow, *paths: Path) -> bool:
    """Drop files on the window; whether it took them."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    copy, left, none = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(40, 40), copy, data, left, none)
    enter.ignore()
    QApplication.sendEvent(window, enter)
    if not enter.isAccepted():
        return False
    QApplication.sendEvent(window, QDropEvent(QPointF(40.0, 40.0), copy, data, left, none))
    return True


def title(window: MainWindow) -> str:
    return window.session.job.info.title


def test_a_dropped_file_is_opened_and_unsaved_work_asked_about_first(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    other = copy_of(TALL, tmp_path, "other.json")
    assert drop(window, other)
    assert window.session.document.path == other
    assert answers.asked == []
    edit(window)
    answers.on_unsaved = Unsaved.STAY
    assert drop(window, tmp_path / "job.json")
    assert window.session.document.path == other
    assert window.isWindowModified()
    assert answers.asked == [f"unsaved {title(window)}"]
    assert not drop(window, other, tmp_path / "job.json")


def test_a_dropped_file_that_is_no_job_says_why_and_keeps_what_is_open(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    before = window.session.job
    (tmp_path / "no.json").write_text("{")
    drop(window, tmp_path / "no.json")
    assert window.session.job is before
    assert len(answers.told) == 1
    assert "no.json" in answers.told[0].what


@pytest.mark.parametrize("answer", list(Unsaved))
def test_leaving_with_unsaved_work_asks_and_does_what_is_answered(
    qtbot: QtBot, tmp_path: Path, answer: Unsaved
) -> None:
    path = copy_of(ABOVE, tmp_path)
    opened = path.read_bytes()
    window, answers = window_over(qtbot, tmp_path, path)
    settled(qtbot, window)
    edit(window)
    drawn = window.session.job
    answers.on_unsaved = answer
    press(window, K.Key_Q, CTRL)
    assert answers.asked == [f"unsaved {title(window)}"]
    assert window.isVisible() is (answer is Unsaved.STAY)
    if answer is Unsaved.SAVE:
        assert read(path).job == drawn
    else:
        assert path.read_bytes() == opened
    if answer is not Unsaved.STAY:
        assert recoverable(tmp_path / "own") == []


def test_an_entry_that_is_still_being_typed_belongs_to_the_job_that_is_left(qtbot: QtBot, tmp_path: Path) -> None:
    path = copy_of(ABOVE, tmp_path)
    window, answers = window_over(qtbot, tmp_path, path)
    settled(qtbot, window)
    condition = window.session.job.circuits[0].conditions[0]
    table = window.docks["job"].panel.conditions.table  # type: ignore[attr-defined]  # the job panel
    table.field(condition.id, "condensing_C").setFocus()
    press(window, K.Key_A, CTRL)
    type_text(window, "47")
    answers.on_unsaved = Unsaved.SAVE
    window.close()
    assert answers.asked == [f"unsaved {title(window)}"]
    assert read(path).job.circuits[0].conditions[0].condensing_C == 47.0


@pytest.mark.parametrize("answer", list(OnDisk))
def test_a_file_changed_by_someone_else_is_noticed(qtbot: QtBot, tmp_path: Path, answer: OnDisk) -> None:
    path = copy_of(ABOVE, tmp_path)
    window, answers = window_over(qtbot, tmp_path, path)
    settled(qtbot, window)
    answers.on_changed = answer
    theirs = copy_of(BELOW, tmp_path, "theirs").read_bytes()
    path.write_bytes(theirs)
    qtbot.waitUntil(lambda: answers.asked == ["changed job.json unmodified"])
    their_job = read(path).job
    assert (window.session.job == their_job) is (answer is OnDisk.READ_AGAIN)
    if answer is OnDisk.KEEP_MINE:
        # What they wrote is not overwritten without a word.
        edit(window)
        press(window, K.Key_S, CTRL)
        assert "overwrite job.json" in answers.asked
        assert path.read_bytes() == theirs
        answers.on_overwrite = True
        press(window, K.Key_S, CTRL)
        assert read(path).job == window.session.job


def test_a_file_that_is_gone_is_said_and_saved_anew(qtbot: QtBot, tmp_path: Path) -> None:
    path = copy_of(ABOVE, tmp_path)
    opened = path.read_bytes()
    window, answers = window_over(qtbot, tmp_path, path)
    settled(qtbot, window)
    path.unlink()
    qtbot.waitUntil(lambda: "no longer there" in window.statusBar().findChild(QLabel).text())
    press(window, K.Key_S, CTRL)
    assert answers.told == []
    assert path.read_bytes() == opened


def test_recent_files_open_from_the_menu_newest_first(qtbot: QtBot, tmp_path: Path) -> None:
    first, second = copy_of(ABOVE, tmp_path, "first.json"), copy_of(TALL, tmp_path, "second.json")
    window, _ = window_over(qtbot, tmp_path, first)
    window.files.open(second)
    window.files.open(tmp_path / "not there.json")
    entries = recent(window)
    assert [Path(each.data()).name for each in entries] == ["second.json", "first.json"]
    entries[1].trigger()
    assert window.session.document.path == first
    assert [Path(each.data()).name for each in recent(window)] == ["first.json", "second.json"]
    second.unlink()
    assert [Path(each.data()).name for each in recent(window)] == ["first.json"]


def recent(window: MainWindow) -> list[QAction]:
    """Open the menu of recent files and return its entries."""
    menu = next(each for each in window.findChildren(QMenu) if each.title() == "Open &recent")
    menu.aboutToShow.emit()
    return menu.actions()


def test_the_sample_opens_as_a_copy_that_saving_asks_a_name_for(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = window_over(qtbot, tmp_path, None)
    before = sample_path().read_bytes()
    press(window, K.Key_1, ALT)
    action = window.findChild(QAction, "sample")
    assert action is not None
    action.trigger()
    settled(qtbot, window)
    assert window.session.document.path is None
    assert not window.isWindowModified()
    edit(window)
    answers.on_save = tmp_path / "mine.json"
    press(window, K.Key_S, CTRL)
    assert answers.asked == ["save as"]
    assert sample_path().read_bytes() == before
    assert read(tmp_path / "mine.json").job == window.session.job
    assert [Path(each.data()).name for each in recent(window)] == ["mine.json"]


def test_a_save_that_fails_keeps_everything(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = copy_of(ABOVE, tmp_path)
    opened = path.read_bytes()
    window, answers = window_over(qtbot, tmp_path, path)
    settled(qtbot, window)
    edit(window)
    drawn = window.session.job

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        # What root may do, no permission forbids; a full disk stops everyone.
        broken.setattr(os, "write", full)
        press(window, K.Key_S, CTRL)
    assert len(answers.told) == 1
    assert "No space left" in answers.told[0].why
    assert path.read_bytes() == opened
    assert window.session.job is drawn
    assert window.isWindowModified()
    assert (window.session.document.undo_label or "").startswith("set size of d1")
    # Leaving with "save" where saving fails does not leave.
    answers.on_unsaved = Unsaved.SAVE
    with monkeypatch.context() as broken:
        broken.setattr(os, "write", full)
        window.close()
    assert window.isVisible()
    press(window, K.Key_S, CTRL)
    assert read(path).job == drawn
