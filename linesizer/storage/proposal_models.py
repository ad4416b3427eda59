"""The shape of a proposal in a result: sizes for the legs of a line, with their figures."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from linesizer.domain.proposal import Objective
from linesizer.storage.result_row import Figure, Positive, Row, Text


class PairRow(Row):
    """A double riser that is proposed."""

    small: str
    large: str
    seal_m: Positive


class BuildRow(Row):
    """What a leg is proposed to be built from: a size or a double riser, the other null."""

    leg: str
    size: Text
    double_riser: PairRow | None


class CombinationRow(Row):
    """Sizes for the legs of a line, and the whole line's figures with them, each at its worst condition."""

    sizes: list[BuildRow]
    penalty_K: Figure
    tube_mass_kg: Positive
    charge_kg: Positive
    velocity_m_s: Positive
    oil_return_ratio: Positive
    outlet_subcooling_K: Figure
    extra_power_W: Figure
    yearly_cost: Figure


class BestRow(Row):
    """The best combination by one objective."""

    objective: Objective
    combination: CombinationRow


class ExclusionRow(Row):
    """How many combinations of single tubes a rule excludes, and the best figure of those that keep all others."""

    rule: str
    combinations: Annotated[int, Field(ge=0)]
    nearest: Figure
    limit: Figure


class ProposalRow(Row):
    """What the sizing proposes for a line: ``chosen`` meets every limit where ``fits``, else it comes nearest.

    ``front`` has what no other beats in both mass of tube and penalty, the lightest first; ``exclusions`` are there
    where nothing fits.
    """

    objective: Objective
    fits: bool
    combinations: Annotated[int, Field(ge=0)]
    open_legs: list[str]
    chosen: CombinationRow
    best: list[BestRow]
    front: list[CombinationRow]
    exclusions: list[ExclusionRow]
