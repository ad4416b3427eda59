"""The section of the equipment: what it is, where it stands, what it holds, what it costs in pressure."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QMenu, QWidget

from linesizer.document.command import Command
from linesizer.document.commands.equipment import (
    AddEquipment,
    DeleteEquipment,
    MoveEquipment,
    SetEquipmentFields,
    SetMakerLimits,
    SetShares,
)
from linesizer.document.commands.parallel import AddAnother, RunLinesTo
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, MakerLimits, ReceiverKind, Role
from linesizer.domain.job import Job
from linesizer.domain.route import Point
from linesizer.storage.ranges import range_of
from linesizer.ui.fields.choice import Choice
from linesizer.ui.gestures.starts import short_services
from linesizer.ui.panels.job.amounts import short
from linesizer.ui.panels.job.items import ItemForm, ItemsSection
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.shares import condensers, shares_with
from linesizer.ui.panels.job.word_button import WordButton
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.units import Kind

ROLE_WORDS = {
    Role.UNIT: "Indoor unit",
    Role.CONDENSER: "Condenser",
    Role.RECEIVER: "Receiver",
    Role.SUBCOOLER: "Subcooler",
}
_ROLES = tuple(Choice(role, words.lower()) for role, words in ROLE_WORDS.items())
_RECEIVERS = (
    Choice(None, "not said", "taken as through"),
    Choice(ReceiverKind.THROUGH, "through", "all liquid passes"),
    Choice(ReceiverKind.SURGE, "surge", "takes the surplus"),
)
_AXES = (
    ("East", "east of the origin of the drawing"),
    ("North", "north of the origin of the drawing"),
    ("Up", "above the origin of the drawing; heights count in every static column"),
)
_VESSELS = (Role.CONDENSER, Role.RECEIVER, Role.SUBCOOLER)
_WITH_DROP = (Role.CONDENSER, Role.SUBCOOLER)

_ASK_THE_MAKER = "From the maker's instructions for the unit. Empty: none is given, and nothing is judged by it."
_LIMITS = (
    (
        "length_m",
        "Longest line, by maker",
        Kind.LENGTH,
        "The longest that each line may be, with the equivalent length of its fittings.",
    ),
    ("lift_m", "Condenser above, by maker", Kind.LENGTH, "The highest that a condenser may stand above the unit."),
    ("drop_m", "Condenser below, by maker", Kind.LENGTH, "The deepest that a condenser may stand below the unit."),
    ("charge_kg", "Charge, by maker", Kind.MASS, "The most refrigerant that the whole circuit may hold."),
)
_PERMITTED = (
    ("discharge_sizes", "Discharge, by maker", "The sizes that the discharge line may have, with commas between them."),
    ("liquid_sizes", "Liquid, by maker", "The sizes that the liquid line may have, with commas between them."),
)


def places_of(job: Job) -> tuple[Choice, ...]:
    """Return where something can stand."""
    rooms = tuple(Choice(room.id, room.name or room.id) for room in job.site.rooms)
    return (Choice("indoor", "indoors"), Choice("outdoor", "outdoors"), *rooms)


def place_words(job: Job, place: str) -> str:
    """Return a place as a person says it."""
    return next((choice.words for choice in places_of(job) if choice.value == place), place)


class EquipmentForm(ItemForm):
    """Everything about one piece of equipment; rows that its role has no use for are left out."""

    def __init__(self, session: Session, memory: PanelMemory, name: str) -> None:
        super().__init__(session, memory, "equipment", name)
        item = self.of("equipment", self._value, self._set)
        spot = self.of("equipment", self._coordinate, self._move)
        item.text("name", "Name", "What it is called on the sheet and in every list.")
        item.choice("role", "Role", _ROLES, "What it does in the circuit.")
        item.choice(
            "kind",
            "Connected",
            _RECEIVERS,
            "How a receiver is connected. Through: all liquid passes it and leaves saturated. Surge: it only takes "
            "what is too much.",
            applies=partial(self._is, Role.RECEIVER),
        )
        self.place = item.choice(
            "place", "Stands", (), "Indoors, outdoors or in a room of the site; says which air is around it."
        )
        for index, (words, tip) in enumerate(_AXES):
            spot.quantity(
                str(index),
                words,
                Kind.LENGTH,
                f"How far {tip}. The ends of lines that are tied to it go along.",
                within=range_of("equipment", "at_m"),
            )
        item.quantity(
            "holds_kg",
            "Arrives with",
            Kind.MASS,
            "Refrigerant that it holds when it comes; 0 under nitrogen.",
            usual=0.0,
        )
        item.quantity(
            "operating_kg",
            "Holds running",
            Kind.MASS,
            "What it holds while the plant runs, from the maker. Empty: from its volume and how full that is.",
            optional=True,
        )
        item.quantity(
            "volume_m3",
            "Volume",
            Kind.VOLUME,
            "Inside volume of the refrigerant side, from the maker.",
            optional=True,
            applies=partial(self._is, *_VESSELS),
        )
        item.quantity(
            "mean_liquid_fraction",
            "Liquid in it",
            Kind.FRACTION,
            "The part of a condenser's volume that liquid fills while it runs.",
            optional=True,
            applies=partial(self._is, Role.CONDENSER),
        )
        item.quantity(
            "operating_fill",
            "Filled running",
            Kind.FRACTION,
            "The part of a receiver's volume that liquid fills while it runs.",
            optional=True,
            applies=partial(self._is, Role.RECEIVER),
        )
        item.quantity(
            "design_td_K",
            "Design difference",
            Kind.TEMPERATURE_DIFFERENCE,
            "Condensing less entering air at the condenser's rating; winter flooding counts by it.",
            optional=True,
            applies=partial(self._is, Role.CONDENSER),
            usual=None,
        )
        self.drop = item.quantity(
            "drop_Pa",
            "Pressure drop",
            Kind.PRESSURE_DIFFERENCE,
            "What it takes at the stated flow; elsewhere with the square of the flow. Empty: what the practice set "
            "assumes for a condenser.",
            optional=True,
            applies=partial(self._is, *_WITH_DROP),
        )
        item.quantity(
            "at_kg_s",
            "at a flow of",
            Kind.MASS_FLOW,
            "The flow at which the drop is stated. Empty: the drop holds at every flow.",
            optional=True,
            applies=partial(self._is, *_WITH_DROP),
        )
        item.quantity(
            "share",
            "Share of the flow",
            Kind.FRACTION,
            "The part of the flow that this condenser takes. Empty: split by equal pressure. All shares make one, so "
            "the others follow.",
            optional=True,
            applies=self._shares,
        )
        self._limits()
        theme = session.theme
        self.run = WordButton(
            theme,
            "Run lines to it",
            self._run_lines,
            "Branch the lines that reach another condenser to this one too, from the last node before that one, along "
            "the axes.",
            named="Run the lines to this condenser",
        )
        self.end(
            self.run,
            WordButton(
                theme,
                "Delete",
                self._delete,
                "Take it away; lines that were tied to it keep their place and are free.",
                named="Delete this equipment",
            ),
        )

    def _limits(self) -> None:
        """Add what a unit's maker allows, on whose word the findings about lengths, heights, charge and sizes stand."""
        limits = self.of("maker_limits", self._limit, self._set_limit)
        a_unit = partial(self._is, Role.UNIT)
        for key, words, kind, tip in _LIMITS:
            limits.quantity(
                key, words, kind, f"{tip} {_ASK_THE_MAKER}", optional=True, applies=a_unit, usual=None
            ).show_default("not given")
        for key, words, tip in _PERMITTED:
            limits.sizes(key, words, f"{tip} {_ASK_THE_MAKER}", applies=a_unit, usual=()).show_default("any")

    def refresh(self) -> None:
        """Show the equipment."""
        if self._item() is not None:
            self.place.offer(places_of(self.session.shown_job))
            super().refresh()
            item = self._item()
            services = short_services(self._circuit(), item) if item is not None else ()
            self.show_act(self.run, bool(services))

    def _item(self) -> Equipment | None:
        circuit = self.session.shown_circuit
        found = circuit.equipment if circuit is not None else ()
        return next((item for item in found if item.id == self.item), None)

    def _circuit(self) -> Circuit:
        circuit = self.session.shown_circuit
        assert circuit is not None
        return circuit

    def _is(self, *roles: Role) -> bool:
        item = self._item()
        return item is not None and item.role in roles

    def _shares(self) -> bool:
        return self._is(Role.CONDENSER) and len(condensers(self._circuit())) > 1

    def _value(self, key: str) -> Any:
        return getattr(self._item(), key)

    def _set(self, key: str, value: Any, merge: bool) -> None:
        circuit = self._circuit()
        if key == "share":
            self.session.do(SetShares(circuit.id, shares_with(circuit, self.item, value)), merge=merge)
        else:
            self.session.do(SetEquipmentFields(circuit.id, self.item, ((key, value),)), merge=merge)

    def _limit(self, key: str) -> Any:
        item = self._item()
        return getattr((item.maker_limits if item is not None else None) or MakerLimits(), key)

    def _set_limit(self, key: str, value: Any, merge: bool) -> None:
        self.session.do(SetMakerLimits(self._circuit().id, self.item, ((key, value),)), merge=merge)

    def _coordinate(self, key: str) -> float:
        item = self._item()
        return item.at_m[int(key)] if item is not None else 0.0

    def _move(self, key: str, value: float, merge: bool) -> None:
        item = self._item()
        if item is not None:
            at: list[float] = list(item.at_m)
            at[int(key)] = value
            to_m: Point = (at[0], at[1], at[2])
            self.session.do(MoveEquipment(self._circuit().id, item.id, to_m), merge=merge)

    def _run_lines(self) -> None:
        self.session.try_do(RunLinesTo(self._circuit().id, self.item))

    def _delete(self) -> None:
        self.session.try_do(DeleteEquipment(self._circuit().id, self.item))


