"""The size table: what every size of the selected line would give, against every limit; a click builds it so."""

from __future__ import annotations

from enum import IntEnum

from PySide6.QtCore import QModelIndex
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from linesizer.catalog.practice import practice_set
from linesizer.checks.not_calculated import line_gaps
from linesizer.document.command import Command
from linesizer.document.commands.size import SetLegSize, SetLineSize, SetRiserSize, risers
from linesizer.domain.circuit import Circuit
from linesizer.domain.result import LineResult
from linesizer.domain.route import Line
from linesizer.ui.panels.notes import Prose
from linesizer.ui.panels.panel import Panel
from linesizer.ui.panels.proposal_strip import ProposalStrip
from linesizer.ui.panels.rows_view import RowsView
from linesizer.ui.panels.size_rows import double_riser_words, size_columns, size_rows
from linesizer.ui.panels.sizes_delegate import SizesDelegate
from linesizer.ui.panels.sizes_model import SizesModel
from linesizer.ui.panels.word_chooser import WordChooser
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

EMPTY_JOB = (
    "Here every tube size of a line stands against its limits. First say what the unit does: its refrigerant, how it "
    "runs, and where its two ends stand."
)
NO_LINE = "This circuit has no line yet. Add one, draw its legs on the sheet, and its sizes stand here."
NO_LEGS = (
    "Line {line} has no legs yet. Draw them on the sheet, or paste rows into the table of legs; its sizes then stand "
    "here."
)
NOT_YET = "No figures for line {line} yet: the job cannot be calculated as it is."


class Scope(IntEnum):
    """What a click in the table applies to."""

    LINE = 0
    LEG = 1
    RISERS = 2


class SizesPanel(Panel):
    """The size table of the line that is selected."""

    title = "Sizes"
    help_page = "size-table"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.model = SizesModel()
        self.view = RowsView(session.theme, stretch=tuple(range(1, 8)))
        self.view.setObjectName("sizes")
        self.view.setAccessibleName("Size table")
        self.view.setAccessibleDescription("One row a size. Enter or a click builds the line, leg or risers in it.")
        self._delegate = SizesDelegate(self.view)
        self.view.setItemDelegate(self._delegate)
        self.view.setModel(self.model)
        self.view.pointing = True
        self.view.taken.connect(self._take)
        self.chooser = WordChooser(
            session.theme,
            (
                ("whole line", "A click on a size builds the whole line in it; sizes of single legs give way."),
                ("leg", "A click on a size builds the selected leg in it."),
                ("all risers", "A click on a size builds every leg that climbs more than it runs in it."),
            ),
        )
        self.chooser.setAccessibleName("A click on a size applies to")
        self._asks = Prose(session)
        self._asks.say("A click sizes")
        self._asks.setFixedWidth(self.letters.width(self.letters.prose, "A click sizes") + 2 * STEP_px)
        row = QHBoxLayout()
        row.setContentsMargins(4 * STEP_px, STEP_px, 4 * STEP_px, STEP_px)
        row.setSpacing(STEP_px)
        row.addWidget(self._asks)
        row.addWidget(self.chooser, 1)
        self.proposals = ProposalStrip(session)
        self.proposals.marks_changed.connect(self._mark)
        self.risers = Prose(session)
        said = QVBoxLayout()
        said.setContentsMargins(4 * STEP_px, 0, 4 * STEP_px, STEP_px)
        said.addWidget(self.risers)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(row)
        column.addLayout(said)
        column.addWidget(self.view, 1)
        column.addWidget(self.proposals)
        self._shown: tuple[str, str] | None = None
        self.refresh()

    @property
    def scope(self) -> Scope:
        """What a click applies to."""
        return Scope(self.chooser.index)

    @property
    def waiting(self) -> bool:
        """Whether a proposal is still to come."""
        return self.proposals.waiting

    def refresh(self) -> None:
        """Show the sizes of the selected line."""
        session = self.session
        circuit, line = session.shown_circuit, session.shown_line
        if circuit is None:
            self.say_empty(EMPTY_JOB)
            return
        if line is None:
            self.say_empty(NO_LINE)
            return
        found = session.line_result(circuit.id, line.id)
        if not line.legs:
            self.say_empty(NO_LEGS.format(line=line.id), line.id)
            return
        if found is None or session.result is None or found.sweep is None:
            self.say_empty(_why_none(circuit, line, found), line.id)
            return
        choice = session.result.job.practice
        practice = practice_set(choice.set, choice.overrides)
        self._delegate.stale = not session.current
        self._name_scopes(line)
        words = double_riser_words(line)
        self.risers.say(words)
        self.risers.setVisible(bool(words))
        self.show_body()
        self.proposals.show_line(circuit, line, practice)
        self._mark()
        whole = session.circuit_result(circuit.id)
        count = len(whole.circuit.conditions) if whole is not None else 0
        worst = f"worst of {count} conditions" if count > 1 else "at the one condition"
        self.set_circuit_subtitle(f"{line.id}, whole line at one size, {worst}")
        if self._shown != (circuit.id, line.id):
            self._shown = (circuit.id, line.id)
            self._show_size_in_use()

    def _mark(self) -> None:
        """Show the rows with what is proposed in each."""
        session = self.session
        circuit, line = session.shown_circuit, session.shown_line
        found = None if circuit is None or line is None else session.line_result(circuit.id, line.id)
        if self.is_empty or line is None or found is None or session.result is None:
            return
        choice = session.result.job.practice
        practice = practice_set(choice.set, choice.overrides)
        self._delegate.proposal_stale = self.proposals.stale
        rows = size_rows(found, line, practice, session.units, self.proposals.marks())
        self.model.show(size_columns(line.service), rows, practice, session.units)
        self.view.viewport().update()

    def _name_scopes(self, line: Line) -> None:
        leg = self.session.selection.leg if any(item.id == self.session.selection.leg for item in line.legs) else None
        self.chooser.name(Scope.LEG, f"leg {leg}" if leg else "selected leg", self.chooser.words[Scope.LEG].toolTip())
        self.chooser.allow(Scope.LEG, leg is not None)
        self.chooser.allow(Scope.RISERS, bool(risers(line)))

    def _show_size_in_use(self) -> None:
        row = next((index for index, row in enumerate(self.model.rows) if row.legs), None)
        if row is None:
            row = next((index for index, row in enumerate(self.model.rows) if row.passes), 0)
        index = self.model.index(row, 0)
        self.view.setCurrentIndex(index)
        self.view.show_in_the_middle(index)

    def _take(self, index: QModelIndex) -> None:
        command = self._command(self.model.rows[index.row()].size)
        if command is not None:
            self.session.try_do(command)

    def _command(self, size: str) -> Command | None:
        circuit, line = self.session.shown_circuit, self.session.shown_line
        if circuit is None or line is None:
            return None
        if self.scope is Scope.LEG and self.session.selection.leg is not None:
            return SetLegSize(circuit.id, line.id, (self.session.selection.leg,), size)
        if self.scope is Scope.RISERS:
            return SetRiserSize(circuit.id, line.id, size)
        return SetLineSize(circuit.id, line.id, size)


def _why_none(circuit: Circuit, line: Line, found: LineResult | None) -> str:
    if found is None:
        return NOT_YET.format(line=line.id)
    gap = next((gap for gap in line_gaps(circuit, line) if gap.whole_line), None)
    what = gap.what if gap is not None else f"Line {line.id}"
    return f"No size table for line {line.id}: {what} is not calculated yet by this version."
