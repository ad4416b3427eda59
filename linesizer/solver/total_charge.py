"""The charge of a circuit: lines, equipment and flooding at every condition, the one that governs, and the band."""

from __future__ import annotations

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.charge_result import (
    BandSource,
    BandTerm,
    ChargeResult,
    ConditionCharge,
    EquipmentCharge,
    ReceiverLevel,
)
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Site
from linesizer.domain.result import ConditionResult, LineResult
from linesizer.domain.route import Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.charge import vessel_charge
from linesizer.solver.flooding import circuit_flooding, floods
from linesizer.solver.receiver_level import receiver_levels
from linesizer.units import ZERO_CELSIUS_K


def circuit_charge(
    circuit: Circuit,
    site: Site,
    lines: tuple[LineResult, ...],
    conditions: ConditionResult,
    table: RefrigerantTable,
    practice: PracticeSet,
) -> ChargeResult:
    """Return the refrigerant that a circuit needs at its governing condition, and what it needs at all others.

    That is the condition that the circuit names, else the one that needs most in total.  Sums that lack a line's
    figures, or what flooding needs to be known, are None; equipment without data counts as empty and has a finding of
    its own.

    Parameters
    ----------
    circuit, site
        Equipment, head-pressure control and choice of condition; the winter air.
    lines : tuple of LineResult
        The lines solved.
    conditions : ConditionResult
        The cycle, arrays of shape (conditions,).
    table : RefrigerantTable
        Properties.
    practice : PracticeSet
        Tolerances of the band, temperature of the pump-down.

    Returns
    -------
    ChargeResult
    """
    nothing = np.zeros(len(circuit.conditions))
    known = [line.flow.charge_kg for line in lines if line.flow is not None]
    equipment = equipment_charges(circuit, conditions, table)
    flooding = circuit_flooding(circuit, site, conditions, table)
    in_lines = sum(known, nothing)
    in_equipment = sum((item.kg for item in equipment if item.kg is not None), nothing)
    flooded = flooding.kg if flooding is not None else nothing
    together = in_lines + in_equipment + flooded
    names = [condition.id for condition in circuit.conditions]
    if circuit.charge_condition in names:
        index = names.index(circuit.charge_condition)
    else:
        index = int(np.nanargmax(together)) if np.isfinite(together).any() else 0
    unknown = np.full(nothing.shape, np.nan)
    if len(known) != len(lines):
        in_lines = unknown
    if floods(circuit) and flooding is None:
        flooded = unknown
    needed = ConditionCharge(in_lines, in_equipment, flooded, in_lines + in_equipment + flooded)
    total = _known(needed.total_kg[index])
    terms: tuple[BandTerm, ...] = ()
    levels: tuple[ReceiverLevel, ...] = ()
    held = sum(item.holds_kg for item in circuit.equipment)
    if total is not None:
        terms = _band_terms(lines, conditions, table, practice, index, needed)
        levels = receiver_levels(circuit, conditions, needed, max(total, held), table, practice)
    band = float(np.sqrt(sum(term.kg**2 for term in terms)))
    return ChargeResult(
        condition=names[index],
        condition_index=index,
        lines_kg=_known(in_lines[index]),
        equipment_kg=_known(in_equipment[index]),
        flooding_kg=_known(flooded[index]),
        total_kg=total,
        held_kg=held,
        to_add_kg=None if total is None else max(0.0, total - held),
        low_kg=None if total is None else max(0.0, total - band),
        high_kg=None if total is None else total + band,
        by_condition=needed,
        equipment=equipment,
        flooding=flooding,
        receivers=levels,
        band_terms=terms,
    )


def equipment_charges(
    circuit: Circuit, conditions: ConditionResult, table: RefrigerantTable
) -> tuple[EquipmentCharge, ...]:
    """Return what each piece of equipment holds at each condition, with nothing flooded."""
    if not circuit.equipment:
        return ()
    liquid = table.saturated_liquid(conditions.condensing_Pa).density_kg_m3
    vapour = table.saturated_vapour(conditions.condensing_Pa).density_kg_m3
    found = []
    for item in circuit.equipment:
        fraction, kg = liquid_fraction(item), None
        if item.operating_kg is not None:
            kg = np.full(liquid.shape, item.operating_kg)
        elif item.volume_m3 is not None and fraction is not None:
            kg = vessel_charge(item.volume_m3, fraction, liquid, vapour)
        found.append(EquipmentCharge(item.id, kg))
    return tuple(found)


def liquid_fraction(equipment: Equipment) -> float | None:
    """Return the part of a vessel's volume that is liquid while running, None where it is not stated."""
    return equipment.operating_fill if equipment.role is Role.RECEIVER else equipment.mean_liquid_fraction


def _known(kg: float) -> float | None:
    return float(kg) if np.isfinite(kg) else None


def _band_terms(
    lines: tuple[LineResult, ...],
    conditions: ConditionResult,
    table: RefrigerantTable,
    practice: PracticeSet,
    index: int,
    needed: ConditionCharge,
) -> tuple[BandTerm, ...]:
    """Return the parts of half the band, each with all that it touches wrong the same way, [kg].

    A bore that is wrong by a fraction makes the volume wrong by twice that.  What floods a condenser hangs on its
    maker's data as its content does.
    """
    pressure = conditions.liquid_Pa[index]
    temperature = conditions.liquid_C[index] + ZERO_CELSIUS_K
    colder = table.liquid_pt(pressure, temperature - practice.value("band_liquid_K")).density_kg_m3
    here = table.liquid_pt(pressure, temperature).density_kg_m3
    in_liquid_lines = sum(
        float(line.flow.charge_kg[index])
        for line in lines
        if line.flow is not None and line.line.service in (Service.LIQUID, Service.DRAIN)
    )
    in_lines = float(needed.lines_kg[index])
    from_makers_data = float(needed.equipment_kg[index] + needed.flooding_kg[index])
    return (
        BandTerm(BandSource.LENGTH, practice.value("band_length") * in_lines),
        BandTerm(BandSource.BORE, 2.0 * practice.value("band_bore") * in_lines),
        BandTerm(BandSource.LIQUID_TEMPERATURE, in_liquid_lines * (float(colder) / float(here) - 1.0)),
        BandTerm(BandSource.EQUIPMENT, practice.value("band_equipment") * from_makers_data),
    )