class EquipmentSection(ItemsSection[Equipment]):
    """The equipment of the shown circuit."""

    def __init__(self, session: Session, memory: PanelMemory, parent: QWidget | None = None) -> None:
        super().__init__(session, memory, "equipment", partial(EquipmentForm, session, memory), parent)
        self.add = self.act("Add equipment…", self._offer, "Add a condenser, a receiver, a subcooler or a unit.")
        self.menu = QMenu(self)
        for role, words in ROLE_WORDS.items():
            self.menu.addAction(words).setData(role.value)
        self.menu.triggered.connect(self._added)

    def refresh(self, circuit: Circuit) -> None:
        """Show the equipment of a circuit."""
        self.show_items(circuit.equipment)

    def summary(self, circuit: Circuit) -> str:
        """Return what the folded section says."""
        return ", ".join(self.title(item) for item in circuit.equipment)

    def title(self, item: Equipment) -> str:
        """Return its name."""
        return item.name or ROLE_WORDS[item.role]

    def about(self, item: Equipment) -> str:
        """Return what it holds and where it stands."""
        units = self.session.units
        parts = []
        if item.operating_kg is not None:
            parts.append(short(Kind.MASS, item.operating_kg, units))
        elif item.volume_m3 is not None:
            parts.append(short(Kind.VOLUME, item.volume_m3, units))
        parts.append(place_words(self.session.shown_job, item.place))
        return ", ".join(parts)

    def select(self, name: str) -> None:
        """Select the equipment."""
        circuit = self.session.shown_circuit
        if circuit is not None:
            self.session.select(Selection(circuit.id, equipment=name))

    def lit(self, name: str) -> bool:
        """Tell whether the equipment is selected."""
        circuit, selection = self.session.shown_circuit, self.session.selection
        return circuit is not None and selection.circuit == circuit.id and selection.equipment == name

    def _offer(self) -> None:
        self.menu.popup(self.add.mapToGlobal(QPoint(0, self.add.height())))

    def _added(self, action: Any) -> None:
        circuit = self.session.shown_circuit
        if circuit is None:
            return
        role = Role(action.data())
        before = {item.id for item in circuit.equipment}
        alike = [item for item in circuit.equipment if item.role is role]
        command: Command
        if role is Role.CONDENSER and alike:
            command = AddAnother(circuit.id, alike[-1].id)
        else:
            name = ROLE_WORDS[role] + (f" {len(alike) + 1}" if alike else "")
            place = "outdoor" if role is Role.CONDENSER else "indoor"
            command = AddEquipment(circuit.id, Equipment("", role, name, at_m=_beside(circuit, role), place=place))
        if self.session.try_do(command):
            added = next(item.id for item in self._shown().equipment if item.id not in before)
            self.folds[added].open()
            self.select(added)

    def _shown(self) -> Circuit:
        circuit = self.session.shown_circuit
        assert circuit is not None
        return circuit


def _beside(circuit: Circuit, role: Role) -> Point:
    """Return a free place for something new: two metres east of the last of its role, else of anything."""
    like = [item for item in circuit.equipment if item.role is role] or list(circuit.equipment)
    if not like:
        return 0.0, 0.0, 0.0
    east, north, up = like[-1].at_m
    return east + 2.0, north, up
