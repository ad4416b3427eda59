"""The shipped refrigerants: their names, tables and facts."""

from __future__ import annotations

import difflib
import json
from functools import cache
from pathlib import Path

from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.properties.facts import RefrigerantFacts, read_facts
from linesizer.properties.table import RefrigerantTable

FOLDER = "refrigerants"
FACTS_FILE = "facts.json"


@cache
def _facts() -> dict[str, RefrigerantFacts]:
    return read_facts(json.loads(resource(FOLDER, FACTS_FILE).read_text(encoding="utf-8")))


def names() -> tuple[str, ...]:
    """Return the names of the shipped refrigerants, in the order of the facts file."""
    return tuple(_facts())


@cache
def load(name: str) -> RefrigerantTable:
    """Return the table of a refrigerant.

    Raises
    ------
    UserError
        PROP-01 if there is none of that name; near names are given.
    """
    if name not in names():
        raise unknown(name)
    return read_table(resource(FOLDER, f"{name}.json"))


def read_table(path: Path) -> RefrigerantTable:
    """Return the table in a file of the generator's, shipped or a person's own.

    Raises
    ------
    UserError
        PROP-05 if the file is missing or is not such a table.
    """
    try:
        return RefrigerantTable(json.loads(path.read_text(encoding="utf-8")))
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise UserError(
            "PROP-05",
            what=f"The refrigerant table {path.name} cannot be read.",
            why=f"{path}: {error}.",
            remedy="Generate the table again, or install the program again.",
        ) from error


def facts(name: str) -> RefrigerantFacts:
    """Return what is known about a refrigerant beside its properties.

    Raises
    ------
    UserError
        PROP-01 if there is none of that name; near names are given.
    """
    known = _facts()
    if name not in known:
        raise unknown(name)
    return known[name]


def near_names(name: str) -> tuple[str, ...]:
    """Return up to three refrigerants that this name may mean, the nearest first.

    Those that differ only in what people spell as they like (R-134a, r134A, 134a), or that only go on after what was
    typed (R1234ze, R407), are the answer alone.
    """
    wanted = _plain(name)
    spelled = {_plain(known): known for known in names()}
    longer = [known for plain, known in spelled.items() if len(wanted) > 1 and plain.startswith(wanted)]
    if longer:
        return tuple(longer[:3])
    return tuple(spelled[plain] for plain in difflib.get_close_matches(wanted, spelled, n=3, cutoff=0.6))


def unknown(name: str) -> UserError:
    """Return the error for a refrigerant that is not shipped."""
    near = near_names(name)
    return UserError(
        "PROP-01",
        what=f"The refrigerant “{name}” is not known.",
        why=f"Properties are shipped for {', '.join(names())}.",
        remedy=f"Did you mean {' or '.join(near)}?" if near else "Choose one of these names.",
    )


def _plain(name: str) -> str:
    """Return a name without what people spell differently: case, hyphens, blanks, brackets, the leading R."""
    letters = "".join(letter for letter in name.casefold() if letter.isalnum())
    return letters.removeprefix("r")
