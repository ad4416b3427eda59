"""Oil return of every climbing leg at every condition: how far above the criterion, and how low the load may go."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.result import CircuitResult
from linesizer.units import Kind, System, display_with_unit


class Verdict(StrEnum):
    """What a ratio means, in the word that the table shows."""

    SHORT = "oil stays"
    NEAR = "little reserve"
    HOLDS = "returns"


@dataclass(frozen=True, slots=True)
class OilReturnRow:
    """One climbing leg at one condition.

    ``holds_W`` is the cooling at which the flow would just carry oil up, all else being as at the condition.
    ``first`` and ``last`` say whether the row begins and ends its leg; ``worst`` that none is lower.
    """

    line: str
    leg: str
    size: str
    condition: int
    title: str
    ratio: float
    velocity_m_s: float
    least_m_s: float
    capacity_W: float
    condensing_C: float
    holds_W: float
    verdict: Verdict
    first: bool
    last: bool
    worst: bool = False


def oil_return_rows(result: CircuitResult, practice: PracticeSet) -> tuple[OilReturnRow, ...]:
    """Return a row for each climbing vapour leg and condition, legs in the order of flow.

    The load that a leg holds down to is the condition's cooling over its ratio: the flow goes with the cooling while
    temperatures stay, and the least flow does not depend on it.
    """
    stop, margin = practice.value("oil_return_stop_ratio"), practice.value("oil_return_margin_ratio")
    rows: list[OilReturnRow] = []
    for line in result.lines:
        legs = line.legs
        if legs is None:
            continue
        for leg, name in enumerate(legs.ids):
            found = []
            for index, condition in enumerate(result.circuit.conditions):
                ratio = float(legs.oil_return_ratio[leg, index])
                if not bool(legs.climbs[leg]) or not math.isfinite(ratio) or ratio <= 0.0:
                    continue
                verdict = Verdict.SHORT if ratio < stop else Verdict.NEAR if ratio < margin else Verdict.HOLDS
                found.append(
                    OilReturnRow(
                        line=line.line.id,
                        leg=name,
                        size=legs.sizes[leg],
                        condition=index,
                        title=condition.title,
                        ratio=ratio,
                        velocity_m_s=ratio * float(legs.minimum_velocity_m_s[leg, index]),
                        least_m_s=float(legs.minimum_velocity_m_s[leg, index]),
                        capacity_W=condition.capacity_W,
                        condensing_C=condition.condensing_C,
                        holds_W=condition.capacity_W * stop / ratio,
                        verdict=verdict,
                        first=False,
                        last=False,
                    )
                )
            rows += _ended(found)
    if not rows:
        return ()
    lowest = min(range(len(rows)), key=lambda place: rows[place].ratio)
    return tuple(replace(row, worst=place == lowest) for place, row in enumerate(rows))


def _ended(rows: list[OilReturnRow]) -> list[OilReturnRow]:
    last = len(rows) - 1
    return [replace(row, first=place == 0, last=place == last) for place, row in enumerate(rows)]


def holds_words(row: OilReturnRow, system: System) -> str:
    """Return down to which load the leg returns oil: ``20.0 kW at 30.0 °C condensing``."""
    load = display_with_unit(Kind.CAPACITY, row.holds_W, system)
    return f"{load} at {display_with_unit(Kind.TEMPERATURE, row.condensing_C, system)} condensing"


def worst_words(row: OilReturnRow, practice: PracticeSet, system: System) -> str:
    """Return the worst place in a sentence, with what it would take."""
    stop = practice.value("oil_return_stop_ratio")
    load = display_with_unit(Kind.CAPACITY, row.capacity_W, system)
    begin = f"At {row.title} ({load}) the gas in {row.leg}, {row.size}, carries {row.ratio:.2f} times the least flow."
    if row.ratio < stop:
        return f"{begin} Oil stays; it would need {holds_words(row, system)}."
    return f"{begin} It returns oil down to {holds_words(row, system)}."
