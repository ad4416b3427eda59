"""The conditions side by side: one column each, a row for every value that is stated, and quiet rows of what follows.

Laid out by hand, since a reason may stand under any row, many columns scroll beneath labels that stay, and labels go
above their cells where the panel is too narrow for both.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any

import numpy as np
from PySide6.QtCore import QEvent, QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QScrollBar, QSizePolicy, QWidget

from linesizer.document.commands.condition import SetConditionFields
from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.domain.result import CircuitResult
from linesizer.drawing.display_list import Ink
from linesizer.properties.library import load
from linesizer.storage.ranges import Range, range_of
from linesizer.ui.fields.choice import ChoiceField
from linesizer.ui.fields.entry import EntryField
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.panels.job.condition_edits import entered, evaporating_of
from linesizer.ui.panels.job.condition_head import ConditionHead
from linesizer.ui.panels.job.condition_rows import DERIVED, STATED, SUBCOOLING_PLACES, DerivedRow, StatedRow
from linesizer.ui.panels.job.conditions_plan import WRAP, Content, Plan, laid_out
from linesizer.ui.panels.job.name_editor import NameEditor
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px
from linesizer.units import ZERO_CELSIUS_K, display

_SATURATION = ("evaporating_C", "condensing_C")


@dataclass(eq=False, slots=True)
class _Column:
    """One condition: its head, its fields by key, its derived figures as texts."""

    condition: str
    head: ConditionHead
    fields: dict[str, QuantityField | ChoiceField] = field(default_factory=dict)
    figures: tuple[str, ...] = ("",) * len(DERIVED)


class _Cells(QWidget):
    """The part that scrolls: heads, fields and derived figures."""

    def __init__(self, table: ConditionsTable) -> None:
        super().__init__(table)
        self._table = table

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the derived figures."""
        painter = QPainter(self)
        self._table.paint_figures(painter)
        painter.end()


