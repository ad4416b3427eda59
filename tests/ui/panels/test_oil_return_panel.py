"""Oil return on screen: rows, the worst, units, selecting, colours that words repeat."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.size import SetDoubleRiser, SetLineSize
from linesizer.document.commands.turn import TurnLeg
from linesizer.domain.route import DoubleRiser
from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.oil_return_panel import OilReturnPanel
from linesizer.ui.plots.oil_return_model import BAR, CONDITION, COUNT, HOLDS, LEG, PHRASES_ROLE, RATIO, VERDICT
from tests.ui.opened import ABOVE, OFFSCREEN, TALL, click_cell, session_over, settled, shown, troubled

pytestmark = OFFSCREEN


def column(panel: OilReturnPanel, number: int) -> list[str]:
    return [str(panel.model.index(row, number).data()) for row in range(panel.model.rowCount())]


def test_risers_conditions_verdicts_and_the_worst_named(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, OilReturnPanel(session), 840, 300)
    assert column(panel, LEG) == ["d1  1-5/8", "", "", "", "d3  1-5/8", "", "", ""]
    assert column(panel, VERDICT) == [
        *("returns", "oil stays", "oil stays, worst", "returns"),
        *("returns", "oil stays", "oil stays", "returns"),
    ]
    assert panel.head.text.startswith("Oil stays in a riser At design condensing with least load (13.5 kW)")
    assert panel.subtitle.startswith("worst: d1 at design condensing with least load, 0.")


def test_a_smaller_size_brings_the_oil_back(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, OilReturnPanel(session), 840, 300)
    session.do(SetLineSize("c1", "dis", "1-1/8"))
    settled(qtbot, session)
    assert panel.head.text.startswith("Every riser returns its oil")
    assert set(column(panel, VERDICT)) == {"returns", "returns, worst"}


def test_a_row_selects_its_leg_and_condition(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, OilReturnPanel(session), 840, 300)
    click_cell(panel.view, panel.model.index(5, HOLDS))
    assert (session.selection.line, session.selection.leg, session.condition) == ("dis", "d3", 1)
    assert panel.delegate.selected == ("dis", "d3")
    panel.view.setFocus()
    QTest.keyClick(panel.view, Qt.Key.Key_Home)
    panel.view.setCurrentIndex(panel.model.index(0, 0))
    QTest.keyClick(panel.view, Qt.Key.Key_Return)
    assert (session.selection.leg, session.condition) == ("d1", 0)


def test_a_corner_selects_its_leg_and_leaves_the_condition(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, OilReturnPanel(session), 840, 300)
    session.choose_condition(1)
    corner = panel.model.index(6, CONDITION)
    assert corner.data() == "design condensing with least load"
    click_cell(panel.view, corner)
    assert (session.selection.leg, session.condition) == ("d3", 1)
    assert str(corner.data(Qt.ItemDataRole.AccessibleTextRole)).startswith("corner of the load grid: ")
    assert "Nobody stated it" in str(corner.data(Qt.ItemDataRole.ToolTipRole))


def test_a_double_riser_says_beneath_its_row_what_each_tube_does(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, OilReturnPanel(session), 840, 400)
    single = panel.view.visualRect(panel.model.index(4, RATIO)).height()
    session.do(SetDoubleRiser("c1", "dis", "d3", DoubleRiser("7/8", "1-3/8", 0.4)))
    settled(qtbot, session)
    assert column(panel, LEG)[4] == "d3  7/8 + 1-3/8"
    low = panel.model.index(5, VERDICT)
    assert "seal blown out" in low.data(PHRASES_ROLE)
    assert "seal blown out" in str(low.data(Qt.ItemDataRole.AccessibleTextRole))
    rows = panel.delegate.phrase_rows(low)
    assert rows[0].startswith("seal blown out")
    qtbot.waitUntil(lambda: panel.view.visualRect(panel.model.index(4, RATIO)).height() > single)
    assert not panel.view.horizontalScrollBar().isVisible()
    narrow = panel.view.visualRect(low).height()
    panel.resize(500, 400)
    qtbot.waitUntil(lambda: len(panel.delegate.phrase_rows(low)) > len(rows))
    qtbot.waitUntil(lambda: panel.view.visualRect(low).height() > narrow)
    session.use_units("ip")
    assert any("15 3/4 in held" in phrase for phrase in low.data(PHRASES_ROLE))
    session.document.undo()
    settled(qtbot, session)
    assert panel.model.index(5, VERDICT).data(PHRASES_ROLE) == ()


def test_units_switch_in_place(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, OilReturnPanel(session), 840, 300)
    assert column(panel, HOLDS)[0].endswith("°C")
    with qtbot.assertNotEmitted(panel.model.modelReset):
        session.use_units("ip")
    assert "tons at" in column(panel, HOLDS)[0]
    head = panel.model.headerData(COUNT - 1, Qt.Orientation.Horizontal)
    assert head == "least\nfpm"


def test_the_tooltip_names_both_ticks_and_their_sources(qtbot: QtBot) -> None:
    panel = shown(qtbot, OilReturnPanel(session_over(TALL)), 840, 300)
    tip = str(panel.model.headerData(BAR, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole))
    assert "1: practice set general, oil_return_stop_ratio; Jacobs" in tip
    assert "1.2: practice set general, oil_return_margin_ratio" in tip


def test_a_bar_that_is_short_ends_before_its_tick_in_the_colour_of_a_stop(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, OilReturnPanel(session), 900, 300)
    image = panel.view.viewport().grab().toImage()
    stop = session.theme.colour(Ink.STOP).rgb()
    for row, short in ((0, False), (1, True)):
        cell = panel.view.visualRect(panel.model.index(row, BAR))
        middle = cell.center().y()
        found = [x for x in range(cell.left(), cell.right()) if image.pixelColor(x, middle).rgb() == stop]
        assert bool(found) is short
        if short:
            # The criterion stands at 1 of 2.5.
            assert max(found) < cell.left() + 0.4 * cell.width()


def test_figures_of_an_earlier_job_stay_greyed(qtbot: QtBot) -> None:
    session = session_over(TALL)
    panel = shown(qtbot, OilReturnPanel(session), 840, 300)
    before = panel.model.rows
    condition = session.job.circuits[0].conditions[0].id
    assert session.preview(SetConditionFields("c1", condition, (("condensing_C", 90.0),)))
    troubled(qtbot, session)
    assert panel.model.rows == before
    assert panel.delegate.stale
    assert panel.stale_note.isVisible()


def test_a_line_without_a_climb_and_an_empty_job_say_so(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, OilReturnPanel(session), 840, 300)
    session.do(TurnLeg("c1", "dis", "d1", (0.0, -2.2, 0.0)))
    session.do(TurnLeg("c1", "dis", "d3", (0.0, 0.0, -5.6)))
    settled(qtbot, session)
    assert panel.is_empty
    assert "No gas leg of this circuit climbs" in panel.empty.text
    empty = shown(qtbot, OilReturnPanel(session_over(None)), 840, 300)
    assert "every riser" in empty.empty.text
