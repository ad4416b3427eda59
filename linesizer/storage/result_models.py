"""The shape of a result as plain values, the one that ``size --json`` prints; only its JSON Schema is made from this.

Figures are finite or null: null where a quantity does not exist for a leg or line, or could not be calculated.
"""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, Field

from linesizer.domain.route import Service

Figure: TypeAlias = float | None
Positive: TypeAlias = Annotated[float, Field(ge=0)] | None
Text: TypeAlias = str | None


class Row(BaseModel):
    """One object of a result; a later version may add keys."""

    model_config = ConfigDict(extra="allow", allow_inf_nan=False)


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


class LineConditionRow(Row):
    """A line at one condition; the five terms sum to ``pressure_drop_Pa``, static positive for a climb."""

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
    outlet_vapour_fraction: Annotated[float, Field(ge=0, le=1)] | None
    charge_kg: Positive


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


class LegRow(Row):
    """A leg."""

    id: str
    size: Text
    inner_diameter_m: Positive
    length_m: Positive
    fitting_length_m: Positive
    volume_m3: Positive
    by_condition: list[LegConditionRow]


class SizeRow(Row):
    """The whole line at one size, worst of all conditions; ``excluded_by`` names the rule that it breaks first."""

    size: str
    pressure_drop_Pa: Figure
    saturation_penalty_K: Figure
    velocity_m_s: Positive
    oil_return_ratio: Positive
    charge_kg: Positive
    tube_mass_kg: Positive
    passes: bool
    excluded_by: Text


class LineRow(Row):
    """A line."""

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
    band_terms: list[BandTermRow] = []
    largest_band_term: Text = None
    by_condition: list[ConditionChargeRow] = []
    equipment: list[EquipmentChargeRow] = []
    condensers: list[FloodedCondenserRow] = []
    receivers: list[ReceiverRow] = []


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


class CircuitRow(Row):
    """A circuit."""

    id: str
    conditions: list[CycleRow]
    lines: list[LineRow]
    charge: ChargeRow
    findings: list[FindingRow]


class ResultRow(Row):
    """The result of a job."""

    format: Literal["remote-condenser-result"]
    version: Literal[1]
    circuits: list[CircuitRow]
