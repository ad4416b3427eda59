"""A table as a file: JSON text, one row of coefficients a line, so that two versions can be compared by eye."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any


def to_text(table: Mapping[str, Any]) -> str:
    """Return a table as text; the same table always gives the same bytes."""
    return _block(table, 0) + "\n"


def write(table: Mapping[str, Any], folder: Path) -> Path:
    """Write a table into a folder and return the file's path.

    The file appears whole or not at all: it is written beside its place and then moved there.
    """
    path = folder / f"{table['name']}.json"
    beside = path.with_suffix(".json.part")
    beside.write_text(to_text(table), encoding="utf-8", newline="\n")
    beside.replace(path)
    return path


def _block(value: Any, depth: int) -> str:
    indent = " " * (depth + 1)
    if isinstance(value, dict):
        entries = (f"{indent}{json.dumps(key)}: {_block(entry, depth + 1)}" for key, entry in value.items())
        return "{\n" + ",\n".join(entries) + "\n" + " " * depth + "}"
    if isinstance(value, list) and value and isinstance(value[0], list | str):
        return "[\n" + ",\n".join(f"{indent}{_block(entry, depth + 1)}" for entry in value) + "\n" + " " * depth + "]"
    return json.dumps(value, separators=(",", ":"), ensure_ascii=False)
