"""What a person types to draw: ``U 4.5``, ``n 3.4 m``, ``E 11'6"``, ``138 in w``, several with semicolons between."""

from __future__ import annotations

import re
from dataclasses import dataclass

from linesizer.document.direction import Direction, scaled
from linesizer.domain.geometry import SAME_PLACE_M
from linesizer.domain.route import Point
from linesizer.errors import UserError
from linesizer.units import Kind, System, parse

ACCEPTED = "a direction (N, E, S, W, U, D or the word) and a length, such as U 4.5, E 11'6\" or 138 in W"
MOST_RUNS = 1000

_WORDS = {name: direction for direction in Direction for name in (direction.value.lower(), direction.word)}
_NAMES = "|".join(sorted(_WORDS, key=len, reverse=True))
# A letter straight before or behind the number counts too (U4.5, 4.5U); one that is part of a word (ft, down) does not.
_FIRST = re.compile(rf"({_NAMES})(?![a-z])\s*(.*)", re.IGNORECASE | re.DOTALL)
_INSIDE = re.compile(rf"(?<![a-z])({_NAMES})(?![a-z])", re.IGNORECASE)
_LAST = re.compile(rf"(.*?)(?<![a-z])\s*({_NAMES})", re.IGNORECASE | re.DOTALL)


@dataclass(frozen=True, slots=True)
class TypedRun:
    """One run as it was typed."""

    direction: Direction
    length_m: float

    @property
    def offset_m(self) -> Point:
        """The run as an offset, [m]."""
        return scaled(self.direction.vector, self.length_m)


def typed_runs(text: str, system: System) -> tuple[TypedRun, ...]:
    """Return the runs that a person typed, in order.

    A direction stands before or behind its length; runs are parted by semicolons or line breaks, since a comma may be a
    decimal comma.  A bare number is in the displayed unit of ``system``.

    Parameters
    ----------
    text : str
        What was typed.
    system : {"si", "ip"}
        The system of units on the screen.

    Raises
    ------
    UserError
        DRAW-01 to DRAW-04; names the run that is not understood and what is accepted.

    Examples
    --------
    >>> [(run.direction.word, run.length_m) for run in typed_runs("U 3,4; 6 e", "si")]
    [('up', 3.4), ('east', 6.0)]
    """
    entries = [entry.strip() for entry in re.split(r"[;\n]", text)]
    entries = [entry for entry in entries if entry]
    if not entries:
        raise UserError(
            "DRAW-01", what="There is no run to draw.", why="Nothing was typed.", remedy=f"Type {ACCEPTED}."
        )
    if len(entries) > MOST_RUNS:
        raise UserError(
            "DRAW-01",
            what="The runs cannot be drawn.",
            why=f"There are {len(entries)} of them; {MOST_RUNS} are the most at once.",
            remedy="Draw them in several goes.",
        )
    return tuple(_run(entry, system) for entry in entries)


def _run(entry: str, system: System) -> TypedRun:
    first, last = _FIRST.fullmatch(entry), _LAST.fullmatch(entry)
    if first is not None:
        word, length = first[1], first[2]
    elif last is not None:
        word, length = last[2], last[1]
    else:
        raise UserError(
            "DRAW-02", what=f'"{entry}" cannot be drawn.', why="It names no direction.", remedy=f"Type {ACCEPTED}."
        )
    second = _INSIDE.search(length)
    if second is not None:
        raise UserError(
            "DRAW-02",
            what=f'"{entry}" cannot be drawn.',
            why=f"It names two directions, {word} and {second[1]}.",
            remedy="Put a semicolon between two runs, as in U 3.4; E 6.",
        )
    direction = _WORDS[word.lower()]
    if not length.strip():
        raise UserError(
            "DRAW-03",
            what=f'"{entry}" cannot be drawn.',
            why=f"There is no length beside {direction.word}.",
            remedy=f"Type {ACCEPTED}.",
        )
    length_m = parse(Kind.LENGTH, length, system, named=f"Length of the run {direction.word}")
    if length_m < SAME_PLACE_M:
        raise UserError(
            "DRAW-04",
            what=f'"{entry}" cannot be drawn.',
            why=f"Its length is {length_m:g} m; a leg needs a length above {SAME_PLACE_M:g} m.",
            remedy="Type a length above 0; for the other way, the opposite direction.",
        )
    return TypedRun(direction, length_m)
