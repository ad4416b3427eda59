"""A blend of one's own in the window: built, used in one step, offered again, carried to another desk."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from linesizer import app
from linesizer.document.disk import digest
from linesizer.domain.job import JobInfo
from linesizer.properties import own_blends
from linesizer.storage.job_file import read
from linesizer.storage.journal import Journal, recoverable
from linesizer.ui.dialogs.blend_dialog import BlendDialog
from linesizer.ui.dialogs.questions import Lost, Questions
from linesizer.ui.main_window import MainWindow
from linesizer.ui.panels.job.refrigerant_choice import OwnRefrigerant
from linesizer.ui.panels.job_panel import JobPanel
from tests.journeys.hands import CTRL, K, fill_in, press, settled, tab_to, type_text
from tests.own_blends import HALF, MILD, NAME, built, job, written
from tests.ui.fields.bench import POPUPS
from tests.ui.opened import ABOVE
from tests.ui.panels.job_hands import choose
from tests.ui.windows import Answers, copy_of, window_over

pytestmark = POPUPS

LONG_ms = 30_000


def panel_of(window: MainWindow) -> JobPanel:
    panel = window.docks["job"].panel
    assert isinstance(panel, JobPanel)
    return panel


def asked_dialog(window: MainWindow, qtbot: QtBot) -> BlendDialog:
    qtbot.waitUntil(lambda: isinstance(QApplication.activeModalWidget(), BlendDialog))
    dialog = window.findChild(BlendDialog)
    assert dialog is not None
    QApplication.processEvents()
    return dialog


def build_by_keyboard(window: MainWindow, qtbot: QtBot) -> None:
    """Fill the dialog in with keys alone, build, and use what comes of it."""
    dialog = asked_dialog(window, qtbot)
    for widget, keys in (
        (dialog.name, NAME),
        (dialog.components[0], "R134"),
        (dialog.fractions[0], "0.9"),
        (dialog.components[1], "R227"),
        (dialog.fractions[1], "0.1"),
    ):
        while QApplication.focusWidget() is not widget:
            QTest.keyClick(QApplication.focusWidget() or dialog, K.Key_Tab)
        QTest.keyClicks(widget, keys)
    while QApplication.focusWidget() is not dialog.build:
        QTest.keyClick(QApplication.focusWidget() or dialog, K.Key_Tab)
    QTest.keyClick(dialog.build, K.Key_Space)
    qtbot.waitUntil(dialog.use.isEnabled, timeout=LONG_ms)
    assert QApplication.focusWidget() is dialog.use
    QTest.keyClick(dialog.use, K.Key_Space)


def test_a_blend_is_built_and_used_as_one_step_that_is_taken_back_and_saved(qtbot: QtBot, tmp_path: Path) -> None:
    path = copy_of(ABOVE, tmp_path)
    window, _ = window_over(qtbot, tmp_path, path)
    session, panel = window.session, panel_of(window)
    tab_to(window, "Blend of your own…")
    press(window, K.Key_Space)
    build_by_keyboard(window, qtbot)
    settled(qtbot, window)
    circuit = session.job.circuits[0]
    assert (circuit.refrigerant, circuit.blend) == (NAME, MILD)
    assert session.document.undo_label == f"change refrigerant to {NAME}"
    assert panel.unit.refrigerant.currentText() == f"{NAME}   own blend   R134a/227ea 90/10 by mass"
    assert "not a shipped refrigerant" in panel.unit.refrigerant.toolTip()
    assert panel.unit.summary(circuit).startswith(f"{NAME} (own blend)")
    found = session.circuit_result(circuit.id)
    assert found is not None
    assert "own_blend" in [finding.code for finding in found.findings]

    press(window, K.Key_Z, CTRL)
    settled(qtbot, window)
    assert (session.job.circuits[0].refrigerant, session.job.circuits[0].blend) == ("R134a", None)
    assert not window.isWindowModified()
    session.document.redo()
    press(window, K.Key_S, CTRL)
    saved = json.loads(path.read_text(encoding="utf-8"))["circuits"][0]
    assert saved["refrigerant"] == NAME
    assert saved["blend"] == {"basis": "mass", "composition": {"R134a": 0.9, "R227ea": 0.1}}
    assert read(path).job == session.job


def test_an_own_blend_is_chosen_from_the_list_and_a_shipped_one_after_it(qtbot: QtBot, tmp_path: Path) -> None:
    built()
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    session, field = window.session, panel_of(window).unit.refrigerant
    choose(field, OwnRefrigerant(NAME, MILD.key))
    assert (session.job.circuits[0].refrigerant, session.job.circuits[0].blend) == (NAME, MILD)
    choose(field, "R513A")
    assert (session.job.circuits[0].refrigerant, session.job.circuits[0].blend) == ("R513A", None)


def test_a_blend_that_the_job_cannot_run_with_is_refused_in_the_dialog(qtbot: QtBot, tmp_path: Path) -> None:
    """R744 with a little R32 has its critical point near 35 °C; the sample condenses at 50 °C."""
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    QTest.mouseClick(panel_of(window).unit.own_blend, Qt.MouseButton.LeftButton)
    dialog = asked_dialog(window, qtbot)
    QTest.keyClicks(dialog.name, "Cold")
    dialog.components[0].setCurrentText("R744")
    dialog.components[1].setCurrentText("R32")
    QTest.keyClicks(dialog.fractions[0], "0.9")
    QTest.keyClicks(dialog.fractions[1], "0.1")
    QTest.mouseClick(dialog.build, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(dialog.use.isEnabled, timeout=LONG_ms)
    QTest.mouseClick(dialog.use, Qt.MouseButton.LeftButton)
    assert dialog.isVisible()
    assert "critical" in dialog.told.text()
    assert window.session.job.circuits[0].refrigerant == "R134a"
    dialog.reject()


def test_a_new_job_begins_with_an_own_blend(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = window_over(qtbot, tmp_path, None)
    tab_to(window, "Blend of your own…")
    press(window, K.Key_Space)
    build_by_keyboard(window, qtbot)
    for name, text in (
        ("Cooling", "60 kW"),
        ("Evaporating", "2"),
        ("Condensing", "45"),
        ("Superheat", "6"),
        ("Subcooling", "5"),
        ("Condenser, east", "4"),
        ("Condenser, north", "3"),
        ("Condenser, up", "6"),
    ):
        fill_in(window, name, text)
    tab_to(window, "Begin the job")
    press(window, K.Key_Space)
    (circuit,) = window.session.job.circuits
    assert (circuit.refrigerant, circuit.blend) == (NAME, MILD)
    settled(qtbot, window)


def test_a_carried_job_is_opened_once_its_blend_is_built(qtbot: QtBot, tmp_path: Path) -> None:
    built(NAME, HALF)  # another composition of that name, which must not be taken
    path = written(tmp_path)
    window, answers = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path, "other.json"))
    before = window.session.job
    assert not window.files.open(path)
    assert answers.asked == [f"build {NAME}"]
    assert answers.told == []
    assert window.session.job is before
    answers.on_build = True
    assert window.files.open(path)
    settled(qtbot, window)
    assert window.session.job.circuits[0].blend == MILD
    assert own_blends.table_of(NAME, MILD) is not None
    assert window.session.document.path == path


def test_a_window_started_with_a_carried_job_builds_in_front_of_the_person(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[str] = []
    made: list[MainWindow] = []

    def build(self: Questions, blends: own_blends.OwnBlends) -> bool:
        made.extend(
            each for each in QApplication.topLevelWidgets() if isinstance(each, MainWindow) and each.isVisible()
        )
        seen.extend(name for name, _ in blends)
        for name, blend in blends:
            built(name, blend)
        return True

    monkeypatch.setenv("LINESIZER_FOLDER", str(tmp_path / "own"))
    monkeypatch.setattr(app, "display_is_there", lambda: True)
    monkeypatch.setattr(QApplication, "exec", lambda *_: 0)
    monkeypatch.setattr(Questions, "build", build)
    assert app.open_window(written(tmp_path), "light", "si") == 0
    assert seen == [NAME]
    (window,) = made
    qtbot.addWidget(window)
    assert window.session.job.circuits[0].blend == MILD
    window.files.questions = Answers()


def test_lost_work_with_a_blend_is_brought_back_once_it_is_built(qtbot: QtBot, tmp_path: Path) -> None:
    own = tmp_path / "own"
    path = written(tmp_path)
    journal = Journal.begin(own, path=path, file_digest=digest(path.read_bytes()))
    lost = replace(job(), info=JobInfo(title="Typed before the power failed"))
    journal.record(lost)
    journal._lock.release()  # as when the program is killed
    window, answers = window_over(qtbot, tmp_path, None)
    answers.on_lost = Lost.RECOVER
    window.files.offer_lost_work()
    assert answers.asked[-1] == f"build {NAME}"
    assert window.session.job.circuits == ()
    assert len(recoverable(own)) == 1  # asked again next time
    answers.on_build = True
    window.files.offer_lost_work()
    settled(qtbot, window)
    assert window.session.job == lost
    assert recoverable(own) == []


def test_a_blend_taken_away_meanwhile_stays_among_the_choices(qtbot: QtBot, tmp_path: Path) -> None:
    path = built().path
    window, _ = window_over(qtbot, tmp_path, written(tmp_path))
    settled(qtbot, window)
    own_blends.remove(path)
    fill_in(window, "Cooling, Full load, summer", "90")
    press(window, K.Key_Return)
    settled(qtbot, window)
    assert window.session.job.circuits[0].conditions[0].capacity_W == 90e3
    assert panel_of(window).unit.refrigerant.currentText().startswith(NAME)


def test_typing_a_name_reaches_the_own_blend_in_the_list(qtbot: QtBot, tmp_path: Path) -> None:
    built()
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    tab_to(window, "Refrigerant")
    press(window, K.Key_Space)
    type_text(window, NAME)
    press(window, K.Key_Return)
    assert window.session.job.circuits[0].refrigerant == NAME
