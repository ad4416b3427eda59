"""The refrigerants: names, tables and facts of those that are shipped, and of the person's own blends."""

from __future__ import annotations

import difflib
import json
from functools import cache
from pathlib import Path
from typing import Any

from linesizer.domain.blend import Blend
from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.properties import own_blends
from linesizer.properties.facts import RefrigerantFacts, Sourced, read_component_gwps, read_facts
from linesizer.properties.own_facts import own_facts
from linesizer.properties.table import RefrigerantTable

FOLDER = "refrigerants"
FACTS_FILE = "facts.json"


@cache
def _file() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(resource(FOLDER, FACTS_FILE).read_text(encoding="utf-8"))
    return read


@cache
def _facts() -> dict[str, RefrigerantFacts]:
    return read_facts(_file())


@cache
def _component_gwps() -> dict[str, tuple[Sourced[float], str]]:
    return read_component_gwps(_file())


def names() -> tuple[str, ...]:
    """Return the names of the shipped refrigerants, in the order of the facts file."""
    return tuple(_facts())


def load(name: str, blend: Blend | None = None) -> RefrigerantTable:
    """Return the table of a refrigerant.

    Parameters
    ----------
    name : str
        Its name.
    blend : Blend, optional
        What it is made of where it is a blend of somebody's own; a shipped one otherwise.

    Raises
    ------
    UserError
        PROP-01 if none of that name is shipped; near names are given.  PROP-06 if the blend has no table here.
    """
    if blend is None:
        return _shipped(name)
    table = own_blends.table_of(name, blend)
    if table is None:
        raise own_blends.UnbuiltBlendsError(((name, blend),))
    return table


@cache
def _shipped(name: str) -> RefrigerantTable:
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


def facts(name: str, blend: Blend | None = None) -> RefrigerantFacts:
    """Return what is known about a refrigerant beside its properties; arguments and errors as for ``load``."""
    if blend is not None:
        return own_facts(name, blend, load(name, blend).composition, _component_gwps())
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
