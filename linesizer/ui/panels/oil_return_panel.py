"""Oil return up the risers: every climbing leg at every condition, and how low the load may go."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from linesizer.catalog.practice import practice_set
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import Service
from linesizer.sizing.oil_return_map import OilReturnMap
from linesizer.ui.panels.notes import Prose
from linesizer.ui.panels.panel import Panel
from linesizer.ui.panels.rows_view import RowsView
from linesizer.ui.panels.word_chooser import WordChooser
from linesizer.ui.plots.oil_return import oil_return_rows, worst_words
from linesizer.ui.plots.oil_return_map import OilReturnMapPlot
from linesizer.ui.plots.oil_return_map_worker import MapWorker
from linesizer.ui.plots.oil_return_model import BAR, OilReturnDelegate, OilReturnModel
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

EMPTY_JOB = (
    "How well every riser brings its oil back, at every condition and down to which load, stands here. First say what "
    "the unit does and draw the discharge line."
)
NOTHING_YET = "No oil return yet: the job cannot be calculated as it is."
NO_CLIMB = (
    "No gas leg of this circuit climbs, so gravity brings the oil along. Where the discharge line climbs more than 1 "
    "in 50, each such leg stands here with the least load that still returns its oil."
)
NOT_CALCULATED = "The discharge line is not calculated by this version as it is drawn; the findings say why."
BY_CONDITION, MAP = 0, 1
VIEWS = (
    ("by condition", "Every climbing leg at every condition of the job."),
    (
        "map",
        "The worst riser over cooling and condensing temperature: where oil returns with the margin that practice asks "
        "for and the penalty keeps to its limit, the job's own conditions marked.",
    ),
)
NO_MAP = "There is no map: within the refrigerant's range no head is left above the evaporating temperature."
HEAD = {True: "Oil stays in a riser", False: "Every riser returns its oil"}


class OilReturnPanel(Panel):
    """The climbing gas legs of the shown circuit."""

    title = "Oil return"
    help_page = "oil-return"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.model = OilReturnModel()
        self.view = RowsView(session.theme, stretch=(BAR,), most_extra_px=60 * STEP_px)
        self.view.setObjectName("oil-return")
        self.view.setAccessibleName("Oil return")
        self.view.setAccessibleDescription(
            "One row a climbing leg and condition or corner of the load grid. Enter selects the leg and condition."
        )
        self.delegate = OilReturnDelegate(self.view)
        self.view.setItemDelegate(self.delegate)
        self.view.setModel(self.model)
        self.view.pointing = True
        self.view.wraps = True
        self.view.taken.connect(self._go)
        self.head = Prose(session)
        self.views = WordChooser(session.theme, VIEWS)
        self.views.setAccessibleName("View of oil return")
        self.views.chosen.connect(self._choose_view)
        self.map = OilReturnMapPlot(session.theme)
        self.no_map = Prose(session)
        self.no_map.say(NO_MAP)
        self.pages = QStackedWidget()
        for page in (self.view, self.map, self.no_map):
            self.pages.addWidget(page)
        self._mapped: CircuitResult | None = None
        self._found: OilReturnMap | None = None
        self._maps = MapWorker(self)
        self._maps.ready.connect(self._take_map)
        session.closing.connect(self._maps.close)
        words = QVBoxLayout()
        words.setContentsMargins(4 * STEP_px, STEP_px, 4 * STEP_px, 0)
        words.addWidget(self.views)
        words.addWidget(self.head)
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * STEP_px)
        column.addLayout(words)
        column.addWidget(self.pages, 1)
        self.refresh()

    def refresh(self) -> None:
        """Show the oil return of the last good result."""
        session = self.session
        circuit = session.shown_circuit
        if circuit is None:
            self.say_empty(EMPTY_JOB)
            return
        found = session.circuit_result(circuit.id)
        if found is None or session.result is None:
            self.say_empty(NOTHING_YET)
            return
        choice = session.result.job.practice
        practice = practice_set(choice.set, choice.overrides)
        rows = oil_return_rows(found, practice)
        if not rows:
            self.say_empty(_why_none(found))
            return
        self.delegate.stop = practice.value("oil_return_stop_ratio")
        self.delegate.margin = practice.value("oil_return_margin_ratio")
        self.delegate.stale = not session.current
        selection = session.selection
        chosen = selection.line is not None and selection.leg is not None
        self.delegate.selected = (str(selection.line), str(selection.leg)) if chosen else None
        self.show_body()
        worst = next(row for row in rows if row.worst)
        self.head.say(worst_words(worst, practice, session.units), HEAD[worst.ratio < self.delegate.stop])
        self.model.show(rows, practice, session.units)
        self.view.viewport().update()
        self._refresh_map(found)
        self.set_circuit_subtitle(f"worst: {worst.leg} at {worst.title}, {worst.ratio:.2f}")

    def _choose_view(self, index: int) -> None:
        if index == BY_CONDITION:
            self.pages.setCurrentWidget(self.view)
        self.refresh()

    def _refresh_map(self, found: CircuitResult) -> None:
        """Show the map of the result, worked only when it is looked at and no drag is under way."""
        if self.views.index != MAP or self.session.result is None:
            return
        if found is not self._mapped and not self.session.previewing:
            self._maps.request(self.session.result, found)
        self._show_map()

    def _take_map(self, circuit: CircuitResult, found: OilReturnMap | None) -> None:
        self._mapped, self._found = circuit, found
        self._show_map()

    def _show_map(self) -> None:
        if self.views.index != MAP or self._mapped is None:
            return
        if self._found is None:
            self.pages.setCurrentWidget(self.no_map)
            return
        shown = self.session.shown_circuit
        newest = None if shown is None else self.session.circuit_result(shown.id)
        stale = not self.session.current or newest is not self._mapped
        conditions = self._mapped.circuit.conditions
        self.map.show_map(self._found, conditions, self.delegate.stop, self.session.units, stale=stale)
        self.pages.setCurrentWidget(self.map)

    def _go(self, index: QModelIndex) -> None:
        row, circuit = self.model.rows[index.row()], self.session.shown_circuit
        if circuit is not None:
            self.session.select(Selection(circuit.id, row.line, row.leg))
            if row.condition is not None:
                self.session.choose_condition(row.condition)


def _why_none(result: CircuitResult) -> str:
    gas = [line for line in result.lines if line.line.service is Service.DISCHARGE and line.line.legs]
    return NOT_CALCULATED if gas and any(line.legs is None for line in gas) else NO_CLIMB
