"""The limits that a combination of sizes has to meet, as data: which figure, against what, in which sense."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.route import Service
from linesizer.solver.arrays import BoolArray, FloatArray


@dataclass(frozen=True, slots=True)
class Figures:
    """What combinations are judged by, worst of all conditions; arrays have shape (combinations,).

    ``rating_reserve_Pa`` is what the weakest leg may bear less what it has to, infinite where no design pressure is
    known.  NaN stands for what does not exist and breaks no rule.
    """

    passes: BoolArray
    penalty_K: FloatArray
    oil_return_ratio: FloatArray
    outlet_subcooling_K: FloatArray
    velocity_m_s: FloatArray
    rating_reserve_Pa: FloatArray


@dataclass(frozen=True, slots=True)
class Limit:
    """One rule: ``figure`` of ``Figures`` has to be at most, or with ``least`` at least, ``value``.

    ``slack`` is how far an estimate may be off before a combination is put out without being solved.
    """

    rule: str
    figure: str
    value: float
    least: bool
    slack: float

    def broken(self, figures: Figures, *, estimated: bool = False) -> BoolArray:
        """Return which combinations break the rule; estimated ones only where they surely do."""
        found: FloatArray = getattr(figures, self.figure)
        slack = self.slack if estimated else 0.0
        return np.asarray(found < self.value - slack if self.least else found > self.value + slack)

    def short(self, figures: Figures) -> FloatArray:
        """Return by how much of the limit each combination misses it, at least 0, (combinations,)."""
        found: FloatArray = getattr(figures, self.figure)
        missing = self.value - found if self.least else found - self.value
        return np.asarray(np.fmax(missing, 0.0) / max(abs(self.value), 1.0))


def limits(service: Service, practice: PracticeSet) -> tuple[Limit, ...]:
    """Return what the sizes of a line are judged by, in the order in which the size table names it."""

    def limit(rule: str, figure: str, *, least: bool, part: float, more: float = 0.0) -> Limit:
        value = practice.value(rule)
        return Limit(rule, figure, value, least, part * abs(value) + more)

    rating = Limit("rating_temper", "rating_reserve_Pa", 0.0, least=True, slack=0.0)
    if service is Service.DISCHARGE:
        return (
            limit("oil_return_stop_ratio", "oil_return_ratio", least=True, part=0.05),
            rating,
            limit("discharge_penalty_K", "penalty_K", least=False, part=0.03, more=0.01),
            limit("oil_return_margin_ratio", "oil_return_ratio", least=True, part=0.05),
            limit("discharge_velocity_max_m_s", "velocity_m_s", least=False, part=0.05),
        )
    return (
        limit("liquid_margin_stop_K", "outlet_subcooling_K", least=True, part=0.0, more=0.1),
        rating,
        limit("liquid_penalty_K", "penalty_K", least=False, part=0.03, more=0.01),
        limit("liquid_margin_at_valve_K", "outlet_subcooling_K", least=True, part=0.0, more=0.1),
        limit("liquid_velocity_max_m_s", "velocity_m_s", least=False, part=0.02),
    )


def breaks(figures: Figures, rules: tuple[Limit, ...], *, estimated: bool = False) -> BoolArray:
    """Return which combinations break each rule, the flow's own first, (1 + rules, combinations)."""
    return np.stack([~figures.passes, *(rule.broken(figures, estimated=estimated) for rule in rules)])
