"""A section of like things, each under a head of its own that opens: equipment, lines, rooms."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import Generic, Protocol, TypeVar

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from linesizer.ui.panels.job.fold import Fold
from linesizer.ui.panels.job.form import Form
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.word_button import ButtonRow, WordButton
from linesizer.ui.session import Session


class ItemForm(Form):
    """A form over one thing of a list, found by its id."""

    def __init__(self, session: Session, memory: PanelMemory, kind: str, name: str) -> None:
        super().__init__(session, memory, f"{kind}/{name}")
        self.item = name


class _Item(Protocol):
    @property
    def id(self) -> str: ...


T = TypeVar("T", bound=_Item)
Made = Callable[[str], ItemForm]


class ItemsSection(QWidget, Generic[T]):
    """Heads with forms; subclasses say what a head reads and what a click on it selects."""

    rearranged = Signal()
    """A thing came or went: the tab order is another one."""

    def __init__(
        self, session: Session, memory: PanelMemory, kind: str, made: Made, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.session = session
        self._memory, self._kind, self._made = memory, kind, made
        self.folds: dict[str, Fold] = {}
        self.forms: dict[str, ItemForm] = {}
        self._items = QVBoxLayout()
        self._items.setContentsMargins(0, 0, 0, 0)
        self._items.setSpacing(0)
        self.acts = ButtonRow()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._items)
        column.addWidget(self.acts)

    def act(self, words: str, run: Callable[[], object], tip: str) -> WordButton:
        """Put an act beneath the things."""
        return self.acts.add(WordButton(self.session.theme, words, run, tip))

    # What a subclass says of one thing

    def title(self, item: T) -> str:
        """Return what its head says."""
        raise NotImplementedError

    def about(self, item: T) -> str:
        """Return what its head says quietly."""
        raise NotImplementedError

    def select(self, name: str) -> None:
        """Select it in the other views."""

    def lit(self, name: str) -> bool:
        """Tell whether it is selected."""
        return False

    # What it shows

    def show_items(self, items: Sequence[T]) -> None:
        """Show these things."""
        ids = [item.id for item in items]
        if ids != list(self.folds):
            self._rebuild(ids)
        for item in items:
            fold = self.folds[item.id]
            fold.head.name(self.title(item))
            fold.head.summarise(self.about(item))
            fold.head.light(self.lit(item.id))
            if fold.is_open:
                self.forms[item.id].refresh()

    def show_lit(self) -> None:
        """Show which thing is selected."""
        for name, fold in self.folds.items():
            fold.head.light(self.lit(name))

    def fields(self) -> Iterator[object]:
        """Yield every field."""
        for form in self.forms.values():
            yield from form.fields.values()

    def retell(self) -> None:
        """Show the same in other units."""
        for form in self.forms.values():
            form.retell()

    def release(self) -> None:
        """Let no field commit any more."""
        for form in self.forms.values():
            form.release()

    def _rebuild(self, ids: list[str]) -> None:
        for name in [name for name in self.folds if name not in ids]:
            self.forms.pop(name).release()
            fold = self.folds.pop(name)
            self._items.removeWidget(fold)
            fold.hide()
            fold.deleteLater()
        kept = dict(self.folds)
        self.folds = {}
        for place, name in enumerate(ids):
            fold = kept.get(name) or self._new(name)
            self.folds[name] = fold
            if self._items.indexOf(fold) != place:
                self._items.removeWidget(fold)
                self._items.insertWidget(place, fold)
                # A layout shows what is new only later, and what is new may be wanted at once.
                fold.show()
        self.rearranged.emit()

    def _new(self, name: str) -> Fold:
        form = self._made(name)
        self.forms[name] = form
        fold = Fold(
            self.session, name, form, self._memory, f"{self._kind}/{name}", section=False, first=False, parent=self
        )
        fold.toggled.connect(partial(self._opened, name))
        fold.head.clicked.connect(partial(self._clicked, name))
        return fold

    def _opened(self, name: str, is_open: bool) -> None:
        if is_open:
            self.forms[name].refresh()

    def _clicked(self, name: str, checked: bool = False) -> None:
        self.select(name)
