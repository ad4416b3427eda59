"""The canonical form of a job: the same job always gives the same bytes."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any

from linesizer.domain.extra import Json
from linesizer.domain.job import Job
from linesizer.errors import UserError
from linesizer.storage.places import Place, path_text, shown
from linesizer.storage.writing import plain

_SHORT_LIST = 4
_quote = json.JSONEncoder(ensure_ascii=False).encode


def canonical(job: Job) -> bytes:
    """Return the canonical bytes of a job.

    Raises
    ------
    UserError
        If the job holds a number that is not finite or half of a character, which no file can hold.
    """
    document = plain(job)
    try:
        return f"{_written(document, '')}\n".encode()
    except ValueError as error:
        place, value = _unwritable(document)
        raise UserError(
            "SAVE-01",
            what=f"{path_text(place)} cannot be saved.",
            why=f"It holds {shown(value)}; a file holds finite numbers and whole characters.",
            remedy="Enter another value there.",
        ) from error


def _written(value: Any, indent: str) -> str:
    """Return a plain value as text: two-space indent, up to four numbers on a line, shortest floats that round-trip."""
    kind = type(value)
    if kind is str:
        return _quote(value)
    if kind is float:
        if not math.isfinite(value):
            raise ValueError("not finite")
        return float.__repr__(value)
    if value is None:
        return "null"
    if kind is bool:
        return "true" if value else "false"
    if kind is int:
        return int.__repr__(value)
    deeper = indent + "  "
    if isinstance(value, Mapping):
        if not value:
            return "{}"
        rows = [f"{deeper}{_quote(key)}: {_written(below, deeper)}" for key, below in value.items()]
        return "{\n" + ",\n".join(rows) + f"\n{indent}}}"
    if not value:
        return "[]"
    if len(value) <= _SHORT_LIST and all(type(below) in (float, int) for below in value):
        return "[" + ", ".join([_written(below, deeper) for below in value]) + "]"
    return "[\n" + ",\n".join([deeper + _written(below, deeper) for below in value]) + f"\n{indent}]"


def _unwritable(document: Json) -> tuple[Place, Json]:
    """Return the first place of a document that cannot be written, and what stands there."""
    waiting: list[tuple[Place, Json]] = [((), document)]
    while waiting:
        place, value = waiting.pop()
        if isinstance(value, dict):
            waiting.extend(reversed([((*place, key), below) for key, below in value.items()]))
        elif isinstance(value, list | tuple):
            waiting.extend(reversed([((*place, index), below) for index, below in enumerate(value)]))
        elif isinstance(value, str):
            try:
                value.encode()
            except UnicodeEncodeError:
                return place, value
        elif isinstance(value, float) and not math.isfinite(value):
            return place, value
    return (), None
