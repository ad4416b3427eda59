"""The corners at which oil return is judged beside the conditions: least and full load, least and design head."""

from __future__ import annotations

from dataclasses import replace

from linesizer.domain.circuit import Circuit, HeadPressureControlKind
from linesizer.domain.condition import Condition
from linesizer.properties.table import RefrigerantTable
from linesizer.units import ZERO_CELSIUS_K

_LOADS = (("least", "least load"), ("full", "full load"))
_HEADS = (("least", "least condensing"), ("design", "design condensing"))


def corner_conditions(circuit: Circuit, table: RefrigerantTable) -> tuple[Condition, ...]:
    """Return the corners {least, full load} x {least, design condensing} that no stated condition is.

    The rest of a corner is that of the condition which gave its load.  The least condensing temperature is the
    smaller of the conditions' and the head-pressure control's; the design one the conditions' highest.  A corner that
    cannot be, with the condensing below the evaporating temperature or outside the refrigerant's table, is left out.

    Parameters
    ----------
    circuit : Circuit
        Its conditions and head-pressure control.
    table : RefrigerantTable
        Says which temperatures exist.

    Returns
    -------
    tuple of Condition
        At most four.
    """
    conditions = circuit.conditions
    by_load = sorted(conditions, key=lambda condition: condition.capacity_W)
    heads = [condition.condensing_C for condition in conditions]
    control = circuit.head_pressure_control
    least_head = min(heads)
    if control.kind is not HeadPressureControlKind.NONE and control.minimum_condensing_C is not None:
        least_head = min(least_head, control.minimum_condensing_C)
    stated = {(condition.capacity_W, condition.condensing_C) for condition in conditions}
    corners = []
    for (load_id, load_name), base in zip(_LOADS, (by_load[0], by_load[-1]), strict=True):
        for (head_id, head_name), head in zip(_HEADS, (least_head, max(heads)), strict=True):
            if (base.capacity_W, head) in stated or not _exists(base, head, table):
                continue
            stated.add((base.capacity_W, head))
            corners.append(
                replace(
                    base,
                    id=f"{load_id}-load-{head_id}-head",
                    name=f"{head_name} with {load_name}",
                    condensing_C=head,
                    discharge_C=None,
                    hours_per_year=None,
                )
            )
    return tuple(corners)


def _exists(base: Condition, condensing_C: float, table: RefrigerantTable) -> bool:
    evaporating = base.evaporating_C
    if evaporating is None and base.leaving_fluid_C is not None and base.approach_K is not None:
        evaporating = base.leaving_fluid_C - base.approach_K
    low, high = table.minimum_saturation_temperature_K, table.maximum_saturation_temperature_K
    inside = low <= condensing_C + ZERO_CELSIUS_K <= high
    return inside and evaporating is not None and evaporating + 1.0 < condensing_C
