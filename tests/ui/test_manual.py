"""The manual's pages: none is out of reach, no link leads nowhere, and a click opens the linked page."""

from __future__ import annotations

import re

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QTextBrowser, QWidget
from pytestqt.qtbot import QtBot

from linesizer.domain.resources import resource
from linesizer.ui.help import manual_text, show_help
from linesizer.ui.panels.charge_panel import ChargePanel
from linesizer.ui.panels.findings_panel import FindingsPanel
from linesizer.ui.panels.job_panel import JobPanel
from linesizer.ui.panels.legs_panel import LegsPanel
from linesizer.ui.panels.oil_return_panel import OilReturnPanel
from linesizer.ui.panels.profile_panel import ProfilePanel
from linesizer.ui.panels.sizes_panel import SizesPanel
from linesizer.ui.sheet.sheet import Sheet
from tests.ui.opened import OFFSCREEN

pytestmark = OFFSCREEN

PANELS = (ChargePanel, FindingsPanel, JobPanel, LegsPanel, OilReturnPanel, ProfilePanel, SizesPanel, Sheet)
PAGES = sorted(path.name.removesuffix(".md") for path in resource("manual").iterdir())


def linked(page: str) -> list[str]:
    return re.findall(r"\]\(([\w-]+)\.md\)", manual_text(page))


@pytest.mark.parametrize("page", PAGES)
def test_every_page_says_what_it_is_about_and_links_only_to_pages_that_are_there(page: str) -> None:
    assert re.match(r"# \w", manual_text(page))
    assert set(linked(page)) <= set(PAGES)


def test_every_page_is_reached_from_a_panel_s_page() -> None:
    reached = {"window", *(panel.help_page for panel in PANELS)}
    waiting = list(reached)
    while waiting:
        new = set(linked(waiting.pop())) - reached
        reached |= new
        waiting += new
    assert reached == set(PAGES)


def test_a_link_opens_its_page(qtbot: QtBot) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    dialog = show_help(window, "findings")
    qtbot.addWidget(dialog)
    browser = dialog.findChild(QTextBrowser)
    assert isinstance(browser, QTextBrowser)
    browser.setFocus()
    # Tab walks the links in order; the fourth is that of the drain.
    for _ in range(4):
        QTest.keyClick(browser, Qt.Key.Key_Tab)
    QTest.keyClick(browser, Qt.Key.Key_Return)
    assert browser.toPlainText().splitlines()[0] == manual_text("drain").splitlines()[0].removeprefix("# ")
