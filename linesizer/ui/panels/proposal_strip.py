"""What the program proposes for the line of the size table: sizes for an aim, what lies beside them, and the act."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QTimer, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from linesizer.catalog.practice import PracticeSet
from linesizer.document.commands.size import UseProposedSizes
from linesizer.domain.circuit import Circuit
from linesizer.domain.job import Job
from linesizer.domain.proposal import Combination, Objective, SizeProposal
from linesizer.domain.route import Line
from linesizer.drawing.display_list import Ink
from linesizer.output.proposal_words import (
    MEANINGS,
    NOT_FOUND,
    builds_words,
    choice_sentence,
    exclusion_words,
    figure_columns,
    figures_words,
    proposal_sentence,
    size_marks,
    why_no_figure,
)
from linesizer.ui.panels.front_model import FrontDelegate, FrontModel, FrontRow
from linesizer.ui.panels.job.word_button import WordButton
from linesizer.ui.panels.notes import Prose
from linesizer.ui.panels.proposal_worker import ProposalWorker, Wanted
from linesizer.ui.panels.rows_view import RowsView
from linesizer.ui.panels.word_chooser import WordChooser
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

PAUSE_ms = 60
"""What is typed or undone in quick succession is proposed for once."""

FRONT_ROWS = 4
"""Rows of the front that are in sight at once."""

FRONT_COLUMNS = 5
"""Figures of the front: tube, penalty, what is judged beside it, velocity, charge."""

WORDS = {
    Objective.MASS: "tube",
    Objective.CHARGE: "charge",
    Objective.POWER: "power",
    Objective.YEARLY_COST: "yearly cost",
}
OBJECTIVES = tuple(Objective)
ASKS = "Propose for least"
WORKING = "The sizes for line {line} are being worked out."
NOT_CURRENT = "not current: {words}"
USE, USE_NEAREST = "Use these sizes", "Use the nearest"
USE_TIP = "Build every leg of the line so, as one step that can be undone."
FRONT, EXCLUDED = "Tube against penalty ({count})", "What excludes what"
FRONT_TIP = "Sizes that meet every limit, each better than the others in tube or in penalty. A click looks at one."
EXCLUDED_TIP = "How many combinations of sizes each limit excludes, and how near those come that keep every other one."


class ProposalStrip(QWidget):
    """A proposal for one line, worked when it can be seen; greyed and "not current" while it belongs to another job."""

    marks_changed = Signal()
    """Other sizes are proposed, or looked at."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._circuit: Circuit | None = None
        self._line: Line | None = None
        self._practice: PracticeSet | None = None
        self._asked: Wanted | None = None
        self._answered: Wanted | None = None
        self._proposal: SizeProposal | None = None
        self._looked_at: Combination | None = None
        self._objective = Objective.MASS
        self._worker = ProposalWorker(self)
        self._worker.ready.connect(self._take)
        session.closing.connect(self._worker.close)
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_ms)
        self._pause.timeout.connect(self._request)
        session.closing.connect(self._pause.stop)
        theme = session.theme
        self.chooser = WordChooser(theme, tuple((WORDS[one], MEANINGS[one]) for one in OBJECTIVES))
        self.chooser.setAccessibleName(ASKS)
        self.chooser.chosen.connect(self._choose)
        asks = Prose(session)
        asks.say(ASKS)
        asks.setFixedWidth(asks.letters.width(asks.letters.prose, ASKS) + 2 * STEP_px)
        self.words = Prose(session, Ink.INK)
        self.use = WordButton(theme, USE, self._use, USE_TIP, main=True)
        self.more = WordButton(theme, FRONT.format(count=0), self._fold, FRONT_TIP)
        self.excluded = Prose(session)
        self.model = FrontModel()
        self.front = RowsView(theme, stretch=tuple(range(FRONT_COLUMNS)))
        self.front.setObjectName("front")
        self.front.setAccessibleName("Tube against penalty")
        self.front.setAccessibleDescription("One row a choice of sizes. Enter or a click looks at it.")
        self._delegate = FrontDelegate(self.front)
        self.front.setItemDelegate(self._delegate)
        self.front.setModel(self.model)
        self.front.pointing = True
        self.front.taken.connect(self._look_at)
        self._folded = True
        first, last = QHBoxLayout(), QHBoxLayout()
        for row in (first, last):
            row.setContentsMargins(0, 0, 0, 0)
            row.setSpacing(STEP_px)
        first.addWidget(asks)
        first.addWidget(self.chooser, 1)
        last.addWidget(self.use)
        last.addWidget(self.more)
        last.addStretch(1)
        said = QVBoxLayout()
        said.setContentsMargins(4 * STEP_px, 2 * STEP_px, 4 * STEP_px, STEP_px)
        said.setSpacing(STEP_px)
        said.addLayout(first)
        said.addWidget(self.words)
        said.addLayout(last)
        said.addWidget(self.excluded)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(said)
        column.addWidget(self.front)
        self._show()

    # What is shown

    @property
    def proposal(self) -> SizeProposal | None:
        """What is proposed for the line that is shown, maybe for an earlier job."""
        return self._proposal if self._is_of_the_line else None

    @property
    def combination(self) -> Combination | None:
        """The sizes that the words are about: what is looked at, else what is proposed."""
        proposal = self.proposal
        if proposal is None:
            return None
        return self._looked_at if self._looked_at is not None else proposal.chosen

    @property
    def stale(self) -> bool:
        """Whether what is shown belongs to another job or objective than the one that is shown."""
        answered, session = self._answered, self._session
        if answered is None or answered.job is not session.shown_job or not session.current:
            return True
        return not answered.same(self._asked)

    @property
    def waiting(self) -> bool:
        """Whether an answer is still to come."""
        return self._asked is not None and not self._asked.same(self._answered)

    def marks(self) -> dict[str, str]:
        """Return what the row of each size says of its place in what is proposed or looked at."""
        combination, proposal, line = self.combination, self.proposal, self._line_answered_for
        if combination is None or proposal is None or line is None or self._practice is None:
            return {}
        word = "nearest" if not proposal.fits else "proposed" if combination is proposal.chosen else "looked at"
        places = size_marks(line, combination, self._practice)
        return {size: f"{word}: {where}" if where else word for size, where in places.items()}

    def show_line(self, circuit: Circuit, line: Line, practice: PracticeSet) -> None:
        """Show the proposal for a line as it is now; ask for it where it can be seen and no drag is under way."""
        session = self._session
        self._circuit, self._line, self._practice = circuit, line, practice
        for index, objective in enumerate(OBJECTIVES):
            gap = why_no_figure(objective, line, circuit, session.shown_job.site)
            self.chooser.name(index, WORDS[objective], gap or MEANINGS[objective])
            self.chooser.allow(index, gap is None)
        if self.chooser.words[OBJECTIVES.index(self._objective)].isEnabled():
            self.chooser.choose(OBJECTIVES.index(self._objective))
        if session.current and not session.previewing and self.isVisible():
            self._ask(Wanted(session.shown_job, circuit.id, line.id, OBJECTIVES[self.chooser.index]))
        self._show()

    @property
    def _line_answered_for(self) -> Line | None:
        """The line as it was in the job that the proposal is for: legs may have gone since, or come."""
        answered = self._answered
        lines = () if answered is None else _lines(answered.job, answered.circuit)
        return next((line for line in lines if answered is not None and line.id == answered.line), None)

    @property
    def _is_of_the_line(self) -> bool:
        answered, circuit, line = self._answered, self._circuit, self._line
        if answered is None or circuit is None or line is None:
            return False
        return (answered.circuit, answered.line) == (circuit.id, line.id)

    def _show(self) -> None:
        proposal, line, practice = self.proposal, self._line, self._practice
        combination, stale, system = self.combination, self.stale, self._session.units
        if line is None or practice is None:
            return
        fits = proposal is not None and proposal.fits
        self._say(line, practice)
        _name(self.use, USE if fits or proposal is None else USE_NEAREST)
        built = combination is not None and _built_so(line, combination)
        self.use.setEnabled(combination is not None and not stale and not built)
        self.use.setToolTip("The line is built so." if built else USE_TIP)
        count = len(proposal.front) if proposal is not None else 0
        _name(self.more, FRONT.format(count=count) if fits else EXCLUDED)
        self.more.setToolTip(FRONT_TIP if fits else EXCLUDED_TIP)
        has_more = count > 1 or (proposal is not None and not fits)
        self.more.setVisible(has_more)
        opened = has_more and not self._folded
        self.front.setVisible(opened and fits)
        self.excluded.setVisible(opened and not fits)
        line = self._line_answered_for
        if proposal is None or line is None or not opened:
            return
        self._delegate.stale = stale
        self.excluded.say(exclusion_words(proposal, system)[0])
        if fits:
            columns = figure_columns(line.service, proposal.chosen)[:FRONT_COLUMNS]
            rows = tuple(
                FrontRow(one, builds_words(line, one, practice, system, seals=False), self._what(one, proposal))
                for one in proposal.front
            )
            self.model.show(columns, rows, system)
            self._fit_front()

    def _say(self, line: Line, practice: PracticeSet) -> None:
        proposal, combination, system = self.proposal, self.combination, self._session.units
        then = self._line_answered_for
        if proposal is None or combination is None or then is None:
            waiting = self.waiting or self._asked is None
            self.words.say((WORKING if waiting else NOT_FOUND).format(line=line.id), ink=Ink.QUIET)
            self.words.setToolTip("")
            return
        if combination is proposal.chosen:
            words = " ".join(filter(None, (proposal_sentence(then, proposal, practice, system), self._way_out)))
        else:
            words = choice_sentence(then, combination, practice, system)
        if self.stale:
            self.words.say(NOT_CURRENT.format(words=words), ink=Ink.QUIET)
        else:
            self.words.say(words, ink=Ink.INK)
        self.words.setToolTip("\n".join(figures_words(then, combination, practice, system)))

    @property
    def _way_out(self) -> str:
        return "" if self._proposal is None else exclusion_words(self._proposal, self._session.units)[1]

    def _what(self, one: Combination, proposal: SizeProposal) -> str:
        if self._looked_at is not None and one.sizes == self._looked_at.sizes:
            return "looked at"
        return "proposed" if one.sizes == proposal.chosen.sizes else ""

    def _fit_front(self) -> None:
        head = self.front.header().sizeHint().height() + 2
        rows = [self.front.sizeHintForIndex(self.model.index(row, 0)).height() for row in range(self.model.rowCount())]
        self.front.setMinimumHeight(head + sum(rows[:1]))
        self.front.setMaximumHeight(head + sum(rows[:FRONT_ROWS]))
        self.front.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Part the strip from the table above it."""
        painter = QPainter(self)
        painter.setPen(QPen(self._session.theme.colour(Ink.RULE), 1))
        painter.drawLine(0, 0, self.width(), 0)
        painter.end()

    # Asking and acting

    def _ask(self, wanted: Wanted) -> None:
        if wanted.same(self._asked):
            return
        self._asked = wanted
        if self._worker.quick(wanted):
            self._request()
        else:
            self._pause.start()

    def _request(self) -> None:
        if self._asked is not None and not self._asked.same(self._answered):
            self._worker.request(self._asked)

    def _take(self, wanted: Wanted, proposal: SizeProposal | None) -> None:
        same_line = self._answered is not None and (wanted.circuit, wanted.line) == (
            self._answered.circuit,
            self._answered.line,
        )
        kept = self._looked_at
        self._answered, self._proposal, self._looked_at = wanted, proposal, None
        if kept is not None and same_line and proposal is not None:
            self._looked_at = next((one for one in proposal.front if one.sizes == kept.sizes), None)
        self._show()
        self.marks_changed.emit()

    def _choose(self, index: int) -> None:
        self._objective = OBJECTIVES[index]
        self._looked_at = None
        if self._circuit is not None and self._line is not None and self._practice is not None:
            self.show_line(self._circuit, self._line, self._practice)

    def _look_at(self, index: QModelIndex) -> None:
        one = self.model.rows[index.row()].combination
        proposal = self.proposal
        self._looked_at = None if proposal is None or one.sizes == proposal.chosen.sizes else one
        self._show()
        self.marks_changed.emit()

    def _fold(self) -> None:
        self._folded = not self._folded
        self._show()

    def _use(self) -> None:
        combination, circuit, line = self.combination, self._circuit, self._line
        if combination is not None and circuit is not None and line is not None and not self.stale:
            self._session.try_do(UseProposedSizes(circuit.id, line.id, combination.sizes))


def _built_so(line: Line, combination: Combination) -> bool:
    """Tell whether a line is built from these sizes already."""
    sizes = dict(combination.sizes)
    return all((leg.double_riser or leg.size or line.default_size) == sizes.get(leg.id) for leg in line.legs)


def _name(button: WordButton, words: str) -> None:
    if button.text() != words:
        button.setText(words)
        button.setAccessibleName(words)
        button.updateGeometry()


def _lines(job: Job, circuit: str) -> tuple[Line, ...]:
    return next((found.lines for found in job.circuits if found.id == circuit), ())
