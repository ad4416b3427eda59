"""The result file's shape: rows of plain values, made only when asked for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from linesizer.domain.blend_record import BlendRecord
from linesizer.domain.branch_result import BranchResult
from linesizer.domain.charge_result import ChargeResult
from linesizer.domain.finding import Finding
from linesizer.domain.proposal import Proposals, SizeProposal
from linesizer.domain.proposal_rows import proposal_row
from linesizer.domain.result import (
    CircuitResult,
    DoubleRiserResult,
    LegResult,
    LineFlow,
    LineResult,
    LiquidBudget,
    Result,
    SizeSweep,
)

FORMAT = "remote-condenser-result"
VERSION = 1

_CONDITION_KEYS = (
    "mass_flow_kg_s",
    "compressor_flow_kg_s",
    "discharge_C",
    "discharge_Pa",
    "evaporating_Pa",
    "condensing_Pa",
    "compressor_W",
    "electric_W",
    "heat_rejection_W",
    "liquid_Pa",
    "liquid_C",
)
_LINE_KEYS = (
    ("pressure_drop_Pa", "drop_Pa"),
    ("friction_Pa", "friction_Pa"),
    ("fittings_Pa", "fittings_Pa"),
    ("parts_Pa", "parts_Pa"),
    ("acceleration_Pa", "acceleration_Pa"),
    ("static_Pa", "static_Pa"),
    ("saturation_penalty_K", "saturation_penalty_K"),
    ("saturation_change_K", "saturation_change_K"),
    ("inlet_Pa", "inlet_Pa"),
    ("outlet_Pa", "outlet_Pa"),
    ("outlet_C", "outlet_C"),
    ("outlet_subcooling_K", "outlet_subcooling_K"),
    ("outlet_vapour_fraction", "outlet_vapour_fraction"),
    ("charge_kg", "charge_kg"),
    ("heat_W", "heat_W"),
    ("turns_at_m", "turns_at_m"),
    ("indicative_outlet_Pa", "indicative_outlet_Pa"),
    ("indicative_vapour_fraction", "indicative_vapour_fraction"),
)
_LEG_KEYS = (
    ("velocity_m_s", "velocity_m_s"),
    ("reynolds", "reynolds"),
    ("friction_factor", "friction_factor"),
    ("density_kg_m3", "density_kg_m3"),
    ("viscosity_Pa_s", "viscosity_Pa_s"),
    ("pressure_drop_Pa", "drop_Pa"),
    ("friction_Pa", "friction_Pa"),
    ("fittings_Pa", "fittings_Pa"),
    ("parts_Pa", "parts_Pa"),
    ("acceleration_Pa", "acceleration_Pa"),
    ("static_Pa", "static_Pa"),
    ("oil_return_ratio", "oil_return_ratio"),
    ("minimum_velocity_m_s", "minimum_velocity_m_s"),
    ("charge_kg", "charge_kg"),
    ("start_C", "start_C"),
    ("end_C", "end_C"),
    ("surface_C", "surface_C"),
    ("start_margin_K", "start_margin_K"),
    ("end_margin_K", "end_margin_K"),
)
_BRANCH_KEYS = (
    ("share", "share"),
    ("inlet_Pa", "inlet_Pa"),
    ("outlet_Pa", "outlet_Pa"),
    ("pressure_drop_Pa", "drop_Pa"),
    ("saturation_penalty_K", "saturation_penalty_K"),
    ("column_short_m", "column_short_m"),
)
_BUDGET_KEYS = ("subcooling_K", "friction_K", "fittings_K", "parts_K", "lift_K", "heat_K", "margin_K")
_RISER_KEYS = (
    "small_share",
    "small_ratio",
    "large_ratio",
    "alone_ratio",
    "changeover_W",
    "drop_at_changeover_Pa",
    "penalty_at_changeover_K",
    "seal_at_changeover_m",
    "seal_needed_m",
)
_PATTERNS = ("both", "small", "blown")
"""The words for the numbers of a double riser's pattern."""


def plain(value: float | None) -> float | None:
    """Return a finite number, or None."""
    if value is None or not math.isfinite(value):
        return None
    return float(value)


def _column(values: np.ndarray[Any, np.dtype[np.float64]]) -> list[float | None]:
    listed: list[float | None] = values.tolist()
    return [value if value is not None and math.isfinite(value) else None for value in listed]


