"""A bad number is marked in place; the figures of the last good job stay, said to be not current, until it is cured."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.main_window import MainWindow
from tests.journeys.hands import ALT, CTRL, K, focus, press, settled, sizes, tab_to, type_text
from tests.ui.opened import ABOVE, OFFSCREEN
from tests.ui.windows import copy_of, window_over

pytestmark = OFFSCREEN


def field_for(window: MainWindow, key: str) -> QuantityField:
    """Tab to a value of the first condition and return its field."""
    panel = window.docks["job"].panel
    field = panel.conditions.table.field(window.session.job.circuits[0].conditions[0].id, key)  # type: ignore[attr-defined]
    press(window, K.Key_1, ALT)
    tab_to(window, field.accessibleName())
    assert focus(window) is field
    assert isinstance(field, QuantityField)
    return field


def state(window: MainWindow) -> str:
    """Return what the line across the top says of the job."""
    return next(each.text() for each in window.findChildren(QLabel) if each.accessibleName() == "State of the job")


def type_over(window: MainWindow, text: str) -> None:
    press(window, K.Key_A, CTRL)
    type_text(window, text)


def test_an_entry_that_is_no_number_is_marked_and_the_job_stays(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    settled(qtbot, window)
    before, result = window.session.job, window.session.result
    field = field_for(window, "capacity_W")
    stood = field.text()
    type_over(window, "ninety")
    press(window, K.Key_Return)
    assert field.refused
    assert field.reason
    assert field.reason in field.toolTip()
    assert field.text() == "ninety"
    assert window.session.job is before
    assert window.session.result is result
    press(window, K.Key_Escape)
    assert (field.text(), field.refused) == (stood, False)


def test_a_value_that_cannot_be_calculated_leaves_the_last_good_figures_not_current(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window, _ = window_over(qtbot, tmp_path, copy_of(ABOVE, tmp_path))
    session = window.session
    settled(qtbot, window)
    good = session.result
    rows = sizes(window).model.rowCount()
    field = field_for(window, "subcooling_K")
    # Taken, since it is a subcooling like others; but the liquid would be colder than its table reaches.
    type_over(window, "60")
    press(window, K.Key_Return)
    qtbot.waitUntil(lambda: session.trouble is not None)
    assert not field.refused
    assert not session.current
    assert session.result is good
    assert sizes(window).model.rowCount() == rows
    assert sizes(window).stale_note.isVisible()
    assert sizes(window).stale_note.text.startswith("not current")
    assert "figures not current" in state(window)
    assert "60.0 K" in field.reason
    type_over(window, "5")
    press(window, K.Key_Return)
    settled(qtbot, window)
    assert field.reason == ""
    assert not sizes(window).stale_note.isVisible()
    assert session.result is not good
    assert "current" not in state(window)
