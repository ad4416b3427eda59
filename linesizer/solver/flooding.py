"""Winter flooding: liquid that head-pressure control backs up into a condenser to take its surface away."""

from __future__ import annotations

import numpy as np

from linesizer.domain.charge_result import FloodedCondenser, Flooding
from linesizer.domain.circuit import Circuit, HeadPressureControlKind, TemperatureBasis
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Site
from linesizer.domain.result import ConditionResult
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import ArrayLike, FloatArray
from linesizer.solver.charge import vessel_charge
from linesizer.solver.cycle import saturation_pressure
from linesizer.units import ZERO_CELSIUS_K


def active_fraction(
    design_td: ArrayLike, rejection_fraction: ArrayLike, condensing: ArrayLike, ambient: ArrayLike
) -> FloatArray:
    r"""Return the part of a condenser that has to stay active to reject its heat.

    .. math:: a = \min\left(1, \frac{\Delta T_{design} \, \dot Q / \dot Q_{design}}{T_c - T_{ambient}}\right)

    The area balance: heat goes with active surface and temperature difference.  The arguments broadcast together.

    Parameters
    ----------
    design_td : array_like, shape S
        Condensing less entering air temperature at which the whole surface rejects the design heat, [K].
    rejection_fraction : array_like, shape S
        Heat rejected over that design heat.
    condensing, ambient : array_like, shape S
        Condensing temperature that the control holds, and of the air, both in [C] or both in [K].

    Returns
    -------
    ndarray, shape S
        Between 0 and 1; 1 where the air is as warm as the refrigerant, since nothing is flooded then.

    References
    ----------
    .. [1] ASHRAE Handbook - Refrigeration, head pressure control by flooding (principle from memory).
    """
    needed = np.asarray(design_td, dtype=np.float64) * np.asarray(rejection_fraction, dtype=np.float64)
    difference = np.asarray(condensing, dtype=np.float64) - np.asarray(ambient, dtype=np.float64)
    needed, difference = np.broadcast_arrays(needed, difference)
    # Where the difference is no more than what is needed, all surface works.
    return np.where(needed < difference, needed / np.where(difference > 0.0, difference, 1.0), 1.0) + 0.0 * needed


def flooding_charge(
    volume_m3: float, active: ArrayLike, flooded_density: ArrayLike, active_density: ArrayLike
) -> FloatArray:
    r"""Return what a condenser holds more than with nothing flooded, :math:`(1 - a) V (\rho_{flood} - \rho_{active})`.

    Parameters
    ----------
    volume_m3 : float
        The condenser's inner volume, [m3].
    active : array_like, shape S
        Its active part.
    flooded_density : array_like, shape S
        Of the liquid that floods it, [kg/m3].
    active_density : array_like, shape S
        Mean of liquid and vapour where it condenses, :math:`\phi \rho_l + (1 - \phi) \rho_v`, [kg/m3].

    Returns
    -------
    ndarray, shape S
        Extra charge, [kg].
    """
    return np.asarray((1.0 - np.asarray(active)) * volume_m3 * (np.asarray(flooded_density) - active_density))


def floods(circuit: Circuit) -> bool:
    """Whether head-pressure control floods the circuit's condensers in winter."""
    return circuit.head_pressure_control.kind is HeadPressureControlKind.FLOODING


def held_condensing_C(circuit: Circuit) -> float:
    """Return the least condensing temperature: the smaller of the conditions' and the control's, [C]."""
    stated = min(condition.condensing_C for condition in circuit.conditions)
    held = circuit.head_pressure_control.minimum_condensing_C
    return stated if held is None else min(stated, held)


