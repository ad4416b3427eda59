"""The section of the conditions: the table, and what can be done with whole conditions."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QVBoxLayout, QWidget

from linesizer.document.commands.condition import AddCondition, DeleteCondition, DuplicateCondition
from linesizer.domain.circuit import Circuit
from linesizer.ui.panels.job.conditions_table import ConditionsTable
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.word_button import ButtonRow, WordButton
from linesizer.ui.session import Session

_MORE = "conditions/more"


class ConditionsSection(QWidget):
    """The table of conditions and its acts, which apply to the chosen condition."""

    def __init__(self, session: Session, memory: PanelMemory, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self._memory = memory
        self.table = ConditionsTable(session)
        self.acts = ButtonRow()
        theme = session.theme
        self.more = self.acts.add(
            WordButton(
                theme,
                "More",
                self._turn,
                "Show what is rarely stated: leaving fluid, bypass, overrides, hours. Where a condition states one of "
                "them, its row is always shown.",
            )
        )
        self.add = self.acts.add(
            WordButton(
                theme, "Add", self._add, "Add a condition with the duty of the chosen one.", named="Add a condition"
            )
        )
        self.duplicate = self.acts.add(
            WordButton(
                theme,
                "Duplicate",
                self._duplicate,
                "Add a copy of the chosen condition, right behind it.",
                named="Duplicate the chosen condition",
            )
        )
        self.rename = self.acts.add(
            WordButton(
                theme, "Rename", self._rename, "Rename the chosen condition.", named="Rename the chosen condition"
            )
        )
        self.delete = self.acts.add(
            WordButton(
                theme,
                "Delete",
                self._delete,
                "Take the chosen condition away. The last one stays: nothing is sized without.",
                named="Delete the chosen condition",
            )
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.table)
        column.addWidget(self.acts)

    def refresh(self, circuit: Circuit) -> None:
        """Show the conditions of a circuit."""
        unfolded = self._memory.is_open(_MORE, False)
        self.more.setText("Less" if unfolded else "More")
        self.delete.setEnabled(len(circuit.conditions) > 1)
        self.table.show_circuit(circuit, unfolded=unfolded)

    def summary(self, circuit: Circuit) -> str:
        """Return what the folded section says."""
        return ", ".join(condition.title for condition in circuit.conditions)

    def _turn(self) -> None:
        self._memory.keep(_MORE, not self._memory.is_open(_MORE, False))
        circuit = self.session.shown_circuit
        if circuit is not None:
            self.refresh(circuit)

    def _add(self) -> None:
        circuit = self.session.shown_circuit
        if circuit is None:
            return
        like = circuit.conditions[self.session.condition]
        names = {condition.name for condition in circuit.conditions}
        number = len(circuit.conditions) + 1
        while f"Condition {number}" in names:
            number += 1
        # What stands for this one running condition alone is not taken over: it was never stated for another.
        new = replace(
            like,
            id="",
            name=f"Condition {number}",
            ambient_C=None,
            bypass=0.0,
            discharge_C=None,
            isentropic_efficiency=None,
            hours_per_year=None,
            extra=(),
        )
        if self.session.try_do(AddCondition(circuit.id, new)):
            self.session.choose_condition(len(circuit.conditions))

    def _duplicate(self) -> None:
        circuit = self.session.shown_circuit
        if circuit is None:
            return
        index = self.session.condition
        if self.session.try_do(DuplicateCondition(circuit.id, circuit.conditions[index].id)):
            self.session.choose_condition(index + 1)

    def _rename(self) -> None:
        circuit = self.session.shown_circuit
        if circuit is not None:
            self.table.rename(circuit.conditions[self.session.condition].id)

    def _delete(self) -> None:
        circuit = self.session.shown_circuit
        if circuit is None:
            return
        index = self.session.condition
        if self.session.try_do(DeleteCondition(circuit.id, circuit.conditions[index].id)):
            self.session.choose_condition(max(0, index - 1))
