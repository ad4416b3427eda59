"""What the sizing proposes for a line: sizes by leg, their figures, mass against penalty, what excludes what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from linesizer.domain.route import DoubleRiser


class Objective(StrEnum):
    """What the sizes of a line are chosen for."""

    MASS = "mass"
    """Least mass of tube."""

    CHARGE = "charge"
    """Least charge at the condition that holds most."""

    POWER = "power"
    """Least electric power for the drop, at the condition where it costs most."""

    YEARLY_COST = "yearly_cost"
    """Least cost of that power over the stated hours."""


@dataclass(frozen=True, slots=True)
class Combination:
    """One way to build a line's open legs, with the whole line's figures, each at its worst condition.

    ``sizes`` has a size or a double riser for each leg that is sized, in the order of flow.  ``penalty_K`` is the one
    that the line is judged by.  Figures that do not exist are None: oil return without a climb, subcooling of gas,
    power of a liquid line, cost without hours and price.
    """

    sizes: tuple[tuple[str, str | DoubleRiser], ...]
    penalty_K: float
    tube_mass_kg: float
    charge_kg: float
    velocity_m_s: float
    oil_return_ratio: float | None = None
    outlet_subcooling_K: float | None = None
    extra_power_W: float | None = None
    yearly_cost: float | None = None

    @property
    def deepest_seal_m(self) -> float | None:
        """The highest seal of its double risers, [m]; None without one."""
        return max((build.seal_m for _, build in self.sizes if isinstance(build, DoubleRiser)), default=None)

    def figure(self, objective: Objective) -> float | None:
        """Return what an objective makes small."""
        match objective:
            case Objective.MASS:
                return self.tube_mass_kg
            case Objective.CHARGE:
                return self.charge_kg
            case Objective.POWER:
                return self.extra_power_W
            case Objective.YEARLY_COST:
                return self.yearly_cost


@dataclass(frozen=True, slots=True)
class Exclusion:
    """What one rule does to the combinations of single tubes.

    ``combinations`` of those that pass the flow break it.  ``nearest`` is the best value among those that keep every
    other rule, None where no combination does; ``limit`` is the rule's own.  A rating's are what the weakest leg may
    bear less what it has to, and 0.
    """

    rule: str
    combinations: int
    nearest: float | None
    limit: float | None


@dataclass(frozen=True, slots=True)
class SizeProposal:
    """The answer of the sizing for one line.

    ``chosen`` is the best by ``objective`` of those that meet every limit at every condition; where none does
    (``fits`` False) the one that breaks the fewest and least.  ``best`` has the best by each objective that exists,
    ``front`` those that no other beats in both tube mass and penalty, lightest first, in steps of 0.01 K or more; both
    are empty where nothing fits.  ``open_legs`` are those for which the job states no size.  ``exclusions`` is filled
    where no combination fits, and counts those of single tubes.
    """

    line: str
    objective: Objective
    fits: bool
    chosen: Combination
    best: tuple[tuple[Objective, Combination], ...]
    front: tuple[Combination, ...]
    open_legs: tuple[str, ...]
    combinations: int
    exclusions: tuple[Exclusion, ...] = ()

    def by(self, objective: Objective) -> Combination | None:
        """Return the best combination by an objective, None where it has no figure or nothing fits."""
        return next((combination for own, combination in self.best if own is objective), None)


Proposals: TypeAlias = Mapping[tuple[str, str], SizeProposal]
"""Proposals by the ids of circuit and line."""
