"""The shipped refrigerants: their names, tables and facts."""

from __future__ import annotations

import difflib
import json
from functools import cache, lru_cache

from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.properties.table import RefrigerantTable

FOLDER = "refrigerants"
FACTS_FILE = "facts.json"


@lru_cache(maxsize=1)
def names() -> tuple[str, ...]:
    """Return the names of the shipped refrigerants, in the order of the facts file."""
    tables = {path.stem for path in resource(FOLDER).glob("R*.json")}
    return tuple(sorted(tables))


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
    return RefrigerantTable(json.loads(resource(FOLDER, f"{name}.json").read_text(encoding="utf-8")))


def near_names(name: str) -> tuple[str, ...]:
    """Return up to three refrigerants whose names look like this one: R-134a, r134A and 134a all mean R134a."""
    spelled = {_plain(known): known for known in names()}
    wanted = _plain(name)
    found = [known for plain, known in spelled.items() if plain == wanted]
    found += [known for plain, known in spelled.items() if wanted and plain.startswith(wanted) and known not in found]
    close = difflib.get_close_matches(wanted, spelled, n=3, cutoff=0.6)
    found += [spelled[plain] for plain in close if spelled[plain] not in found]
    return tuple(found[:3])


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
