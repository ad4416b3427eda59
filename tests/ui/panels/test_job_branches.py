"""The job panel over several condensers and several circuits."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QWidget
from pytestqt.qtbot import QtBot

from linesizer.document.commands.circuit import DuplicateCircuit
from linesizer.document.commands.draw import DrawLeg
from linesizer.document.commands.line import TieEnd
from linesizer.document.commands.parallel import AddAnother, RunLinesTo
from linesizer.document.direction import Direction
from linesizer.domain.equipment import Role
from linesizer.domain.route import LineEnd
from linesizer.ui.fields.choice import ChoiceField
from tests.ui.fields.bench import POPUPS
from tests.ui.panels.job_hands import cell, choose, circuit, click, machine, opened, put

pytestmark = POPUPS


def button(form: QWidget, words: str) -> QAbstractButton:
    return next(each for each in form.findChildren(QAbstractButton) if each.text() == words)


def test_a_second_condenser_is_like_the_first_and_lines_are_run_to_it(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.equipment.folds["cond"].open()
    assert not button(panel.equipment.forms["cond"], "Run lines to it").isVisible()
    action = next(each for each in panel.equipment.menu.actions() if each.data() == Role.CONDENSER.value)
    action.trigger()
    first, second = machine(panel, "cond"), machine(panel, "cond2")
    assert (second.name, second.volume_m3, second.drop_Pa) == ("Loft condenser 2", first.volume_m3, first.drop_Pa)
    assert panel.session.document.undo_label == "add another like cond"
    assert panel.session.selection.equipment == "cond2"
    run = button(panel.equipment.forms["cond2"], "Run lines to it")
    run.setFocus()
    QTest.keyClick(run, Qt.Key.Key_Space)
    assert {line.id: len(line.legs) for line in circuit(panel).lines} == {"dis": 6, "liq": 6}
    assert not run.isVisible()
    panel.session.document.undo()
    assert {line.id: len(line.legs) for line in circuit(panel).lines} == {"dis": 4, "liq": 4}
    assert run.isVisible()


def test_each_end_of_a_line_says_where_it_belongs_and_is_tied_by_keys(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.session.do(AddAnother("c1", "cond"))
    panel.session.do(RunLinesTo("c1", "cond2"))
    panel.lines.folds["dis"].open()
    form = panel.lines.forms["dis"]
    assert [(field.name, field.currentText()) for key, field in form.fields.items() if key.startswith("n")] == [
        ("From, at n1", "Indoor unit   discharge"),
        ("To, at n7", "Loft condenser 2   inlet"),
        ("To, at n5", "Loft condenser   inlet"),
    ]
    end = form.fields["n7"]
    assert isinstance(end, ChoiceField)
    assert [choice.value for choice in end.choices] == [
        None,
        *("cond:inlet", "cond:outlet", "cond", "cond2:inlet", "cond2:outlet", "cond2"),
    ]
    choose(end, "cond2")
    assert circuit(panel).lines[0].ends[-1] == LineEnd("n7", "cond2")
    assert panel.session.document.undo_label == "tie n7 to cond2"
    choose(end, None)
    assert panel.session.document.undo_label == "untie n7"
    assert end.currentText() == "by order   taken as Loft condenser 2"
    panel.session.document.undo()
    panel.session.document.undo()
    assert end.value == "cond2:inlet"


def test_an_end_that_states_a_port_of_its_own_keeps_it_in_the_list(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.session.do(TieEnd("c1", "dis", "n5", "cond", "header 2"))
    panel.lines.folds["dis"].open()
    end = panel.lines.forms["dis"].fields["n5"]
    assert isinstance(end, ChoiceField)
    assert end.currentText() == "Loft condenser   header 2"


def test_ends_come_and_go_with_the_legs(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.lines.folds["dis"].open()
    form = panel.lines.forms["dis"]
    panel.session.do(DrawLeg("c1", "dis", "n3", Direction.SOUTH, 1.0))
    assert [key for key in form.fields if key.startswith("n")] == ["n1", "n6", "n5"]
    end = form.fields["n6"]
    assert isinstance(end, ChoiceField)
    assert end.currentText() == "by order   tied to nothing"
    panel.session.document.undo()
    assert [key for key in form.fields if key.startswith("n")] == ["n1", "n5"]


def test_a_circuit_is_duplicated_renamed_and_deleted(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    assert not panel.unit.delete.isEnabled()
    click(button(panel.unit, "Duplicate"))
    assert [item.name for item in panel.session.job.circuits] == ["Circuit 1", "Circuit 2"]
    assert panel.session.shown_circuit == panel.session.job.circuits[1]
    assert panel.circuits.value == "c2"
    assert panel.subtitle == "Circuit 2"
    put(panel.unit.fields["name"], "Bank B")
    assert [item.name for item in panel.session.job.circuits] == ["Circuit 1", "Bank B"]
    assert panel.circuits.currentText().startswith("Bank B")
    click(panel.unit.delete)
    assert [item.name for item in panel.session.job.circuits] == ["Circuit 1"]
    assert panel.session.document.undo_label == "delete circuit c2"
    assert not panel.circuits.isVisible()
    click(button(panel.unit, "Add circuit"))
    assert [len(line.legs) for line in panel.session.job.circuits[1].lines] == [0, 0]
    assert panel.lines.folds["dis"].head.summary == "no legs yet"


def test_what_could_not_be_taken_is_not_carried_into_the_next_circuit(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.session.do(DuplicateCircuit("c1"))
    capacity = cell(panel, "full", "capacity_W")
    put(capacity, "many")
    assert capacity.reason
    choose(panel.circuits, "c2")
    assert (capacity.reason, capacity.text()) == ("", "105.0")
    assert [item.conditions[0].capacity_W for item in panel.session.job.circuits] == [105e3, 105e3]
