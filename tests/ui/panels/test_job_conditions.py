"""The table of conditions under a person's hands: entries, refusals, trouble, whole conditions."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import DuplicateCondition, SetConditionFields
from linesizer.domain.condition import SubcoolingAt
from linesizer.errors import UserError
from linesizer.evaluate import solve
from linesizer.storage.job_file import read
from linesizer.ui.fields.choice import ChoiceField
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.panels.job.trouble import troubled_fields
from linesizer.ui.panels.job_panel import JobPanel
from linesizer.units import Kind, display
from tests.ui.fields.bench import POPUPS, enter, retype
from tests.ui.opened import ABOVE, SAMPLES, settled
from tests.ui.panels.job_hands import cell, choose, circuit, click, condition, opened, put

pytestmark = POPUPS


def test_the_table_shows_what_the_job_states_and_what_follows_from_it(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    table = panel.conditions.table
    assert [cell(panel, name, "capacity_W").text() for name in ("full", "low")] == ["105.0", "26.0"]
    assert table.labels()[:3] == ("Cooling, kW", "Evaporating, °C", "Condensing, °C")
    found = panel.session.circuit_result("c1")
    assert found is not None
    air = panel.session.atmosphere_Pa
    for index, name in enumerate(("full", "low")):
        cycle = found.conditions
        assert table.figures(name) == (
            display(Kind.MASS_FLOW, cycle.mass_flow_kg_s[index], "si"),
            display(Kind.TEMPERATURE, cycle.discharge_C[index], "si"),
            display(Kind.PRESSURE, cycle.discharge_Pa[index], "si", atmosphere_Pa=air),
            display(Kind.HEAT_FLOW, cycle.heat_rejection_W[index], "si"),
            display(Kind.POWER, cycle.compressor_W[index], "si"),
        )


def test_an_entry_is_one_named_step_and_the_figures_follow(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    before, job = panel.conditions.table.figures("full"), panel.session.job
    put(cell(panel, "full", "capacity_W"), "40 tons")
    settled(qtbot, panel.session)
    # 1 ton of refrigeration = 12,000 Btu/h = 3516.853 W (NIST SP 811, from memory)
    assert condition(panel, "full").capacity_W == pytest.approx(40 * 3516.853, rel=1e-6)
    assert panel.session.document.undo_label == "change capacity of condition full"
    assert cell(panel, "full", "capacity_W").text() == "140.7"
    assert panel.conditions.table.figures("full") != before
    assert panel.conditions.table.stale == ""
    panel.session.document.undo()
    assert panel.session.job is job
    assert cell(panel, "full", "capacity_W").text() == "105.0"


def test_arrow_keys_make_one_step_of_a_row(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    job, field = panel.session.job, cell(panel, "low", "condensing_C")
    field.setFocus()
    for _ in range(4):
        QTest.keyClick(field, Qt.Key.Key_Up)
    assert condition(panel, "low").condensing_C == 32.0
    panel.session.document.undo()
    assert panel.session.job is job


def test_a_temperature_above_the_critical_one_is_refused_where_it_stands(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    table, job = panel.conditions.table, panel.session.job
    height = table.heightForWidth(table.width())
    put(cell(panel, "full", "condensing_C"), "110")
    field = cell(panel, "full", "condensing_C")
    assert field.text() == "110"
    assert "the range in which R134a is calculated" in field.reason
    assert panel.session.job is job
    assert "not current" in table.stale
    assert "–" not in table.figures("full"), "the last good figures stay"
    assert table.heightForWidth(table.width()) > height, "the reason stands beneath its row"
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert (field.text(), field.reason, table.stale) == ("50.0", "", "")


def test_trouble_of_the_calculation_marks_the_value_that_causes_it(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    figures = panel.conditions.table.figures("low")
    panel.session.do(SetConditionFields("c1", "low", (("bypass", 0.95),)))
    qtbot.waitUntil(lambda: panel.session.trouble is not None)
    field = cell(panel, "low", "bypass")
    assert "hot gas takes all the cooling" in field.reason
    assert not field.refused
    assert field.isVisible(), "a row that holds something unusual is shown though it folds"
    assert panel.conditions.table.stale == "not current"
    assert panel.conditions.table.figures("low") == figures
    assert panel.stale_note.isVisible()
    put(field, "0.05")
    settled(qtbot, panel.session)
    assert cell(panel, "low", "bypass").reason == ""
    assert panel.conditions.table.stale == ""


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ((("subcooling_K", 60.0), ("condensing_C", -8.0), ("evaporating_C", -40.0)), "subcooling_K"),
        ((("isentropic_efficiency", 0.05),), "isentropic_efficiency"),
        ((("superheat_K", 100.0), ("suction_heat_K", 100.0)), "superheat_K"),
        ((("discharge_C", 299.0),), "discharge_C"),
    ],
)
def test_every_kind_of_trouble_finds_its_field(qtbot: QtBot, changes: tuple[tuple[str, float], ...], key: str) -> None:
    panel = opened(qtbot)
    panel.session.do(SetConditionFields("c1", "full", changes))
    qtbot.waitUntil(lambda: panel.session.trouble is not None)
    marked = {name for name, field in _column(panel, "full").items() if field.reason}
    assert key in marked, panel.session.trouble
    assert not any(field.reason for field in _column(panel, "low").values())


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"condensing_C": 120.0}, "condensing_C"),
        ({"evaporating_C": -100.0}, "evaporating_C"),
        ({"evaporating_C": None, "leaving_fluid_C": -95.0, "approach_K": 5.0}, "leaving_fluid_C"),
        ({"evaporating_C": None}, "leaving_fluid_C"),
    ],
)
def test_trouble_that_only_a_stranger_can_bring_finds_its_field_too(changes: dict[str, float], key: str) -> None:
    """The document refuses such values; a calculation asked for by others has to be understood all the same."""
    job = read(SAMPLES / f"{ABOVE}.json").job
    whole = job.circuits[0]
    odd = replace(whole.conditions[0], **changes)
    circuit = replace(whole, conditions=(odd, *whole.conditions[1:]))
    with pytest.raises(UserError) as caught:
        solve(replace(job, circuits=(circuit,)))
    found = troubled_fields(circuit, caught.value)
    assert list(found) == [("full", key)]
    assert found["full", key] == caught.value.why


def _column(panel: JobPanel, name: str) -> dict[str, QuantityField | ChoiceField]:
    table = panel.conditions.table
    return next(column.fields for column in table._columns if column.condition == name)


def test_a_leaving_fluid_takes_the_place_of_the_evaporating_temperature_and_back(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    click(panel.conditions.more)
    put(cell(panel, "full", "leaving_fluid_C"), "7")
    full = condition(panel, "full")
    assert (full.evaporating_C, full.leaving_fluid_C, full.approach_K) == (None, 7.0, 5.0)
    assert cell(panel, "full", "evaporating_C").placeholderText() == "2.0"
    put(cell(panel, "full", "approach_K"), "4")
    assert cell(panel, "full", "evaporating_C").placeholderText() == "3.0"
    put(cell(panel, "full", "evaporating_C"), "1")
    full = condition(panel, "full")
    assert (full.evaporating_C, full.leaving_fluid_C, full.approach_K) == (1.0, None, None)
    put(cell(panel, "full", "leaving_fluid_C"), "-5")
    assert "colder than the refrigerant boils" in cell(panel, "full", "leaving_fluid_C").reason
    put(cell(panel, "low", "approach_K"), "6")
    assert condition(panel, "low").leaving_fluid_C == 8.0
    field = cell(panel, "low", "leaving_fluid_C")
    field.setFocus()
    field.selectAll()
    QTest.keyClick(field, Qt.Key.Key_Delete)
    enter(field)
    assert condition(panel, "low").evaporating_C == 2.0


def test_rarely_used_rows_fold_but_never_hide_what_counts(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    labels = panel.conditions.table.labels()
    assert "Hours a year, h" in labels, "the sample states hours"
    assert "Hot-gas bypass" not in labels
    click(panel.conditions.more)
    assert "Hot-gas bypass" in panel.conditions.table.labels()
    where = panel.conditions.table.field("low", "subcooling_at")
    assert isinstance(where, ChoiceField)
    choose(where, SubcoolingAt.LIQUID_LINE)
    click(panel.conditions.more)
    assert "Hot-gas bypass" not in panel.conditions.table.labels()
    assert "Subcooled at" in panel.conditions.table.labels()


def test_a_click_on_a_head_chooses_its_condition(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    with qtbot.waitSignal(panel.session.condition_chosen):
        click(panel.conditions.table.head("low"))
    assert panel.session.condition == 1
    assert panel.conditions.table.head("low").isChecked()
    assert not panel.conditions.table.head("full").isChecked()
    assert "chosen" in panel.conditions.table.head("low").accessibleName()


def test_conditions_are_added_duplicated_renamed_and_deleted(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    click(panel.conditions.duplicate)
    assert [item.id for item in circuit(panel).conditions] == ["full", "full2", "low"]
    assert panel.session.condition == 1
    assert cell(panel, "full2", "capacity_W").text() == "105.0"
    click(panel.conditions.rename)
    name = panel.focusWidget()
    assert isinstance(name, QLineEdit)
    retype(name, "Half load")
    enter(name)
    assert condition(panel, "full2").name == "Half load"
    assert panel.conditions.table.head("full2").text() == "Half load"
    click(panel.conditions.add)
    added = circuit(panel).conditions[-1]
    assert added.name == "Condition 4"
    assert (added.capacity_W, added.ambient_C, added.hours_per_year) == (105000.0, None, None)
    for _ in range(3):
        click(panel.conditions.delete)
    assert len(circuit(panel).conditions) == 1
    assert not panel.conditions.delete.isEnabled()
    while panel.session.document.undo():
        pass
    assert [item.id for item in circuit(panel).conditions] == ["full", "low"]
    assert cell(panel, "low", "capacity_W").text() == "26.0"


def test_escape_drops_a_new_name(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    head = panel.conditions.table.head("full")
    head.setFocus()
    QTest.keyClick(head, Qt.Key.Key_F2)
    name = panel.focusWidget()
    retype(name, "Other")
    QTest.keyClick(name, Qt.Key.Key_Escape)
    assert condition(panel, "full").name == "Full load, summer"
    assert panel.session.document.undo_label is None


def test_many_conditions_scroll_beneath_their_labels(qtbot: QtBot) -> None:
    panel = opened(qtbot, width=280)
    for _ in range(6):
        panel.session.do(DuplicateCondition("c1", "low"))
    last = circuit(panel).conditions[-1].id
    table = panel.conditions.table
    head = table.head(last)
    assert head.geometry().left() > table.width(), "it begins beyond the edge"
    cell(panel, last, "superheat_K").setFocus()
    assert head.geometry().right() <= table._cells.width()
