"""What is wrong or worth knowing, where, by how much, who says so, and what would cure it."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QMenu, QVBoxLayout, QWidget

from linesizer.document.remedies import remedy_command
from linesizer.domain.finding import Finding, Level
from linesizer.ui.panels.finding_words import CAUTION, CHECKED, copied, counts, in_order
from linesizer.ui.panels.findings_model import FindingsModel, key
from linesizer.ui.panels.findings_view import FindingsView
from linesizer.ui.panels.panel import Panel
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session

EMPTY_JOB = (
    "What is wrong with the lines, or worth knowing, stands here: where it is, by how much, which rule says so, and "
    "what would cure it. First say what the unit does and draw a line."
)
NOTHING_YET = "Nothing is checked yet: the job cannot be calculated as it is."


class FindingsPanel(Panel):
    """The findings of the whole job, heaviest first."""

    title = "Findings"
    help_page = "findings"

    place_entered = Signal()
    """The person wants to be at the place of the finding, which is selected now."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.model = FindingsModel()
        self.view = FindingsView(session.theme)
        self.view.setObjectName("findings")
        self.view.setAccessibleName("Findings")
        self.view.setAccessibleDescription("Enter goes to the place of a finding, R carries out its remedy.")
        self.view.setModel(self.model)
        self.view.place_wanted.connect(self._go)
        self.view.entered_place.connect(self._enter)
        self.view.remedy_wanted.connect(self._cure)
        self.view.copy_wanted.connect(self._copy)
        self.view.fold_wanted.connect(self._fold)
        self.view.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.view.customContextMenuRequested.connect(self._offer)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.view)
        self.refresh()

    def refresh(self) -> None:
        """Show the findings of the last good result."""
        session = self.session
        if not session.shown_job.circuits:
            self.say_empty(EMPTY_JOB)
            return
        if session.result is None:
            self.say_empty(NOTHING_YET)
            return
        findings = in_order(session.result.findings)
        if not findings:
            self.model.show((), session.result.job, session.units)
            self.say_empty(f"No findings.\n\n{CHECKED}\n\n{CAUTION}", "none")
            return
        self.show_body()
        at, counted = self._current(), self.model.fold_row == self.view.currentIndex().row() >= 0
        if at is not None and at.level is Level.NOTE:
            # Whoever stands on a note is reading them.
            self.model.fold(folded=False)
        self.view.delegate.letters = self.letters
        self.view.delegate.stale = not session.current
        self.model.show(findings, session.result.job, session.units)
        row = self.model.fold_row if counted else self.model.row_of(key(at) if at is not None else None)
        if row >= 0 and row != self.view.currentIndex().row():
            self.view.setCurrentIndex(self.model.index(row))
        self.view.viewport().update()
        self.set_subtitle(counts(findings))

    def text(self) -> str:
        """Return all findings as text."""
        return "\n\n".join(self._text(finding) for finding in self.model.findings)

    def _current(self) -> Finding | None:
        return self.model.finding_at(self.view.currentIndex().row())

    def _fold(self) -> None:
        self.model.fold(folded=not self.model.folded)

    def _text(self, finding: Finding) -> str:
        job = self.session.result.job if self.session.result is not None else self.session.shown_job
        return copied(finding, job, self.session.units)

    def _go(self, index: QModelIndex) -> None:
        finding = self.model.finding_at(index.row())
        if finding is None:
            return
        self.session.select(Selection(finding.circuit, finding.line, finding.leg))
        circuit = self.session.shown_circuit
        if circuit is not None and finding.condition is not None:
            names = [condition.id for condition in circuit.conditions]
            if finding.condition in names:
                self.session.choose_condition(names.index(finding.condition))

    def _enter(self, index: QModelIndex) -> None:
        self.place_entered.emit()

    def _cure(self, index: QModelIndex) -> None:
        finding = self.model.finding_at(index.row())
        if finding is not None and finding.remedy is not None:
            self.session.try_do(remedy_command(finding.circuit, finding.remedy))

    def _copy(self, index: QModelIndex) -> None:
        finding = self.model.finding_at(index.row())
        if finding is not None:
            QGuiApplication.clipboard().setText(self._text(finding))

    def _copy_all(self) -> None:
        QGuiApplication.clipboard().setText(self.text())

    def _offer(self, at: QPoint) -> None:
        menu = self.menu(self.view.indexAt(at))
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self.view.viewport().mapToGlobal(at))

    def menu(self, index: QModelIndex) -> QMenu:
        """Return what can be done with the finding of a row, and with all of them."""
        menu = QMenu(self)
        if index.isValid():
            self.view.setCurrentIndex(index)
        finding = self.model.finding_at(index.row())
        if finding is not None:
            menu.addAction("Go to its place\tEnter", self._go_current)
            if finding.remedy is not None:
                menu.addAction(f"{finding.remedy.label}\tR", self._cure_current)
            menu.addAction("Copy\tCtrl+C", self._copy_current)
        elif index.isValid():
            menu.addAction("Show the notes\tEnter" if self.model.folded else "Fold the notes away\tEnter", self._fold)
        menu.addAction("Copy all", self._copy_all)
        return menu

    def _go_current(self) -> None:
        self._go(self.view.currentIndex())

    def _cure_current(self) -> None:
        self._cure(self.view.currentIndex())

    def _copy_current(self) -> None:
        self._copy(self.view.currentIndex())
