"""The selected line along its length: elevation, pressure, distance from saturation, where liquid begins to boil."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from linesizer.catalog.practice import practice_set
from linesizer.checks.not_calculated import line_gaps
from linesizer.domain.circuit import Circuit
from linesizer.domain.result import LineResult
from linesizer.domain.route import Line, Service
from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.notes import Prose
from linesizer.ui.panels.panel import Panel
from linesizer.ui.plots.budget import BudgetStrip
from linesizer.ui.plots.budget_rows import BudgetItem, budget_items
from linesizer.ui.plots.legend import Legend
from linesizer.ui.plots.profile_series import Profile, line_profile, readout
from linesizer.ui.plots.profile_view import ProfileView
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

if TYPE_CHECKING:
    from linesizer.ui.plots.profile import ProfilePlot

EMPTY_JOB = (
    "A line's pressure, elevation and distance from saturation stand here along its length. First say what "
    "the unit does and draw a line."
)
NO_LEGS = "Line {line} has no legs yet; its profile stands here once they are drawn."
NOT_YET = "No profile for line {line} yet: the job cannot be calculated as it is."

_INKS = {Service.DISCHARGE: Ink.DISCHARGE, Service.LIQUID: Ink.LIQUID, Service.DRAIN: Ink.DRAIN}


class ProfilePanel(Panel):
    """The profile of the line that is selected."""

    title = "Profile"
    help_page = "profile"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.plot: ProfilePlot | None = None
        self.profile: Profile | None = None
        self._overlaid = False
        self._at_m = math.nan
        self.chooser = QComboBox()
        self.chooser.setAccessibleName("Condition of the profile")
        self.chooser.setToolTip("Which condition the curves show; the last entry lays all over each other.")
        self.chooser.setFont(self.letters.prose)
        self.chooser.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.chooser.activated.connect(self._choose)
        self.legend = Legend(session.theme)
        self.readout = Prose(session, Ink.INK)
        self.readout.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.readout.setAccessibleDescription("Left and Right walk along the line; Enter selects the leg.")
        top = QHBoxLayout()
        top.setContentsMargins(4 * STEP_px, STEP_px, 4 * STEP_px, 0)
        top.setSpacing(4 * STEP_px)
        top.addWidget(self.chooser)
        top.addWidget(self.readout, 1)
        self.budget = BudgetStrip(session.theme)
        itemised = QHBoxLayout()
        itemised.setContentsMargins(4 * STEP_px, 0, 4 * STEP_px, 0)
        itemised.addWidget(self.budget)
        below = QHBoxLayout()
        below.setContentsMargins(4 * STEP_px, 0, 4 * STEP_px, 0)
        below.addWidget(self.legend)
        self._column = QVBoxLayout(self.body)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(STEP_px)
        self._column.addLayout(top)
        self._column.addLayout(itemised)
        self._column.addLayout(below)
        self._column.addStretch(1)

    def showEvent(self, event: QShowEvent) -> None:
        """Make the plot when the panel is seen for the first time: its library takes half a second to load."""
        if self.plot is None:
            from linesizer.ui.plots.profile import ProfilePlot

            self.plot = ProfilePlot(self.session.theme)
            self.plot.setObjectName("profile")
            self.plot.setAccessibleName("Profile")
            self.plot.setMinimumHeight(120)
            self.plot.hovered.connect(self._read)
            self.plot.taken.connect(self._take)
            last = self._column.takeAt(self._column.count() - 1)
            del last
            self._column.addWidget(self.plot, 1)
        super().showEvent(event)

    def refresh(self) -> None:
        """Show the selected line's profile."""
        session = self.session
        circuit, line = session.shown_circuit, session.shown_line
        if circuit is None or line is None:
            self.say_empty(EMPTY_JOB)
            return
        if not line.legs:
            self.say_empty(NO_LEGS.format(line=line.id), line.id)
            return
        whole, found = session.circuit_result(circuit.id), session.line_result(circuit.id, line.id)
        self.profile = None
        if whole is not None and found is not None:
            chosen = session.selection.leg if session.selection.line == line.id else None
            self.profile = line_profile(whole, found, chosen, session.condition)
        if self.profile is None:
            self.say_empty(self._why_none(line, calculated=found is not None), line.id)
            return
        self.show_body()
        self._name_conditions(circuit)
        self._show_budget(found)
        self._draw(self.profile)

    def theme_changed(self) -> None:
        """Paint in the other colours."""
        if self.plot is not None:
            self.plot.dress()
            self.legend.show_strokes(self.plot.strokes())
        super().theme_changed()

    def _show_budget(self, found: LineResult | None) -> None:
        session = self.session
        budget = found.flow.budget if found is not None and found.flow is not None else None
        items: tuple[BudgetItem, ...] = ()
        asked_K, source = 0.0, ""
        if budget is not None and session.result is not None:
            choice = session.result.job.practice
            practice = practice_set(choice.set, choice.overrides)
            asked_K = practice.value("liquid_margin_at_valve_K")
            rule = practice.rule("liquid_margin_at_valve_K")
            source = f"practice set {practice.name}, {rule.name}; " + (
                "the job's own value." if rule.overridden else f"{rule.source} ({rule.status})."
            )
            at = min(session.condition, len(budget.margin_K) - 1)
            items = budget_items(budget, at, asked_K, practice.value("liquid_margin_stop_K"))
        self.budget.show_budget(items, asked_K, source, session.units, stale=not session.current)

    def _draw(self, profile: Profile) -> None:
        if self.plot is None:
            return
        session = self.session
        leading = min(session.condition, len(profile.curves) - 1)
        shown = tuple(range(len(profile.curves))) if self._overlaid else (leading,)
        asked = None
        if profile.service is Service.LIQUID and session.result is not None:
            choice = session.result.job.practice
            asked = practice_set(choice.set, choice.overrides).value("liquid_margin_at_valve_K")
        view = ProfileView(
            profile=profile,
            conditions=shown,
            leading=leading,
            system=session.units,
            atmosphere_Pa=session.atmosphere_Pa,
            ink=_INKS.get(profile.service, Ink.INK),
            stale=not session.current,
            asked_K=asked,
        )
        self.plot.show_view(view, self._selected_leg(), hold=session.previewing)
        self.legend.show_strokes(self.plot.strokes())
        self._say(leading)
        at = "all conditions" if self._overlaid else profile.curves[leading].title
        self.set_circuit_subtitle(f"{f'{profile.line} {profile.way}'.rstrip()}, {at}")

    def _say(self, leading: int) -> None:
        profile = self.profile
        if profile is None or self.plot is None:
            return
        at_m = self._at_m
        curve = profile.curves[leading]
        if not curve.passes:
            self.readout.say(f"{curve.title}: the flow does not pass.")
        else:
            at_m = profile.length_m if math.isnan(at_m) else min(at_m, profile.length_m)
            words = readout(profile, curve, at_m, self.session.units, self.session.atmosphere_Pa)
            self.readout.say(words if not math.isnan(self._at_m) else f"At its end, {words}", ink=Ink.INK)
        self.plot.setAccessibleDescription(self.readout.text)

    def _selected_leg(self) -> str | None:
        selection = self.session.selection
        same = self.profile is not None and selection.line == self.profile.line
        return selection.leg if same else None

    def _name_conditions(self, circuit: Circuit) -> None:
        names = [condition.title for condition in circuit.conditions]
        if len(names) > 1:
            names.append("all overlaid")
        else:
            self._overlaid = False
        if names != [self.chooser.itemText(index) for index in range(self.chooser.count())]:
            self.chooser.clear()
            self.chooser.addItems(names)
        self.chooser.setCurrentIndex(len(names) - 1 if self._overlaid else self.session.condition)

    def _choose(self, index: int) -> None:
        self._overlaid = len(self.profile.curves if self.profile else ()) > 1 and index == self.chooser.count() - 1
        if not self._overlaid and index != self.session.condition:
            self.session.choose_condition(index)
        else:
            self.refresh()

    def _read(self, at_m: float) -> None:
        self._at_m = at_m
        if self.plot is not None:
            self.plot.light(at_m)
        if self.profile is not None:
            self._say(min(self.session.condition, len(self.profile.curves) - 1))

    def _take(self, leg: str) -> None:
        circuit = self.session.shown_circuit
        if circuit is not None and self.profile is not None:
            self.session.select(Selection(circuit.id, self.profile.line, leg))

    def _why_none(self, line: Line, *, calculated: bool) -> str:
        if not calculated:
            return NOT_YET.format(line=line.id)
        circuit = self.session.shown_circuit
        gaps = () if circuit is None else line_gaps(circuit, line)
        gap = next((gap for gap in gaps if gap.whole_line), None)
        what = gap.what if gap is not None else f"Line {line.id}"
        return f"No profile for line {line.id}: {what} is not calculated yet by this version."
