"""The oil-return map on screen: chosen by a word, worked only when looked at, told in words and marks."""

from __future__ import annotations

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.size import SetDoubleRiser, SetLineSize
from linesizer.domain.route import DoubleRiser
from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.oil_return_panel import MAP, OilReturnPanel
from linesizer.ui.plots import oil_return_map_worker
from tests.ui.opened import OFFSCREEN, TALL, session_over, settled, shown

pytestmark = OFFSCREEN


def with_map(qtbot: QtBot) -> OilReturnPanel:
    panel = shown(qtbot, OilReturnPanel(session_over(TALL)), 840, 360)
    panel.views.words[MAP].click()
    return panel


def test_it_is_worked_only_when_it_is_looked_at(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    worked: list[object] = []
    work = oil_return_map_worker.oil_return_map
    monkeypatch.setattr(oil_return_map_worker, "oil_return_map", lambda *given: worked.append(0) or work(*given))
    session = session_over(TALL)
    panel = shown(qtbot, OilReturnPanel(session), 840, 360)
    assert panel.map.map is None
    assert panel.pages.currentWidget() is panel.view
    panel.views.words[MAP].click()
    first = panel.map.map
    assert first is not None
    assert panel.pages.currentWidget() is panel.map
    panel.views.words[0].click()
    assert panel.pages.currentWidget() is panel.view
    session.do(SetLineSize("c1", "dis", "1-1/8"))
    settled(qtbot, session)
    assert panel.map.map is first
    assert len(worked) == 1
    panel.views.words[MAP].click()
    assert panel.map.map is not first
    assert len(worked) == 2


def test_it_follows_the_job_and_waits_while_something_is_dragged(qtbot: QtBot) -> None:
    panel = with_map(qtbot)
    session, first = panel.session, panel.map.map
    condition = session.job.circuits[0].conditions[0].id
    assert session.preview(SetConditionFields("c1", condition, (("capacity_W", 70e3),)))
    settled(qtbot, session)
    assert panel.map.map is first
    session.end_preview()
    settled(qtbot, session)
    session.do(SetConditionFields("c1", condition, (("capacity_W", 70e3),)))
    settled(qtbot, session)
    assert panel.map.map is not None
    assert panel.map.map is not first
    assert panel.map.map.capacity_W[-1] == pytest.approx(77e3)


def test_words_say_what_colours_show(qtbot: QtBot) -> None:
    panel = with_map(qtbot)
    assert "All stages: safe." in panel.map.accessibleDescription()
    assert "One stage, winter: oil stays." in panel.map.accessibleDescription()
    assert "changeover" not in panel.map.accessibleDescription()
    assert panel.map.reading(30e3, 40.0).startswith("30.0 kW at 40.0 °C condensing: safe. 1.5")
    assert ": oil stays. 0." in panel.map.reading(10e3, 40.0)
    panel.session.use_units("ip")
    assert "tons at 104.0 °F condensing: safe." in panel.map.reading(30e3, 40.0)


def test_conditions_stand_where_the_axes_say(qtbot: QtBot) -> None:
    panel = with_map(qtbot)
    found, room = panel.map.map, panel.map.plot_rect()
    assert found is not None
    conditions = panel.session.job.circuits[0].conditions
    for condition, at in zip(conditions, panel.map.mark_places(), strict=True):
        part = (condition.capacity_W - found.capacity_W[0]) / (found.capacity_W[-1] - found.capacity_W[0])
        assert at.x() == pytest.approx(room.left() + part * room.width(), abs=1.0)
        up = (condition.condensing_C - found.condensing_C[0]) / (found.condensing_C[-1] - found.condensing_C[0])
        assert at.y() == pytest.approx(room.bottom() - up * room.height(), abs=1.5)
    # A disc is filled with ink where all is in order, a square is open where not.
    image = panel.map.grab().toImage()
    ink, paper = panel.session.theme.colour(Ink.INK).rgb(), panel.session.theme.colour(Ink.PANEL).rgb()
    safe, stays = panel.map.mark_places()
    assert image.pixelColor(round(safe.x()), round(safe.y())).rgb() == ink
    assert image.pixelColor(round(stays.x()), round(stays.y())).rgb() == paper


def test_the_safe_region_is_outlined_and_the_rest_hatched(qtbot: QtBot) -> None:
    panel = with_map(qtbot)
    room, theme = panel.map.plot_rect(), panel.session.theme
    image = panel.map.grab().toImage()
    row = room.bottom() - room.height() // 5
    colours = [image.pixelColor(x, row).rgb() for x in range(room.left(), room.right())]
    outline = colours.index(theme.colour(Ink.FITS).rgb())
    strokes = [x for x, colour in enumerate(colours) if colour == theme.colour(Ink.STOP).rgb()]
    assert strokes
    assert max(strokes) < outline


def test_a_double_riser_shows_its_changeover(qtbot: QtBot) -> None:
    panel = with_map(qtbot)
    for leg in ("d1", "d3"):
        panel.session.do(SetDoubleRiser("c1", "dis", leg, DoubleRiser("7/8", "1-3/8", 1.2)))
    settled(qtbot, panel.session)
    assert "The dashed line is the changeover" in panel.map.accessibleDescription()
    found = panel.map.map
    assert found is not None
    assert found.pattern is not None
    low, high = (panel.map.reading(float(load), 40.0) for load in (found.capacity_W[0], found.capacity_W[-1]))
    assert "the small tube alone" in low
    assert "both tubes flow" in high


def test_a_long_one_is_worked_on_another_thread(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(oil_return_map_worker, "LONG_LEGS", 1)
    panel = shown(qtbot, OilReturnPanel(session_over(TALL)), 840, 360)
    with qtbot.waitSignal(panel._maps.ready):
        panel.views.words[MAP].click()
        assert panel.map.map is None
    assert panel.map.map is not None
    panel.session.close()
    assert panel._maps._pool is None


def test_a_theme_and_a_size_of_its_own(qtbot: QtBot) -> None:
    panel = with_map(qtbot)
    room = panel.map.plot_rect()
    inside = (room.center().x(), room.top() + room.height() // 4)
    light = panel.map.grab().toImage().pixelColor(*inside).lightness()
    panel.session.theme.choose("dark")
    assert panel.map.grab().toImage().pixelColor(*inside).lightness() < light - 40
    panel.resize(600, 300)
    assert panel.map.plot_rect().width() < 600
    assert np.isfinite(panel.map.mark_places()[0].x())
