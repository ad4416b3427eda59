"""From the bytes of a file to plain JSON values, refusing what JSON allows and a job file must not hold."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass, field
from typing import Any

from linesizer.domain.extra import Json
from linesizer.storage.places import MOST_FAULTS, Fault, Place, quoted, shown

DEEPEST = 100
"""Objects and lists may stand in each other this deep; a job itself needs nine levels."""

_LONGEST_NUMBER = 300
_STACK_MESSAGE = f"at most {DEEPEST} levels of [ ] and {{ }} in each other"


class NotPlainError(Exception):
    """The bytes hold no JSON value at all; ``fault`` says why."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.found)
        self.fault = fault


@dataclass(slots=True)
class _Pairs:
    """Builds objects and remembers those that name a key twice."""

    repeated: list[tuple[dict[str, Json], str]] = field(default_factory=list)

    def __call__(self, pairs: list[tuple[str, Any]]) -> dict[str, Json]:
        built = dict(pairs)
        if len(built) != len(pairs):
            seen = set()
            for key, _ in pairs:
                if key in seen:
                    self.repeated.append((built, key))
                seen.add(key)
        return built


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
    pairs = _Pairs()
    try:
        value: Json = json.loads(text, object_pairs_hook=pairs, parse_int=_whole_number)
    except json.JSONDecodeError as error:
        found = f"not JSON at line {error.lineno}, column {error.colno}: {_complaint(text, error)}"
        raise NotPlainError(Fault((), found, "a job in JSON; mend it there, or take the last good copy")) from error
    except RecursionError as error:
        raise NotPlainError(Fault((), f"nested deeper than {DEEPEST} levels", _STACK_MESSAGE)) from error
    return value, _faults(value, pairs.repeated)


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
    faults: list[Fault] = []
    twice = {id(item): [key for other, key in repeated if other is item] for item, _ in repeated}
    waiting: list[tuple[Json, Place]] = [(top, ())]
    while waiting and len(faults) <= MOST_FAULTS:
        value, place = waiting.pop()
        if isinstance(value, dict):
            for key in twice.get(id(value), ()):
                faults.append(Fault((*place, key), "the key stands here twice", "each key once; delete one of the two"))
            steps: list[tuple[Any, Json]] = list(value.items())
        else:
            assert isinstance(value, list)
            steps = list(enumerate(value))
        if len(place) >= DEEPEST:
            faults.append(Fault(place, f"nested deeper than {DEEPEST} levels", _STACK_MESSAGE))
            continue
        for step, below in steps:
            kind = type(below)
            if kind is dict or kind is list:
                waiting.append((below, (*place, step)))
            elif (isinstance(below, str) and not _writable(below)) or (isinstance(step, str) and not _writable(step)):
                found = "half of a character (a lone surrogate escape)"
                faults.append(Fault((*place, step), found, "whole characters"))
    return faults


def _writable(text: str) -> bool:
    if text.isascii():
        return True
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def loose_faults(value: Json, place: Place) -> list[Fault]:
    """Return the numbers that are not finite in a value that no model checks."""
    faults = []
    waiting: list[tuple[Json, Place]] = [(value, place)]
    while waiting:
        here, at = waiting.pop()
        if isinstance(here, dict):
            waiting.extend((below, (*at, key)) for key, below in here.items())
        elif isinstance(here, list):
            waiting.extend((below, (*at, index)) for index, below in enumerate(here))
        elif isinstance(here, float) and not math.isfinite(here):
            faults.append(Fault(at, shown(here), "a finite number"))
    return faults
