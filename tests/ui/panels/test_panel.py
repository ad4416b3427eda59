"""What all panels share: when they follow the session, and when they wait."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.node import MoveNode, SetLegLength
from linesizer.document.direction import Axis
from linesizer.ui.panels.panel import DRAG_PAUSE_ms, Panel
from linesizer.ui.session import Session
from tests.ui.opened import ABOVE, OFFSCREEN, session_over, shown

pytestmark = OFFSCREEN


class Counting(Panel):
    """Keeps the length of the line as it was at each refresh."""

    title = "Counting"

    def __init__(self, session: Session) -> None:
        self.lengths: list[float] = []
        super().__init__(session)

    def refresh(self) -> None:
        found = self.session.line_result("c1", "dis")
        self.lengths.append(0.0 if found is None else round(found.length_m, 2))


def moved(session: Session, metres: float) -> None:
    assert session.preview(MoveNode("c1", "dis", "n3", Axis.EAST, metres))


@pytest.fixture
def panel(qtbot: QtBot) -> Counting:
    made = shown(qtbot, Counting(session_over(ABOVE)))
    made.lengths.clear()
    return made


def test_an_act_is_followed_at_once(panel: Counting) -> None:
    panel.session.do(SetLegLength("c1", "dis", "d3", 7.0))
    panel.session.do(SetLegLength("c1", "dis", "d3", 8.0))
    first, second = panel.lengths
    assert second == pytest.approx(first + 1.0)


def test_a_drag_is_followed_now_and_then_and_its_last_step_always(qtbot: QtBot, panel: Counting) -> None:
    session = panel.session
    for step in range(1, 11):
        moved(session, 0.1 * step)
    assert len(panel.lengths) == 1
    qtbot.waitUntil(lambda: len(panel.lengths) == 2)
    assert panel.lengths[1] == pytest.approx(panel.lengths[0] + 0.9)
    qtbot.wait(2 * DRAG_PAUSE_ms)
    assert len(panel.lengths) == 2


def test_letting_go_is_followed_at_once(panel: Counting) -> None:
    session = panel.session
    for step in (1, 2, 3):
        moved(session, 0.1 * step)
    session.do(MoveNode("c1", "dis", "n3", Axis.EAST, 0.3))
    assert panel.lengths[-1] == pytest.approx(panel.lengths[0] + 0.2)


def test_trouble_is_shown_at_once_in_a_drag_too(panel: Counting) -> None:
    session = panel.session
    moved(session, 0.1)
    count = len(panel.lengths)
    assert session.preview(
        SetConditionFields("c1", session.job.circuits[0].conditions[0].id, (("subcooling_K", 60.0),))
    )
    assert session.trouble is not None
    assert len(panel.lengths) == count + 1


def test_a_hidden_panel_waits_until_it_is_seen(panel: Counting) -> None:
    panel.hide()
    panel.session.do(SetLegLength("c1", "dis", "d3", 7.0))
    panel.session.use_units("ip")
    assert panel.lengths == []
    panel.show()
    assert len(panel.lengths) == 1
