"""A panel that is closed leaves nothing behind: no window may keep the last one alive."""

from __future__ import annotations

import gc
import weakref

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from pytestqt.qtbot import QtBot

from linesizer.ui.panels.charge_panel import ChargePanel
from linesizer.ui.panels.findings_panel import FindingsPanel
from linesizer.ui.panels.legs_panel import LegsPanel
from linesizer.ui.panels.oil_return_panel import OilReturnPanel
from linesizer.ui.panels.panel import Panel
from linesizer.ui.panels.profile_panel import ProfilePanel
from linesizer.ui.panels.sizes_panel import SizesPanel
from tests.ui.opened import ABOVE, OFFSCREEN, select, session_over

pytestmark = OFFSCREEN

PANELS = (SizesPanel, FindingsPanel, LegsPanel, ChargePanel, ProfilePanel, OilReturnPanel)


@pytest.mark.parametrize("kind", PANELS)
def test_a_closed_panel_is_gone_while_its_session_lives(qtbot: QtBot, kind: type[Panel]) -> None:
    session = session_over(ABOVE)
    panel = kind(session)
    with qtbot.waitExposed(panel):
        panel.show()
    session.use_units("ip")
    held = weakref.ref(panel)
    panel.close()
    panel.deleteLater()
    del panel
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert held() is None
    # And the session tells nobody who is no longer there.
    select(session, "liq", "l2")
    session.use_units("si")
    session.close()


@pytest.mark.parametrize("kind", PANELS)
def test_every_panel_has_a_title_a_page_and_a_name(qtbot: QtBot, kind: type[Panel]) -> None:
    session = session_over(ABOVE)
    panel = kind(session)
    qtbot.addWidget(panel, before_close_func=lambda _: session.close())
    assert panel.title
    assert panel.accessibleName() == panel.title
    assert panel.help_page


@pytest.mark.parametrize("kind", PANELS)
def test_a_hidden_panel_catches_up_when_it_is_shown(qtbot: QtBot, kind: type[Panel]) -> None:
    session = session_over(ABOVE)
    panel = kind(session)
    qtbot.addWidget(panel, before_close_func=lambda _: session.close())
    session.use_units("ip")
    calls: list[str] = []
    panel.subtitle_changed.connect(calls.append)
    with qtbot.waitExposed(panel):
        panel.show()
    assert calls
    assert calls[-1] == panel.subtitle
    assert not panel.is_empty
