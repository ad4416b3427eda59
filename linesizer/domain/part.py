"""A component that stands in a line: valve, filter-drier, sight glass, muffler and the like."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.domain.extra import Extra


@dataclass(frozen=True, slots=True)
class PartLoss:
    """The pressure loss that the person states for one part; exactly one form is given.

    ``equivalent_length_m`` in metres of the leg's own tube; ``k`` on the leg's velocity head; ``kv_m3_h`` as the flow
    of water at 1 bar; ``drop_Pa`` at ``at_kg_s`` (flow squared at the same density), or constant where ``at_kg_s`` is
    None.
    """

    equivalent_length_m: float | None = None
    k: float | None = None
    kv_m3_h: float | None = None
    drop_Pa: float | None = None
    at_kg_s: float | None = None
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Part:
    """One part on a leg, ``at`` the fraction of the leg's length from its start.

    ``closes`` and ``relieves`` say whether it can shut the line and whether it lets pressure out; None leaves that to
    the catalogue's entry for ``kind``.
    """

    id: str
    kind: str
    at: float = 0.5
    loss: PartLoss | None = None
    closes: bool | None = None
    relieves: bool | None = None
    extra: Extra = ()
