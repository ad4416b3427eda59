"""A line that branches in the panels: rows branch by branch, the walk of the legs, the profile of one way."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from linesizer.ui.panels.branch_words import branch_words
from linesizer.ui.panels.findings_panel import FindingsPanel
from linesizer.ui.panels.leg_columns import PLACE_OF, Column
from linesizer.ui.panels.legs_panel import LegsPanel
from linesizer.ui.panels.oil_return_panel import OilReturnPanel
from linesizer.ui.panels.panel import Panel
from linesizer.ui.panels.profile_panel import ProfilePanel
from linesizer.ui.panels.sizes_panel import SizesPanel
from linesizer.ui.selection import Selection
from tests.ui.on_sheet import C, key, sheet_over
from tests.ui.opened import ABOVE, OFFSCREEN, TWO, session_over, settled, shown

pytestmark = OFFSCREEN


def test_the_table_lists_what_is_common_then_branch_after_branch(qtbot: QtBot) -> None:
    panel = shown(qtbot, LegsPanel(session_over(TWO)), 900, 600)
    rows = [
        (entry.leg.id, str(panel.model.index(row, PLACE_OF[Column.LINE]).data()))
        for row, entry in enumerate(panel.model.entries)
    ]
    assert rows == [
        *((f"d{number}", "dis") for number in (1, 2, 3, 4)),
        *((f"d{number}", "dis to Near condenser") for number in (5, 6)),
        *((f"d{number}", "dis to Far condenser") for number in (7, 8)),
        *((f"l{number}", "liq from Near condenser") for number in (1, 2)),
        *((f"l{number}", "liq from Far condenser") for number in (3, 4, 5)),
        *((f"l{number}", "liq") for number in (6, 7, 8, 9)),
    ]


def test_a_plain_run_is_named_by_its_line_alone(qtbot: QtBot) -> None:
    panel = shown(qtbot, LegsPanel(session_over(ABOVE)), 900, 600)
    assert {str(panel.model.index(row, 0).data()) for row in range(panel.model.rowCount())} == {"dis", "liq"}
    (circuit,) = panel.session.job.circuits
    assert branch_words(circuit, circuit.lines[0]) == {}


def test_tab_walks_a_branch_to_its_end_before_the_next(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot, TWO)
    sheet.session.select(Selection(C, "dis", "d4"))
    walked = []
    for _ in range(5):
        key(sheet, Qt.Key.Key_Tab)
        walked.append(sheet.session.selection.leg)
    assert walked == ["d5", "d6", "d7", "d8", "l1"]


@pytest.mark.parametrize("kind", [SizesPanel, LegsPanel, ProfilePanel, OilReturnPanel, FindingsPanel])
@pytest.mark.parametrize("leg", [None, "d6", "d1"])
def test_every_panel_stands_over_a_tree_and_through_its_edits(qtbot: QtBot, kind: type[Panel], leg: str | None) -> None:
    panel = shown(qtbot, kind(session_over(TWO)), 700, 480)
    session = panel.session
    session.select(Selection(C, "dis", leg))
    settled(qtbot, session)
    assert panel.subtitle or panel.is_empty
    session.select(Selection(C, "liq"))
    panel.refresh()


def test_the_profile_follows_the_way_of_the_selected_leg_and_says_which(qtbot: QtBot) -> None:
    panel = shown(qtbot, ProfilePanel(session_over(TWO)), 700, 480)
    session = panel.session
    for leg, words, legs in (
        ("d6", "dis to Near condenser", ["d1", "d2", "d3", "d4", "d5", "d6"]),
        ("d8", "dis to Far condenser", ["d1", "d2", "d3", "d4", "d7", "d8"]),
    ):
        session.select(Selection(C, "dis", leg))
        settled(qtbot, session)
        assert panel.profile is not None
        assert [each.id for each in panel.profile.legs] == legs
        assert panel.subtitle.startswith(words)
