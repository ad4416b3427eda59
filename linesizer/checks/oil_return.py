"""Oil return up the vapour risers, against the entrainment criterion and the practice set's margin above it.

Judged at every condition and at the corners of the load grid, because the least load may meet any head pressure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.result import DoubleRiserResult, LegResult, LineResult
from linesizer.solver.double_riser import Pattern
from linesizer.solver.static_head import GRAVITY
from linesizer.units import METRES_PER_INCH, Kind

STOP_WORDS = (
    "At {when} the gas in riser {leg} ({size}) moves at {velocity}; {least} is the least that carries oil up. Oil "
    "stays in the riser and leaves the compressor short of it. A smaller riser, a double riser or a higher least "
    "load cures it; it holds down to {load}."
)
WARN_WORDS = (
    "At {when} the gas in riser {leg} ({size}) carries {value} times the least flow that brings oil up; practice "
    "asks for {limit}. The criterion marks only the onset: {reserve} of the flow may be lost before oil stays, which "
    "is {load}."
)
BLOWN_WORDS = (
    "At {when} double riser {leg} ({size}) returns oil in neither tube: both together are too slow below "
    "{changeover}, and the small tube alone would push the trap's seal out, which holds {seal}. A seal of {needed} "
    "would keep the small tube working alone."
)
BLOWN_BOTH_WORDS = (
    "At {when} double riser {leg} ({size}) returns oil in neither tube: both together are too slow below "
    "{changeover}, and the small tube alone is too slow as well, sealed or not. Choose a smaller small tube."
)
DOUBLE_STOP_WORDS = (
    "At {when} the small tube of double riser {leg} ({size}) carries alone, and its gas moves at {velocity}; {least} "
    "is the least that carries oil up. Oil stays in the riser and leaves the compressor short of it. A smaller small "
    "tube or a higher least load cures it; it holds down to {load}."
)
DOUBLE_WARN_WORDS = (
    "At {when} double riser {leg} ({size}) carries {value} times the least flow that brings oil up in the worse of its "
    "flowing tubes; practice asks for {limit}."
)
SEAL_WORDS = (
    "Just below the changeover of double riser {leg} ({size}), at {changeover} with the temperatures of {when}, the "
    "small tube alone loses {drop} and the trap must hold {needed}; it holds {seal}. Between blow-through and "
    "changeover neither tube returns oil: make the seal {needed}, or keep that load from lasting."
)

HALF_AN_EIGHTH_m = METRES_PER_INCH / 16.0
"""What is added to a seal that is needed: heights show in eighths of an inch, and the one shown has to be enough."""


@dataclass(frozen=True, slots=True)
class _Worst:
    """The worst of a leg's ratios: where, how much, the gas's velocity, and the load at which it is met."""

    when: str
    condition: int | None
    ratio: float
    velocity_m_s: float
    capacity_W: float


def oil_return(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each climbing vapour leg whose flow is below the criterion, or below the margin above it."""
    for line in view.lines:
        if line.legs is None:
            continue
        twins = {riser.leg: riser for riser in line.legs.double_risers}
        for leg in np.flatnonzero(line.legs.climbs):
            worst = worst_ratio(view, line.legs, int(leg))
            if worst is None:
                continue
            riser = twins.get(line.legs.ids[leg])
            if riser is not None:
                yield from _double(view, line, line.legs, int(leg), riser, worst)
            else:
                yield from _single(view, line, line.legs, int(leg), worst)


def worst_ratio(view: CircuitView, legs: LegResult, leg: int) -> _Worst | None:
    """Return the worst oil-return ratio of a leg over conditions and corners, None where none is known."""
    ratios = np.concatenate([legs.oil_return_ratio[leg], legs.corner_ratio[leg]])
    speeds = np.concatenate([legs.velocity_m_s[leg], legs.corner_velocity_m_s[leg]])
    if not np.isfinite(ratios).any():
        return None
    worst = int(np.nanargmin(ratios))
    own = len(view.circuit.conditions)
    condition = view.flow.everything.conditions[worst]
    return _Worst(
        condition.title,
        worst if worst < own else None,
        float(ratios[worst]),
        float(speeds[worst]),
        condition.capacity_W,
    )


