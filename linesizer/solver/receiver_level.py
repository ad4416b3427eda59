"""How full a receiver stands: running at each condition, in summer, and with the whole charge pumped down into it."""

from __future__ import annotations

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.charge_result import ConditionCharge, ReceiverLevel
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.result import ConditionResult
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import ArrayLike, FloatArray
from linesizer.units import ZERO_CELSIUS_K


def fill_of_charge(
    charge: ArrayLike, volume: ArrayLike, liquid_density: ArrayLike, vapour_density: ArrayLike
) -> FloatArray:
    r"""Return the part of a vessel that is liquid, :math:`(m / V - \rho_v) / (\rho_l - \rho_v)`.

    Parameters
    ----------
    charge : array_like, shape S
        All that the vessel holds, liquid and vapour, [kg].
    volume : array_like, shape S
        Its inner volume, [m3].
    liquid_density, vapour_density : array_like, shape S
        Saturated densities, [kg/m3].

    Returns
    -------
    ndarray, shape S
        1 where it is full; beyond where the charge does not fit, below 0 where it is less than vapour alone.
    """
    heavy, light = np.asarray(liquid_density), np.asarray(vapour_density)
    return np.asarray((np.asarray(charge) / np.asarray(volume) - light) / (heavy - light))


STEP_m3 = 1e-4


def receiver_levels(
    circuit: Circuit,
    conditions: ConditionResult,
    needed: ConditionCharge,
    charged_kg: float,
    table: RefrigerantTable,
    practice: PracticeSet,
) -> tuple[ReceiverLevel, ...]:
    """Return the levels of all receivers whose volume is stated.

    What a condition leaves over of the charge stands in the receivers, shared by volume; so does, in summer, what had
    flooded the condensers, and pumped down the whole charge.

    Parameters
    ----------
    circuit, conditions
        Receivers and the pressure at which they stand.
    needed : ConditionCharge
        What each condition needs, operating fill included.
    charged_kg : float
        What the circuit holds, [kg].
    table, practice
        Properties; the temperature of the pump-down.
    """
    receivers = [e for e in circuit.equipment if e.role is Role.RECEIVER and e.volume_m3]
    volume = sum(receiver.volume_m3 or 0.0 for receiver in receivers)
    if not receivers:
        return ()
    liquid = table.saturated_liquid(conditions.condensing_Pa).density_kg_m3
    vapour = table.saturated_vapour(conditions.condensing_Pa).density_kg_m3
    summer = int(np.argmax(conditions.condensing_Pa))
    over = (charged_kg - needed.total_kg) / (volume * (liquid - vapour))
    drained = charged_kg - needed.lines_kg[summer] - needed.equipment_kg[summer]
    over_in_summer = float(drained / (volume * (liquid[summer] - vapour[summer])))
    pumped_Pa = table.bubble_pressure(practice.value("pumpdown_temperature_C") + ZERO_CELSIUS_K)
    heavy, light = table.saturated_liquid(pumped_Pa).density_kg_m3, table.saturated_vapour(pumped_Pa).density_kg_m3
    pumped_down = float(fill_of_charge(charged_kg, volume, heavy, light))
    governs = int(np.nanargmax(needed.total_kg)) if np.isfinite(needed.total_kg).any() else 0
    # A larger receiver that runs as full holds more while running, so the charge grows with it; what arrives does not.
    grows = charged_kg <= needed.total_kg[governs] * (1.0 + 1e-9)
    by_fill = [item for item in receivers if item.operating_kg is None and item.operating_fill is not None]
    running_kg_m3 = (
        sum(
            (item.volume_m3 or 0.0)
            * (item.operating_fill * liquid[governs] + (1.0 - item.operating_fill) * vapour[governs])
            for item in by_fill
            if item.operating_fill is not None
        )
        / volume
        * float(grows)
    )
    pumped_volume = _volume_m3(
        charged_kg - running_kg_m3 * volume,
        practice.value("receiver_max_fill_pumpdown") * (heavy - light) + light - running_kg_m3,
    )
    levels = []
    for receiver in receivers:
        own = _own_fill(receiver, liquid, vapour)
        running = None if own is None else own + over
        in_summer = None if own is None else float(own[summer]) + over_in_summer
        # The fill that is stated stays what it is; only what is drained into it spreads over more.
        room = None if own is None else practice.value("receiver_max_fill_operating") - float(own[summer])
        summer_volume = None if room is None else _volume_m3(over_in_summer * volume, room)
        levels.append(ReceiverLevel(receiver.id, running, in_summer, summer, pumped_down, pumped_volume, summer_volume))
    return tuple(levels)


def _volume_m3(amount: float, per_m3: float) -> float | None:
    """Return the volume that an amount asks for, up to the next tenth of a litre; None where no volume would do."""
    return float(np.ceil(amount / per_m3 / STEP_m3)) * STEP_m3 if per_m3 > 0.0 else None


def _own_fill(receiver: Equipment, liquid: FloatArray, vapour: FloatArray) -> FloatArray | None:
    """Return the fill that a receiver's running content makes, (conditions,), None where it is not stated."""
    if receiver.operating_kg is not None:
        return fill_of_charge(receiver.operating_kg, receiver.volume_m3 or 0.0, liquid, vapour)
    return None if receiver.operating_fill is None else np.full(liquid.shape, receiver.operating_fill)
