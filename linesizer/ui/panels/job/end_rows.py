"""The ends of a line, each with the equipment and the port that it belongs to."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from linesizer.document.commands.line import TieEnd
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment
from linesizer.domain.ports import port_for, ports_of, takes
from linesizer.domain.route import Line, LineEnd
from linesizer.drawing.ties import DrawnEnd, drawn_ends
from linesizer.ui.fields.choice import Choice, ChoiceField
from linesizer.ui.fields.row import FieldRow
from linesizer.ui.session import Session

_TIP = (
    "Which equipment, and which connection of it, this end of the line belongs to. An end moves with its equipment. By "
    "order: units and condensers as they are listed."
)


class EndRows(QWidget):
    """A choice for each free end of one line; one undoable step each."""

    rearranged = Signal()
    """An end came or went: the tab order is another one."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.fields: dict[str, ChoiceField] = {}
        self._rows: list[FieldRow] = []
        self._shown: tuple[tuple[str, bool], ...] = ()
        self._of: tuple[str, str] = ("", "")

    def refresh(self, circuit: Circuit, line: Line) -> None:
        """Show the ends of a line."""
        self._of = (circuit.id, line.id)
        ends = drawn_ends(circuit, line)
        shown = tuple((end.node, end.enters) for end in ends)
        if shown != self._shown:
            self._rebuild(ends)
            self._shown = shown
        stated = {end.node: end.text for end in line.ends}
        for end in ends:
            field = self.fields[end.node]
            field.offer(end_choices(circuit, line, end, stated.get(end.node)))
            field.show_value(stated.get(end.node))

    def release(self) -> None:
        """Let no field commit any more."""
        for field in self.fields.values():
            field.release()

    def _rebuild(self, ends: tuple[DrawnEnd, ...]) -> None:
        for row in self._rows:
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        self._rows, self.fields = [], {}
        for end in ends:
            words = f"{'From' if end.enters else 'To'}, at {end.node}"
            field = ChoiceField(self._session, words, (), partial(self._tie, end.node), _TIP)
            row = FieldRow(self._session, words, field)
            self.fields[end.node] = field
            self._rows.append(row)
            self._column.addWidget(row)
            row.show()
        self.rearranged.emit()

    def _tie(self, node: str, value: Any, merge: bool) -> None:
        equipment, _, port = str(value).partition(":") if value is not None else (None, "", "")
        self._session.do(TieEnd(*self._of, node, equipment, port or None))


def end_choices(circuit: Circuit, line: Line, end: DrawnEnd, stated: str | None) -> tuple[Choice, ...]:
    """Return what an end can belong to: equipment that the line's flow can leave or reach, port by port."""
    by_order = end.equipment if not end.stated else None
    aside = "" if end.stated else f"taken as {_name(by_order)}" if by_order is not None else "tied to nothing"
    choices = [Choice(None, "by order", aside)]
    for equipment in circuit.equipment:
        if not takes(equipment, line.service, enters=end.enters):
            continue
        usual = port_for(equipment, line.service, enters=end.enters)
        ports = dict.fromkeys(([usual] if usual is not None else []) + list(ports_of(equipment)))
        choices += [
            Choice(LineEnd(end.node, equipment.id, port).text, _name(equipment), port) for port in ports if port
        ]
        choices.append(Choice(equipment.id, _name(equipment), "no port said"))
    if stated is not None and all(choice.value != stated for choice in choices):
        name, _, port = stated.partition(":")
        known = next((item for item in circuit.equipment if item.id == name), None)
        choices.append(Choice(stated, _name(known) if known is not None else name, port or "no port said"))
    return tuple(choices)


def _name(equipment: Equipment) -> str:
    return equipment.name or equipment.id