def missing_for_flooding(circuit: Circuit, site: Site) -> tuple[tuple[Equipment | None, str], ...]:
    """Return what flooding cannot be calculated without: the condenser, None for the job itself, and what it lacks."""
    missing: list[tuple[Equipment | None, str]] = []
    condensers = _condensers(circuit)
    if not condensers:
        missing.append((None, "condenser"))
    for condenser in condensers:
        lacks = []
        if condenser.volume_m3 is None:
            lacks.append("volume")
        if condenser.mean_liquid_fraction is None and condenser.operating_kg is None:
            lacks.append("mean liquid fraction")
        if condenser.design_td_K is None:
            lacks.append("design temperature difference")
        if lacks:
            missing.append((condenser, " and ".join(lacks)))
    if coldest_ambient_C(circuit, site) is None:
        missing.append((None, "winter ambient temperature"))
    return tuple(missing)


def coldest_ambient_C(circuit: Circuit, site: Site) -> float | None:
    """Return the coldest outdoor air that the job states, None where it states none, [C]."""
    known = [condition.ambient_C for condition in circuit.conditions] + [site.winter_ambient_C]
    return min((ambient for ambient in known if ambient is not None), default=None)


def circuit_flooding(
    circuit: Circuit, site: Site, conditions: ConditionResult, table: RefrigerantTable
) -> Flooding | None:
    """Return the winter flooding of a circuit's condensers; None where there is none or its data are not stated.

    Every condition counts with its own rejection over the greatest of all and with its own air; the one that rejects
    least counts with the coldest air that is known, which is the worst case.  A condition that states no air counts
    with the coldest where it condenses at what the control holds, and with none flooded where it condenses above.

    Parameters
    ----------
    circuit, site
        Conditions, control, condensers; the site's winter air.
    conditions : ConditionResult
        The cycle; heat rejected, (conditions,).
    table : RefrigerantTable
        Properties.
    """
    coldest = coldest_ambient_C(circuit, site)
    rejected = conditions.heat_rejection_W
    if not floods(circuit) or coldest is None or missing_for_flooding(circuit, site):
        return None
    if not np.isfinite(rejected).any():
        return None
    held_C = held_condensing_C(circuit)
    least = int(np.nanargmin(rejected))
    ambient = np.array([_ambient_C(c.ambient_C, c.condensing_C, held_C, coldest) for c in circuit.conditions])
    ambient[least] = coldest
    midpoint = circuit.temperature_basis is TemperatureBasis.MIDPOINT
    held_Pa = saturation_pressure(table, np.array([held_C + ZERO_CELSIUS_K]), midpoint=midpoint)
    liquid, vapour = table.saturated_liquid(held_Pa).density_kg_m3, table.saturated_vapour(held_Pa).density_kg_m3
    flooded_K = 0.5 * (held_C + ambient) + ZERO_CELSIUS_K
    flooded_K = np.clip(flooded_K, table.minimum_saturation_temperature_K, table.maximum_saturation_temperature_K)
    flooded = table.saturated_liquid(table.bubble_pressure(flooded_K)).density_kg_m3
    fraction = rejected / np.nanmax(rejected)
    found = []
    for condenser in _condensers(circuit):
        if condenser.volume_m3 is None or condenser.design_td_K is None:
            continue
        if condenser.mean_liquid_fraction is not None:
            density = vessel_charge(1.0, condenser.mean_liquid_fraction, liquid, vapour)
        else:
            density = np.asarray((condenser.operating_kg or 0.0) / condenser.volume_m3)
        active = active_fraction(condenser.design_td_K, fraction, held_C, ambient)
        # A stated content may be denser than the liquid that would take its place; flooding never frees any.
        extra = np.maximum(0.0, flooding_charge(condenser.volume_m3, active, flooded, density))
        found.append(FloodedCondenser(condenser.id, active, extra))
    return Flooding(held_C, ambient, least, tuple(found))


def _condensers(circuit: Circuit) -> list[Equipment]:
    return [equipment for equipment in circuit.equipment if equipment.role is Role.CONDENSER]


def _ambient_C(stated: float | None, condensing_C: float, held_C: float, coldest_C: float) -> float:
    if stated is not None:
        return stated
    # Above what the control holds its valve stands open; air as warm as the refrigerant floods nothing.
    return coldest_C if condensing_C <= held_C else held_C
