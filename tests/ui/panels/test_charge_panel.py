"""The charge: what holds how much, what to add, how sure that is, and what is not known."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.circuit import SetCircuitFields, SetHeadPressureControl
from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.equipment import AddEquipment, SetEquipmentFields
from linesizer.document.commands.job import SetPracticeOverride
from linesizer.domain.circuit import HeadPressureControlKind
from linesizer.domain.equipment import Equipment, Role
from linesizer.ui.panels.charge_panel import ChargePanel
from linesizer.ui.panels.charge_rows import ChargeRow, charge_rows, headline
from linesizer.ui.session import Session
from tests.ui.opened import ABOVE, OFFSCREEN, click_cell, session_over, settled, shown, troubled

pytestmark = OFFSCREEN


def row(panel: ChargePanel, what: str) -> ChargeRow:
    return next(found for found in panel.model.rows if found.what == what)


def kg(panel: ChargePanel, what: str) -> float:
    found = row(panel, what).kg
    assert found is not None
    return found


def test_the_rows_add_up_to_what_the_result_says(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    charge = session.circuit_result("c1").charge  # type: ignore[union-attr]
    assert kg(panel, "Discharge line dis") + kg(panel, "Liquid line liq") == pytest.approx(charge.lines_kg)
    assert kg(panel, "Indoor unit") + kg(panel, "Loft condenser") == pytest.approx(charge.equipment_kg)
    assert kg(panel, "Needed in all") == charge.total_kg
    assert kg(panel, "To add on site") == charge.to_add_kg
    assert row(panel, "Indoor unit").source == "stated operating charge"
    assert row(panel, "Loft condenser").source == "28.00 L, 20% liquid"


def test_mass_per_length_is_the_charge_over_the_length(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    found = session.line_result("c1", "liq")
    assert found is not None
    liquid = row(panel, "Liquid line liq")
    assert liquid.kg_m == pytest.approx(kg(panel, "Liquid line liq") / found.length_m)
    index = panel.model.index(1, 2)
    assert index.data() == f"{liquid.kg_m:.3f}"
    session.use_units("ip")
    # kg/m to lb/100 ft: 0.3048 m a foot, 0.45359237 kg a pound.
    assert liquid.kg_m is not None
    assert float(index.data()) == pytest.approx(liquid.kg_m * 30.48 / 0.45359237, abs=0.005)


def test_it_names_the_governing_condition_and_the_band(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    assert panel.head.text.startswith("26.99 kg to add on site At Lowest step, winter, the condition that needs most.")
    assert "Most of that comes from the equipment's data." in panel.head.text
    assert "between 25.5" in panel.head.text
    assert panel.subtitle == "Circuit 1, at Lowest step, winter"
    session.do(SetCircuitFields("c1", (("charge_condition", "full"),)))
    settled(qtbot, session)
    assert "At Full load, summer, the condition that the job names." in panel.head.text


def test_nitrogen_holds_no_refrigerant_and_a_stated_charge_is_taken_off(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    assert "holds no refrigerant" in panel.caution.text
    assert row(panel, "Held on arrival").source == "no refrigerant is stated"
    before = kg(panel, "To add on site")
    session.do(SetEquipmentFields("c1", "unit", (("holds_kg", 4.0),)))
    settled(qtbot, session)
    assert kg(panel, "To add on site") == pytest.approx(before - 4.0)
    assert row(panel, "Held on arrival").source == "stated for Indoor unit"


def test_equipment_without_data_is_said_to_count_as_empty(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    session.do(SetEquipmentFields("c1", "cond", (("volume_m3", None),)))
    settled(qtbot, session)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    assert row(panel, "Loft condenser") == ChargeRow(
        "Loft condenser", "not stated, counted as empty", None, None, equipment="cond"
    )


def test_what_is_not_calculated_is_not_guessed() -> None:
    session = session_over(ABOVE)
    found = session.circuit_result("c1")
    session.close()
    assert found is not None
    unknown = replace(found.charge, lines_kg=None, flooding_kg=None, total_kg=None, to_add_kg=None)
    line = replace(found.lines[0], flow=None)
    partly = replace(found, charge=unknown, lines=(line, found.lines[1]))
    rows = {row.what: row for row in charge_rows(partly, "si")}
    assert headline(partly, "si") == "The charge is not known yet"
    assert (rows["Discharge line dis"].source, rows["Discharge line dis"].kg) == ("not calculated yet", None)
    assert rows["Winter flooding"].source == "not known: the findings say what is missing"
    assert [rows[what].kg for what in ("In the lines", "Needed in all", "To add on site")] == [None, None, None]
    assert rows["In the equipment"].kg == found.charge.equipment_kg


def flooded(session: Session, qtbot: QtBot, volume_m3: float = 0.05) -> None:
    """Flood the sample's condenser (30 C held, air of -20 C, 15 K) and give it a receiver."""
    vessel = Equipment("rec", Role.RECEIVER, "Vessel", volume_m3=volume_m3, operating_fill=0.2)
    session.do(AddEquipment("c1", vessel))
    control = (("kind", HeadPressureControlKind.FLOODING), ("minimum_condensing_C", 30.0))
    session.do(SetHeadPressureControl("c1", control))
    session.do(SetEquipmentFields("c1", "cond", (("design_td_K", 15.0),)))
    settled(qtbot, session)


