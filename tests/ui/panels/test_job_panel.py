"""The job panel under a person's hands: every edit one named step, every error where it stands."""

from __future__ import annotations

import gc
import weakref
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from linesizer.document.commands.circuit import StartCircuit
from linesizer.document.commands.condition import DuplicateCondition, SetConditionFields
from linesizer.document.commands.job import SetPracticeOverride, SetSite
from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition, SubcoolingAt
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.route import Service
from linesizer.ui.fields.choice import ChoiceField
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.tab_order import in_order
from linesizer.ui.panels.job_panel import JobPanel
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.units import Kind, display
from tests.ui.fields.bench import POPUPS, enter, leave, pick, retype
from tests.ui.opened import ABOVE, BELOW, double_text, session_over, settled, shown

pytestmark = POPUPS


def opened(qtbot: QtBot, sample: str | None = ABOVE, width: int = 320, memory: PanelMemory | None = None) -> JobPanel:
    return shown(qtbot, JobPanel(session_over(sample), memory=memory), width, 900)


def circuit(panel: JobPanel) -> Circuit:
    return panel.session.job.circuits[0]


def condition(panel: JobPanel, name: str) -> Condition:
    return next(item for item in circuit(panel).conditions if item.id == name)


def machine(panel: JobPanel, name: str) -> Equipment:
    return next(item for item in circuit(panel).equipment if item.id == name)


def cell(panel: JobPanel, name: str, key: str) -> QuantityField:
    found = panel.conditions.table.field(name, key)
    assert isinstance(found, QuantityField)
    return found


def put(field: QWidget, text: str) -> None:
    field.setFocus()
    retype(field, text)
    enter(field)


def click(widget: QWidget) -> None:
    QTest.mouseClick(widget, Qt.MouseButton.LeftButton)


def choose(field: ChoiceField, value: object) -> None:
    """Choose from the list by the keyboard."""
    field.setFocus()
    wanted = next(index for index, choice in enumerate(field.choices) if choice.value == value)
    pick(field, wanted)


# Conditions


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


# The other sections


