"""The section of the lines: what each carries, what it is built from; the route itself is drawn on the sheet."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QMenu, QWidget

from linesizer.catalog.tubes import tube_catalogue, tube_ids
from linesizer.checks.not_calculated import CALCULATED_SERVICES
from linesizer.document.commands.delete import DeleteLine
from linesizer.document.commands.line import AddLine, SetLineFields
from linesizer.document.commands.size import SetLineSize, SetLineTube
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import line_geometry
from linesizer.domain.route import Line, Service
from linesizer.storage.ranges import Range, range_of
from linesizer.ui.fields.choice import Choice
from linesizer.ui.panels.job.amounts import short
from linesizer.ui.panels.job.end_rows import EndRows
from linesizer.ui.panels.job.fold import Fold
from linesizer.ui.panels.job.form import Field
from linesizer.ui.panels.job.items import ItemForm, ItemsSection
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.word_button import WordButton
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.units import Kind

_DRAWN_ONLY = frozenset(Service) - frozenset(CALCULATED_SERVICES)
_SERVICES = tuple(
    Choice(service, service.value, "drawn, not calculated yet" if service in _DRAWN_ONLY else "") for service in Service
)


class LineForm(ItemForm):
    """Everything about one line but its route."""

    def __init__(self, session: Session, memory: PanelMemory, name: str) -> None:
        super().__init__(session, memory, "lines", name)
        line = self.of("line", self._value, self._set)
        line.choice("service", "Carries", _SERVICES, "What the line carries.")
        line.choice(
            "tube",
            "Tube",
            tuple(Choice(name, tube_catalogue(name).label) for name in tube_ids()),
            "The standard that the tube is made to; its sizes, walls and ratings come from it. With another one, "
            "sizes become those with the nearest bore.",
        )
        self.sizes = line.choice(
            "default_size",
            "Size",
            (),
            "The size of every leg that has none of its own. Choosing one here builds the whole line in it.",
        )
        self.rating = line.quantity(
            "listed_rating_Pa",
            "Listed rating",
            Kind.PRESSURE,
            "A gauge rating that the maker of the tube or the joints lists; it replaces the calculated one, and every "
            "output says so. Put its source into the notes.",
            optional=True,
            within=Range(),
            usual=None,
        )
        self.rating.show_default("calculated")
        self.ends = EndRows(session)
        self.put(self.ends)
        self.end(
            WordButton(
                session.theme, "Delete", self._delete, "Take the line away with all its legs.", named=f"Delete {name}"
            )
        )

    def refresh(self) -> None:
        """Show the line."""
        line = self._line()
        if line is None:
            return
        sizes = tuple(Choice(row.size, row.size) for row in tube_catalogue(line.tube).sizes)
        self.sizes.offer((Choice(None, "open", "by leg, or sized"), *sizes))
        listed, air_Pa = range_of("line", "listed_rating_Pa"), self.session.atmosphere_Pa
        self.rating.restrict(Range(listed.least + air_Pa, listed.most + air_Pa))
        self.rating.show_note("listed, not calculated" if line.listed_rating_Pa is not None else "")
        self.ends.refresh(self._circuit(), line)
        super().refresh()

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by their keys, those of the ends by their nodes."""
        return {**super().fields, **self.ends.fields}

    def release(self) -> None:
        """Let no field commit any more: the form goes away."""
        self.ends.release()
        super().release()

    def _line(self) -> Line | None:
        circuit = self.session.shown_circuit
        found = circuit.lines if circuit is not None else ()
        return next((line for line in found if line.id == self.item), None)

    def _circuit(self) -> Circuit:
        circuit = self.session.shown_circuit
        assert circuit is not None
        return circuit

    def _value(self, key: str) -> Any:
        value = getattr(self._line(), key)
        if key == "listed_rating_Pa" and value is not None:
            # Stored above the air, unlike every other pressure.
            return value + self.session.atmosphere_Pa
        return value

    def _set(self, key: str, value: Any, merge: bool) -> None:
        circuit = self._circuit().id
        if key == "tube":
            self.session.do(SetLineTube(circuit, self.item, value))
        elif key == "default_size":
            self.session.do(SetLineSize(circuit, self.item, value))
        else:
            if key == "listed_rating_Pa" and value is not None:
                value = value - self.session.atmosphere_Pa
            self.session.do(SetLineFields(circuit, self.item, ((key, value),)), merge=merge)

    def _delete(self) -> None:
        self.session.try_do(DeleteLine(self._circuit().id, self.item))


class LinesSection(ItemsSection[Line]):
    """The lines of the shown circuit."""

    def __init__(self, session: Session, memory: PanelMemory, parent: QWidget | None = None) -> None:
        super().__init__(session, memory, "lines", partial(LineForm, session, memory), parent)
        self.add = self.act("Add a line…", self._offer, "Add a line; it waits at its equipment for its first leg.")
        self.menu = QMenu(self)
        for service in Service:
            words = service.value.capitalize() + (", drawn but not calculated yet" if service in _DRAWN_ONLY else "")
            self.menu.addAction(words).setData(service.value)
        self.menu.triggered.connect(self._added)

    def _new(self, name: str) -> Fold:
        fold = super()._new(name)
        form = self.forms[name]
        if isinstance(form, LineForm):
            form.ends.rearranged.connect(self.rearranged)
        return fold

    def refresh(self, circuit: Circuit) -> None:
        """Show the lines of a circuit."""
        self.show_items(circuit.lines)

    def summary(self, circuit: Circuit) -> str:
        """Return what the folded section says."""
        return ", ".join(line.id for line in circuit.lines)

    def title(self, item: Line) -> str:
        """Return its id and what it carries."""
        return f"{item.id}, {item.service.value}"

    def about(self, item: Line) -> str:
        """Return its size and length."""
        if not item.legs:
            return "no legs yet"
        sizes = {leg.size or item.default_size for leg in item.legs if leg.double_riser is None}
        size = "size open" if sizes == {None} else next(iter(sizes)) if len(sizes) == 1 else "several sizes"
        length = short(Kind.LENGTH, line_geometry(item).length_m, self.session.units)
        return f"{size}, {length}" if sizes else length

    def select(self, name: str) -> None:
        """Select the line."""
        circuit = self.session.shown_circuit
        if circuit is not None:
            self.session.select(Selection(circuit.id, name))

    def lit(self, name: str) -> bool:
        """Tell whether the line is selected."""
        circuit, selection = self.session.shown_circuit, self.session.selection
        return circuit is not None and selection.circuit == circuit.id and selection.line == name

    def _offer(self) -> None:
        self.menu.popup(self.add.mapToGlobal(QPoint(0, self.add.height())))

    def _added(self, action: Any) -> None:
        circuit = self.session.shown_circuit
        if circuit is None:
            return
        before = {line.id for line in circuit.lines}
        tube = circuit.lines[0].tube if circuit.lines else "ASTM-B280-drawn"
        if self.session.try_do(AddLine(circuit.id, Service(action.data()), tube)):
            shown = self.session.shown_circuit
            added = next(line.id for line in shown.lines if line.id not in before) if shown is not None else None
            if added is not None:
                self.select(added)
