"""The section of the unit: refrigerant, oil, compressor, what it arrives with, head-pressure control."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtWidgets import QWidget

from linesizer.catalog.practice import practice_set
from linesizer.document.commands.circuit import (
    SetCircuitFields,
    SetCompressor,
    SetHeadPressureControl,
    SetRefrigerant,
)
from linesizer.document.commands.equipment import SetEquipmentFields
from linesizer.domain.blend import Blend
from linesizer.domain.circuit import Circuit, CompressorKind, HeadPressureControlKind, TemperatureBasis, Use
from linesizer.domain.equipment import Equipment, Role
from linesizer.ui.circuit_acts import add_circuit, delete_circuit
from linesizer.ui.dialogs.blend_dialog import Use as UseBlend
from linesizer.ui.dialogs.blend_dialog import ask_for_blend
from linesizer.ui.fields.choice import Choice
from linesizer.ui.panels.job.form import Form
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.refrigerant_choice import (
    chosen_refrigerant,
    name_and_blend,
    named_refrigerant,
    refrigerant_choices,
    refrigerant_tip,
)
from linesizer.ui.panels.job.word_button import ButtonRow, WordButton
from linesizer.ui.session import Session
from linesizer.units import Kind

_USES = (Choice(Use.PROCESS, "process"), Choice(Use.COMFORT, "comfort"), Choice(Use.COMMERCIAL, "commercial"))
_BASES = (Choice(TemperatureBasis.DEW, "dew point"), Choice(TemperatureBasis.MIDPOINT, "midpoint"))
_CONTROLS = (
    Choice(HeadPressureControlKind.NONE, "none"),
    Choice(HeadPressureControlKind.FAN_CYCLING, "fan cycling"),
    Choice(HeadPressureControlKind.FAN_SPEED, "fan speed"),
    Choice(HeadPressureControlKind.DAMPER, "damper"),
    Choice(HeadPressureControlKind.FLOODING, "flooding"),
)


def blend_button(session: Session, parent: QWidget, use: UseBlend) -> WordButton:
    """Return the button that asks for a blend of the person's own and hands it over once it is built."""
    return WordButton(
        session.theme,
        "Own blend…",
        lambda: ask_for_blend(use, session.units, parent.window()),
        "Enter what a blend is made of, let its table be built and checked, and use it here.",
        named="Blend of your own…",
    )


