"""Equipment and lines in the job panel: they come, go, move, and carry what their makers say."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QWidget
from pytestqt.qtbot import QtBot

from linesizer.document.commands.job import SetSite
from linesizer.domain.equipment import MakerLimits, Role
from linesizer.domain.route import Service
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.selection import Selection
from tests.ui.fields.bench import POPUPS, enter
from tests.ui.opened import settled
from tests.ui.panels.job_hands import choose, circuit, click, machine, opened, put

pytestmark = POPUPS


def test_equipment_opens_selects_and_is_moved_with_its_lines(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    fold = panel.equipment.folds["cond"]
    assert fold.head.summary == "28 L, outdoors"
    click(fold.head)
    assert panel.session.selection == Selection("c1", equipment="cond")
    form = panel.equipment.forms["cond"]
    put(form.fields["2"], "10")
    assert machine(panel, "cond").at_m == (5.2, 5.4, 10.0)
    assert panel.session.document.undo_label == "move cond"
    put(form.fields["volume_m3"], "1 ft3")
    assert fold.head.summary == "28.32 L, outdoors"
    put(form.fields["name"], "Roof condenser")
    assert fold.head.text() == "Roof condenser"
    choose(form.fields["place"], "plant")  # type: ignore[arg-type]
    assert machine(panel, "cond").place == "plant"
    assert "operating_fill" not in [key for key, field in form.fields.items() if field.isVisible()]


def more(form: QWidget) -> None:
    click(next(button for button in form.findChildren(QAbstractButton) if button.text() == "More"))


def test_what_the_unit_s_maker_allows_is_written_and_judged(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.equipment.folds["unit"].open()
    form = panel.equipment.forms["unit"]
    assert not form.fields["lift_m"].isVisible()
    more(form)
    put(form.fields["length_m"], "50 ft")
    assert panel.session.document.undo_label == "change longest line of unit, by its maker"
    put(form.fields["lift_m"], "30")
    put(form.fields["drop_m"], "0")
    put(form.fields["charge_kg"], "9")
    put(form.fields["discharge_sizes"], "1-3/8; 1-1/8, 1-3/8")
    put(form.fields["liquid_sizes"], "7/8")
    limits = machine(panel, "unit").maker_limits
    assert limits == MakerLimits(pytest.approx(15.24), 30.0, 0.0, 9.0, ("1-3/8", "1-1/8"), ("7/8",))
    assert form.fields["discharge_sizes"].text() == "1-3/8, 1-1/8"  # type: ignore[union-attr]
    settled(qtbot, panel.session)
    assert panel.session.result is not None
    codes = {finding.code for finding in panel.session.result.findings}
    assert {"maker_length", "maker_connection"} <= codes


def test_limits_that_are_taken_away_leave_nothing_in_the_job(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    before = machine(panel, "unit")
    panel.equipment.folds["unit"].open()
    form = panel.equipment.forms["unit"]
    more(form)
    put(form.fields["lift_m"], "30")
    more_again = next(button for button in form.findChildren(QAbstractButton) if button.text() == "Less")
    click(more_again)
    # What is given stays in sight.
    assert form.fields["lift_m"].isVisible()
    assert not form.fields["drop_m"].isVisible()
    lift = form.fields["lift_m"]
    assert isinstance(lift, QuantityField)
    lift.setFocus()
    lift.selectAll()
    QTest.keyClick(lift, Qt.Key.Key_Delete)
    enter(lift)
    assert machine(panel, "unit") == before


def test_a_maker_s_size_that_no_tube_has_is_marked_where_it_stands(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.equipment.folds["unit"].open()
    form = panel.equipment.forms["unit"]
    more(form)
    put(form.fields["liquid_sizes"], "7/8, 13/8")
    assert 'no tube standard here has a size "13/8"' in form.fields["liquid_sizes"].reason.lower()
    assert machine(panel, "unit").maker_limits is None
    put(form.fields["length_m"], "0")
    assert form.fields["length_m"].reason
    assert machine(panel, "unit").maker_limits is None


def test_only_a_unit_has_a_maker_who_limits_lines(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    panel.equipment.folds["cond"].open()
    form = panel.equipment.forms["cond"]
    more(form)
    assert form.fields["design_td_K"].isVisible()
    assert not form.fields["lift_m"].isVisible()


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
    assert form.fields["listed_rating_Pa"]._note == "listed, not calculated"  # type: ignore[union-attr]
    panel.session.do(SetSite((("altitude_m", 0.0),)))
    assert form.fields["listed_rating_Pa"].text() == "40.00"  # type: ignore[union-attr]
