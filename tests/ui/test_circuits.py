"""Several circuits in one window: which one is shown, how it is changed, and that every panel follows."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from linesizer.document.commands.circuit import DeleteCircuit, DuplicateCircuit, SetCircuitFields
from linesizer.document.commands.condition import DeleteCondition, SetConditionFields
from linesizer.drawing.display_list import Ink, Polyline, Target, Width
from linesizer.ui.main_window import MainWindow
from linesizer.ui.panels.charge_panel import ChargePanel
from linesizer.ui.panels.findings_panel import FindingsPanel
from linesizer.ui.panels.legs_panel import LegsPanel
from linesizer.ui.panels.oil_return_panel import OilReturnPanel
from linesizer.ui.panels.panel import Panel
from linesizer.ui.panels.profile_panel import ProfilePanel
from linesizer.ui.panels.sizes_panel import SizesPanel
from linesizer.ui.selection import NOTHING, Selection
from tests.ui.on_sheet import LEFT, key, node_pos, pos, sheet_over, type_run
from tests.ui.opened import ABOVE, OFFSCREEN, session_over, settled, shown
from tests.ui.windows import copy_of, window_over

pytestmark = OFFSCREEN


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> MainWindow:
    return window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))[0]


def action(window: MainWindow, name: str) -> QAction:
    found = window.findChild(QAction, name)
    assert found is not None
    return found


def titles(window: MainWindow) -> list[str]:
    return [circuit.title for circuit in window.session.job.circuits]


# The menu and its keys


def test_the_menu_adds_duplicates_names_and_deletes(window: MainWindow) -> None:
    assert not action(window, "next-circuit").isEnabled()
    assert not action(window, "delete-circuit").isEnabled()
    action(window, "duplicate-circuit").trigger()
    assert titles(window) == ["Circuit 1", "Circuit 2"]
    assert window.session.shown_circuit is window.session.job.circuits[1]
    action(window, "add-circuit").trigger()
    assert titles(window) == ["Circuit 1", "Circuit 2", "Circuit 3"]
    assert not any(line.legs for line in window.session.job.circuits[2].lines)
    action(window, "rename-circuit").trigger()
    field = QApplication.focusWidget()
    assert field is not None
    QTest.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(field, "Cellar")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert titles(window) == ["Circuit 1", "Circuit 2", "Cellar"]
    action(window, "delete-circuit").trigger()
    assert titles(window) == ["Circuit 1", "Circuit 2"]
    assert window.session.shown_circuit is window.session.job.circuits[1]
    assert window.session.document.undo_label == "delete circuit c3"


def test_keys_walk_the_circuits_in_a_ring(window: MainWindow) -> None:
    window.session.do(DuplicateCircuit("c1"))
    window.sheet.setFocus()
    walked = []
    for press in (Qt.Key.Key_PageDown, Qt.Key.Key_PageDown, Qt.Key.Key_PageUp):
        QTest.keyClick(window.sheet, press, Qt.KeyboardModifier.ControlModifier)
        shown_circuit = window.session.shown_circuit
        walked.append(None if shown_circuit is None else shown_circuit.id)
    assert walked == ["c2", "c1", "c2"]
    QTest.keyClick(window.sheet, Qt.Key.Key_C)
    assert window.session.shown_circuit is window.session.job.circuits[0]


def test_what_is_half_entered_goes_to_the_circuit_that_it_was_entered_for(window: MainWindow, qtbot: QtBot) -> None:
    window.session.do(DuplicateCircuit("c1"))
    field = window._job_panel.conditions.table.field("full", "capacity_W")
    field.setFocus()
    qtbot.waitUntil(field.hasFocus)
    QTest.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(field, "99")
    action(window, "next-circuit").trigger()
    assert [circuit.conditions[0].capacity_W for circuit in window.session.job.circuits] == [99e3, 105e3]
    assert field.text() == "105.0"


# Which one is shown


def test_nothing_selected_goes_on_showing_the_circuit(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.do(DuplicateCircuit("c1"))
    sheet.session.select(Selection("c2", "dis", "d2"))
    key(sheet, Qt.Key.Key_Escape)
    assert sheet.session.selection == NOTHING
    assert sheet.session.shown_circuit is sheet.session.job.circuits[1]
    sheet.session.do(DeleteCircuit("c2"))
    assert sheet.session.shown_circuit is sheet.session.job.circuits[0]


def test_a_click_on_a_quiet_circuit_shows_it_and_the_others_become_quiet(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.do(DuplicateCircuit("c1"))
    sheet.fit()

    def quiet() -> set[str]:
        return {
            item.target.circuit
            for item in sheet.scene().display.items
            if isinstance(item, Polyline) and item.width is Width.PIPE and item.ink is Ink.QUIET and item.target
        }

    assert quiet() == {"c2"}
    QTest.mouseClick(sheet, LEFT, pos=pos(sheet, sheet.scene().nodes[Target("c2", "dis", node="n4")]))
    assert sheet.session.selection == Selection("c2", "dis", node="n4")
    assert quiet() == {"c1"}
    assert node_pos(sheet, "n4") is not None


def test_the_sheet_names_the_circuits_and_a_click_on_one_shows_it(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    assert not sheet.circuit_words.isVisible()
    sheet.session.do(DuplicateCircuit("c1"))
    sheet.session.do(SetCircuitFields("c2", (("name", "Cellar"),)))
    chooser = sheet.circuit_words.chooser
    assert chooser is not None
    assert chooser.isVisible()
    assert [word.text() for word in chooser.words] == ["Circuit 1", "Cellar"]
    assert chooser.index == 0
    QTest.mouseClick(chooser.words[1], LEFT)
    assert sheet.session.selection == Selection("c2")
    assert chooser.index == 1
    sheet.session.document.undo()
    sheet.session.document.undo()
    assert not sheet.circuit_words.isVisible()


# Every panel follows


@pytest.mark.parametrize("kind", [SizesPanel, LegsPanel, ProfilePanel, OilReturnPanel, ChargePanel])
def test_a_panel_shows_the_circuit_and_says_which(qtbot: QtBot, kind: type[Panel]) -> None:
    panel = shown(qtbot, kind(session_over(ABOVE)), 700, 480)
    session = panel.session
    alone = panel.subtitle
    session.do(DuplicateCircuit("c1"))
    session.do(SetConditionFields("c2", "full", (("capacity_W", 60e3),)))
    settled(qtbot, session)
    first = panel.subtitle
    session.select(Selection("c2"))
    assert first.startswith("Circuit 1")
    assert panel.subtitle.startswith("Circuit 2")
    assert not panel.is_empty
    session.document.undo()
    session.document.undo()
    settled(qtbot, session)
    assert panel.subtitle == alone


def test_sizes_charge_and_legs_hold_the_figures_of_the_circuit_that_is_shown(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    sizes, charge, legs = SizesPanel(session), ChargePanel(session), LegsPanel(session)
    for panel in (sizes, charge, legs):
        shown(qtbot, panel)
    session.do(DuplicateCircuit("c1"))
    session.do(SetConditionFields("c2", "full", (("capacity_W", 60e3),)))
    settled(qtbot, session)

    def seen() -> tuple[list[str], str, list[str]]:
        rows = [repr(row) for row in sizes.model.rows]
        return rows, charge.head.text, [f"{entry.circuit} {entry.figures}" for entry in legs.model.entries]

    first = seen()
    session.select(Selection("c2"))
    second = seen()
    assert first[0] != second[0]
    assert first[2] != second[2]
    assert {entry.split()[0] for entry in second[2]} == {"c2"}
    session.select(Selection("c1"))
    assert seen() == first


def test_findings_of_both_circuits_stand_in_the_list_and_lead_to_their_own(qtbot: QtBot) -> None:
    panel = shown(qtbot, FindingsPanel(session_over(ABOVE)))
    session = panel.session
    session.do(DuplicateCircuit("c1"))
    settled(qtbot, session)
    found = {finding.circuit for finding in panel.model.findings}
    assert found == {"c1", "c2"}
    panel.model.fold(folded=False)
    row = next(i for i, each in enumerate(panel.model.findings) if each.circuit == "c2" and each.leg is not None)
    place = str(panel.model.data(panel.model.index(row), panel.model.data.__defaults__[0] + 258))  # type: ignore[index]
    assert place.startswith("Circuit 2")


def test_a_circuit_with_fewer_conditions_shows_its_last(qtbot: QtBot) -> None:
    panel = shown(qtbot, LegsPanel(session_over(ABOVE)), 700, 480)
    session = panel.session
    session.do(DuplicateCircuit("c1"))
    session.do(DeleteCondition("c2", "low"))
    settled(qtbot, session)
    session.choose_condition(1)
    assert "Lowest step, winter" in panel.subtitle
    session.select(Selection("c2"))
    assert "Full load, summer" in panel.subtitle
    session.select(Selection("c1"))
    assert "Lowest step, winter" in panel.subtitle


def test_a_circuit_whose_lines_wait_says_in_the_foot_how_they_begin(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.do(DuplicateCircuit("c1", lines=False))
    sheet.session.select(Selection("c2"))
    assert sheet.lesson.isHidden()
    assert sheet.typed_line.words == "press D to draw the discharge line from Indoor unit"
    key(sheet, Qt.Key.Key_D)
    type_run(sheet, "U 2")
    assert [len(line.legs) for line in sheet.session.job.circuits[1].lines] == [1, 0]
    assert [len(line.legs) for line in sheet.session.job.circuits[0].lines] == [4, 4]
