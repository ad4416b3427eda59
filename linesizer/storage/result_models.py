"""The shape of a result as plain values, the one that ``size --json`` prints; only its JSON Schema is made from this.

Keys with a default joined the shape later; every one of them is printed.  Figures are finite or null: null where a
quantity does not exist for a leg or line, or could not be calculated.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

from pydantic import Field

from linesizer.domain.route import Service
from linesizer.storage.proposal_models import ProposalRow
from linesizer.storage.result_row import Figure, Fraction, Positive, Row, Text

Pattern: TypeAlias = Literal["both", "small", "blown"] | None


class CycleRow(Row):
    """The cycle at one condition."""

    id: str
    mass_flow_kg_s: Positive
    compressor_flow_kg_s: Positive
    discharge_C: Figure
    discharge_Pa: Positive
    evaporating_Pa: Positive
    condensing_Pa: Positive
    compressor_W: Positive
    heat_rejection_W: Positive


class CornerRow(Row):
    """A corner of the load grid at which oil return is judged beside the stated conditions."""

    id: str
    name: str
    capacity_W: Positive
    condensing_C: Figure


class BudgetRow(Row):
    """Where a liquid line's subcooling goes: the first less the next five is the last."""

    subcooling_K: Figure
    friction_K: Figure
    fittings_K: Figure
    parts_K: Figure
    lift_K: Figure
    heat_K: Figure
    margin_K: Figure


class LineConditionRow(Row):
    """A line at one condition; the five terms sum to ``pressure_drop_Pa``, static positive for a climb.

    ``heat_W`` is given off to the air, ``turns_at_m`` where liquid begins to boil or gas to condense, the indicative
    figures those of a liquid line whose remainder boils.
    """

    id: str
    pressure_drop_Pa: Figure
    friction_Pa: Positive
    fittings_Pa: Figure
    parts_Pa: Figure
    acceleration_Pa: Figure
    static_Pa: Figure
    saturation_penalty_K: Figure
    saturation_change_K: Figure
    outlet_Pa: Positive
    outlet_C: Figure
    outlet_subcooling_K: Figure
    outlet_vapour_fraction: Fraction
    charge_kg: Positive
    heat_W: Figure = None
    turns_at_m: Positive = None
    indicative_outlet_Pa: Positive = None
    indicative_vapour_fraction: Fraction = None
    budget: BudgetRow | None = None


class LegConditionRow(Row):
    """A leg at one condition."""

    id: str
    velocity_m_s: Positive
    reynolds: Positive
    friction_factor: Positive
    density_kg_m3: Positive
    pressure_drop_Pa: Figure
    static_Pa: Figure
    oil_return_ratio: Positive
    minimum_velocity_m_s: Positive
    charge_kg: Positive
    start_C: Figure = None
    end_C: Figure = None
    surface_C: Figure = None
    start_margin_K: Figure = None
    end_margin_K: Figure = None


class LegCornerRow(Row):
    """A leg at one corner of the load grid."""

    id: str
    oil_return_ratio: Positive
    velocity_m_s: Positive


class RiserConditionRow(Row):
    """A double riser at one condition: which tubes flow, and what holds at the load from which on both do."""

    id: str
    pattern: Pattern
    small_share: Fraction
    small_ratio: Positive
    large_ratio: Positive
    alone_ratio: Positive
    changeover_W: Positive
    drop_at_changeover_Pa: Positive
    penalty_at_changeover_K: Figure
    seal_at_changeover_m: Positive
    seal_needed_m: Positive


class RiserCornerRow(Row):
    """A double riser at one corner of the load grid."""

    id: str
    pattern: Pattern
    seal_needed_m: Positive


class DoubleRiserRow(Row):
    """A double riser."""

    small: str
    large: str
    seal_m: Positive
    by_condition: list[RiserConditionRow]
    corners: list[RiserCornerRow]


class LegRow(Row):
    """A leg."""

    id: str
    size: Text
    inner_diameter_m: Positive
    length_m: Positive
    fitting_length_m: Positive
    volume_m3: Positive
    by_condition: list[LegConditionRow]
    corners: list[LegCornerRow] = Field(default=[])
    double_riser: DoubleRiserRow | None = None


class SizeRow(Row):
    """The whole line at one size, worst of all conditions; ``excluded_by`` names the rule that it breaks first."""

    size: str
    pressure_drop_Pa: Figure
    saturation_penalty_K: Figure
    velocity_m_s: Positive
    oil_return_ratio: Positive
    charge_kg: Positive
    tube_mass_kg: Positive
    extra_power_W: Figure = None
    yearly_kWh: Figure = None
    yearly_cost: Figure = None
    passes: bool
    excluded_by: Text