class UnitSection(Form):
    """What the indoor unit is; the conditions say how it runs."""

    def __init__(self, session: Session, memory: PanelMemory, parent: QWidget | None = None) -> None:
        super().__init__(session, memory, "unit", parent)
        circuit = self.of("circuit", self._circuit_value, self._set_circuit)
        compressor = self.of("compressor", self._compressor_value, self._set_compressor)
        control = self.of("head_pressure_control", self._control_value, self._set_control)
        unit = self.of("equipment", self._unit_value, self._set_unit)
        self.refrigerant = circuit.choice("refrigerant", "Refrigerant", refrigerant_choices(), "What circulates.")
        acts = ButtonRow()
        self.own_blend = acts.add(blend_button(session, self, self._use_blend))
        self.put(acts)
        circuit.text("name", "Circuit", "What the circuit is called in lists and in the report.")
        circuit.choice("use", "Use", _USES, "What the cooling is for; some rules on charge depend on it.")
        circuit.text("oil", "Oil", "The oil in the compressor, for the record and the report.", optional=True)
        self.film = circuit.quantity(
            "film_density_kg_m3",
            "Oil film",
            Kind.DENSITY,
            "Density of the oil-rich film that the gas has to carry up a riser. Empty: that of the practice set.",
            optional=True,
        )
        compressor.choice(
            "kind",
            "Compressor",
            tuple(Choice(kind, kind.value) for kind in CompressorKind),
            "The machine's kind, for the report.",
        )
        compressor.quantity(
            "isentropic_efficiency",
            "Efficiency",
            Kind.FRACTION,
            "Isentropic efficiency from the maker's data: work of the ideal compression over the real one. The "
            "discharge temperature follows from it. A condition may state its own.",
        )
        compressor.quantity(
            "drive_efficiency",
            "Drive efficiency",
            Kind.FRACTION,
            "Shaft power over electric power: motor, belt, inverter.",
            usual=0.92,
        )
        compressor.switch(
            "oil_separator", "Oil separator", "Whether an oil separator stands behind the compressor.", usual=False
        )
        self.arrives = unit.quantity(
            "holds_kg",
            "Arrives with",
            Kind.MASS,
            "Refrigerant that the unit already holds when it comes; 0 where it comes under nitrogen. It is taken off "
            "what has to be added on site.",
            applies=self._has_unit,
        )
        circuit.choice(
            "temperature_basis",
            "Temperatures are",
            _BASES,
            "What a stated evaporating or condensing temperature means for a blend with glide: the dew point, or the "
            "mean of dew and bubble point at one pressure. No difference for a pure refrigerant.",
            usual=TemperatureBasis.DEW,
        )
        circuit.switch(
            "heat_exchange",
            "Lines exchange heat",
            "Whether the lines give off and take up heat along their way, by place, condition and insulation. On: gas "
            "loses superheat and may condense in the cold, liquid warms or cools and its subcooling with it, and hot "
            "or sweating surfaces are named. Off: every line keeps the heat that it begins with, the conservative case "
            "for the size of a discharge line; liquid through a warm place then shows more subcooling than it has.",
            usual=True,
        )
        circuit.quantity(
            "maximum_pressure_Pa",
            "Design pressure",
            Kind.PRESSURE,
            "Highest pressure of the high side, from the unit's nameplate; every tube is rated against it. Empty: the "
            "bubble pressure at the practice set's temperature.",
            optional=True,
            usual=None,
        ).show_default("by practice")
        self.charge = circuit.choice(
            "charge_condition",
            "Charge is that of",
            (),
            "The condition whose charge is filled in: the one that needs most, or one that is named.",
            usual=None,
        )
        control.choice(
            "kind",
            "Head pressure",
            _CONTROLS,
            "How the condensing pressure is held up in the cold.",
            usual=HeadPressureControlKind.NONE,
        )
        control.quantity(
            "minimum_condensing_C",
            "Held above",
            Kind.TEMPERATURE,
            "Least condensing temperature that the control holds.",
            optional=True,
            usual=None,
        )
        control.quantity(
            "differential_Pa",
            "Valve differential",
            Kind.PRESSURE_DIFFERENCE,
            "What the head-pressure valve takes where it stands in the line.",
            optional=True,
            usual=None,
        )
        theme = session.theme
        self.delete = WordButton(
            theme,
            "Delete circuit",
            partial(delete_circuit, session),
            "Take the whole circuit away: its equipment, conditions and lines. The last one stays.",
        )
        self.end(
            WordButton(
                theme,
                "Duplicate",
                partial(add_circuit, session, lines=True),
                "Add a circuit with the same refrigerant, conditions, equipment and lines, standing beside this one.",
                named="Duplicate circuit",
            ),
            WordButton(
                theme,
                "Add circuit",
                partial(add_circuit, session, lines=False),
                "Add a circuit with the same refrigerant, conditions and equipment, whose lines wait to be drawn.",
            ),
            self.delete,
        )

    def refresh(self) -> None:
        """Show the shown circuit's unit."""
        job, circuit = self.session.shown_job, self.session.shown_circuit
        if circuit is None:
            return
        practice = practice_set(job.practice.set, job.practice.overrides)
        self.film.show_default(practice.value("oil_film_density_kg_m3"))
        self.charge.offer(
            (Choice(None, "the neediest"), *(Choice(condition.id, condition.title) for condition in circuit.conditions))
        )
        self.delete.setEnabled(len(job.circuits) > 1)
        unit = self._unit()
        self.arrives.show_note("nitrogen" if unit is not None and unit.holds_kg == 0.0 else "")
        self.refrigerant.offer(refrigerant_choices(circuit))
        self.refrigerant.explain(refrigerant_tip(circuit.refrigerant, circuit.blend))
        super().refresh()

    def summary(self, circuit: Circuit) -> str:
        """Return what the folded section says."""
        return f"{named_refrigerant(circuit)}, {circuit.compressor.kind.value}"

    # What it reads and writes

    def _circuit(self) -> Circuit:
        circuit = self.session.shown_circuit
        assert circuit is not None
        return circuit

    def _unit(self) -> Equipment | None:
        return next((item for item in self._circuit().equipment if item.role is Role.UNIT), None)

    def _has_unit(self) -> bool:
        return self._unit() is not None

    def _circuit_value(self, key: str) -> Any:
        circuit = self._circuit()
        if key == "refrigerant":
            return chosen_refrigerant(circuit.refrigerant, circuit.blend)
        return getattr(circuit, key)

    def _compressor_value(self, key: str) -> Any:
        return getattr(self._circuit().compressor, key)

    def _control_value(self, key: str) -> Any:
        return getattr(self._circuit().head_pressure_control, key)

    def _unit_value(self, key: str) -> Any:
        unit = self._unit()
        return getattr(unit, key) if unit is not None else 0.0

    def _set_circuit(self, key: str, value: Any, merge: bool) -> None:
        circuit = self._circuit()
        if key == "refrigerant":
            refrigerant, blend = name_and_blend(value, circuit)
            assert refrigerant is not None
            self.session.do(SetRefrigerant(circuit.id, refrigerant, blend), merge=merge)
        else:
            self.session.do(SetCircuitFields(circuit.id, ((key, value),)), merge=merge)

    def _use_blend(self, name: str, blend: Blend) -> None:
        self.session.do(SetRefrigerant(self._circuit().id, name, blend))

    def _set_compressor(self, key: str, value: Any, merge: bool) -> None:
        self.session.do(SetCompressor(self._circuit().id, ((key, value),)), merge=merge)

    def _set_control(self, key: str, value: Any, merge: bool) -> None:
        self.session.do(SetHeadPressureControl(self._circuit().id, ((key, value),)), merge=merge)

    def _set_unit(self, key: str, value: Any, merge: bool) -> None:
        unit = self._unit()
        if unit is not None:
            self.session.do(SetEquipmentFields(self._circuit().id, unit.id, ((key, value),)), merge=merge)
