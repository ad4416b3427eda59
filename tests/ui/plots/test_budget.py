"""The liquid budget's items against the result's, in order, and on screen."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.domain.result import LiquidBudget
from linesizer.drawing.display_list import Ink
from linesizer.evaluate import solve
from linesizer.storage import job_file
from linesizer.ui.panels.profile_panel import ProfilePanel
from linesizer.ui.plots.budget_rows import Standing, budget_items, budget_words
from tests.ui.opened import ABOVE, BELOW, OFFSCREEN, SAMPLES, TALL, select, session_over, settled, shown, troubled

pytestmark = OFFSCREEN


def budget(sample: str, *, heat: bool = False) -> LiquidBudget:
    job = job_file.read(SAMPLES / f"{sample}.json").job
    circuit = replace(job.circuits[0], heat_exchange=heat)
    found = next(
        line for line in solve(replace(job, circuits=(circuit,))).circuits[0].lines if line.line.id == "liq"
    ).flow
    assert found is not None
    assert found.budget is not None
    return found.budget


@pytest.mark.parametrize("sample", [ABOVE, BELOW, TALL])
@pytest.mark.parametrize("heat", [False, True])
def test_every_step_begins_where_the_last_ended_and_the_last_is_what_is_left(sample: str, heat: bool) -> None:
    found = budget(sample, heat=heat)
    for index in range(len(found.margin_K)):
        items = budget_items(found, index, 2.0, 0.0)
        assert items[0].to_K == found.subcooling_K[index]
        for before, after in pairwise(items[:-1]):
            assert after.from_K == before.to_K
            assert after.to_K - after.from_K == pytest.approx(after.value_K)
        assert items[-2].to_K == pytest.approx(found.margin_K[index])
        assert items[-1].value_K == found.margin_K[index]


def test_a_fall_and_a_cold_leg_give_some_back() -> None:
    items = budget_items(budget(TALL, heat=True), 1, 2.0, 0.0)
    assert [item.word for item in items] == ["subcooled", "friction", "fittings", "parts", "fall", "cooling", "left"]
    assert [item.standing for item in items[3:6]] == [Standing.LOSS, Standing.GAIN, Standing.GAIN]
    assert items[4].text("si").startswith("+")
    assert items[1].text("si").startswith("-")
    assert items[1].text("ip") == f"{1.8 * items[1].value_K:.2f}"


def test_a_climb_takes_it_and_the_last_word_says_how_much_is_left() -> None:
    found = budget(BELOW)
    items = budget_items(found, 0, 2.0, 0.0)
    assert items[4].word == "lift"
    assert items[-1].word == "boils"
    assert items[-1].standing is Standing.SHORT
    left = replace(found, margin_K=np.array([1.0, 5.0]))
    assert budget_items(left, 0, 2.0, 0.0)[-1].word == "little left"
    assert budget_items(left, 0, 4.0, 3.0)[-1].word == "too little left"
    assert budget_items(left, 1, 2.0, 0.0)[-1].standing is Standing.ENOUGH


def test_a_flow_that_does_not_pass_has_no_budget() -> None:
    assert budget_items(replace(budget(ABOVE), margin_K=np.array([np.nan, 1.0])), 0, 2.0, 0.0) == ()


def test_the_panel_shows_the_budget_of_the_liquid_line_at_the_chosen_condition(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ProfilePanel(session), 840, 320)
    assert not panel.budget.isVisible()
    select(session, "liq")
    assert panel.budget.isVisible()
    first = panel.budget.items
    flow = session.line_result("c1", "liq").flow  # type: ignore[union-attr]
    assert flow is not None
    assert flow.budget is not None
    assert first == budget_items(flow.budget, 0, 2.0, 0.0)
    session.choose_condition(1)
    assert panel.budget.items == budget_items(flow.budget, 1, 2.0, 0.0) != first
    assert panel.budget.accessibleName() == budget_words(panel.budget.items, 2.0, "si")
    session.use_units("ip")
    assert "practice asks for 3.60 °F" in panel.budget.accessibleName()
    assert panel.budget.accessibleName().startswith("Liquid budget in °F: subcooled ")


def test_each_figure_says_what_it_means_and_the_last_who_asks_for_how_much(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ProfilePanel(session), 840, 320)
    select(session, "liq")
    strip = panel.budget
    places = strip.places(strip.width())
    assert strip.item_at(places[3].center()) is strip.items[3]
    assert "no maker states" in strip.tip_of(strip.items[3])
    assert "liquid_margin_at_valve_K" in strip.tip_of(strip.items[-1])
    assert strip.item_at(QPoint(-1, -1)) is None


def test_what_does_not_fit_goes_to_a_second_row(qtbot: QtBot) -> None:
    session = session_over(ABOVE)
    panel = shown(qtbot, ProfilePanel(session), 840, 420)
    select(session, "liq")
    strip = panel.budget
    assert len({place.top() for place in strip.places(800)}) == 1
    places = strip.places(300)
    assert len({place.top() for place in places}) > 1
    assert all(place.right() <= 300 for place in places)
    assert strip.heightForWidth(300) > strip.heightForWidth(800)


def test_what_is_short_has_the_colour_of_a_stop_until_it_is_not_current(qtbot: QtBot) -> None:
    session = session_over(BELOW)
    panel = shown(qtbot, ProfilePanel(session), 840, 320)
    select(session, "liq")
    stop = session.theme.colour(Ink.STOP)
    assert _has(panel, stop)
    assert session.preview(SetConditionFields("c1", "full", (("condensing_C", 110.0),)))
    troubled(qtbot, session)
    assert panel.budget.items
    assert not _has(panel, stop)
    session.end_preview()
    settled(qtbot, session)
    assert _has(panel, stop)


def _has(panel: ProfilePanel, colour: QColor) -> bool:
    image = panel.budget.grab().toImage()
    return any(image.pixelColor(x, y) == colour for x in range(image.width()) for y in range(image.height()))