class BranchConditionRow(Row):
    """One condenser's way at one condition; a column stands short in liquid and drain lines only."""

    id: str
    governs: bool
    share: Fraction
    inlet_Pa: Positive
    outlet_Pa: Positive
    pressure_drop_Pa: Figure
    saturation_penalty_K: Figure
    column_short_m: Figure


class BranchRow(Row):
    """The way through a line to, or from, one of several condensers; ``own_legs`` carry its flow alone."""

    equipment: str
    legs: list[str]
    own_legs: list[str]
    own_fall_m: Figure
    by_condition: list[BranchConditionRow]


class LineRow(Row):
    """A line; ``proposal`` where one was asked for, or where the job leaves sizes open."""

    id: str
    service: Service
    length_m: Positive
    equivalent_length_m: Positive
    rise_m: Figure
    volume_m3: Positive
    charge_kg: Positive
    by_condition: list[LineConditionRow]
    legs: list[LegRow]
    sizes: list[SizeRow]
    branches: list[BranchRow] | None = None
    proposal: ProposalRow | None = None


class BandTermRow(Row):
    """One part of half the charge's band; the parts add in quadrature."""

    source: str
    kg: Positive


class ConditionChargeRow(Row):
    """What one condition needs."""

    id: str
    lines_kg: Positive
    equipment_kg: Positive
    flooding_kg: Positive
    total_kg: Positive


class EquipmentConditionRow(Row):
    """What a piece of equipment holds at one condition."""

    id: str
    charge_kg: Positive


class EquipmentChargeRow(Row):
    """What a piece of equipment holds at the condition that governs, and at each."""

    id: str
    charge_kg: Positive
    by_condition: list[EquipmentConditionRow]


class FloodedConditionRow(Row):
    """How much of a condenser is active at one condition, in what air, and what floods the rest."""

    id: str
    ambient_C: Figure
    active_fraction: Positive
    flooding_kg: Positive


class FloodedCondenserRow(Row):
    """A condenser that head-pressure control floods."""

    id: str
    by_condition: list[FloodedConditionRow]


class FillRow(Row):
    """How full a receiver is at one condition; 1 is full, more does not fit, below 0 lacks liquid."""

    id: str
    fill: Figure


class ReceiverRow(Row):
    """How full a receiver is in summer with the condensers drained, with the charge pumped down, and running."""

    id: str
    summer_fill: Figure
    pumped_down_fill: Figure
    by_condition: list[FillRow]


class ChargeRow(Row):
    """The charge at the condition that governs it, its band, and what each condition needs."""

    condition: Text
    lines_kg: Positive
    equipment_kg: Positive
    flooding_kg: Positive
    total_kg: Positive
    held_kg: Positive
    to_add_kg: Figure
    low_kg: Figure
    high_kg: Figure
    band_terms: list[BandTermRow] = Field(default=[])
    largest_band_term: Text = None
    by_condition: list[ConditionChargeRow] = Field(default=[])
    equipment: list[EquipmentChargeRow] = Field(default=[])
    condensers: list[FloodedCondenserRow] = Field(default=[])
    receivers: list[ReceiverRow] = Field(default=[])


class FindingRow(Row):
    """One finding at one place, at its worst condition."""

    code: str
    level: Literal["stop", "warn", "note"]
    line: Text
    leg: Text
    condition: Text
    message: str
    value: Figure
    limit: Figure
    unit: str
    rule: str
    source: str


class BlendRow(Row):
    """A refrigerant that is a blend of somebody's own: what it is, how its table was made, how far it may be off.

    ``pairs`` has two components, whence their interaction is, and whether that is estimated; uncertainties are
    fractions.
    """

    name: str
    shipped: Literal[False]
    basis: Literal["mass", "mole"]
    composition: dict[str, float]
    safety_group: Text = None
    gwp: Positive = None
    rcl_kg_m3: Positive = None
    built: str
    method: str
    pairs: list[tuple[str, str, str, bool]]
    pressure_uncertainty: float
    liquid_density_uncertainty: float
    vapour_density_uncertainty: float
    basis_of_uncertainty: str


class CircuitRow(Row):
    """A circuit; ``blend`` is null where its refrigerant is a shipped one."""

    id: str
    conditions: list[CycleRow]
    corners: list[CornerRow] = Field(default=[])
    lines: list[LineRow]
    charge: ChargeRow
    findings: list[FindingRow]
    blend: BlendRow | None = None


class ResultRow(Row):
    """The result of a job."""

    format: Literal["remote-condenser-result"]
    version: Literal[1]
    circuits: list[CircuitRow]
