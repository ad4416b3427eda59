"""What one object of a job file cannot tell alone: ids, references between objects, names of the catalogues, sums.

Works on the plain values of the file and passes over whatever is missing or of the wrong kind (the models report that),
so that everything wrong is found in one reading.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from typing import TypeAlias

from linesizer.domain.blend import Blend
from linesizer.storage import references
from linesizer.storage.blend_consistency import circuit_blend, refrigerant_faults
from linesizer.storage.line_consistency import (
    INDOOR,
    OUTDOOR,
    Object,
    SoundLine,
    line_faults,
    place_faults,
    repeated_ids,
)
from linesizer.storage.models import COLDEST_C, HOTTEST_C
from linesizer.storage.places import Fault, Place, items, listing, named, number_at, object_at, quoted, text_at
from linesizer.storage.wording import choice

Known: TypeAlias = tuple[str, Blend | None]
"""A refrigerant that has a table: its name, and what it is made of where it is a blend of somebody's own."""

SHARES_WITHIN = 1e-6
"""Stated shares sum to one this closely; thirds with four decimals do not, and are mended by leaving one null."""


def faults_between(document: Object, sound_line: SoundLine) -> Iterator[Fault]:
    """Yield what is wrong between the objects of a plain document.

    Parameters
    ----------
    document : dict
        The plain values of a job file.
    sound_line : callable
        Returns the line at a place where the models found nothing wrong with it, else None.
    """
    yield from _job(document)
    site = object_at(document, "site")
    rooms = _ids(site, "rooms")
    yield from repeated_ids(site, "rooms", ("site",))
    for index, room in items(site.get("rooms")):
        if text_at(room, "id") in (INDOOR, OUTDOOR):
            place: Place = ("site", "rooms", index, "id")
            yield Fault(place, f"{quoted(str(room['id']))} means a place of its own", "another id for this room")
    yield from _practice(object_at(document, "practice"))
    yield from repeated_ids(document, "circuits", ())
    for index, circuit in items(document.get("circuits")):
        yield from _circuit(circuit, ("circuits", index), rooms, sound_line)


def _job(document: Object) -> Iterator[Fault]:
    date = text_at(object_at(document, "job"), "date")
    if date and re.fullmatch(r"\d{4}-\d\d-\d\d", date):
        try:
            datetime.date.fromisoformat(date)
        except ValueError:
            found = f"{quoted(date)} is no day of the calendar"
            yield Fault(("job", "date"), found, 'a date such as "2026-11-24", or ""')


def _ids(item: Object, key: str) -> tuple[str, ...]:
    found = (text_at(below, "id") for _, below in items(item.get(key)))
    return tuple(name for name in found if name is not None)


def _practice(practice: Object) -> Iterator[Fault]:
    chosen = practice.get("set", "general")
    if not isinstance(chosen, str):
        return
    if chosen not in references.practice_sets():
        yield Fault(("practice", "set"), *choice("practice set", chosen, references.practice_sets(), "practice sets"))
        return
    for rule, value in object_at(practice, "overrides").items():
        place: Place = ("practice", "overrides", rule)
        if rule not in references.rule_names(chosen):
            names = references.rule_names(chosen)
            yield Fault(place, *choice("rule", rule, names, f"rules of the practice set {quoted(chosen)}"))
            continue
        refused = references.refused_override(chosen, rule, value)
        if refused is not None:
            yield Fault(place, *refused)


