"""Places in a job file: the JSON path of a value, whose value it is, and what stands there, in words."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from linesizer.domain.extra import Json

Place: TypeAlias = tuple[str | int, ...]
"""The keys and list positions that lead to a value from the top of the file."""

WHOLE_FILE = "file"
"""What a problem's path says where it concerns no single value."""

MOST_FAULTS = 1000
"""So many faults are listed one by one; a person mends no more at a time."""

KINDS = {
    "circuits": "circuit",
    "conditions": "condition",
    "equipment": "equipment",
    "lines": "line",
    "legs": "leg",
    "parts": "part",
    "rooms": "room",
}
"""The lists whose items have an id, and what one item is called."""

_PLAIN_KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_-]*")
_TOKEN = re.compile(r"\[(\d+)\]|\.?([^.\[\]]+)")


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong, before its place is written out as a path."""

    place: Place
    found: str
    allowed: str


def path_text(place: Place) -> str:
    """Return a place as a JSON path, ``circuits[0].lines[1].legs[3].to``; ``file`` for the whole."""
    text = ""
    for step in place:
        if isinstance(step, int):
            text += f"[{step}]"
        elif _PLAIN_KEY.fullmatch(step):
            text += f".{step}" if text else step
        else:
            text += f"[{quoted(step)}]"
    return text or WHOLE_FILE


def place_below(place: Place, where: str) -> Place:
    """Return the place that a plain path such as ``legs[3].to`` names below another place."""
    steps = tuple(int(index) if index else key for index, key in _TOKEN.findall(where))
    return place + steps


def quoted(text: str, most: int = 40) -> str:
    """Return a text in quotation marks, cut where it is long, with what cannot be printed written as an escape."""
    cut = text if len(text) <= most else text[: most - 1] + "…"
    return json.dumps(cut, ensure_ascii=not cut.isprintable())


def shown(value: object) -> str:
    """Return in a few words what stands at a place, whatever it is and however big."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, float):
        if math.isnan(value):
            return "NaN"
        if math.isinf(value):
            return "Infinity or a number too large to hold"
        return f"{value:.12g}"
    if isinstance(value, int):
        return str(value) if abs(value) < 10**15 else f"{value:.6e}"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    return "an object in { }"


def owner(document: Json, place: Place) -> str | None:
    """Return the nearest thing around a place that the person named: ``condition "Full load, summer"``."""
    at: Json = document
    found = None
    for index, step in enumerate(place):
        if isinstance(at, dict) and isinstance(step, str):
            at = at.get(step)
        elif isinstance(at, list) and isinstance(step, int) and step < len(at):
            at = at[step]
            kind = KINDS.get(str(place[index - 1])) if index else None
            if kind and isinstance(at, dict):
                found = named(kind, at) or found
        else:
            break
    return found


def named(kind: str, item: dict[str, Json]) -> str | None:
    """Return a thing's kind with the name that the person gave it, or its id; None where it has neither."""
    for key in ("name", "id"):
        text = item.get(key)
        if isinstance(text, str) and text:
            return f"{kind} {quoted(text)}"
    return None


def order_in_file(document: Json, place: Place) -> tuple[int, ...]:
    """Return a sorting key that puts places in the order in which a person meets them in the file."""
    at: Json = document
    key = []
    for step in place:
        if isinstance(at, dict) and isinstance(step, str):
            # A missing key stands behind those that are there.
            key.append(list(at).index(step) if step in at else len(at))
            at = at.get(step)
        elif isinstance(at, list) and isinstance(step, int):
            key.append(step)
            at = at[step] if step < len(at) else None
        else:
            break
    return tuple(key)


def listing(names: tuple[str, ...]) -> str:
    """Return names as a person lists them: running numbers as ``n1 to n8``, a long list cut with a count."""
    runs: list[tuple[str, int, int]] = []
    words: list[tuple[str, ...]] = []
    for name in names:
        match = re.fullmatch(r"(.*?)(0|[1-9][0-9]{0,8})", name)
        stem, number = (match[1], int(match[2])) if match else (name, -1)
        if runs and match and runs[-1][0] == stem and runs[-1][2] == number - 1 and runs[-1][1] >= 0:
            runs[-1] = (stem, runs[-1][1], number)
            words[-1] = (*words[-1][:1], name)
        else:
            runs.append((stem, number, number))
            words.append((name,))
    parts = []
    for word, (stem, first, last) in zip(words, runs, strict=True):
        if last == first + 1:
            parts += [f"{stem}{first}", f"{stem}{last}"]
        else:
            parts.append(" to ".join(word))
    if len(parts) > 12:
        parts = [*parts[:11], f"and {len(parts) - 11} more"]
    return ", ".join(parts)


def items(value: Json) -> Iterator[tuple[int, dict[str, Json]]]:
    """Yield the objects of a list with their positions; what is no object is passed over, what is no list is empty."""
    if isinstance(value, list):
        for index, item in enumerate(value):
            if isinstance(item, dict):
                yield index, item


def text_at(item: dict[str, Json], key: str) -> str | None:
    """Return the text under a key, or None where there is none."""
    value = item.get(key)
    return value if isinstance(value, str) else None


def number_at(item: dict[str, Json], key: str) -> float | None:
    """Return the finite number under a key, or None where there is none."""
    value = item.get(key)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def object_at(item: dict[str, Json], key: str) -> dict[str, Json]:
    """Return the object under a key, or an empty one."""
    value = item.get(key)
    return value if isinstance(value, dict) else {}
