"""What one object of a job file cannot tell alone: ids, references between objects, names of the catalogues, sums.

Works on the plain values of the file and passes over whatever is missing or of the wrong kind (the models report that),
so that everything wrong is found in one reading.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterator

from linesizer.domain.extra import Json
from linesizer.domain.geometry import route_problems
from linesizer.domain.route import Line
from linesizer.storage import references
from linesizer.storage.places import (
    KINDS,
    Fault,
    Place,
    items,
    listing,
    named,
    number_at,
    object_at,
    path_text,
    place_below,
    quoted,
    text_at,
)
from linesizer.storage.reading import split_end
from linesizer.storage.wording import choice, near

SHARES_WITHIN = 1e-6
"""Stated shares sum to one this closely; thirds with four decimals do not, and are mended by leaving one null."""

INDOOR, OUTDOOR = "indoor", "outdoor"

Object = dict[str, Json]


def faults_between(document: Object, sound_line: Callable[[Place, Object], Line | None]) -> Iterator[Fault]:
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
    yield from _repeated(site, "rooms", ("site",))
    for index, room in items(site.get("rooms")):
        if text_at(room, "id") in (INDOOR, OUTDOOR):
            place: Place = ("site", "rooms", index, "id")
            yield Fault(place, f"{quoted(str(room['id']))} means a place of its own", "another id for this room")
    yield from _practice(object_at(document, "practice"))
    yield from _repeated(document, "circuits", ())
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


def _repeated(item: Object, key: str, place: Place) -> Iterator[Fault]:
    seen: dict[str, int] = {}
    for index, below in items(item.get(key)):
        name = text_at(below, "id")
        if name is None:
            continue
        if name in seen:
            first = path_text((*place, key, seen[name]))
            found = f"{quoted(name)} is the id of {first} already"
            yield Fault((*place, key, index, "id"), found, f"an id of its own for every {KINDS[key]}")
        else:
            seen[name] = index


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


def _circuit(
    circuit: Object, place: Place, rooms: tuple[str, ...], sound_line: Callable[[Place, Object], Line | None]
) -> Iterator[Fault]:
    for key in ("conditions", "equipment", "lines"):
        yield from _repeated(circuit, key, place)
    refrigerant = text_at(circuit, "refrigerant")
    known: str | None = refrigerant
    if refrigerant is not None and refrigerant not in references.refrigerants():
        names = references.refrigerants()
        yield Fault((*place, "refrigerant"), *choice("refrigerant", refrigerant, names, "refrigerants"))
        known = None
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
        refused = references.refused_temperature(known, least, what)
        if refused is not None:
            yield Fault((*place, "head_pressure_control", "minimum_condensing_C"), *refused)
    for index, equipment in items(circuit.get("equipment")):
        yield from _place((*place, "equipment", index), equipment, rooms)
    yield from _shares(circuit, place)
    machines = _ids(circuit, "equipment")
    for index, line in items(circuit.get("lines")):
        yield from _line(line, (*place, "lines", index), rooms, machines, sound_line)


def _condition(condition: Object, place: Place, refrigerant: str | None) -> Iterator[Fault]:
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
            if value is not None and abs(value) < 1000:
                refused = references.refused_temperature(refrigerant, value, f"{kind} temperature of {name}")
                if refused is not None:
                    yield Fault((*place, key), *refused)
    if condensing is None:
        return
    if evaporating is not None and evaporating >= condensing:
        found = f"{name} evaporates at {evaporating:.6g} °C and condenses at {condensing:.6g} °C"
        yield Fault((*place, from_key), found, "an evaporating temperature below the condensing temperature")
    discharge = number_at(condition, "discharge_C")
    if discharge is not None and discharge <= condensing:
        found = f"{name} discharges at {discharge:.6g} °C and condenses at {condensing:.6g} °C"
        yield Fault((*place, "discharge_C"), found, "a discharge temperature above the condensing temperature, or null")


def _place(place: Place, item: Object, rooms: tuple[str, ...]) -> Iterator[Fault]:
    room = text_at(item, "place")
    if room is not None and room not in (INDOOR, OUTDOOR) and room not in rooms:
        rest = f", or one of the site's rooms: {listing(rooms)}" if rooms else "; the site has no rooms yet"
        yield Fault((*place, "place"), f"no room with the id {quoted(room)}", f"{INDOOR}, {OUTDOOR}{rest}")


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


def _line(
    line: Object,
    place: Place,
    rooms: tuple[str, ...],
    machines: tuple[str, ...],
    sound_line: Callable[[Place, Object], Line | None],
) -> Iterator[Fault]:
    yield from _repeated(line, "legs", place)
    nodes = tuple(object_at(line, "nodes"))
    node_set = frozenset(nodes)
    tube: str | None = text_at(line, "tube") or "ASTM-B280-drawn"
    yield from _tube((*place, "tube"), tube)
    default = text_at(line, "default_size")
    if default is not None:
        yield from _size((*place, "default_size"), tube, default)
    room_set = frozenset(rooms)
    reported = set()
    for index, leg in items(line.get("legs")):
        at = (*place, "legs", index)
        for key in ("from", "to"):
            name = text_at(leg, key)
            if name is not None and name not in node_set:
                reported.add((*at, key))
                yield _no_node((*at, key), name, nodes)
        room = text_at(leg, "place")
        if room is not None and room not in room_set:
            yield from _place(at, leg, rooms)
        yield from _leg(leg, at, tube, default)
    yield from _ends_and_fittings(line, place, nodes, machines)
    whole = sound_line(place, line)
    if whole is not None:
        for problem in route_problems(whole):
            where = place_below(place, problem.where)
            if where not in reported:
                yield Fault(where, problem.found, problem.allowed)


def _no_node(place: Place, name: str, nodes: tuple[str, ...]) -> Fault:
    allowed = f"nodes of this line: {listing(nodes)}" if nodes else "this line has no nodes yet"
    return Fault(place, f"no node named {quoted(name)}", allowed)


def _leg(leg: Object, place: Place, line_tube: str | None, default: str | None) -> Iterator[Fault]:
    own_tube = text_at(leg, "tube")
    if own_tube is not None:
        yield from _tube((*place, "tube"), own_tube)
    tube = own_tube or line_tube
    size, riser = text_at(leg, "size"), leg.get("double_riser")
    if size is not None and isinstance(riser, dict):
        found = f"{named('leg', leg) or 'this leg'} has a size and a double riser"
        yield Fault((*place, "size"), found, "one of the two; make the other null")
    elif size is not None:
        yield from _size((*place, "size"), tube, size)
    elif default is not None and own_tube is not None and own_tube != line_tube and not isinstance(riser, dict):
        yield from _size((*place, "size"), tube, default, "the line's default size ")
    if isinstance(riser, dict):
        for key in ("small", "large"):
            tube_size = text_at(riser, key)
            if tube_size is not None:
                yield from _size((*place, "double_riser", key), tube, tube_size)
        for key in ("small_parts", "large_parts"):
            for index, bend in items(riser.get(key)):
                yield from _fitting_kind((*place, "double_riser", key, index, "kind"), bend)
    if leg.get("parts"):
        yield from _repeated(leg, "parts", place)
        for index, part in items(leg.get("parts")):
            yield from _part(part, (*place, "parts", index))


def _part(part: Object, place: Place) -> Iterator[Fault]:
    kind = text_at(part, "kind")
    if kind is not None and kind not in references.part_kinds():
        yield Fault((*place, "kind"), *choice("part kind", kind, references.part_kinds(), "part kinds"))
    loss = part.get("loss")
    if not isinstance(loss, dict):
        return
    forms = ("equivalent_length_m", "k", "kv_m3_h", "drop_Pa")
    stated = [form for form in forms if loss.get(form) is not None]
    name = named("part", part) or "this part"
    if len(stated) != 1:
        found = f"the loss of {name} has {' and '.join(stated) or 'no form'}"
        yield Fault((*place, "loss"), found, f"exactly one of {', '.join(forms)}")
    if loss.get("at_kg_s") is not None and "drop_Pa" not in stated:
        yield Fault((*place, "loss", "at_kg_s"), f"the loss of {name} has at_kg_s without drop_Pa", "drop_Pa beside it")


def _tube(place: Place, tube: str | None) -> Iterator[Fault]:
    if tube is not None and tube not in references.tube_ids():
        found, _ = choice("tube", tube, references.tube_ids(), "tubes")
        close = near(tube, references.tube_ids(), most=1)
        nearest = f" (nearest: {close[0]})" if close else ""
        yield Fault(place, found, f"tubes: {', '.join(references.tube_ids())}{nearest}")


def _size(place: Place, tube: str | None, size: str, whose: str = "") -> Iterator[Fault]:
    if tube not in references.tube_ids() or tube is None or size in references.sizes(tube):
        return
    names, close = references.sizes(tube), references.near_sizes(tube, size)
    nearest = f"; near names: {', '.join(close)}" if close else ""
    yield Fault(place, f"{whose}{quoted(size)} is no size of {tube}", f"sizes {names[0]} to {names[-1]}{nearest}")


def _fitting_kind(place: Place, item: Object) -> Iterator[Fault]:
    kind = text_at(item, "kind")
    if kind is not None and kind not in references.fitting_kinds():
        yield Fault(place, *choice("fitting", kind, references.fitting_kinds(), "fittings"))


def _ends_and_fittings(
    line: Object, place: Place, nodes: tuple[str, ...], machines: tuple[str, ...]
) -> Iterator[Fault]:
    leaves = {text_at(leg, "from") for _, leg in items(line.get("legs"))}
    arrives = {text_at(leg, "to") for _, leg in items(line.get("legs"))}
    for node, text in object_at(line, "ends").items():
        at = (*place, "ends", node)
        if node not in nodes:
            yield _no_node(at, node, nodes)
        elif node in leaves and node in arrives:
            ends = tuple(name for name in nodes if (name in leaves) != (name in arrives))
            allowed = f"a node where flow enters or leaves the line: {listing(ends)}"
            yield Fault(at, f"flow passes through node {quoted(node)}", allowed)
        if isinstance(text, str):
            equipment, port = split_end(text)
            if equipment not in machines:
                known = f"equipment of this circuit: {listing(machines)}"
                allowed = known if machines else "this circuit has no equipment yet"
                yield Fault(at, f"no equipment with the id {quoted(equipment)}", allowed)
            elif port == "":
                yield Fault(at, f"{quoted(text)} names no port after its colon", "a port after the colon, or no colon")
    for node, fitting in object_at(line, "fittings").items():
        at = (*place, "fittings", node)
        if node not in nodes:
            yield _no_node(at, node, nodes)
        if isinstance(fitting, dict):
            yield from _fitting_kind((*at, "kind"), fitting)
