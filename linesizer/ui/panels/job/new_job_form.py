"""What an empty job shows: the three things to fill in, and a sample to look at."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from linesizer.document.new_job import Answers, Needed, start
from linesizer.domain.blend import Blend
from linesizer.errors import UserError
from linesizer.storage.ranges import range_of
from linesizer.ui.fields.choice import Choice
from linesizer.ui.panels.job.form import Form
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.refrigerant_choice import chosen_refrigerant, name_and_blend, refrigerant_choices
from linesizer.ui.panels.job.unit_section import blend_button
from linesizer.ui.panels.job.word_button import ButtonRow, WordButton
from linesizer.ui.panels.notes import Prose
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px
from linesizer.units import Kind

_ORIGIN = (0.0, 0.0, 0.0)
_HEADS = {
    Needed.REFRIGERANT: "1  Which refrigerant?",
    Needed.DUTY: "2  What does the unit do?",
    Needed.PLACES: "3  Where do its two ends stand?",
}
_DUTY = (
    ("capacity_W", "Cooling", Kind.CAPACITY, "The net cooling of the unit at full load."),
    ("evaporating_C", "Evaporating", Kind.TEMPERATURE, "Saturation temperature in the evaporator."),
    ("condensing_C", "Condensing", Kind.TEMPERATURE, "Saturation temperature where the condenser begins."),
    ("superheat_K", "Superheat", Kind.TEMPERATURE_DIFFERENCE, "At the evaporator's outlet."),
    ("subcooling_K", "Subcooling", Kind.TEMPERATURE_DIFFERENCE, "Of the liquid that leaves the condenser."),
)
_AXES = ("east", "north", "up")
_INTRO = (
    "Three things begin a job. From them follow the unit, the condenser and two lines that wait to be drawn; "
    "everything can be changed later."
)


class NewJobForm(QWidget):
    """Asks for refrigerant, duty and places, and begins the circuit in one step."""

    sample_wanted = Signal()

    def __init__(self, session: Session, memory: PanelMemory, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.clear()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        intro = Prose(session)
        intro.say(_INTRO)
        column.addWidget(intro)
        self.heads: dict[Needed, Prose] = {}
        self.form = Form(session, memory, "new")
        refrigerant = self.form.of("circuit", self._value, self._set)
        duty = self.form.of("condition", self._value, self._set)
        places = self.form.of("equipment", self._coordinate, self._place)
        self._head(Needed.REFRIGERANT)
        self.refrigerant = refrigerant.choice(
            "refrigerant",
            "Refrigerant",
            (Choice(None, "choose…"), *refrigerant_choices()),
            "What circulates; everything is calculated from its properties.",
        )
        own = ButtonRow()
        self.own_blend = own.add(blend_button(session, self, self._use_blend))
        self.form.put(own)
        self._head(Needed.DUTY)
        for key, words, kind, tip in _DUTY:
            duty.quantity(key, words, kind, tip, optional=True)
        self._head(Needed.PLACES)
        for owner, words in (("unit_at_m", "Unit"), ("condenser_at_m", "Condenser")):
            for index, axis in enumerate(_AXES):
                places.quantity(
                    f"{owner}/{index}",
                    f"{words}, {axis}",
                    Kind.LENGTH,
                    f"How far {axis} of the origin of the drawing; the unit's own place may be the origin.",
                    within=range_of("equipment", "at_m"),
                    optional=True,
                )
        column.addWidget(self.form)
        self.missing = Prose(session)
        column.addSpacing(2 * STEP_px)
        column.addWidget(self.missing)
        column.addSpacing(STEP_px)
        acts = ButtonRow()
        theme = session.theme
        self.begin = acts.add(
            WordButton(
                theme,
                "Begin the job",
                self._begin,
                "Make the circuit of what is filled in, as one step.",
                main=True,
            )
        )
        self.sample = acts.add(
            WordButton(
                theme,
                "Open a sample",
                self.sample_wanted.emit,
                "Look at a job that works; nothing is lost.",
                main=True,
            )
        )
        column.addWidget(acts)
        column.addStretch(1)
        self.refresh()

    @property
    def answers(self) -> Answers:
        """What is filled in so far."""
        return self._answers

    def clear(self) -> None:
        """Forget what was filled in; the unit stands at the origin until it is put elsewhere."""
        self._answers = Answers(unit_at_m=_ORIGIN)
        self._at: dict[str, list[float | None]] = {"unit_at_m": list(_ORIGIN), "condenser_at_m": [None, None, None]}
        self._refusal = ""

    def refresh(self) -> None:
        """Show what is filled in, and what is still missing."""
        self.refrigerant.offer((Choice(None, "choose…"), *refrigerant_choices()))
        self.form.refresh()
        missing = self._answers.missing
        for need, head in self.heads.items():
            head.say("", _HEADS[need] + ("" if need in missing else "   filled in"))
        self.begin.setEnabled(not missing)
        if self._refusal:
            self.missing.say(self._refusal, "That cannot be. ")
        else:
            self.missing.say("" if not missing else "Still missing: " + ", ".join(need.value for need in missing) + ".")

    def retell(self) -> None:
        """Show the same in other units."""
        self.form.retell()

    def release(self) -> None:
        """Let no field commit any more."""
        self.form.release()

    def _head(self, need: Needed) -> None:
        head = Prose(self.session)
        head.setContentsMargins(0, 2 * STEP_px, 0, 0)
        self.heads[need] = head
        self.form.place_spaced(head)

    def _value(self, key: str) -> Any:
        if key == "refrigerant":
            return chosen_refrigerant(self._answers.refrigerant, self._answers.blend)
        return getattr(self._answers, key)

    def _set(self, key: str, value: Any, merge: bool) -> None:
        self._refusal = ""
        if key == "refrigerant":
            refrigerant, blend = name_and_blend(value)
            self._answers = replace(self._answers, refrigerant=refrigerant, blend=blend)
        else:
            self._answers = replace(self._answers, **{key: value})
        self.refresh()

    def _use_blend(self, name: str, blend: Blend) -> None:
        self._refusal = ""
        self._answers = replace(self._answers, refrigerant=name, blend=blend)
        self.refresh()

    def _coordinate(self, key: str) -> float | None:
        owner, index = key.split("/")
        return self._at[owner][int(index)]

    def _place(self, key: str, value: float | None, merge: bool) -> None:
        owner, index = key.split("/")
        at = self._at[owner]
        at[int(index)] = value
        self._set(owner, None if None in at else tuple(at), merge)

    def _begin(self) -> None:
        try:
            self.session.do(start(self._answers))
        except UserError as error:
            self._refusal = f"{error.why} {error.remedy}"
            self.refresh()
