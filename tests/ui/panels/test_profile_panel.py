"""The profile on screen: what it draws, hovering and clicking, all conditions at once, ranges held in a drag."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.node import SetLegLength
from linesizer.document.commands.restore import RestoreJob
from linesizer.ui.panels.profile_panel import ProfilePanel
from linesizer.ui.plots.profile import ProfilePlot
from linesizer.ui.session import Session
from linesizer.units import Kind, to_display
from tests.ui.opened import ABOVE, BELOW, OFFSCREEN, select, session_over, settled, shown, troubled

pytestmark = OFFSCREEN


def opened(qtbot: QtBot, session: Session) -> tuple[ProfilePanel, ProfilePlot]:
    panel = shown(qtbot, ProfilePanel(session), 840, 320)
    assert panel.plot is not None
    return panel, panel.plot


def at(plot: ProfilePlot, place_m: float) -> QPoint:
    return plot.mapFromScene(plot.scene_point(place_m))


def test_the_library_is_loaded_only_when_the_panel_is_seen() -> None:
    code = (
        "import sys; from linesizer.ui.panels.profile_panel import ProfilePanel; sys.exit('pyqtgraph' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_it_draws_pressure_margin_and_elevation_of_the_chosen_condition(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel, plot = opened(qtbot, session)
    profile = panel.profile
    assert profile is not None
    x, y = plot.pressures[0].getData()
    assert x == pytest.approx(profile.at_m)
    pressures = to_display(Kind.PRESSURE, profile.curves[0].pressure_Pa, "si", atmosphere_Pa=session.atmosphere_Pa)
    assert y == pytest.approx(pressures)
    assert plot.margins[0].getData()[1] == pytest.approx(profile.curves[0].margin_K)
    low, high = plot.upper.viewRange()[1]
    assert low < y.min() < y.max() < high
    heights = plot.elevation.getData()[1]
    assert np.ptp(heights) == pytest.approx((high - low) / 1.34)
    assert panel.subtitle == "dis, Full load, summer"


def test_another_condition_is_chosen_here_and_everywhere(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel, plot = opened(qtbot, session)
    full = plot.pressures[0].getData()[1].copy()
    panel.chooser.setFocus()
    QTest.keyClick(panel.chooser, Qt.Key.Key_Down)
    assert session.condition == 1
    assert plot.pressures[0].getData()[1].max() < full.min()
    session.choose_condition(0)
    assert panel.chooser.currentIndex() == 0


def test_all_conditions_lie_over_each_other_with_strokes_of_their_own(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel, plot = opened(qtbot, session)
    panel.chooser.setCurrentIndex(2)
    panel.chooser.activated.emit(2)
    assert [curve.isVisible() for curve in plot.pressures] == [True, True]
    strokes = panel.legend.strokes
    assert [stroke.words for stroke in strokes] == [
        "pressure, and below it superheat: Full load, summer",
        "pressure, and below it superheat: Lowest step, winter",
        "elevation, scale at the right",
    ]
    assert len({stroke.dash for stroke in strokes}) == 3
    assert panel.subtitle == "dis, all conditions"
    assert session.condition == 0


def test_hovering_reads_values_and_lights_the_leg(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel, plot = opened(qtbot, session)
    assert panel.readout.text.startswith("At its end, d4 at 17.80 m")
    QTest.mouseMove(plot.viewport(), at(plot, 5.0))
    qtbot.waitUntil(lambda: panel.readout.text.startswith("d2 at "))
    assert plot.lit[0].isVisible()
    assert plot.lit[0].getRegion() == pytest.approx((2.2, 8.2))
    assert session.selection.leg is None
    plot.hovered.emit(float("nan"))
    assert not plot.lit[0].isVisible()
    assert panel.readout.text.startswith("At its end")


def test_a_click_selects_the_leg(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel, plot = opened(qtbot, session)
    QTest.mouseMove(plot.viewport(), at(plot, 10.0))
    QTest.mouseClick(plot.viewport(), Qt.MouseButton.LeftButton, pos=at(plot, 10.0))
    assert (session.selection.line, session.selection.leg) == ("dis", "d3")
    assert plot.chosen[0].isVisible()
    assert plot.chosen[1].getRegion() == pytest.approx((8.2, 13.8))
    assert panel.readout.isVisible()


def test_keys_walk_the_nodes_and_select(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel, plot = opened(qtbot, session)
    plot.setFocus()
    for _ in range(3):
        QTest.keyClick(plot, Qt.Key.Key_Right)
    assert panel.readout.text.startswith("d2 at 8.20 m")
    QTest.keyClick(plot, Qt.Key.Key_Left)
    assert panel.readout.text.startswith("d1 at 2.20 m")
    QTest.keyClick(plot, Qt.Key.Key_Return)
    assert session.selection.leg == "d1"
    QTest.keyClick(plot, Qt.Key.Key_Escape)
    assert panel.readout.text.startswith("At its end")


def test_where_liquid_would_boil_is_marked_with_words(qtbot: QtBot) -> None:
    session = session_over(BELOW)
    panel, plot = opened(qtbot, session)
    select(session, "liq")
    profile = panel.profile
    assert profile is not None
    assert profile.curves[0].turns_m is not None
    spots = plot.turns.points()
    assert [spot.pos().x() for spot in spots] == pytest.approx([profile.curves[0].turns_m])
    assert plot.turn_texts[0].isVisible()
    assert plot.turn_texts[0].toPlainText().startswith("boils from ")
    select(session, "dis")
    assert len(plot.turns.points()) == 0
    assert not plot.turn_texts[0].isVisible()


def test_units_switch_the_axes(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    _, plot = opened(qtbot, session)
    assert plot.upper.getAxis("left").labelText == "bar g"
    session.use_units("ip")
    assert plot.upper.getAxis("left").labelText == "psig"
    assert plot.lower.getAxis("bottom").labelText == "developed length, ft"
    assert plot.upper.viewRange()[0][1] == pytest.approx(17.8 / 0.3048)


def test_ranges_are_held_in_a_drag_and_fitted_when_it_ends(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    _, plot = opened(qtbot, session)
    before = plot.upper.viewRange()
    session.preview(SetLegLength("c1", "dis", "d2", 9.0))
    settled(qtbot, session)
    assert plot.upper.viewRange() == before
    assert plot.pressures[0].getData()[0][-1] == pytest.approx(20.8)
    session.do(SetLegLength("c1", "dis", "d2", 9.0))
    settled(qtbot, session)
    assert plot.upper.viewRange()[0][1] == pytest.approx(20.8)


def test_the_last_good_curves_stay_greyed(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel, plot = opened(qtbot, session)
    before = plot.pressures[0].getData()[1].copy()
    assert session.preview(SetConditionFields("c1", "full", (("condensing_C", 110.0),)))
    troubled(qtbot, session)
    assert plot.pressures[0].getData()[1] == pytest.approx(before)
    assert panel.legend.strokes[0].ink.value == "quiet"
    assert panel.stale_note.isVisible()


def test_it_takes_on_the_other_look(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    _, plot = opened(qtbot, session)
    light = plot.grab().toImage().pixelColor(2, 2)
    session.theme.choose("dark")
    assert plot.grab().toImage().pixelColor(2, 2) != light


def test_a_line_without_legs_and_an_empty_job_teach(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    circuit = session.job.circuits[0]
    bare = replace(circuit.lines[0], legs=(), nodes=(), ends=(), fittings=())
    session.do(RestoreJob(replace(session.job, circuits=(replace(circuit, lines=(bare,)),))))
    settled(qtbot, session)
    panel, _ = opened(qtbot, session)
    assert panel.is_empty
    assert "no legs yet" in panel.empty.text
    empty, _ = opened(qtbot, session_over(None))
    assert empty.is_empty
