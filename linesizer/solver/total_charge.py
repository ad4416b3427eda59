"""The charge of a circuit: lines and equipment at every condition, the one that governs, and the band around it."""

from __future__ import annotations

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit, HeadPressureControlKind
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.result import ChargeResult, ConditionResult, LineResult
from linesizer.domain.route import Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import FloatArray
from linesizer.solver.charge import vessel_charge
from linesizer.units import ZERO_CELSIUS_K


def circuit_charge(
    circuit: Circuit,
    lines: tuple[LineResult, ...],
    conditions: ConditionResult,
    table: RefrigerantTable,
    practice: PracticeSet,
) -> ChargeResult:
    """Return the refrigerant that a circuit needs at its governing condition.

    That is the condition that the circuit names, else the one that needs most in total.  Sums that lack a line's
    figures, or a flooded condenser's, are None; equipment without data counts as empty and has a finding of its own.

    Parameters
    ----------
    circuit : Circuit
        Equipment and choice of condition.
    lines : tuple of LineResult
        The lines solved.
    conditions : ConditionResult
        The cycle, arrays of shape (conditions,).
    table : RefrigerantTable
        Properties.
    practice : PracticeSet
        Tolerances of the band.

    Returns
    -------
    ChargeResult
    """
    count = len(circuit.conditions)
    known = [line.flow.charge_kg for line in lines if line.flow is not None]
    in_lines = sum(known, np.zeros(count))
    in_equipment = equipment_charge(circuit, conditions, table)
    together = in_lines + in_equipment
    names = [condition.id for condition in circuit.conditions]
    if circuit.charge_condition in names:
        index = names.index(circuit.charge_condition)
    else:
        index = int(np.nanargmax(together)) if np.isfinite(together).any() else 0
    complete = len(known) == len(lines) and bool(np.isfinite(together[index]))
    floods = circuit.head_pressure_control.kind is HeadPressureControlKind.FLOODING
    held = sum(equipment.holds_kg for equipment in circuit.equipment)
    lines_kg = float(in_lines[index]) if complete else None
    equipment_kg = float(in_equipment[index])
    total = None if lines_kg is None or floods else lines_kg + equipment_kg
    band = None
    if total is not None and lines_kg is not None:
        band = _band_kg(lines, conditions, table, practice, index, lines_kg, equipment_kg)
    return ChargeResult(
        condition=names[index],
        condition_index=index,
        lines_kg=lines_kg,
        equipment_kg=equipment_kg,
        flooding_kg=None if floods else 0.0,
        total_kg=total,
        held_kg=held,
        to_add_kg=None if total is None else max(0.0, total - held),
        low_kg=None if total is None or band is None else max(0.0, total - band),
        high_kg=None if total is None or band is None else total + band,
    )


def equipment_charge(circuit: Circuit, conditions: ConditionResult, table: RefrigerantTable) -> FloatArray:
    """Return what all equipment holds at each condition, (conditions,), [kg]; what has no data counts as empty."""
    total = np.zeros(len(circuit.conditions))
    liquid = table.saturated_liquid(conditions.condensing_Pa).density_kg_m3
    vapour = table.saturated_vapour(conditions.condensing_Pa).density_kg_m3
    for equipment in circuit.equipment:
        fraction = liquid_fraction(equipment)
        if equipment.operating_kg is not None:
            total = total + equipment.operating_kg
        elif equipment.volume_m3 is not None and fraction is not None:
            total = total + vessel_charge(equipment.volume_m3, fraction, liquid, vapour)
    return total


def liquid_fraction(equipment: Equipment) -> float | None:
    """Return the part of a vessel's volume that is liquid while running, None where it is not stated."""
    return equipment.operating_fill if equipment.role is Role.RECEIVER else equipment.mean_liquid_fraction


def _band_kg(
    lines: tuple[LineResult, ...],
    conditions: ConditionResult,
    table: RefrigerantTable,
    practice: PracticeSet,
    index: int,
    lines_kg: float,
    equipment_kg: float,
) -> float:
    """Return half the band: surveyed length, equipment data and liquid temperature in quadrature, [kg]."""
    pressure = conditions.liquid_Pa[index]
    temperature = conditions.liquid_C[index] + ZERO_CELSIUS_K
    colder = table.liquid_pt(pressure, temperature - practice.value("band_liquid_K")).density_kg_m3
    here = table.liquid_pt(pressure, temperature).density_kg_m3
    in_liquid_lines = sum(
        float(line.flow.charge_kg[index])
        for line in lines
        if line.flow is not None and line.line.service is Service.LIQUID
    )
    length = practice.value("band_length") * lines_kg
    equipment = practice.value("band_equipment") * equipment_kg
    liquid_temperature = in_liquid_lines * (float(colder) / float(here) - 1.0)
    return float(np.sqrt(length**2 + equipment**2 + liquid_temperature**2))
