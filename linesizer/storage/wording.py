"""What pydantic found, in words that a contractor understands."""

from __future__ import annotations

import difflib
from enum import EnumType
from typing import Any, get_args, get_origin

import annotated_types
from pydantic import ValidationError

from linesizer.domain.extra import Json
from linesizer.storage.places import KINDS, MOST_FAULTS, Fault, Place, owner, quoted, shown
from linesizer.storage.shape import Slot, is_model, shape, slot_at

# The endings of keys, longest first, and the unit that a person reads for each.
_UNITS = (
    ("_kg_m3", "kg/m³"),
    ("_m3_h", "m³/h"),
    ("_kg_s", "kg/s"),
    ("_W_mK", "W/(m K)"),
    ("_m3", "m³"),
    ("_kg", "kg"),
    ("_Pa", "Pa"),
    ("_W", "W"),
    ("_C", "°C"),
    ("_K", "K"),
    ("_m", "m"),
    ("nodes", "m"),
)


# Names of nodes follow the same rule as every id.
_ID: Place = ("circuits", 0, "id")


def faults_from(error: ValidationError, document: Json) -> list[Fault]:
    """Return what a model found wrong, one fault for each place, at most a few more than a person reads."""
    faults: dict[Place, Fault] = {}
    for detail in error.errors(include_url=False, include_input=False):
        fault = _fault(document, tuple(detail["loc"]), detail["type"])
        faults.setdefault(fault.place, fault)
        if len(faults) > MOST_FAULTS:
            break
    return list(faults.values())


def near(name: str, names: tuple[str, ...], most: int = 3, *, likeness: float = 0.5) -> tuple[str, ...]:
    """Return the names nearest to a mistyped one, best first; capitals, blanks and hyphens do not count."""
    folded = {_folded(known): known for known in reversed(names)}
    matches = difflib.get_close_matches(_folded(name), list(folded), n=most, cutoff=likeness)
    return tuple(folded[match] for match in matches)


def choice(
    kind: str, name: str, names: tuple[str, ...], of: str, close: tuple[str, ...] | None = None
) -> tuple[str, str]:
    """Return what is found and what is allowed where a name is none of those known.

    A short list is given whole; of a long one the nearest names (``close``, or by spelling); all where none is near.
    """
    close = near(name, names) if close is None else close
    allowed = f"near names: {', '.join(close)}" if close and len(names) > 8 else f"{of}: {', '.join(names)}"
    return f"no {kind} named {quoted(name)}", allowed


def _folded(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum() or sign == "/")


def _fault(document: Json, place: Place, kind: str) -> Fault:
    if place and place[-1] == "[key]":
        return Fault(place[:-1], f"{quoted(str(place[-2]))} as a name", _allowed(slot_at(_ID), ""))
    if kind == "missing" and isinstance(place[-1], str):
        return Fault(place, _missing(document, place), _allowed(slot_at(place), ""))
    if kind == "missing":
        # One of a point's numbers: the point is too short.
        place = place[:-1]
    value = _value_at(document, place)
    whose = owner(document, place)
    found = "an empty list" if value == [] else shown(value)
    return Fault(place, found if whose is None else f"{found} for {whose}", _allowed(slot_at(place), value))


def _missing(document: Json, place: Place) -> str:
    whose = owner(document, place)
    found = "missing" if whose is None else f"missing from {whose}"
    parent, slot = _value_at(document, place[:-1]), slot_at(place[:-1])
    if isinstance(parent, dict) and slot is not None and is_model(slot.kind):
        strangers = tuple(key for key in parent if key not in shape(slot.kind).fields)
        close = near(str(place[-1]), strangers, most=1, likeness=0.7)
        if close:
            found += f", which has {quoted(close[0])}"
    return found


def _value_at(document: Json, place: Place) -> Json:
    at = document
    for step in place:
        if isinstance(at, dict) and isinstance(step, str):
            at = at.get(step)
        elif isinstance(at, list) and isinstance(step, int) and step < len(at):
            at = at[step]
        else:
            return None
    return at


def _allowed(slot: Slot | None, value: Json) -> str:
    """Return in words what may stand in a slot; a mistyped word gets the nearest of those allowed."""
    if slot is None:
        return "another value"
    text = _allowed_kind(slot)
    if slot.nullable:
        text += ", or null"
    if isinstance(slot.kind, EnumType) and isinstance(value, str):
        close = near(value, tuple(str(word) for word in _words(slot.kind)), most=1)
        text += f" (nearest: {close[0]})" if close else ""
    elif value is None and not slot.nullable and not slot.required:
        text += "; leave the key out for the default"
    return text


def _words(kind: EnumType) -> list[str]:
    return [str(word.value) for word in list[Any](kind)]


def _allowed_kind(slot: Slot) -> str:
    kind, origin = slot.kind, get_origin(slot.kind)
    if kind is float or kind is int:
        text = _range(slot)
        return f"{text} ({slot.words})" if slot.words else text
    if kind is str:
        return slot.words or "text in quotation marks"
    if kind is bool:
        return "true or false"
    if isinstance(kind, EnumType):
        return "one of " + ", ".join(_words(kind))
    if origin is tuple:
        return "three numbers from -10000 to 10000 m: [east, north, up]"
    if origin is list:
        what = KINDS.get(slot.key)
        least = any(isinstance(rule, annotated_types.MinLen) for rule in slot.rules)
        text = "a list [ ]" if what is None else f"a list [ ] of {what if what == 'equipment' else what + 's'}"
        return f"{text}, at least one" if least else text
    if origin is dict and not is_model(get_args(kind)[1]):
        return "an object { } with a value for each name"
    return "an object { }"


def _range(slot: Slot) -> str:
    bounds = {
        name: getattr(rule, name) for rule in slot.rules for name in ("ge", "gt", "le", "lt") if hasattr(rule, name)
    }
    number = "a whole number" if slot.kind is int else "a number"
    unit = next((f" {unit}" for ending, unit in _UNITS if slot.key.endswith(ending)), "")
    if "ge" in bounds and "le" in bounds:
        return f"{number} from {bounds['ge']:.12g} to {bounds['le']:.12g}{unit}"
    first = f"of at least {bounds['ge']:.12g}" if "ge" in bounds else f"above {bounds['gt']:.12g}"
    last = f"up to {bounds['le']:.12g}" if "le" in bounds else f"below {bounds['lt']:.12g}"
    return f"{number} {first} and {last}{unit}"
