"""A line that branches in the panels: rows branch by branch, the walk of the legs, the profile of one way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.domain.result import CircuitResult, LineResult
from linesizer.domain.route import Leg, Line, Node
from linesizer.evaluate import solve
from linesizer.storage import job_file
from linesizer.ui.panels.branch_words import branch_words
from linesizer.ui.panels.findings_panel import FindingsPanel
from linesizer.ui.panels.leg_columns import PLACE_OF, Column
from linesizer.ui.panels.legs_panel import LegsPanel
from linesizer.ui.panels.oil_return_panel import OilReturnPanel
from linesizer.ui.panels.panel import Panel
from linesizer.ui.panels.profile_panel import ProfilePanel
from linesizer.ui.panels.sizes_panel import SizesPanel
from linesizer.ui.plots.profile_series import line_profile
from linesizer.ui.selection import Selection
from tests.ui.on_sheet import C, key, sheet_over
from tests.ui.opened import ABOVE, OFFSCREEN, SAMPLES, TWO, session_over, settled, shown

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


# The profile of one way through a tree


def tree() -> tuple[CircuitResult, LineResult]:
    """Return the sample's solved discharge line d1 to d4 as if d4 left n3 beside d3: two ways, of 13.8 and 12.2 m.

    The figures of the legs stay those of the plain run; what is looked at here is which of them are shown.
    """
    result = solve(job_file.read(SAMPLES / f"{ABOVE}.json").job).circuits[0]
    solved = result.lines[0]
    line: Line = solved.line
    moved = [Node("n5", (6.0, 4.0, 3.4)) if node.id == "n5" else node for node in line.nodes]
    legs = tuple(replace(leg, start="n3") if leg.id == "d4" else leg for leg in line.legs)
    assert all(isinstance(leg, Leg) for leg in legs)
    return result, replace(solved, line=replace(line, nodes=tuple(moved), legs=legs))


def test_without_a_leg_the_longest_way_is_shown() -> None:
    result, line = tree()
    profile = line_profile(result, line)
    assert profile is not None
    assert [leg.id for leg in profile.legs] == ["d1", "d2", "d3"]
    assert profile.branches
    assert profile.length_m == pytest.approx(2.2 + 6.0 + 5.6)


def test_the_way_through_the_selected_leg_is_shown_with_its_own_figures() -> None:
    result, line = tree()
    assert line.legs is not None
    profile = line_profile(result, line, "d4")
    assert profile is not None
    assert [leg.id for leg in profile.legs] == ["d1", "d2", "d4"]
    assert list(profile.elevation_m) == pytest.approx([1.2, 3.4, 3.4, 3.4])
    rows = [line.legs.ids.index(name) for name in ("d1", "d2", "d4")]
    expected = np.concatenate((line.legs.inlet_Pa[[0], 0], line.legs.outlet_Pa[rows, 0]))
    assert profile.curves[0].pressure_Pa == pytest.approx(expected)
    common = line_profile(result, line, "d2")
    assert common is not None
    assert [leg.id for leg in common.legs] == ["d1", "d2", "d3"]


def test_what_is_known_along_the_whole_line_marks_no_place_on_one_way() -> None:
    result, line = tree()
    assert line.flow is not None
    turned = replace(line.flow, turns_at_m=np.full_like(line.flow.turns_at_m, 3.0))
    profile = line_profile(result, replace(line, flow=turned))
    assert profile is not None
    assert all(curve.turns_m is None for curve in profile.curves)


def test_the_panel_of_a_tree_without_figures_says_why(qtbot: QtBot) -> None:
    panel = shown(qtbot, ProfilePanel(session_over(TWO)), 700, 480)
    settled(qtbot, panel.session)
    result = panel.session.line_result(C, "dis")
    assert result is not None
    if result.legs is None:
        assert panel.is_empty
        assert "No profile for line dis" in panel.empty.text
    else:
        assert panel.subtitle.startswith("dis to ")
    QTest.keyClick(panel, Qt.Key.Key_Right)
