"""What the window's views share: the open document, its result, what is selected, units and look."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from linesizer.document.change import Change
from linesizer.document.command import Command
from linesizer.document.document import Document
from linesizer.domain.circuit import Circuit
from linesizer.domain.job import Job
from linesizer.domain.result import CircuitResult, LineResult, Result
from linesizer.domain.route import Line
from linesizer.errors import UserError
from linesizer.ui.selection import NOTHING, Selection
from linesizer.ui.theme import Theme
from linesizer.ui.worker import Solved, Worker
from linesizer.units import System, atmospheric_pressure_Pa


class Session(QObject):
    """One window's state beside the document; views read it and are told by its signals, they keep no copies.

    ``shown_job`` is what views draw: the document's job, or during a drag the previewed one.  ``result`` is the last
    good result; it belongs to ``shown_job`` only while ``current`` is True.
    """

    changed = Signal(object)
    """The document's ``Change``, after ``shown_job`` has become the new one and a new result has been asked for."""

    shown = Signal()
    """``shown_job`` is another one: a change, or a step of a preview."""

    solved = Signal()
    """``result``, ``current`` or ``trouble`` is another one."""

    selected = Signal()
    units_changed = Signal()
    condition_chosen = Signal()
    """The condition that single-condition views show."""

    refused = Signal(object)
    """A ``UserError`` that no field of its own can show; the window does."""

    busy = Signal(bool)

    closing = Signal()
    """The window goes: whoever has a thread of its own ends it now."""

    def __init__(self, document: Document, theme: Theme, units: System = "si", parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self.theme = theme
        self._units: System = units
        self._selection = NOTHING
        self._circuit: str | None = None
        self._preview: Job | None = None
        self._result: Result | None = None
        self._current = False
        self._trouble: UserError | None = None
        self._condition = 0
        self._worker = Worker(self)
        self._worker.solved.connect(self._take)
        self._worker.busy.connect(self.busy)
        self._listening = document.listen(self._told)
        self._ask(document.job)

    # The job

    @property
    def job(self) -> Job:
        """The document's job."""
        return self.document.job

    @property
    def shown_job(self) -> Job:
        """The job that views draw: the previewed one during a drag, else the document's."""
        return self._preview if self._preview is not None else self.document.job

    @property
    def previewing(self) -> bool:
        """Whether a drag is under way."""
        return self._preview is not None

    def do(self, command: Command, *, merge: bool = False) -> bool:
        """Carry out a command as one undo step; ``UserError`` where it cannot be, for the asking field to show."""
        try:
            done = self.document.do(command, merge=merge)
        except UserError:
            self.end_preview()
            raise
        if not done:
            self.end_preview()
        return done

    def try_do(self, command: Command, *, merge: bool = False) -> bool:
        """Carry out a command; what keeps it from being done is told through ``refused``, and the answer is False."""
        try:
            return self.do(command, merge=merge)
        except UserError as error:
            self.refused.emit(error)
            return False

    def preview(self, command: Command) -> bool:
        """Show what a command would lead to, push nothing; False where it cannot be done: the last preview stays."""
        try:
            job = self.document.preview(command)
        except UserError:
            return False
        self._preview = job
        self.shown.emit()
        self._ask(job)
        return True

    def end_preview(self) -> None:
        """Show the document's own job again."""
        if self._preview is not None:
            self._preview = None
            self.shown.emit()
            self._ask(self.document.job)

    # The result

    @property
    def result(self) -> Result | None:
        """The last good result, None before the first."""
        return self._result

    @property
    def current(self) -> bool:
        """Whether ``result`` belongs to ``shown_job``."""
        return self._current

    @property
    def trouble(self) -> UserError | None:
        """What keeps ``shown_job`` from having a result."""
        return self._trouble

    def circuit_result(self, circuit: str) -> CircuitResult | None:
        """Return the last good result of a circuit."""
        if self._result is None:
            return None
        return next((found for found in self._result.circuits if found.circuit.id == circuit), None)

    def line_result(self, circuit: str, line: str) -> LineResult | None:
        """Return the last good result of a line."""
        whole = self.circuit_result(circuit)
        return None if whole is None else next((found for found in whole.lines if found.line.id == line), None)

    # What is chosen

    @property
    def selection(self) -> Selection:
        """What is selected."""
        return self._selection

    def select(self, selection: Selection) -> None:
        """Select something, or with ``NOTHING`` nothing."""
        if selection != self._selection:
            self._selection = selection
            self._circuit = selection.circuit or self._circuit
            self.selected.emit()

    def show_next_circuit(self, by: int = 1) -> bool:
        """Show the circuit behind the shown one, or with -1 before it, in a ring; whether there is another."""
        circuits, shown = self.shown_job.circuits, self.shown_circuit
        if shown is None or len(circuits) < 2:
            return False
        self.select(Selection(circuits[(circuits.index(shown) + by) % len(circuits)].id))
        return True

    @property
    def shown_circuit(self) -> Circuit | None:
        """The circuit of the selection, else of the one before, else the first; None in an empty job."""
        circuits = self.shown_job.circuits
        chosen = next((circuit for circuit in circuits if circuit.id == self._circuit), None)
        return chosen or (circuits[0] if circuits else None)

    @property
    def shown_line(self) -> Line | None:
        """The line of the selection, else the first of the shown circuit; None where there is none."""
        circuit = self.shown_circuit
        if circuit is None:
            return None
        chosen = next((line for line in circuit.lines if line.id == self._selection.line), None)
        return chosen or (circuit.lines[0] if circuit.lines else None)

    @property
    def condition(self) -> int:
        """Index of the condition that single-condition views show."""
        circuit = self.shown_circuit
        return min(self._condition, len(circuit.conditions) - 1) if circuit is not None else 0

    def choose_condition(self, index: int) -> None:
        """Choose the condition that single-condition views show."""
        if index != self._condition:
            self._condition = index
            self.condition_chosen.emit()

    @property
    def units(self) -> System:
        """``si`` or ``ip``."""
        return self._units

    def use_units(self, units: System) -> None:
        """Show everything in one system of units; the job does not change."""
        if units != self._units:
            self._units = units
            self.units_changed.emit()

    @property
    def atmosphere_Pa(self) -> float:
        """Air pressure at the site, for gauge pressures."""
        return atmospheric_pressure_Pa(self.shown_job.site.altitude_m)

    def close(self) -> None:
        """End the work on other threads; the window goes away."""
        self._listening.stop()
        self.closing.emit()
        self._worker.close()

    def _told(self, change: Change) -> None:
        self._preview = None
        self._ask(change.after)
        self.shown.emit()
        self.changed.emit(change)

    def _ask(self, job: Job) -> None:
        if not job.circuits:
            self._worker.drop()
            self._result, self._current, self._trouble = None, False, None
            self.solved.emit()
            return
        self._current = False
        self._worker.request(job)
        if not self._current and self._trouble is None:
            self.solved.emit()

    def _take(self, solved: Solved) -> None:
        if solved.result is not None:
            self._result, self._current, self._trouble = solved.result, True, None
        else:
            self._current, self._trouble = False, solved.trouble
        self.solved.emit()
