"""Free ids for what a person adds: the next number behind those in use."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from linesizer.domain.extra import Json
from linesizer.domain.job import Job
from linesizer.domain.route import Line, Service

LINE_IDS = {
    Service.DISCHARGE: "dis",
    Service.LIQUID: "liq",
    Service.DRAIN: "drain",
    Service.SUCTION: "suc",
    Service.BYPASS: "byp",
    Service.RELIEF: "rel",
}
_LEG_STEMS = {
    Service.DISCHARGE: "d",
    Service.LIQUID: "l",
    Service.DRAIN: "c",
    Service.SUCTION: "s",
    Service.BYPASS: "b",
    Service.RELIEF: "r",
}
_LONGEST_STEM = 40
"""So much of an id is taken over into another one; an id has at most 64 characters."""

_NUMBERED = re.compile(rf"(.{{0,{_LONGEST_STEM}}}?)([1-9][0-9]{{0,8}})")


def next_id(taken: Iterable[str], stem: str, spoken_of: frozenset[str] = frozenset()) -> str:
    """Return the stem with the number behind the highest in use.

    The highest, not the lowest free one: a number that a person saw deleted should not come back as something else.
    ``spoken_of`` are ids that a record or a review comment points at, though the object itself may be gone.
    """
    highest = 0
    names = spoken_of.union(taken)
    for name in names:
        match = _NUMBERED.fullmatch(name)
        if match and match[1] == stem:
            highest = max(highest, int(match[2]))
    number = highest + 1
    # Beyond nine digits a number is not read as one, and may be there already.
    while f"{stem}{number}" in names:
        number += 1
    return f"{stem}{number}"


def plain_id(taken: Iterable[str], word: str) -> str:
    """Return a word as an id: itself if it is free, else with the first free number from 2."""
    names = set(taken)
    number, name = 1, word
    while name in names:
        number += 1
        name = f"{word[:_LONGEST_STEM].rstrip()}{number}"
    return name


def next_name(taken: Iterable[str], name: str) -> str:
    """Return the name of another thing like one of a name: ``Condenser 2`` behind ``Condenser`` or ``Condenser 1``."""
    names = set(taken)
    stem = re.sub(r"\s*\d{1,9}$", "", name) or name
    number = 2
    while f"{stem} {number}".strip() in names:
        number += 1
    return f"{stem} {number}".strip() if name else ""


def leg_stem(line: Line) -> str:
    """Return what the legs' ids of a line begin with: what most do, else the letter of its service."""
    stems = Counter(match[1] for leg in line.legs if (match := _NUMBERED.fullmatch(leg.id)))
    return stems.most_common(1)[0][0] if stems else _LEG_STEMS[line.service]


def node_stem(line: Line) -> str:
    """Return what the nodes' ids of a line begin with: what most do, else ``n``."""
    stems = Counter(match[1] for node in line.nodes if (match := _NUMBERED.fullmatch(node.id)))
    return stems.most_common(1)[0][0] if stems else "n"


def next_leg_id(line: Line, spoken_of: frozenset[str] = frozenset()) -> str:
    """Return the id of the next leg of a line: ``d5``."""
    return next_id((leg.id for leg in line.legs), leg_stem(line), spoken_of)


def next_node_id(line: Line, spoken_of: frozenset[str] = frozenset()) -> str:
    """Return the id of the next node of a line: ``n6``."""
    return next_id((node.id for node in line.nodes), node_stem(line), spoken_of)


def spoken_of(job: Job) -> frozenset[str]:
    """Return the texts of record and review, any of which may be an id that must not come to mean another thing."""
    waiting: list[Json] = [*job.record, *job.review.comments, *job.review.waivers]
    found = set()
    while waiting:
        value = waiting.pop()
        if isinstance(value, str):
            found.add(value)
        elif isinstance(value, dict):
            waiting.extend(value.values())
        elif isinstance(value, list):
            waiting.extend(value)
    return frozenset(found)