def test_winter_flooding_and_the_levels_of_the_receiver(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    assert "Winter flooding" not in {found.what for found in panel.model.rows}
    flooded(session, qtbot)
    circuit = session.circuit_result("c1")
    assert circuit is not None
    charge = circuit.charge
    assert charge.flooding is not None
    assert kg(panel, "Winter flooding") == charge.flooding_kg
    assert kg(panel, "Winter flooding") > 20.0
    assert kg(panel, "Needed in all") == pytest.approx(
        kg(panel, "In the lines") + kg(panel, "In the equipment") + kg(panel, "Winter flooding")
    )
    part = 1.0 - charge.flooding.condensers[0].active[charge.condition_index]
    assert row(panel, "Winter flooding").source == f"Loft condenser {part:.1%} flooded in air of -20.0 °C"
    (level,) = charge.receivers
    assert level.running is not None
    assert row(panel, "Vessel, lowest").fill == level.running.min() == pytest.approx(0.2)
    assert row(panel, "Vessel, in summer").fill == level.summer
    assert row(panel, "Vessel, pumped down").fill == level.pumped_down
    assert row(panel, "Vessel, lowest").source == "at Lowest step, winter; practice asks for 15%"
    assert row(panel, "Vessel, in summer").source == "at Full load, summer, condenser drained; practice allows 80%"
    assert row(panel, "Vessel, pumped down").source == "whole charge at 32.0 °C; practice allows 90%"
    last = panel.model.rowCount() - 1
    assert panel.model.index(last, 3).data() == f"{level.pumped_down:.0%}"
    click_cell(panel.view, panel.model.index(last, 0))
    assert session.selection.equipment == "rec"
    session.use_units("ip")
    assert row(panel, "Winter flooding").source.endswith("in air of -4.0 °F")


def test_flooding_without_its_data_is_left_open(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    flooded(session, qtbot)
    session.do(SetEquipmentFields("c1", "cond", (("design_td_K", None),)))
    settled(qtbot, session)
    open_row = row(panel, "Winter flooding")
    assert (open_row.source, open_row.kg) == ("not known: the findings say what is missing", None)
    assert panel.head.text.startswith("The charge is not known yet")


def test_the_largest_term_of_the_band_changes_with_the_job(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    assert "comes from the equipment's data" in panel.head.text
    session.do(SetPracticeOverride("band_equipment", 0.0))
    settled(qtbot, session)
    assert "Most of that comes from the surveyed length." in panel.head.text
    session.do(SetPracticeOverride("band_bore", 0.05))
    settled(qtbot, session)
    assert "Most of that comes from the bore of the tube." in panel.head.text
    session.do(SetPracticeOverride("band_liquid_K", 30.0))
    session.do(SetPracticeOverride("band_bore", 0.0))
    settled(qtbot, session)
    assert "Most of that comes from the liquid's temperature." in panel.head.text


def test_a_row_leads_to_its_line_or_equipment(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    click_cell(panel.view, panel.model.index(1, 0))
    assert (session.selection.line, session.selection.equipment) == ("liq", None)
    panel.view.setFocus()
    panel.view.setCurrentIndex(panel.model.index(4, 0))
    QTest.keyClick(panel.view, Qt.Key.Key_Return)
    assert session.selection.equipment == "cond"


def test_the_last_good_charge_stays(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ChargePanel(session), 840, 340)
    before = panel.model.rows
    assert session.preview(SetConditionFields("c1", "full", (("condensing_C", 110.0),)))
    troubled(qtbot, session)
    assert panel.model.rows == before
    assert panel.delegate.stale
    assert panel.stale_note.isVisible()


def test_an_empty_job_teaches(qtbot: QtBot) -> None:
    panel = shown(qtbot, ChargePanel(session_over(None)), 840, 340)
    assert panel.is_empty
    assert "add on site" in panel.empty.text
