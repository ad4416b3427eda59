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
from linesizer.ui.fields.choice import ChoiceField
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.panels.job.condition_rows import STATED
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.tab_order import in_order
from linesizer.ui.panels.job_panel import JobPanel
from linesizer.ui.session import Session
from tests.ui.fields.bench import POPUPS, enter, leave, retype
from tests.ui.opened import ABOVE, BELOW, double_text, session_over, settled
from tests.ui.panels.job_hands import cell, choose, circuit, click, condition, machine, opened, put

pytestmark = POPUPS


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


def test_the_strict_practice_set_is_chosen_and_judges(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.folds["practice"].open()
    field = panel.practice.form.fields["set"]
    assert isinstance(field, ChoiceField)
    choose(field, "strict")
    assert panel.session.job.practice.set == "strict"
    assert panel.folds["practice"].head.summary.startswith("strict")
    settled(qtbot, panel.session)
    assert panel.session.result is not None
    assert any("practice set strict" in finding.source for finding in panel.session.result.findings)


def test_heat_along_the_lines_is_switched_and_explained(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    field = panel.unit.fields["heat_exchange"]
    # A file that does not say is adiabatic, which is not the usual way: the switch is in sight.
    assert field.isVisible()
    assert "may condense in the cold" in field.toolTip()
    click(field)
    assert circuit(panel).heat_exchange is True


def test_the_site_and_its_rooms_are_written(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.folds["site"].open()
    put(panel.site.form.fields["altitude_m"], "1000 ft")
    assert panel.session.job.site.altitude_m == pytest.approx(304.8)
    put(panel.site.form.fields["electricity_price_kWh"], "0,21")
    assert panel.session.job.site.electricity_price_kWh == 0.21
    panel.site.rooms.folds["plant"].open()
    room = panel.site.rooms.forms["plant"]
    assert room.fields["volume_m3"].text() == "150"  # type: ignore[union-attr]
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


def test_an_ini_files_words_are_read_as_open_and_folded(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "window.ini"
    path.write_text("[job-panel]\nopen\\section\\unit=false\nopen\\section\\site=true\n")
    panel = opened(qtbot, memory=PanelMemory(QSettings(str(path), QSettings.Format.IniFormat)))
    assert (panel.folds["unit"].is_open, panel.folds["site"].is_open) == (False, True)


def test_other_units_and_another_altitude_reach_tooltips_and_margins(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    film, pressure = panel.unit.film, panel.unit.fields["maximum_pressure_Pa"]
    assert "above 0 kg/m³, at most 2000 kg/m³" in film.toolTip()
    panel.session.use_units("ip")
    assert "above 0 lb/ft³" in film.toolTip()
    assert film.textMargins().right() >= film.letters.width(film.letters.figure, "lb/ft³")
    before = pressure.toolTip()
    panel.session.do(SetSite((("altitude_m", 3000.0),)))
    assert pressure.toolTip() != before, "the same limits are other gauge pressures up there"


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
    table = panel.conditions.table
    start = walked.index(table.head("full"))
    keys = [row.key for row in STATED]
    assert walked[start + 1 : start + 1 + len(keys)] == [table.field("full", key) for key in keys]
    assert walked[start + 1 + len(keys)] is table.head("full2")
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