def _circuit(circuit: Object, place: Place, rooms: tuple[str, ...], sound_line: SoundLine) -> Iterator[Fault]:
    for key in ("conditions", "equipment", "lines"):
        yield from repeated_ids(circuit, key, place)
    refrigerant = text_at(circuit, "refrigerant")
    wrong = list(refrigerant_faults(circuit, place))
    yield from wrong
    blend = circuit_blend(circuit)
    known: Known | None = None
    # What has no table yet is judged once it has been built.
    if refrigerant is not None and not wrong and (blend is None or references.has_table(refrigerant, blend)):
        known = refrigerant, blend
    for index, condition in items(circuit.get("conditions")):
        yield from _condition(condition, (*place, "conditions", index), known)
    charge = text_at(circuit, "charge_condition")
    conditions = _ids(circuit, "conditions")
    if charge is not None and charge not in conditions:
        found = f"no condition with the id {quoted(charge)}"
        yield Fault((*place, "charge_condition"), found, f"conditions of this circuit: {listing(conditions)}; or null")
    control = object_at(circuit, "head_pressure_control")
    least = number_at(control, "minimum_condensing_C")
    if least is not None and known is not None:
        what = "Least condensing temperature of the head-pressure control"
        refused = references.refused_temperature(*known, least, what)
        if refused is not None:
            yield Fault((*place, "head_pressure_control", "minimum_condensing_C"), *refused)
    for index, equipment in items(circuit.get("equipment")):
        yield from place_faults((*place, "equipment", index), equipment, rooms)
    yield from _shares(circuit, place)
    machines = _ids(circuit, "equipment")
    for index, line in items(circuit.get("lines")):
        yield from line_faults(line, (*place, "lines", index), rooms, machines, sound_line)


def _condition(condition: Object, place: Place, refrigerant: Known | None) -> Iterator[Fault]:
    name = named("condition", condition) or "this condition"
    stated = [key for key in ("evaporating_C", "leaving_fluid_C", "approach_K") if condition.get(key) is not None]
    evaporating = number_at(condition, "evaporating_C")
    one_way = "either evaporating_C, or leaving_fluid_C with approach_K"
    if not stated:
        yield Fault((*place, "evaporating_C"), f"{name} states no evaporating temperature", one_way)
    elif "evaporating_C" in stated and len(stated) > 1:
        found = f"{name} states evaporating_C and {' and '.join(stated[1:])}"
        yield Fault((*place, "evaporating_C"), found, f"{one_way}; make the others null")
    elif stated == ["leaving_fluid_C"]:
        yield Fault((*place, "approach_K"), f"{name} states leaving_fluid_C without approach_K", one_way)
    elif stated == ["approach_K"]:
        yield Fault((*place, "leaving_fluid_C"), f"{name} states approach_K without leaving_fluid_C", one_way)
    from_key = "evaporating_C"
    if "evaporating_C" not in stated:
        leaving, approach = number_at(condition, "leaving_fluid_C"), number_at(condition, "approach_K")
        from_key = "leaving_fluid_C"
        evaporating = leaving - approach if leaving is not None and approach is not None else None
    condensing = number_at(condition, "condensing_C")
    if refrigerant is not None:
        for key, kind, value in (
            (from_key, "Evaporating", evaporating),
            ("condensing_C", "Condensing", condensing),
        ):
            if value is not None:
                refused = references.refused_temperature(*refrigerant, value, f"{kind} temperature of {name}")
                if refused is not None:
                    yield Fault((*place, key), *refused)
    if condensing is None or not COLDEST_C <= condensing <= HOTTEST_C:
        return
    if evaporating is not None and evaporating >= condensing:
        found = f"{name} evaporates at {evaporating:.6g} °C and condenses at {condensing:.6g} °C"
        yield Fault((*place, from_key), found, "an evaporating temperature below the condensing temperature")
    discharge = number_at(condition, "discharge_C")
    if discharge is not None and discharge <= condensing:
        found = f"{name} discharges at {discharge:.6g} °C and condenses at {condensing:.6g} °C"
        yield Fault((*place, "discharge_C"), found, "a discharge temperature above the condensing temperature, or null")


def _shares(circuit: Object, place: Place) -> Iterator[Fault]:
    condensers = [(i, machine) for i, machine in items(circuit.get("equipment")) if machine.get("role") == "condenser"]
    stated = [(i, share) for i, machine in condensers if (share := number_at(machine, "share")) is not None]
    if not stated:
        return
    total = sum(share for _, share in stated)
    last = (*place, "equipment", stated[-1][0], "share")
    if len(stated) == len(condensers) and abs(total - 1.0) > SHARES_WITHIN:
        yield Fault(
            last, f"the condensers' shares sum to {total:.9g}", "1 where every condenser states one; or one null"
        )
    elif len(stated) < len(condensers) and total >= 1.0:
        yield Fault(last, f"the stated shares sum to {total:.9g}", "less than 1 while another condenser states none")