def test_the_refrigerant_changes_with_its_facts_or_says_why_not(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    field = panel.unit.refrigerant
    assert field.currentText() == "R134a   A1   GWP 1,430"
    choose(field, "R513A")
    assert circuit(panel).refrigerant == "R513A"
    assert panel.session.document.undo_label == "change refrigerant to R513A"
    assert "R513A" in field.toolTip()
    choose(field, "R744")
    assert circuit(panel).refrigerant == "R513A"
    assert "critical" in field.reason
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert (field.reason, field.value) == ("", "R513A")


def test_the_practice_default_of_the_oil_film_stands_quietly_in_its_field(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    assert (panel.unit.film.text(), panel.unit.film.placeholderText()) == ("", "950.0")
    panel.session.do(SetPracticeOverride("oil_film_density_kg_m3", 880.0))
    assert panel.unit.film.placeholderText() == "880.0"
    put(panel.unit.film, "900")
    assert circuit(panel).film_density_kg_m3 == 900.0


def test_the_unit_says_what_it_arrives_with(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    assert panel.unit.arrives._note == "nitrogen"
    put(panel.unit.arrives, "2 lb")
    # 1 lb = 0.45359237 kg exactly
    assert machine(panel, "unit").holds_kg == pytest.approx(2 * 0.45359237)
    assert panel.unit.arrives._note == ""


def test_fields_of_the_compressor_and_the_head_pressure_are_written(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    fields = panel.unit.fields
    put(fields["isentropic_efficiency"], "70 %")
    assert circuit(panel).compressor.isentropic_efficiency == pytest.approx(0.7)
    put(fields["minimum_condensing_C"], "28")
    assert circuit(panel).head_pressure_control.minimum_condensing_C == 28.0
    put(fields["oil"], "PVE")
    assert circuit(panel).oil == "PVE"


def test_equipment_opens_selects_and_is_moved_with_its_lines(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    fold = panel.equipment.folds["cond"]
    assert fold.head.summary == "28 L, outdoors"
    click(fold.head)
    assert panel.session.selection == Selection("c1", equipment="cond")
    form = panel.equipment.forms["cond"]
    put(form.fields["2"], "10")
    assert machine(panel, "cond").at_m == (6.5, 4.0, 10.0)
    assert panel.session.document.undo_label == "move cond"
    put(form.fields["volume_m3"], "1 ft3")
    assert fold.head.summary == "28.32 L, outdoors"
    put(form.fields["name"], "Roof condenser")
    assert fold.head.text() == "Roof condenser"
    choose(form.fields["place"], "plant")  # type: ignore[arg-type]
    assert machine(panel, "cond").place == "plant"
    assert "operating_fill" not in [key for key, field in form.fields.items() if field.isVisible()]


def test_equipment_comes_and_goes(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    receiver = next(action for action in panel.equipment.menu.actions() if action.data() == Role.RECEIVER.value)
    receiver.trigger()
    assert [item.role for item in circuit(panel).equipment] == [Role.UNIT, Role.CONDENSER, Role.RECEIVER]
    form = panel.equipment.forms["rec"]
    assert panel.equipment.folds["rec"].is_open
    assert form.fields["operating_fill"].isVisible()
    assert not form.fields["design_td_K"].isVisible()
    delete = next(button for button in form.findChildren(QAbstractButton) if button.text() == "Delete")
    click(delete)
    assert [item.id for item in circuit(panel).equipment] == ["unit", "cond"]
    assert list(panel.equipment.folds) == ["unit", "cond"]


def test_shares_of_the_condensers_always_make_one(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    condenser = next(action for action in panel.equipment.menu.actions() if action.data() == Role.CONDENSER.value)
    condenser.trigger()
    condenser.trigger()
    names = [item.id for item in circuit(panel).equipment if item.role is Role.CONDENSER]
    share = panel.equipment.forms[names[-1]].fields["share"]
    assert share.isVisible()
    put(share, "1.2")
    assert "outside what is allowed" in share.reason
    put(share, "40 %")
    assert [machine(panel, name).share for name in names] == pytest.approx([0.3, 0.3, 0.4])
    panel.equipment.folds[names[0]].open()
    put(panel.equipment.forms[names[0]].fields["share"], "0.5")
    assert sum(machine(panel, name).share or 0.0 for name in names) == pytest.approx(1.0)
    assert machine(panel, names[2]).share == pytest.approx(0.5 * 0.4 / 0.7)


def test_lines_are_added_rebuilt_and_deleted(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    assert panel.lines.folds["dis"].head.summary == "1-5/8, 17.8 m"
    click(panel.lines.folds["liq"].head)
    assert panel.session.selection == Selection("c1", "liq")
    form = panel.lines.forms["liq"]
    choose(form.fields["tube"], "EN-12735-1")  # type: ignore[arg-type]
    assert next(line for line in circuit(panel).lines if line.id == "liq").tube == "EN-12735-1"
    drain = next(action for action in panel.lines.menu.actions() if action.data() == Service.DRAIN.value)
    drain.trigger()
    assert [line.id for line in circuit(panel).lines] == ["dis", "liq", "drain"]
    assert panel.lines.folds["drain"].head.summary == "no legs yet"
    assert panel.session.selection.line == "drain"


def test_a_listed_rating_is_a_gauge_pressure_at_any_altitude(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.session.do(SetSite((("altitude_m", 2000.0),)))
    panel.lines.folds["dis"].open()
    form = panel.lines.forms["dis"]
    more = next(button for button in form.findChildren(QAbstractButton) if button.text() == "More")
    click(more)
    put(form.fields["listed_rating_Pa"], "40 bar")
    assert circuit(panel).lines[0].listed_rating_Pa == pytest.approx(40e5)
    assert form.fields["listed_rating_Pa"].text() == "40.00"  # type: ignore[union-attr]
    panel.session.do(SetSite((("altitude_m", 0.0),)))
    assert form.fields["listed_rating_Pa"].text() == "40.00"  # type: ignore[union-attr]


def test_the_site_and_its_rooms_are_written(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.folds["site"].open()
    put(panel.site.form.fields["altitude_m"], "1000 ft")
    assert panel.session.job.site.altitude_m == pytest.approx(304.8)
    put(panel.site.form.fields["electricity_price_kWh"], "0,21")
    assert panel.session.job.site.electricity_price_kWh == 0.21
    panel.site.rooms.folds["plant"].open()
    room = panel.site.rooms.forms["plant"]
    assert room.fields["volume_m3"].text() == "90"  # type: ignore[union-attr]
    put(room.fields["volume_m3"], "120")
    assert panel.session.job.site.rooms[0].volume_m3 == 120.0
    click(room.fields["occupied"])
    assert panel.session.job.site.rooms[0].occupied
    refused: list[object] = []
    panel.session.refused.connect(refused.append)
    click(next(button for button in room.findChildren(QAbstractButton) if button.text() == "Delete"))
    assert refused, "equipment stands in it"
    click(next(button for button in panel.site.rooms.acts.findChildren(QAbstractButton)))
    assert [item.name for item in panel.session.job.site.rooms] == ["Plant room", "Room 2"]


def test_the_practice_shows_what_the_job_changed_and_takes_it_back(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.folds["practice"].open()
    assert panel.folds["practice"].head.summary == "general"
    choose(panel.practice.rules, "discharge_penalty_K")
    row = panel.practice.overrides["discharge_penalty_K"]
    assert panel.session.document.undo_label is None, "choosing a rule alone changes nothing"
    put(row.field, "1.44 F")
    assert dict(panel.session.job.practice.overrides) == {"discharge_penalty_K": pytest.approx(0.8)}
    assert panel.folds["practice"].head.summary == "general, 1 value changed"
    assert "general: 1.00 K." in row.source.text
    assert "ASHRAE" in row.source.text
    put(row.field, "50")
    assert "outside what is allowed" in row.field.reason
    click(row.reset)
    assert panel.session.job.practice.overrides == ()
    assert panel.practice.overrides == {}


def test_ranges_and_bands_of_rules_are_typed_as_words(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.folds["practice"].open()
    choose(panel.practice.rules, "suction_velocity_range_m_s")
    put(panel.practice.overrides["suction_velocity_range_m_s"].field, "5 to 18,5")
    choose(panel.practice.rules, "support_spacing_m")
    put(panel.practice.overrides["support_spacing_m"].field, "2.4")
    assert dict(panel.session.job.practice.overrides) == {
        "suction_velocity_range_m_s": [5.0, 18.5],
        "support_spacing_m": 2.4,
    }
    put(panel.practice.overrides["suction_velocity_range_m_s"].field, "18 to 5")
    assert "downwards" in panel.practice.overrides["suction_velocity_range_m_s"].field.reason


def test_the_title_block_is_written(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.folds["job"].open()
    put(panel.info.fields["title"], "Another job")
    assert panel.session.job.info.title == "Another job"
    notes = panel.info.fields["notes"]
    assert isinstance(notes, QPlainTextEdit)
    notes.setFocus()
    retype(notes, "One line.")
    leave(notes)
    assert panel.session.job.info.notes == "One line."
    assert panel.session.document.undo_label == "change notes of the title block"


# The panel as a whole


def test_units_switch_everywhere_without_changing_the_job(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    job = panel.session.job
    panel.session.use_units("ip")
    assert cell(panel, "full", "capacity_W").text() == "29.86"
    assert cell(panel, "full", "condensing_C").text() == "122.0"
    assert panel.conditions.table.labels()[0] == "Cooling, tons"
    assert panel.unit.film.placeholderText() == "59.31"
    assert panel.lines.folds["dis"].head.summary == "1-5/8, 58.4 ft"
    assert panel.session.job is job
    panel.session.use_units("si")
    assert cell(panel, "full", "capacity_W").text() == "105.0"


def test_units_switched_in_the_middle_of_an_entry_keep_it(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    field = cell(panel, "full", "condensing_C")
    field.setFocus()
    retype(field, "48")
    panel.session.use_units("ip")
    assert (field.text(), field.shown_unit) == ("48", "°C")
    enter(field)
    assert condition(panel, "full").condensing_C == 48.0
    assert field.text() == "118.4"


def test_what_is_half_entered_does_not_outlive_its_job(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    field = cell(panel, "full", "superheat_K")
    field.setFocus()
    retype(field, "9")
    panel.session.document.open(Path(__file__).parents[3] / "samples" / f"{BELOW}.json")
    assert not any(field.edited for field in panel.findChildren(QuantityField))
    assert panel.session.document.undo_label is None


def test_folds_are_remembered_in_the_preferences(qtbot: QtBot, tmp_path: Path) -> None:
    path = str(tmp_path / "window.ini")
    settings = QSettings(path, QSettings.Format.IniFormat)
    panel = opened(qtbot, memory=PanelMemory(settings))
    click(panel.folds["unit"].head)
    click(panel.folds["site"].head)
    click(panel.conditions.more)
    assert not panel.unit.isVisible()
    assert panel.folds["unit"].head.summary == "R134a, scroll"
    settings.sync()
    again = opened(qtbot, memory=PanelMemory(QSettings(path, QSettings.Format.IniFormat)))
    assert (again.folds["unit"].is_open, again.folds["site"].is_open, again.folds["lines"].is_open) == (
        False,
        True,
        True,
    )
    assert "Hot-gas bypass" in again.conditions.table.labels()


def test_several_circuits_have_a_chooser(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    assert not panel.circuits.isVisible()
    second = StartCircuit("R410A", 20e3, 4.0, 45.0, 6.0, 4.0, (0.0, 0.0, 0.0), (3.0, 0.0, 6.0))
    panel.session.do(second)
    assert panel.circuits.isVisible()
    name = panel.session.job.circuits[1].id
    choose(panel.circuits, name)
    assert panel.session.selection.circuit == name
    assert panel.unit.refrigerant.value == "R410A"
    assert cell(panel, "full", "capacity_W").text() == "20.0"
    put(cell(panel, "full", "capacity_W"), "21")
    assert panel.session.job.circuits[1].conditions[0].capacity_W == 21e3
    assert panel.session.job.circuits[0].conditions[0].capacity_W == 105e3
    panel.session.document.undo()
    panel.session.document.undo()
    assert panel.unit.refrigerant.value == "R134a"


def test_the_tab_key_walks_from_the_top_to_the_bottom(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.session.do(DuplicateCondition("c1", "full"))
    click(panel.conditions.more)
    expected = [widget for widget in in_order(panel) if widget.isVisible() and widget.isEnabled()]
    assert len(expected) > 50
    expected[0].setFocus()
    walked = [expected[0]]
    for _ in expected[1:]:
        QTest.keyClick(walked[-1], Qt.Key.Key_Tab)
        walked.append(panel.focusWidget())
    assert walked == expected
    heads = [walked.index(panel.folds[name].head) for name in panel.folds]
    assert heads == sorted(heads)


def test_every_control_has_a_name_and_a_tooltip(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    for fold in panel.folds.values():
        fold.open()
    for section in (panel.equipment, panel.lines, panel.site.rooms):
        for fold in section.folds.values():
            fold.open()
    panel.session.do(SetPracticeOverride("mach_limit", 0.25))
    controls = [widget for widget in in_order(panel) if isinstance(widget, QLineEdit | QComboBox | QAbstractButton)]
    assert len(controls) > 80
    assert [widget for widget in controls if not widget.accessibleName()] == []
    assert [widget.accessibleName() for widget in controls if not widget.toolTip()] == []


@pytest.mark.parametrize("width", [260, 400])
@pytest.mark.parametrize("doubled", [False, True])
def test_nothing_is_wider_than_the_panel_and_no_figure_is_cut(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, width: int, doubled: bool
) -> None:
    if doubled:
        double_text(monkeypatch)
    panel = opened(qtbot, width=width)
    for fold in panel.folds.values():
        fold.open()
    panel.equipment.folds["cond"].open()
    qtbot.wait(20)
    inside = panel._scroll.viewport().width()
    for field in panel.findChildren(QuantityField):
        if not field.isVisible():
            continue
        left = field.mapTo(panel._scroll.widget(), field.rect().topLeft()).x()
        assert left >= 0
        assert left + field.width() <= inside
        text = field.letters.width(field.letters.figure, field.text())
        margins = field.textMargins()
        assert text <= field.width() - margins.left() - margins.right(), (field.name, field.text())


def test_figures_that_did_not_change_cost_no_new_widgets(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    before = [id(widget) for widget in panel.findChildren(QWidget)]
    for value in (5.5, 6.5, 7.5):
        panel.session.do(SetConditionFields("c1", "full", (("superheat_K", value),)))
    assert [id(widget) for widget in panel.findChildren(QWidget)] == before


def test_a_panel_goes_with_its_last_owner(qtbot: QtBot) -> None:
    session: Session = session_over(ABOVE)
    panel = JobPanel(session)
    gone = weakref.ref(panel)
    gc.collect()
    gc.disable()
    try:
        del panel
        assert gone() is None, "a ring of references would leave a tree of widgets to the garbage collector"
    finally:
        gc.enable()
    session.close()


# The empty job


def test_an_empty_job_asks_three_things_and_begins_in_one_step(qtbot: QtBot) -> None:
    panel = opened(qtbot, None)
    form = panel.new_job
    assert form.isVisible()
    assert not form.begin.isEnabled()
    fields = form.form.fields
    choose(fields["refrigerant"], "R134a")  # type: ignore[arg-type]
    for key, text in (
        ("capacity_W", "30 tons"),
        ("evaporating_C", "2"),
        ("condensing_C", "50"),
        ("superheat_K", "6"),
        ("subcooling_K", "5"),
        ("condenser_at_m/0", "6"),
        ("condenser_at_m/1", "4"),
    ):
        put(fields[key], text)
    assert form.missing.text == "Still missing: places."
    assert not form.begin.isEnabled()
    put(fields["condenser_at_m/2"], "30 ft")
    assert form.begin.isEnabled()
    click(form.begin)
    assert not form.isVisible()
    made = circuit(panel)
    assert made.conditions[0].capacity_W == pytest.approx(30 * 3516.853, rel=1e-6)
    assert machine(panel, "cond").at_m == pytest.approx((6.0, 4.0, 9.144))
    assert cell(panel, "full", "condensing_C").isVisible()
    assert panel.session.document.undo_label == "start a circuit with R134a"
    panel.session.document.undo()
    assert panel.session.job.circuits == ()
    assert form.isVisible()


def test_what_cannot_be_is_said_before_anything_begins(qtbot: QtBot) -> None:
    panel = opened(qtbot, None)
    fields = panel.new_job.form.fields
    choose(fields["refrigerant"], "R744")  # type: ignore[arg-type]
    for key, text in (
        ("capacity_W", "30"),
        ("evaporating_C", "2"),
        ("condensing_C", "50"),
        ("superheat_K", "6"),
        ("subcooling_K", "5"),
        ("condenser_at_m/0", "6"),
        ("condenser_at_m/1", "4"),
        ("condenser_at_m/2", "9"),
    ):
        put(fields[key], text)
    click(panel.new_job.begin)
    assert panel.session.job.circuits == ()
    assert "critical" in panel.new_job.missing.text
    put(fields["condensing_C"], "20")
    assert panel.new_job.missing.text == ""
    put(fields["capacity_W"], "-3")
    assert "outside what is allowed" in fields["capacity_W"].reason


def test_a_sample_is_one_click_away(qtbot: QtBot) -> None:
    panel = opened(qtbot, None)
    with qtbot.waitSignal(panel.sample_wanted):
        click(panel.new_job.sample)
