"""From the empty window to two sized lines, by keyboard alone."""

from __future__ import annotations

from pathlib import Path

from pytestqt.qtbot import QtBot

from linesizer.domain.route import Service
from linesizer.storage.job_file import read
from tests.journeys.hands import ALT, CTRL, K, fill_in, focus, press, settled, sizes, tab_to, type_text
from tests.ui.opened import OFFSCREEN
from tests.ui.windows import window_over

pytestmark = OFFSCREEN

DUTY = (("Cooling", "60 kW"), ("Evaporating", "2"), ("Condensing", "45"), ("Superheat", "6"), ("Subcooling", "5"))
CONDENSER = (("Condenser, east", "4"), ("Condenser, north", "3"), ("Condenser, up", "6"))
GAS, LIQUID = ("U 6", "E 4", "N 2.5"), ("S 2", "W 4", "D 6")


def test_two_sized_lines_by_keyboard_alone(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = window_over(qtbot, tmp_path, None)
    session = window.session
    assert session.shown_job.circuits == ()

    # Three things begin a job.
    tab_to(window, "Refrigerant")
    press(window, K.Key_Space)
    type_text(window, "R134a")
    press(window, K.Key_Return)
    for name, text in (*DUTY, *CONDENSER):
        fill_in(window, name, text)
    tab_to(window, "Begin the job")
    press(window, K.Key_Space)
    (circuit,) = session.job.circuits
    assert circuit.refrigerant == "R134a"
    assert circuit.conditions[0].capacity_W == 60e3
    assert session.document.undo_label is not None

    # Both lines, typed on the sheet.
    for key, service, runs in ((K.Key_D, Service.DISCHARGE, GAS), (K.Key_L, Service.LIQUID, LIQUID)):
        press(window, K.Key_0, ALT)
        assert focus(window) is window.sheet
        press(window, K.Key_Escape)
        press(window, key)
        for run in runs:
            type_text(window, run)
            press(window, K.Key_Return)
            assert window.sheet.typed_line.error == ""
        press(window, K.Key_Escape)
        line = next(each for each in session.job.circuits[0].lines if each.service is service)
        assert len(line.legs) == 3

    # A size for each: the first that fits.
    for line in session.job.circuits[0].lines:
        press(window, K.Key_0, ALT)
        press(window, K.Key_Escape)
        for _ in range(7):
            if session.selection.line == line.id:
                break
            press(window, K.Key_Tab)
        assert (session.selection.line, focus(window)) == (line.id, window.sheet)
        settled(qtbot, window)
        press(window, K.Key_2, ALT)
        assert sizes(window).isAncestorOf(focus(window))
        tab_to(window, sizes(window).view.accessibleName())
        press(window, K.Key_Home)
        rows = sizes(window).model.rows
        for _ in range(next(index for index, row in enumerate(rows) if row.passes)):
            press(window, K.Key_Down)
        press(window, K.Key_Return)
        settled(qtbot, window)
    for line in session.job.circuits[0].lines:
        assert line.default_size is not None
        found = session.line_result(session.job.circuits[0].id, line.id)
        assert found is not None
        assert found.legs is not None
        assert found.flow is not None

    # Kept in a file of its own.
    answers.on_save = tmp_path / "new.json"
    press(window, K.Key_S, CTRL)
    assert answers.asked == ["save as"]
    assert answers.told == []
    assert read(answers.on_save).job == session.job
    assert not window.isWindowModified()
