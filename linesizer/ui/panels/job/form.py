"""Rows of fields over the objects of the job: each reads one value and writes it by one command."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeAlias

from PySide6.QtWidgets import QVBoxLayout, QWidget

from linesizer.storage.ranges import Range, range_of
from linesizer.ui.fields.choice import Choice, ChoiceField
from linesizer.ui.fields.entry import EntryField
from linesizer.ui.fields.number import NumberField
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.fields.row import FieldRow
from linesizer.ui.fields.sizes import SizesField
from linesizer.ui.fields.switch import SwitchField
from linesizer.ui.fields.text import DateField, NotesField, TextField
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.word_button import ButtonRow, WordButton
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px
from linesizer.units import Kind

Field: TypeAlias = EntryField | ChoiceField | SwitchField | NotesField
Read: TypeAlias = Callable[[str], Any]
Write: TypeAlias = Callable[[str, Any, bool], object]

_ALWAYS = object()


@dataclass(eq=False, slots=True)
class _Bound:
    """A field, its row, how its value is read, and when the row is seen."""

    key: str
    row: QWidget
    field: Field
    read: Callable[[], Any]
    usual: Any
    """The value with which the row may stay folded away; ``_ALWAYS`` for a row that is always seen."""
    applies: Callable[[], bool] | None


class Form(QWidget):
    """Rows one below the other; what is rarely used folds away under "More" until it holds something unusual."""

    def __init__(self, session: Session, memory: PanelMemory, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self._memory = memory
        self._name = name
        self._bound: list[_Bound] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._rest = ButtonRow()
        self._more: WordButton | None = None

    # How it is made

    def of(self, owner: str, read: Read, write: Write) -> Binder:
        """Return what makes rows over one object; ``owner`` is its word in the job file."""
        return Binder(self, owner, read, write)

    def bind(
        self,
        key: str,
        row: QWidget,
        field: Field,
        read: Callable[[], Any],
        *,
        usual: Any = _ALWAYS,
        applies: Callable[[], bool] | None = None,
    ) -> None:
        """Add a row."""
        self._bound.append(_Bound(key, row, field, read, usual, applies))
        self._column.addWidget(row)

    def put(self, widget: QWidget) -> None:
        """Add something that is no field, or binds fields of its own."""
        self._column.addWidget(widget)

    def place_spaced(self, widget: QWidget) -> None:
        """Add something that is no field, with a gap before it."""
        self._column.addSpacing(3 * STEP_px)
        self._column.addWidget(widget)

    def show_act(self, act: WordButton, shown: bool) -> None:
        """Show one of the acts at the end, or not."""
        self._rest.show_button(act, shown)

    def end(self, *acts: WordButton) -> None:
        """Close the form with "More", where rows fold away, and other acts."""
        if any(bound.usual is not _ALWAYS for bound in self._bound):
            tip = "Show what is rarely needed. A value that is not the usual one is always shown."
            self._more = self._rest.add(WordButton(self.session.theme, "More", self._turn, tip))
        for act in acts:
            self._rest.add(act)
        if self._more is not None or acts:
            self._column.addWidget(self._rest)

    # What it shows

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by their keys."""
        return {bound.key: bound.field for bound in self._bound}

    def refresh(self) -> None:
        """Show the values of the shown job."""
        unfolded = self._memory.is_open(f"{self._name}/more", False)
        for bound in self._bound:
            applies = bound.applies is None or bound.applies()
            value = bound.read()
            bound.field.show_value(value)
            bound.row.setVisible(
                applies and (unfolded or bound.usual is _ALWAYS or value != bound.usual or bool(bound.field.reason))
            )
        if self._more is not None:
            self._more.setText("Less" if unfolded else "More")

    def retell(self) -> None:
        """Show the same in other units."""
        for bound in self._bound:
            if isinstance(bound.field, EntryField):
                bound.field.retell()

    def release(self) -> None:
        """Let no field commit any more: the form goes away."""
        for bound in self._bound:
            bound.field.release()

    def _turn(self) -> None:
        name = f"{self._name}/more"
        self._memory.keep(name, not self._memory.is_open(name, False))
        self.refresh()


@dataclass(frozen=True, slots=True)
class Binder:
    """Makes the rows of one object in a form."""

    form: Form
    owner: str
    read: Read
    write: Write

    def quantity(
        self,
        key: str,
        words: str,
        kind: Kind,
        tip: str,
        *,
        optional: bool = False,
        within: Range | None = None,
        read: Callable[[], Any] | None = None,
        **seen: Any,
    ) -> QuantityField:
        """Add a quantity, within the job file's range of it."""
        session = self.form.session
        field = QuantityField(
            session,
            kind,
            words,
            partial(self.write, key),
            tip,
            within=range_of(self.owner, key) if within is None else within,
            optional=optional,
        )
        self._add(key, words, field, read, seen)
        return field

    def number(self, key: str, words: str, tip: str, *, optional: bool = False, **seen: Any) -> NumberField:
        """Add a number that has no unit, or one that no conversion applies to."""
        field = NumberField(
            self.form.session,
            words,
            partial(self.write, key),
            tip,
            within=range_of(self.owner, key),
            optional=optional,
        )
        self._add(key, words, field, None, seen)
        return field

    def text(
        self, key: str, words: str, tip: str, *, optional: bool = False, date: bool = False, **seen: Any
    ) -> TextField:
        """Add a few words, or a date."""
        made = DateField if date else TextField
        field = made(self.form.session, words, partial(self.write, key), tip, optional=optional)
        self._add(key, words, field, None, seen)
        return field

    def sizes(self, key: str, words: str, tip: str, **seen: Any) -> SizesField:
        """Add several tube sizes."""
        field = SizesField(self.form.session, words, partial(self.write, key), tip)
        self._add(key, words, field, None, seen)
        return field

    def choice(self, key: str, words: str, choices: tuple[Choice, ...], tip: str, **seen: Any) -> ChoiceField:
        """Add a choice."""
        field = ChoiceField(self.form.session, words, choices, partial(self.write, key), tip)
        self._add(key, words, field, None, seen)
        return field

    def switch(self, key: str, words: str, tip: str, **seen: Any) -> SwitchField:
        """Add a yes or no."""
        field = SwitchField(self.form.session, words, partial(self.write, key), tip)
        self._add(key, words, field, None, seen)
        return field

    def _add(self, key: str, words: str, field: Field, read: Callable[[], Any] | None, seen: dict[str, Any]) -> None:
        row = FieldRow(self.form.session, words, field)
        self.form.bind(key, row, field, read or partial(self.read, key), **seen)
