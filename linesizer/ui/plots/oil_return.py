"""Oil return of every climbing leg at every condition: how far above the criterion, and how low the load may go."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.condition import Condition
from linesizer.domain.result import CircuitResult, DoubleRiserResult, LegResult
from linesizer.solver.double_riser import Pattern
from linesizer.units import Kind, System, display, display_with_unit


class Verdict(StrEnum):
    """What a ratio means, in the word that the table shows."""

    SHORT = "oil stays"
    NEAR = "little reserve"
    HOLDS = "returns"


@dataclass(frozen=True, slots=True)
class TwinFigures:
    """A double riser at one condition or corner; what only a condition has is NaN at a corner.

    ``small_share`` is the small tube's part of the flow where both flow; ``changeover_W`` the cooling from which on
    both tubes lift oil; ``seal_below_m`` and ``penalty_below_K`` what the small tube alone asks of the trap and costs
    just below it.
    """

    small: str
    large: str
    pattern: Pattern
    small_ratio: float
    large_ratio: float
    alone_ratio: float
    small_share: float
    changeover_W: float
    seal_m: float
    seal_needed_m: float
    seal_below_m: float
    penalty_below_K: float


@dataclass(frozen=True, slots=True)
class OilReturnRow:
    """One climbing leg at one condition, or at a corner of the load grid, where ``condition`` is None.

    ``holds_W`` is the cooling at which the flow would just carry oil up, all else being as at the condition.
    ``first`` and ``last`` say whether the row begins and ends its leg; ``worst`` that none is lower.
    """

    line: str
    leg: str
    size: str
    condition: int | None
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
    twin: TwinFigures | None = None


PATTERN_WORDS = {
    Pattern.BOTH: "both tubes",
    Pattern.SMALL: "small tube alone",
    Pattern.BLOWN: "seal blown out",
}


def oil_return_rows(result: CircuitResult, practice: PracticeSet) -> tuple[OilReturnRow, ...]:
    """Return a row for each climbing vapour leg and condition, legs in the order of flow, corners last in each.

    The load that a leg holds down to is the condition's cooling over its ratio: the flow goes with the cooling while
    temperatures stay, and the least flow does not depend on it.  A double riser holds down to the small tube's load
    where the trap holds its seal on the way, else to the changeover.
    """
    rows: list[OilReturnRow] = []
    for line in result.lines:
        legs = line.legs
        if legs is None:
            continue
        twins = {riser.leg: riser for riser in legs.double_risers}
        for leg in range(len(legs.ids)):
            if bool(legs.climbs[leg]):
                riser = twins.get(legs.ids[leg])
                places = range(len(result.circuit.conditions) + len(result.corners))
                found = (_row(result, line.line.id, legs, leg, riser, place, practice) for place in places)
                rows += _ended([row for row in found if row is not None])
    if not rows:
        return ()
    lowest = min(range(len(rows)), key=lambda place: rows[place].ratio)
    return tuple(replace(row, worst=place == lowest) for place, row in enumerate(rows))


def _row(
    result: CircuitResult,
    line: str,
    legs: LegResult,
    leg: int,
    riser: DoubleRiserResult | None,
    place: int,
    practice: PracticeSet,
) -> OilReturnRow | None:
    """Return one row, None where the ratio is not known; ``place`` counts the corners behind the conditions."""
    own = len(result.circuit.conditions)
    corner = place >= own
    condition = result.corners[place - own] if corner else result.circuit.conditions[place]
    if corner:
        ratio, velocity = legs.corner_ratio[leg, place - own], legs.corner_velocity_m_s[leg, place - own]
    else:
        ratio, velocity = legs.oil_return_ratio[leg, place], legs.velocity_m_s[leg, place]
    if not math.isfinite(ratio) or ratio <= 0.0:
        return None
    stop, margin = practice.value("oil_return_stop_ratio"), practice.value("oil_return_margin_ratio")
    twin = None if riser is None else _twin(riser, place - own if corner else place, corner=corner)
    return OilReturnRow(
        line=line,
        leg=legs.ids[leg],
        size=legs.sizes[leg],
        condition=None if corner else place,
        title=condition.title,
        ratio=float(ratio),
        velocity_m_s=float(velocity),
        least_m_s=float(velocity / ratio),
        capacity_W=condition.capacity_W,
        condensing_C=condition.condensing_C,
        holds_W=condition.capacity_W * stop / float(ratio) if twin is None else _twin_holds_W(condition, twin, stop),
        verdict=Verdict.SHORT if ratio < stop else Verdict.NEAR if ratio < margin else Verdict.HOLDS,
        first=False,
        last=False,
        twin=twin,
    )


def _twin(riser: DoubleRiserResult, place: int, *, corner: bool = False) -> TwinFigures:
    nan = math.nan
    return TwinFigures(
        small=riser.small,
        large=riser.large,
        pattern=Pattern(int((riser.corner_pattern if corner else riser.pattern)[place])),
        small_ratio=nan if corner else float(riser.small_ratio[place]),
        large_ratio=nan if corner else float(riser.large_ratio[place]),
        alone_ratio=float((riser.corner_alone_ratio if corner else riser.alone_ratio)[place]),
        small_share=nan if corner else float(riser.small_share[place]),
        changeover_W=float((riser.corner_changeover_W if corner else riser.changeover_W)[place]),
        seal_m=riser.seal_m,
        seal_needed_m=float((riser.corner_seal_needed_m if corner else riser.seal_needed_m)[place]),
        seal_below_m=float((riser.corner_seal_at_changeover_m if corner else riser.seal_at_changeover_m)[place]),
        penalty_below_K=nan if corner else float(riser.penalty_at_changeover_K[place]),
    )


def _twin_holds_W(condition: Condition, twin: TwinFigures, stop: float) -> float:
    alone_W = condition.capacity_W * stop / twin.alone_ratio
    sealed = twin.pattern is Pattern.SMALL or twin.seal_below_m <= twin.seal_m
    return alone_W if sealed and twin.pattern is not Pattern.BLOWN else twin.changeover_W


def _ended(rows: list[OilReturnRow]) -> list[OilReturnRow]:
    last = len(rows) - 1
    return [replace(row, first=place == 0, last=place == last) for place, row in enumerate(rows)]


def holds_words(row: OilReturnRow, system: System) -> str:
    """Return down to which load the leg returns oil at which condensing temperature: ``20.0 kW at 30.0 °C``."""
    load = display_with_unit(Kind.CAPACITY, row.holds_W, system)
    return f"{load} at {display_with_unit(Kind.TEMPERATURE, row.condensing_C, system)}"


def twin_phrases(twin: TwinFigures, system: System) -> tuple[str, ...]:
    """Return what a double riser does, in phrases that may stand beside or beneath each other."""
    phrases = [PATTERN_WORDS[twin.pattern]]
    if twin.pattern is Pattern.SMALL:
        phrases.append(f"small {twin.small}: all the flow, ratio {display(Kind.RATIO, twin.alone_ratio, system)}")
        phrases.append(f"large {twin.large}: sealed with oil")
    else:
        for name, size, ratio, share in (
            ("small", twin.small, twin.small_ratio, twin.small_share),
            ("large", twin.large, twin.large_ratio, 1.0 - twin.small_share),
        ):
            if math.isfinite(ratio):
                ratio_words = display(Kind.RATIO, ratio, system)
                phrases.append(f"{name} {size}: {100.0 * share:.0f} % of the flow, ratio {ratio_words}")
    if twin.pattern is Pattern.BLOWN:
        phrases.append(f"small {twin.small} alone: ratio {display(Kind.RATIO, twin.alone_ratio, system)}")
    held = display_with_unit(Kind.SEAL, twin.seal_m, system)
    if twin.pattern is not Pattern.BOTH and math.isfinite(twin.seal_needed_m):
        needed = display_with_unit(Kind.SEAL, twin.seal_needed_m, system)
        phrases.append(f"seal: {needed} needed here, {held} held")
    if math.isfinite(twin.changeover_W):
        below = [f"both lift from {display_with_unit(Kind.CAPACITY, twin.changeover_W, system)} on"]
        if math.isfinite(twin.seal_below_m):
            needed = display_with_unit(Kind.SEAL, twin.seal_below_m, system)
            below.append(f"just below, the trap needs {needed} and has {held}")
        if math.isfinite(twin.penalty_below_K):
            cost = display_with_unit(Kind.TEMPERATURE_DIFFERENCE, twin.penalty_below_K, system)
            below.append(f"penalty there {cost}")
        phrases += below
    return tuple(phrases)


def worst_words(row: OilReturnRow, practice: PracticeSet, system: System) -> str:
    """Return the worst place in a sentence, with what it would take."""
    stop = practice.value("oil_return_stop_ratio")
    load = display_with_unit(Kind.CAPACITY, row.capacity_W, system)
    carries = f"carries {row.ratio:.2f} times the least flow"
    if row.twin is not None:
        tubes = {
            Pattern.BOTH: "in the worse of its two tubes",
            Pattern.SMALL: "in the small tube alone",
            Pattern.BLOWN: "in the worse of its two tubes, the seal blown out",
        }
        carries += f" {tubes[row.twin.pattern]}"
    begin = f"At {row.title} ({load}) the gas in {row.leg}, {row.size}, {carries}."
    if row.ratio < stop:
        return f"{begin} Oil stays; it would need {holds_words(row, system)} condensing."
    return f"{begin} It returns oil down to {holds_words(row, system)} condensing."
