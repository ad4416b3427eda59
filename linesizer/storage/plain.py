"""From the bytes of a file to plain JSON values, refusing what JSON allows and a job file must not hold."""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from collections.abc import Iterator

from linesizer.domain.extra import Json
from linesizer.storage.places import MOST_FAULTS, Fault, Place, quoted, shown

DEEPEST = 100
"""Objects and lists may stand in each other this deep; a job itself needs nine levels."""

_LONGEST_NUMBER = 300
_SURROGATE = re.compile(rb"\\u[dD]")
_STACK_MESSAGE = f"at most {DEEPEST} levels of [ ] and {{ }} in each other"


class NotPlainError(Exception):
    """The bytes hold no JSON value at all; ``fault`` says why."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.found)
        self.fault = fault


def plain_value(data: bytes) -> tuple[Json, list[Fault]]:
    """Return the JSON value that the bytes hold and what is wrong with it as JSON.

    A byte order mark is passed over: editors on Windows write one, and RFC 8259 section 8.1 lets a reader ignore it.
    Numbers that are not finite stay in the value, so that every check beside sees them too.

    Raises
    ------
    NotPlainError
        Not UTF-8, not JSON, or nested too deep to read.
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise NotPlainError(Fault((), "the text is UTF-16", "UTF-8; save it again with that encoding"))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"line {line} holds the byte 0x{data[error.start]:02x}, which is not UTF-8"
        raise NotPlainError(Fault((), found, "UTF-8; save it again with that encoding")) from error
    if not text.strip():
        raise NotPlainError(Fault((), "nothing in it", "a job in JSON, which begins with {"))
    repeated: list[tuple[dict[str, Json], str]] = []

    def built(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
        item = dict(pairs)
        if len(item) != len(pairs):
            counts = Counter(key for key, _ in pairs)
            repeated.extend((item, key) for key, count in counts.items() if count > 1)
        return item

    try:
        value: Json = json.loads(text, object_pairs_hook=built, parse_int=_whole_number)
    except json.JSONDecodeError as error:
        found = f"not JSON at line {error.lineno}, column {error.colno}: {_complaint(text, error)}"
        raise NotPlainError(Fault((), found, "a job in JSON; mend it there, or take the last good copy")) from error
    except RecursionError as error:
        raise NotPlainError(Fault((), f"nested deeper than {DEEPEST} levels", _STACK_MESSAGE)) from error
    # Both are rare; without a hint of either the walk through the whole value is saved.
    return value, _faults(value, repeated) if repeated or _SURROGATE.search(data) else []


def _whole_number(digits: str) -> int | float:
    return int(digits) if len(digits) <= _LONGEST_NUMBER else math.inf


def _complaint(text: str, error: json.JSONDecodeError) -> str:
    """Return what a JSON reader stumbled over, in words."""
    if error.pos >= len(text.rstrip()):
        return "the text ends in the middle; the file may have been cut off"
    here = text[error.pos]
    words = {
        "Extra data": f"{quoted(here)} after the end of the job",
        "Expecting ',' delimiter": f"a comma is missing before {quoted(here)}",
        "Expecting ':' delimiter": f"a colon is missing before {quoted(here)}",
        "Expecting property name enclosed in double quotes": f"a key in quotation marks belongs before {quoted(here)}",
        "Expecting value": f"a value is missing before {quoted(here)}",
        "Illegal trailing comma before end of object": "a comma before }",
        "Illegal trailing comma before end of array": "a comma before ]",
        "Unterminated string starting at": "a text without its closing quotation mark",
        "Invalid control character at": "a line break or another control character inside a text",
    }
    return words.get(error.msg, f"{quoted(here)} cannot stand here")


def _faults(top: Json, repeated: list[tuple[dict[str, Json], str]]) -> list[Fault]:
    """Return the keys that stand twice in an object, and the texts that hold half of a character."""
    faults: list[Fault] = []
    twice: dict[int, list[str]] = {}
    for item, key in repeated:
        twice.setdefault(id(item), []).append(key)
    for place, value in _values(top, ()):
        if isinstance(value, dict):
            for key in twice.get(id(value), ()):
                faults.append(Fault((*place, key), "the key stands here twice", "each key once; delete one of the two"))
        last = place[-1] if place else ""
        if any(isinstance(text, str) and not _writable(text) for text in (value, last)):
            faults.append(Fault(place, "half of a character (a lone surrogate escape)", "whole characters"))
        if len(faults) > MOST_FAULTS:
            break
    return faults


def _writable(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def loose_faults(top: Json, at: Place) -> list[Fault]:
    """Return what is wrong in a value that no model checks: numbers that are not finite, and too deep a nesting."""
    faults = []
    for place, value in _values(top, at):
        if isinstance(value, float) and not math.isfinite(value):
            faults.append(Fault(place, shown(value), "a finite number"))
        elif len(place) >= DEEPEST and isinstance(value, dict | list):
            faults.append(Fault(place, f"nested deeper than {DEEPEST} levels", _STACK_MESSAGE))
        if len(faults) > MOST_FAULTS:
            break
    return faults


def _values(top: Json, at: Place) -> Iterator[tuple[Place, Json]]:
    """Yield every value with its place, down to the deepest level that is allowed, without recursion."""
    yield at, top
    open_ones = [(at, _steps(top))]
    while open_ones:
        place, steps = open_ones[-1]
        for step, value in steps:
            here = (*place, step)
            yield here, value
            if isinstance(value, dict | list) and len(here) < DEEPEST:
                open_ones.append((here, _steps(value)))
                break
        else:
            open_ones.pop()


def _steps(value: Json) -> Iterator[tuple[str | int, Json]]:
    if isinstance(value, dict):
        return iter(value.items())
    return iter(enumerate(value)) if isinstance(value, list) else iter(())
