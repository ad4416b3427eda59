"""The job panel: everything that a person states, section by section, and what follows from it for each condition."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from linesizer.document.change import Change, ChangeKind
from linesizer.domain.circuit import Circuit
from linesizer.ui.fields.choice import Choice, ChoiceField
from linesizer.ui.fields.entry import EntryField
from linesizer.ui.fields.row import FieldRow
from linesizer.ui.fields.text import NotesField
from linesizer.ui.panels.job.conditions_section import ConditionsSection
from linesizer.ui.panels.job.equipment_section import EquipmentSection
from linesizer.ui.panels.job.fold import Fold
from linesizer.ui.panels.job.info_section import InfoSection
from linesizer.ui.panels.job.lines_section import LinesSection
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.new_job_form import NewJobForm
from linesizer.ui.panels.job.practice_section import PracticeSection
from linesizer.ui.panels.job.refrigerant_choice import named_refrigerant
from linesizer.ui.panels.job.site_section import SiteSection
from linesizer.ui.panels.job.tab_order import chain
from linesizer.ui.panels.job.trouble import troubled_fields
from linesizer.ui.panels.job.unit_section import UnitSection
from linesizer.ui.panels.panel import Panel
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

_REFUSED = "not current: an entry above is not taken yet"
_OUTDATED = "not current"


class JobPanel(Panel):
    """What the job states; every edit is one command, every figure that follows is quiet."""

    title = "Job"
    help_page = "job"

    sample_wanted = Signal()
    """The person would rather look at a sample first."""

    def __init__(self, session: Session, parent: QWidget | None = None, memory: PanelMemory | None = None) -> None:
        super().__init__(session, parent)
        memory = memory or PanelMemory()
        self.unit = UnitSection(session, memory)
        self.conditions = ConditionsSection(session, memory)
        self.equipment = EquipmentSection(session, memory)
        self.lines = LinesSection(session, memory)
        self.site = SiteSection(session, memory)
        self.practice = PracticeSection(session, memory)
        self.info = InfoSection(session, memory)
        self.new_job = NewJobForm(session, memory)
        self.new_job.sample_wanted.connect(self.sample_wanted)
        self.circuits = ChoiceField(
            session, "Circuit", (), self._circuit_chosen, "Which circuit the panel and the other views show."
        )
        self._circuits_row = FieldRow(session, "Circuit", self.circuits)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(4 * STEP_px, STEP_px, 4 * STEP_px, 4 * STEP_px)
        column.setSpacing(STEP_px)
        column.addWidget(self._circuits_row)
        self.folds: dict[str, Fold] = {}
        for words, section, first in (
            ("Unit", self.unit, True),
            ("Conditions", self.conditions, True),
            ("Equipment", self.equipment, True),
            ("Lines", self.lines, True),
            ("Site", self.site, False),
            ("Practice", self.practice, False),
            ("Job", self.info, False),
        ):
            name = words.lower()
            fold = Fold(session, words, section, memory, f"section/{name}", first=first)
            fold.toggled.connect(self._order)
            self.folds[name] = fold
            column.addWidget(fold)
        column.addStretch(1)
        beginning = QWidget()
        column = QVBoxLayout(beginning)
        column.setContentsMargins(4 * STEP_px, STEP_px, 4 * STEP_px, 4 * STEP_px)
        column.addWidget(self.new_job)
        self._scroll, self._beginning = _scrolled(inside), _scrolled(beginning)
        whole = QVBoxLayout(self.body)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._scroll)
        whole.addWidget(self._beginning)
        for section in (self.equipment, self.lines, self.site, self.practice):
            section.rearranged.connect(self._order)
        self.conditions.table.rearranged.connect(self._order)
        self.conditions.table.marked.connect(self._show_figures)
        session.shown.connect(self.refresh_if_seen)
        session.changed.connect(self._changed)
        session.units_changed.connect(self._retell)
        self._shown: tuple[object, ...] = ()
        self._altitude_m: float | None = None
        self._circuit_id: str | None = None
        self.show_body()
        self.refresh()
        self._order()

    def refresh(self) -> None:
        """Show the session as it is; what did not change since the last time costs nothing."""
        session = self.session
        job, circuit = session.shown_job, session.shown_circuit
        empty = circuit is None
        self._beginning.setVisible(empty)
        self._scroll.setVisible(not empty)
        if circuit is None:
            self.new_job.refresh()
            self.set_subtitle("new")
            self._shown = ()
            return
        if job.site.altitude_m != self._altitude_m:
            # Gauge pressures count from the air at the site.
            self._altitude_m = job.site.altitude_m
            self._retell_fields()
        shown = (job, circuit, session.units)
        if len(self._shown) != len(shown) or any(a is not b for a, b in zip(shown, self._shown, strict=True)):
            self._shown = shown
            self._show_job(circuit)
        self.conditions.table.show_chosen()
        self.equipment.show_lit()
        self.lines.show_lit()
        self._show_figures()

    def fields(self) -> Iterator[QWidget]:
        """Yield every field of the panel."""
        for kind in (EntryField, ChoiceField, NotesField):
            yield from self.findChildren(kind)

    def name_circuit(self) -> None:
        """Bring the keyboard to the name of the shown circuit."""
        self.folds["unit"].open()
        field = self.unit.fields["name"]
        self._scroll.ensureWidgetVisible(field)
        field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _show_job(self, circuit: Circuit) -> None:
        job = self.session.shown_job
        if circuit.id != self._circuit_id:
            # What could not be taken for the other circuit is not this one's.
            self._circuit_id = circuit.id
            for field in self.fields():
                field.restore()  # type: ignore[attr-defined]  # every field can
        self._circuits_row.setVisible(len(job.circuits) > 1)
        self.circuits.offer(tuple(Choice(item.id, item.title, named_refrigerant(item)) for item in job.circuits))
        self.circuits.show_value(circuit.id)
        self.unit.refresh()
        self.conditions.refresh(circuit)
        self.equipment.refresh(circuit)
        self.lines.refresh(circuit)
        self.site.refresh()
        self.practice.refresh()
        self.info.refresh()
        for name, summary in (
            ("unit", self.unit.summary(circuit)),
            ("conditions", self.conditions.summary(circuit)),
            ("equipment", self.equipment.summary(circuit)),
            ("lines", self.lines.summary(circuit)),
            ("site", self.site.summary(job.site)),
            ("practice", self.practice.summary(job.practice)),
            ("job", self.info.summary(job.info)),
        ):
            self.folds[name].head.summarise(summary)
        self.set_subtitle(circuit.title if len(job.circuits) > 1 else "")

    def _show_figures(self) -> None:
        session, circuit = self.session, self.session.shown_circuit
        if circuit is None:
            return
        table = self.conditions.table
        table.show_trouble(troubled_fields(circuit, session.trouble))
        refused = any(field.refused for field in table.fields())
        stale = _REFUSED if refused else "" if session.current else _OUTDATED if session.trouble is not None else ""
        table.show_result(session.circuit_result(circuit.id), stale)

    def _changed(self, change: Change) -> None:
        if change.kind in (ChangeKind.NEW, ChangeKind.OPENED):
            # What stands half entered belongs to the job that is gone.
            self.new_job.clear()
            for field in self.fields():
                field.restore()  # type: ignore[attr-defined]  # every field can
            self.new_job.refresh()

    def _retell(self) -> None:
        self._retell_fields()
        self._shown = ()
        self.refresh_if_seen()

    def _retell_fields(self) -> None:
        for section in (self.unit, self.equipment, self.lines, self.site, self.practice, self.info, self.new_job):
            section.retell()
        self.conditions.table.retell()

    def _circuit_chosen(self, circuit: str, merge: bool) -> None:
        self.session.select(Selection(circuit))

    def _order(self) -> None:
        chain(self)


def _scrolled(inside: QWidget) -> QScrollArea:
    area = QScrollArea()
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setWidgetResizable(True)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(inside)
    return area