def result_rows(result: Result, proposals: Proposals) -> dict[str, Any]:
    """Return a whole result as plain values; a line's proposal is that of ``proposals``, else what sized it."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "circuits": [_circuit(circuit, proposals) for circuit in result.circuits],
    }


def _circuit(result: CircuitResult, proposals: Proposals) -> dict[str, Any]:
    ids = [condition.id for condition in result.circuit.conditions]
    corners = [corner.id for corner in result.corners]
    columns = [_column(getattr(result.conditions, key)) for key in _CONDITION_KEYS]
    return {
        "id": result.circuit.id,
        "conditions": [
            {"id": name, **dict(zip(_CONDITION_KEYS, row, strict=True))}
            for name, row in zip(ids, zip(*columns, strict=True), strict=True)
        ],
        "corners": [
            {
                "id": corner.id,
                "name": corner.name,
                "capacity_W": plain(corner.capacity_W),
                "condensing_C": plain(corner.condensing_C),
            }
            for corner in result.corners
        ],
        "lines": [
            _line(line, ids, corners, result.charge, proposals.get((result.circuit.id, line.line.id), line.proposal))
            for line in result.lines
        ],
        "charge": charge_row(result.charge, ids),
        "findings": [finding_row(finding) for finding in result.findings],
        "blend": None if result.own is None else blend_row(result.circuit.refrigerant, result.own),
    }


def blend_row(name: str, own: BlendRecord) -> dict[str, Any]:
    """Return what an own blend is and how its table came about, as plain values."""
    return {"name": name, "shipped": False, **own.as_plain()}


def _line(
    result: LineResult, ids: list[str], corners: list[str], charge: ChargeResult, proposal: SizeProposal | None
) -> dict[str, Any]:
    return {
        "id": result.line.id,
        "service": result.line.service.value,
        "length_m": plain(result.length_m),
        "equivalent_length_m": plain(result.equivalent_length_m),
        "rise_m": plain(result.rise_m),
        "volume_m3": plain(result.volume_m3),
        "charge_kg": None if result.flow is None else plain(float(result.flow.charge_kg[charge.condition_index])),
        "by_condition": [] if result.flow is None else _by_condition(result.flow, _LINE_KEYS, ids),
        "legs": [] if result.legs is None else _legs(result.legs, ids, corners),
        "sizes": [] if result.sweep is None else size_rows(result.sweep),
        "proposal": None if proposal is None else proposal_row(proposal),
        **({"branches": [_branch(branch, ids) for branch in result.branches]} if result.branches else {}),
    }


def _branch(branch: BranchResult, ids: list[str]) -> dict[str, Any]:
    columns = {key: _column(getattr(branch, name)) for key, name in _BRANCH_KEYS}
    return {
        "equipment": branch.equipment,
        "legs": list(branch.legs),
        "own_legs": list(branch.own),
        "own_fall_m": plain(branch.own_fall_m),
        "by_condition": [
            {"id": name, "governs": bool(branch.governs[index])}
            | {key: column[index] for key, column in columns.items()}
            for index, name in enumerate(ids)
        ],
    }


def _by_condition(flow: LineFlow, keys: tuple[tuple[str, str], ...], ids: list[str]) -> list[dict[str, Any]]:
    columns = [_column(getattr(flow, attribute)) for _, attribute in keys]
    names = [key for key, _ in keys]
    budgets = [None] * len(ids) if flow.budget is None else _budget_rows(flow.budget)
    return [
        {"id": condition, **dict(zip(names, row, strict=True)), "budget": budget}
        for condition, row, budget in zip(ids, zip(*columns, strict=True), budgets, strict=True)
    ]


def _budget_rows(budget: LiquidBudget) -> list[dict[str, float | None]]:
    columns = [_column(getattr(budget, key)) for key in _BUDGET_KEYS]
    return [dict(zip(_BUDGET_KEYS, row, strict=True)) for row in zip(*columns, strict=True)]


def _legs(legs: LegResult, ids: list[str], corners: list[str]) -> list[dict[str, Any]]:
    names = [key for key, _ in _LEG_KEYS]
    arrays = [getattr(legs, attribute) for _, attribute in _LEG_KEYS]
    risers = {riser.leg: riser for riser in legs.double_risers}
    rows = []
    for index, name in enumerate(legs.ids):
        columns = [_column(array[index]) for array in arrays]
        rows.append(
            {
                "id": name,
                "size": legs.sizes[index],
                "inner_diameter_m": plain(legs.inner_diameter_m[index]),
                "length_m": plain(legs.length_m[index]),
                "fitting_length_m": plain(legs.fitting_length_m[index, 0]),
                "volume_m3": plain(legs.volume_m3[index]),
                "by_condition": [
                    {"id": condition, **dict(zip(names, row, strict=True))}
                    for condition, row in zip(ids, zip(*columns, strict=True), strict=True)
                ],
                "corners": [
                    {"id": corner, "oil_return_ratio": ratio, "velocity_m_s": velocity}
                    for corner, ratio, velocity in zip(
                        corners,
                        _column(legs.corner_ratio[index]),
                        _column(legs.corner_velocity_m_s[index]),
                        strict=True,
                    )
                ],
                "double_riser": _double_riser(risers[name], ids, corners) if name in risers else None,
            }
        )
    return rows


def _double_riser(riser: DoubleRiserResult, ids: list[str], corners: list[str]) -> dict[str, Any]:
    columns = [_column(getattr(riser, key)) for key in _RISER_KEYS]
    seals = _column(riser.corner_seal_needed_m)
    rows = [dict(zip(_RISER_KEYS, row, strict=True)) for row in zip(*columns, strict=True)]
    # Where the line cannot pass its flow, neither can it be said which tubes flow.
    return {
        "small": riser.small,
        "large": riser.large,
        "seal_m": plain(riser.seal_m),
        "by_condition": [
            {"id": condition, "pattern": None if row["small_share"] is None else _PATTERNS[pattern], **row}
            for condition, pattern, row in zip(ids, riser.pattern, rows, strict=True)
        ],
        "corners": [
            {"id": corner, "pattern": None if seal is None else _PATTERNS[pattern], "seal_needed_m": seal}
            for corner, pattern, seal in zip(corners, riser.corner_pattern, seals, strict=True)
        ],
    }


def size_rows(sweep: SizeSweep) -> list[dict[str, Any]]:
    """Return one row of plain values for each size of a sweep."""
    keys = (
        "pressure_drop_Pa",
        "saturation_penalty_K",
        "velocity_m_s",
        "oil_return_ratio",
        "outlet_subcooling_K",
        "allowable_gauge_Pa",
        "charge_kg",
        "tube_mass_kg",
        "extra_power_W",
        "yearly_kWh",
        "yearly_cost",
    )
    columns = [_column(getattr(sweep, key)) for key in keys]
    return [
        {"size": size, **dict(zip(keys, row, strict=True)), "passes": excluded is None, "excluded_by": excluded}
        for size, row, excluded in zip(sweep.sizes, zip(*columns, strict=True), sweep.excluded_by, strict=True)
    ]


def charge_row(charge: ChargeResult, ids: Sequence[str]) -> dict[str, Any]:
    """Return a circuit's charge as plain values, with what each of the conditions ``ids`` needs."""
    keys = ("lines_kg", "equipment_kg", "flooding_kg", "total_kg", "held_kg", "to_add_kg", "low_kg", "high_kg")
    needed = ("lines_kg", "equipment_kg", "flooding_kg", "total_kg")
    columns = [_column(getattr(charge.by_condition, key)) for key in needed]
    at, largest, flooding = charge.condition_index, charge.largest_band_term, charge.flooding
    return {
        "condition": charge.condition,
        **{key: plain(getattr(charge, key)) for key in keys},
        "band_terms": [{"source": term.source.value, "kg": plain(term.kg)} for term in charge.band_terms],
        "largest_band_term": None if largest is None else largest.source.value,
        "by_condition": [
            {"id": name, **dict(zip(needed, row, strict=True))}
            for name, row in zip(ids, zip(*columns, strict=True), strict=True)
        ],
        "equipment": [
            {
                "id": item.id,
                "charge_kg": None if item.kg is None else plain(item.kg[at]),
                "by_condition": [] if item.kg is None else _by_id(ids, "charge_kg", item.kg),
            }
            for item in charge.equipment
        ],
        "condensers": []
        if flooding is None
        else [
            {
                "id": item.id,
                "by_condition": [
                    {"id": name, "ambient_C": ambient, "active_fraction": active, "flooding_kg": kg}
                    for name, ambient, active, kg in zip(
                        ids,
                        _column(flooding.ambient_C),
                        _column(item.active),
                        _column(item.extra_kg),
                        strict=True,
                    )
                ],
            }
            for item in flooding.condensers
        ],
        "receivers": [
            {
                "id": level.id,
                "summer_fill": plain(level.summer),
                "pumped_down_fill": plain(level.pumped_down),
                "by_condition": [] if level.running is None else _by_id(ids, "fill", level.running),
            }
            for level in charge.receivers
        ],
    }


def _by_id(ids: Sequence[str], key: str, values: np.ndarray[Any, np.dtype[np.float64]]) -> list[dict[str, Any]]:
    return [{"id": name, key: value} for name, value in zip(ids, _column(values), strict=True)]


def finding_row(finding: Finding) -> dict[str, Any]:
    """Return one finding as plain values, its words in SI."""
    return {
        "code": finding.code,
        "level": finding.level.value,
        "line": finding.line,
        "leg": finding.leg,
        "condition": finding.condition,
        "message": finding.message("si"),
        "value": plain(finding.value),
        "limit": plain(finding.limit),
        "unit": finding.unit,
        "rule": finding.rule,
        "source": finding.source,
    }
