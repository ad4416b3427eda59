"""Parts that stand in a line: valves, driers and the like, with the loss that holds until the job states one.

No maker's data ship with the program.  A loss is a published row, or a named default marked "assumed", which every
output says.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from typing import Any

from linesizer.domain.resources import resource
from linesizer.domain.route import Service
from linesizer.errors import UserError


class LossForm(StrEnum):
    """How a part's default loss is given.

    ``NONE``: no loss.  ``ROW``: a row of the fittings table (``fittings.loss_coefficients``).  ``K``: on the leg's
    velocity head.  ``DROP``: in Pa, and ``RULE``: a practice rule's number, in Pa; both hold at the circuit's design
    flow, the greatest of its conditions, and go with the square of the flow.
    """

    NONE = "none"
    ROW = "row"
    K = "k"
    DROP = "drop"
    RULE = "rule"


@dataclass(frozen=True, slots=True)
class DefaultLoss:
    """A part's loss where the job states none: its form with what that form needs; ``value`` in Pa for a drop."""

    form: LossForm
    value: float | None = None
    row: str | None = None
    rule: str | None = None


class ControlledSide(StrEnum):
    """On which side a valve senses what it controls."""

    INLET = "inlet"
    OUTLET = "outlet"


@dataclass(frozen=True, slots=True)
class PartKind:
    """One kind of part.

    ``can_close``: it can shut the line, so liquid may be trapped against it (a ``one_way`` part against the flow only).
    ``fast_closing``: it shuts so quickly that the flow surges.  ``relieves``: it lets trapped pressure out.
    ``symbol`` names the drawing symbol.  ``assumed``: its default loss is nobody's published figure and has to be
    shown as assumed.
    """

    kind: str
    label: str
    services: tuple[Service, ...]
    loss: DefaultLoss
    can_close: bool
    fast_closing: bool
    one_way: bool
    relieves: bool
    controlled_side: ControlledSide | None
    symbol: str
    status: str
    source: str
    note: str

    @property
    def assumed(self) -> bool:
        """Whether the default loss is an assumption."""
        return self.status == "assumed"


def part_kinds() -> tuple[str, ...]:
    """Return the kinds that a job file may put on a leg."""
    return tuple(_loaded())


@cache
def part_kind(kind: str) -> PartKind:
    """Return one kind of part.

    Raises
    ------
    UserError
        If there is none of that name; names the near ones.
    """
    row = _loaded().get(kind)
    if row is None:
        near = get_close_matches(kind, part_kinds(), n=3, cutoff=0.6) or part_kinds()
        raise UserError(
            "PART-01",
            what=f'"{kind}" is not a part that the program knows.',
            why=f"Known parts: {', '.join(part_kinds())}.",
            remedy=f"Choose {' or '.join(near)}.",
        )
    loss = row["loss"]
    side = row.get("controlled_side")
    return PartKind(
        kind=kind,
        label=row["label"],
        services=tuple(Service(name) for name in row["services"]),
        loss=DefaultLoss(LossForm(loss["form"]), loss.get("value"), loss.get("row"), loss.get("rule")),
        can_close=row.get("can_close", False),
        fast_closing=row.get("fast_closing", False),
        one_way=row.get("one_way", False),
        relieves=row.get("relieves", False),
        controlled_side=None if side is None else ControlledSide(side),
        symbol=row["symbol"],
        status=row["status"],
        source=row["source"],
        note=row.get("note", ""),
    )


@cache
def _loaded() -> dict[str, dict[str, Any]]:
    rows = json.loads(resource("parts", "parts.json").read_text(encoding="utf-8"))["parts"]
    return {row["kind"]: row for row in rows}