class ConditionsTable(QWidget):
    """A view of the conditions of one circuit; every entry is one command."""

    rearranged = Signal()
    """Fields came or went: the tab order is another one."""

    marked = Signal()
    """An entry was refused, or no longer is."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.letters = Lettering()
        self._columns: list[_Column] = []
        self._circuit: Circuit | None = None
        self._unfolded = False
        self._rows: tuple[StatedRow, ...] = ()
        self._stale = ""
        self._plan: Plan | None = None
        self._planned_width = -1
        self._naming: NameEditor | None = None
        self._cells = _Cells(self)
        self._bar = QScrollBar(Qt.Orientation.Horizontal, self)
        self._bar.setAccessibleName("Scroll the conditions")
        self._bar.valueChanged.connect(self._place)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    # What it shows

    def fields(self) -> Iterator[QuantityField | ChoiceField]:
        """Yield every field, column by column."""
        for column in self._columns:
            yield from column.fields.values()

    def field(self, condition: str, key: str) -> QuantityField | ChoiceField:
        """Return the field of one value of a condition."""
        return next(column.fields[key] for column in self._columns if column.condition == condition)

    def head(self, condition: str) -> ConditionHead:
        """Return the head of a condition's column."""
        return next(column.head for column in self._columns if column.condition == condition)

    def figures(self, condition: str) -> tuple[str, ...]:
        """Return the derived figures of a condition as they are shown."""
        return next(column.figures for column in self._columns if column.condition == condition)

    def labels(self) -> tuple[str, ...]:
        """Return the labels of the rows that are shown."""
        return tuple(line.row.label(self.session.units) for line in self._planned().lines)

    @property
    def stale(self) -> str:
        """What the table says while its figures are not current; empty while they are."""
        return self._stale

    def tab_chain(self) -> Iterator[QWidget]:
        """Yield what takes the focus, condition by condition, top to bottom."""
        for column in self._columns:
            yield column.head
            yield from (column.fields[row.key] for row in self._rows if row.key in column.fields)

    def show_circuit(self, circuit: Circuit, *, unfolded: bool) -> None:
        """Show the conditions of a circuit."""
        self._circuit, self._unfolded = circuit, unfolded
        ids = [condition.id for condition in circuit.conditions]
        changed = ids != [column.condition for column in self._columns]
        if changed:
            self._rebuild(ids)
        rows = tuple(row for row in STATED if self._seen(row))
        if rows != self._rows or changed:
            self._rows = rows
            self._make_fields()
            changed = True
        saturation = _saturation_range(circuit)
        for column, condition in zip(self._columns, circuit.conditions, strict=True):
            for key, cell in column.fields.items():
                if key in _SATURATION and isinstance(cell, QuantityField):
                    cell.restrict(saturation, f"the range in which {circuit.refrigerant} is calculated")
                cell.show_value(getattr(condition, key))
            default = None if condition.evaporating_C is not None else evaporating_of(condition)
            self._quantity(column, "evaporating_C").show_default(default)
            if "isentropic_efficiency" in column.fields:
                usual = circuit.compressor.isentropic_efficiency
                self._quantity(column, "isentropic_efficiency").show_default(usual)
        self.show_chosen()
        if changed:
            self.rearranged.emit()
        self._arrange()

    def show_chosen(self) -> None:
        """Show which condition is the chosen one."""
        if self._circuit is None:
            return
        for index, (column, condition) in enumerate(zip(self._columns, self._circuit.conditions, strict=True)):
            column.head.show_condition(condition.title, index == self.session.condition)

    def show_result(self, found: CircuitResult | None, stale: str) -> None:
        """Show the derived figures of the last good result; ``stale`` says why they are not of what stands above."""
        known = {} if found is None else {c.id: index for index, c in enumerate(found.circuit.conditions)}
        session, changed = self.session, stale != self._stale
        self._stale = stale
        arrays = [row.figures(found.conditions) for row in DERIVED] if found is not None else []
        for column in self._columns:
            index = known.get(column.condition)
            values = [float("nan")] * len(DERIVED) if index is None else [float(array[index]) for array in arrays]
            figures = tuple(
                display(row.kind, value, session.units, atmosphere_Pa=session.atmosphere_Pa)
                for row, value in zip(DERIVED, values, strict=True)
            )
            if figures != column.figures:
                changed = True
                column.figures = figures
                told = ", ".join(
                    f"{row.label(session.units)} {text}" for row, text in zip(DERIVED, figures, strict=True)
                )
                column.head.setAccessibleDescription(told)
        if changed:
            self._arrange()
            self._cells.update()

    def show_trouble(self, reasons: Mapping[tuple[str, str], str]) -> None:
        """Mark the values that keep the circuit from being calculated."""
        for column in self._columns:
            for key, cell in column.fields.items():
                cell.show_trouble(reasons.get((column.condition, key), ""))

    def retell(self) -> None:
        """Show the same in other units."""
        for cell in self.fields():
            if isinstance(cell, EntryField):
                cell.retell()
        self._arrange()

    def release(self) -> None:
        """Let no field commit any more."""
        for cell in self.fields():
            cell.release()

    def rename(self, condition: str) -> None:
        """Let the person type another name in the place of a head."""
        self._end_naming()
        column = next(column for column in self._columns if column.condition == condition)
        name = NameEditor(self.session, "Name of the condition", partial(self._named, condition), self._cells)
        name.show_value(column.head.text())
        # Room for a few words, even over a narrow column.
        place, row = column.head.geometry(), self._planned().row
        width = max(place.width(), self.letters.width(self.letters.figure, "Lowest step, winter") + 4 * STEP_px)
        left = max(0, min(place.right() + 1 - width, self._cells.width() - width))
        name.setGeometry(QRect(left, place.bottom() + 1 - row, width, row))
        name.done.connect(self._end_naming)
        name.show()
        name.setFocus()
        name.selectAll()
        self._naming = name

    # How it is laid out

    def hasHeightForWidth(self) -> bool:
        """Tell the layout that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of everything at a width."""
        return self._planned(width).height

    def sizeHint(self) -> QSize:
        """Return the height at the width at hand."""
        return QSize(240, self.heightForWidth(max(self.width(), 120)))

    def minimumSizeHint(self) -> QSize:
        """Return the height at the width at hand."""
        return QSize(80, self.heightForWidth(max(self.width(), 80)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place everything."""
        super().resizeEvent(event)
        self._place()

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font of the desktop."""
        if event.type() in (QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.letters = Lettering()
            self._arrange()
        super().changeEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Scroll to the column that takes the focus."""
        if event.type() is QEvent.Type.FocusIn and isinstance(watched, QWidget):
            self._reveal(watched)
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the labels and the reasons."""
        plan, theme, letters = self._planned(), self.session.theme, self.letters
        painter = QPainter(self)
        for line in plan.lines:
            painter.setFont(letters.prose)
            stated = isinstance(line.row, StatedRow)
            painter.setPen(theme.colour(Ink.INK if stated else Ink.QUIET))
            label = line.row.label(self.session.units)
            painter.drawText(line.label, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, label)
            if line.reason:
                painter.setFont(letters.label)
                painter.setPen(theme.colour(Ink.STOP))
                painter.drawText(line.below, WRAP, line.reason)
        if self._stale:
            painter.setFont(letters.strong)
            painter.setPen(theme.colour(Ink.INK))
            painter.drawText(plan.stale, WRAP, self._stale)
        painter.end()

    def paint_figures(self, painter: QPainter) -> None:
        """Paint the derived figures into the part that scrolls."""
        plan = self._planned()
        font = self.letters.figure
        if self._stale:
            font.setItalic(True)
        painter.setFont(font)
        font.setItalic(False)
        painter.setPen(self.session.theme.colour(Ink.QUIET))
        derived = [line for line in plan.lines if isinstance(line.row, DerivedRow)]
        for index, column in enumerate(self._columns):
            left = index * plan.cell - self._bar.value()
            for line, text in zip(derived, column.figures, strict=True):
                room = QRect(left, line.top, plan.cell - 4, plan.row)
                painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight, text)

    # Inside

    def _quantity(self, column: _Column, key: str) -> QuantityField:
        cell = column.fields[key]
        assert isinstance(cell, QuantityField)
        return cell

    def _seen(self, row: StatedRow) -> bool:
        if not row.folds or self._unfolded:
            return True
        if self._circuit is not None and any(getattr(c, row.key) != row.usual for c in self._circuit.conditions):
            return True
        return any(row.key in column.fields and column.fields[row.key].reason for column in self._columns)

    def _rebuild(self, ids: list[str]) -> None:
        self._end_naming()
        for column in self._columns:
            for widget in (column.head, *column.fields.values()):
                if not isinstance(widget, ConditionHead):
                    widget.release()
                widget.hide()
                widget.deleteLater()
        self._columns = []
        for name in ids:
            head = ConditionHead(self.session, self._cells)
            head.clicked.connect(partial(self._choose, name))
            head.rename_wanted.connect(partial(self.rename, name))
            head.installEventFilter(self)
            head.show()
            self._columns.append(_Column(name, head))

    def _make_fields(self) -> None:
        keys = {row.key for row in self._rows}
        for column in self._columns:
            for row in self._rows:
                if row.key not in column.fields:
                    column.fields[row.key] = self._made(column.condition, row)
            for key, cell in column.fields.items():
                cell.setVisible(key in keys)

    def _made(self, condition: str, row: StatedRow) -> QuantityField | ChoiceField:
        commit = partial(self._entered, condition, row.key)
        cell: QuantityField | ChoiceField
        if row.kind is None:
            cell = ChoiceField(self.session, row.words, SUBCOOLING_PLACES, commit, row.tip, self._cells)
        else:
            within = range_of("condition", row.key)
            cell = QuantityField(
                self.session,
                row.kind,
                row.words,
                commit,
                row.tip,
                within=within,
                optional=row.optional,
                show_unit=False,
                parent=self._cells,
            )
        title = next((c.title for c in self._conditions() if c.id == condition), condition)
        cell.setAccessibleName(f"{row.words}, {title}")
        cell.reason_changed.connect(self._reason_changed)
        cell.installEventFilter(self)
        return cell

    def _conditions(self) -> tuple[Condition, ...]:
        return self._circuit.conditions if self._circuit is not None else ()

    def _entered(self, name: str, key: str, value: Any, merge: bool) -> None:
        circuit = self.session.shown_circuit
        if circuit is None:
            return
        condition = next(c for c in circuit.conditions if c.id == name)
        self.session.do(entered(circuit.id, condition, key, value, self.session.units), merge=merge)

    def _named(self, condition: str, name: str, merge: bool) -> None:
        circuit = self.session.shown_circuit
        if circuit is not None:
            self.session.do(SetConditionFields(circuit.id, condition, (("name", name),)))

    def _end_naming(self) -> None:
        naming, self._naming = self._naming, None
        if naming is not None:
            naming.release()
            naming.hide()
            naming.deleteLater()

    def _choose(self, condition: str, checked: bool = False) -> None:
        ids = [column.condition for column in self._columns]
        self.session.choose_condition(ids.index(condition))

    def _reason_changed(self, reason: str) -> None:
        if self._circuit is not None:
            self._arrange()
        self.marked.emit()

    def _reveal(self, widget: QWidget) -> None:
        plan = self._planned()
        if not plan.scrolls:
            return
        index = next(i for i, c in enumerate(self._columns) if widget is c.head or widget in c.fields.values())
        left = index * plan.cell
        if left < self._bar.value():
            self._bar.setValue(left)
        elif left + plan.cell > self._bar.value() + self._cells.width():
            self._bar.setValue(left + plan.cell - self._cells.width())

    def _arrange(self) -> None:
        before = self._plan.height if self._plan is not None else -1
        self._plan = None
        self._place()
        if self._planned().height != before:
            self.updateGeometry()
        self.update()

    def _place(self) -> None:
        if not self._columns:
            return
        plan = self._planned(self.width())
        bar = self._bar.sizeHint().height() if plan.scrolls else 0
        room = self.width() - plan.left
        self._cells.setGeometry(plan.left, 0, room, plan.height - bar)
        self._bar.setVisible(plan.scrolls)
        self._bar.setGeometry(plan.left, plan.height - bar, room, bar)
        self._bar.setPageStep(room)
        self._bar.setSingleStep(plan.cell)
        self._bar.setMaximum(max(0, len(self._columns) * plan.cell - room) if plan.scrolls else 0)
        tops = {line.row.key: line.top for line in plan.lines if isinstance(line.row, StatedRow)}
        for index, column in enumerate(self._columns):
            left = index * plan.cell - self._bar.value()
            column.head.setGeometry(left + 2 * STEP_px, 0, plan.cell - 2 * STEP_px, plan.head)
            for key, top in tops.items():
                # A gap between columns, so that two lines beneath two fields are two.
                column.fields[key].setGeometry(left + STEP_px, top, plan.cell - STEP_px, plan.row - 1)
        self._cells.update()

    def _planned(self, width: int | None = None) -> Plan:
        width = self.width() if width is None else width
        if self._plan is None or self._planned_width != width:
            self._plan, self._planned_width = self._plan_for(width), width
        return self._plan

    def _plan_for(self, width: int) -> Plan:
        columns = self._columns

        def head_height(cell: int) -> int:
            return max((column.head.height_needed(cell - 2 * STEP_px) for column in columns), default=0)

        content = Content(
            rows=self._rows,
            columns=len(columns),
            figures=[text for column in columns for text in column.figures],
            reasons={row.key: self._reason(row) for row in self._rows},
            stale=self._stale,
            head_height=head_height,
            bar_height=self._bar.sizeHint().height(),
            units=self.session.units,
        )
        return laid_out(content, width, self.letters)

    def _reason(self, row: StatedRow) -> str:
        titles = {condition.id: condition.title for condition in self._conditions()}
        found = [
            (titles.get(column.condition, column.condition), column.fields[row.key].reason)
            for column in self._columns
            if row.key in column.fields and column.fields[row.key].reason
        ]
        if len(self._columns) == 1:
            return "".join(reason for _, reason in found)
        return "\n".join(f"{title}: {reason}" for title, reason in found)


def _saturation_range(circuit: Circuit) -> Range:
    """Return what may be entered as a saturation temperature, [C]."""
    table, file = load(circuit.refrigerant, circuit.blend), range_of("condition", "condensing_C")
    least = table.minimum_saturation_temperature_K - ZERO_CELSIUS_K
    most = table.maximum_saturation_temperature_K - ZERO_CELSIUS_K
    return Range(max(file.least, float(np.round(least, 6))), min(file.most, float(np.round(most, 6))))
