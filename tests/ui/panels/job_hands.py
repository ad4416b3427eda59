"""Hands on the job panel: open it, type into its fields, choose, and look up what the job holds then."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment
from linesizer.ui.fields.choice import ChoiceField
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job_panel import JobPanel
from tests.ui.fields.bench import enter, pick, retype
from tests.ui.opened import ABOVE, session_over, shown


def opened(qtbot: QtBot, sample: str | None = ABOVE, width: int = 320, memory: PanelMemory | None = None) -> JobPanel:
    return shown(qtbot, JobPanel(session_over(sample), memory=memory), width, 900)


def circuit(panel: JobPanel) -> Circuit:
    return panel.session.job.circuits[0]


def condition(panel: JobPanel, name: str) -> Condition:
    return next(item for item in circuit(panel).conditions if item.id == name)


def machine(panel: JobPanel, name: str) -> Equipment:
    return next(item for item in circuit(panel).equipment if item.id == name)


def cell(panel: JobPanel, name: str, key: str) -> QuantityField:
    found = panel.conditions.table.field(name, key)
    assert isinstance(found, QuantityField)
    return found


def put(field: QWidget, text: str) -> None:
    field.setFocus()
    retype(field, text)
    enter(field)


def click(widget: QWidget) -> None:
    QTest.mouseClick(widget, Qt.MouseButton.LeftButton)


def choose(field: ChoiceField, value: object) -> None:
    """Choose from the list by the keyboard."""
    field.setFocus()
    wanted = next(index for index, choice in enumerate(field.choices) if choice.value == value)
    pick(field, wanted)
