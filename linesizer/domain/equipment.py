"""What the lines run between: the indoor unit, condensers, receivers, subcoolers."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from linesizer.domain.extra import Extra
from linesizer.domain.route import Point


class Role(StrEnum):
    """What a piece of equipment does in the circuit."""

    UNIT = "unit"
    CONDENSER = "condenser"
    RECEIVER = "receiver"
    SUBCOOLER = "subcooler"


class ReceiverKind(StrEnum):
    """How a receiver is connected: all liquid passes through it, or it only takes the surplus."""

    THROUGH = "through"
    SURGE = "surge"


@dataclass(frozen=True, slots=True)
class MakerLimits:
    """What a unit's maker allows for the lines to its condenser, as the person enters it; None and empty: not given.

    ``length_m`` bounds each line with the equivalent length of its fittings, ``lift_m`` a condenser above the unit,
    ``drop_m`` one below it, ``charge_kg`` the whole charge of the circuit.  The sizes are those that the maker permits.
    """

    length_m: float | None = None
    lift_m: float | None = None
    drop_m: float | None = None
    charge_kg: float | None = None
    discharge_sizes: tuple[str, ...] = ()
    liquid_sizes: tuple[str, ...] = ()
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Equipment:
    """One vessel or machine with what it holds and what it costs in pressure.

    ``holds_kg`` arrives with it (0 under a nitrogen holding charge).  ``operating_kg`` is what it holds running, if
    known; else volume with ``mean_liquid_fraction`` or ``operating_fill`` gives it.  ``drop_Pa`` at ``at_kg_s``
    scales with flow squared.  ``share`` is a condenser's stated part of the flow, None for a split by equal pressure.
    ``connections`` are pairs of port and size; ``maker_limits`` are those of a unit.
    """

    id: str
    role: Role
    name: str = ""
    kind: ReceiverKind | None = None
    at_m: Point = (0.0, 0.0, 0.0)
    place: str = "indoor"
    holds_kg: float = 0.0
    operating_kg: float | None = None
    volume_m3: float | None = None
    mean_liquid_fraction: float | None = None
    operating_fill: float | None = None
    design_td_K: float | None = None
    drop_Pa: float | None = None
    at_kg_s: float | None = None
    share: float | None = None
    connections: tuple[tuple[str, str], ...] = ()
    maker_limits: MakerLimits | None = None
    extra: Extra = ()
