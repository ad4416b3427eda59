"""What is selected: ids into the open job, never the values themselves."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Selection:
    """What the views light up; None for what is not chosen.

    A leg is chosen with its line and circuit, a node with its line, a part with its leg.
    """

    circuit: str | None = None
    line: str | None = None
    leg: str | None = None
    node: str | None = None
    part: str | None = None
    equipment: str | None = None


NOTHING = Selection()
