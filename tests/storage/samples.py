"""The format's own example as a plain document, and ways to spoil it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from linesizer.errors import JobFileError, Problem
from linesizer.storage import job_file

EXAMPLE_BYTES = Path(__file__).with_name("example.json").read_bytes()


def example() -> dict[str, Any]:
    """Return a fresh copy of the example, to be spoiled."""
    document: dict[str, Any] = json.loads(EXAMPLE_BYTES)
    return document


def as_bytes(document: object) -> bytes:
    """Return a document as any JSON writer would put it."""
    return json.dumps(document).encode()


def put(document: Any, path: str, value: Any) -> None:
    """Set the value at a path such as ``circuits.0.conditions.1.bypass``; ``...`` takes the key away."""
    *steps, last = path.split(".")
    for step in steps:
        document = document[int(step)] if isinstance(document, list) else document[step]
    if value is ...:
        del document[last]
    elif isinstance(document, list):
        document[int(last)] = value
    else:
        document[last] = value


def problems_of(document: object) -> tuple[Problem, ...]:
    """Return what is wrong with a document; a document that is right fails the test."""
    with pytest.raises(JobFileError) as caught:
        job_file.parse(document if isinstance(document, bytes) else as_bytes(document), "plant.json")
    return caught.value.problems