def _single(
    view: CircuitView, line: LineResult, legs: LegResult, leg: int, worst: _Worst, *, double: bool = False
) -> Iterator[Finding]:
    stop, margin = view.practice.value("oil_return_stop_ratio"), view.practice.value("oil_return_margin_ratio")
    if worst.ratio >= max(stop, margin):
        return
    below = worst.ratio < stop
    cure = view.cures.get((line.line.id, legs.ids[leg])) if below else None
    rule = "oil_return_stop_ratio" if below else "oil_return_margin_ratio"
    stop_words, warn_words = (DOUBLE_STOP_WORDS, DOUBLE_WARN_WORDS) if double else (STOP_WORDS, WARN_WORDS)
    yield by_rule(
        view,
        rule,
        code="oil_return_short" if below else "oil_return_near",
        title=f"{legs.ids[leg]}: {'oil does not come up' if below else 'little reserve for oil return'}",
        words=stop_words if below else warn_words,
        line=line.line.id,
        leg=legs.ids[leg],
        condition=worst.condition,
        kind=Kind.RATIO,
        value=worst.ratio,
        limit=view.practice.value(rule),
        when=worst.when,
        remedy=cure,
        size=legs.sizes[leg],
        velocity=Figure(Kind.VELOCITY, worst.velocity_m_s),
        # A job's own stop ratio moves the velocity that it asks for, not the criterion.
        least=Figure(Kind.VELOCITY, stop * worst.velocity_m_s / worst.ratio),
        reserve=f"{100.0 * (1.0 - stop / worst.ratio):.0f} %",
        load=Figure(Kind.CAPACITY, worst.capacity_W * stop / worst.ratio),
    )


def _double(
    view: CircuitView, line: LineResult, legs: LegResult, leg: int, riser: DoubleRiserResult, worst: _Worst
) -> Iterator[Finding]:
    every = view.flow.everything.conditions
    patterns = np.concatenate([riser.pattern, riser.corner_pattern])
    seals = np.concatenate([riser.seal_needed_m, riser.corner_seal_needed_m])
    alone = np.concatenate([riser.alone_ratio, riser.corner_alone_ratio])
    changeover = np.concatenate([riser.changeover_W, riser.corner_changeover_W])
    # Where the line cannot pass its flow the seal is unknown, and so is the pattern.
    blown = np.flatnonzero((patterns == Pattern.BLOWN) & np.isfinite(seals))
    stop = view.practice.value("oil_return_stop_ratio")
    if len(blown):
        hopeless = blown[alone[blown] < stop]
        place = int(hopeless[0]) if len(hopeless) else int(blown[np.argmax(seals[blown])])
        yield by_rule(
            view,
            "oil_return_stop_ratio",
            code="double_riser_blown",
            title=f"{riser.leg}: neither tube returns oil",
            words=BLOWN_BOTH_WORDS if len(hopeless) else BLOWN_WORDS,
            line=line.line.id,
            leg=riser.leg,
            condition=place if place < len(riser.pattern) else None,
            kind=Kind.LENGTH,
            value=riser.seal_m,
            limit=float(seals[place]),
            when=every[place].title,
            size=legs.sizes[leg],
            changeover=Figure(Kind.CAPACITY, float(changeover[place])),
            seal=Figure(Kind.SEAL, riser.seal_m),
            needed=Figure(Kind.SEAL, float(seals[place]) + HALF_AN_EIGHTH_m),
        )
        return
    if worst.ratio < max(stop, view.practice.value("oil_return_margin_ratio")):
        yield from _single(view, line, legs, leg, worst, double=True)
    at_changeover = np.concatenate([riser.seal_at_changeover_m, riser.corner_seal_at_changeover_m])
    needed = np.maximum(at_changeover, view.practice.value("double_riser_seal_least_m"))
    # The seal matters only where the plant's loads cross the changeover.
    loads = [condition.capacity_W for condition in every]
    crossed = (changeover > min(loads)) & (changeover < max(loads)) & (needed > riser.seal_m)
    if crossed.any():
        place = int(np.argmax(np.where(crossed, needed, -np.inf)))
        yield by_rule(
            view,
            "double_riser_seal_least_m",
            code="double_riser_seal",
            title=f"{riser.leg}: the trap's seal is too low",
            words=SEAL_WORDS,
            line=line.line.id,
            leg=riser.leg,
            condition=place if place < len(riser.pattern) else None,
            kind=Kind.LENGTH,
            value=riser.seal_m,
            limit=float(needed[place]),
            when=every[place].title,
            size=legs.sizes[leg],
            changeover=Figure(Kind.CAPACITY, float(changeover[place])),
            drop=Figure(Kind.PRESSURE_DIFFERENCE, float(at_changeover[place]) * view.flow.film_density * GRAVITY),
            seal=Figure(Kind.SEAL, riser.seal_m),
            needed=Figure(Kind.SEAL, float(needed[place]) + HALF_AN_EIGHTH_m),
        )
