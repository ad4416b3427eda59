"""What the charge lacks: equipment whose content nobody has stated, data for flooding, a condition that needs more."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.naming import listed
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.solver.flooding import floods, missing_for_flooding
from linesizer.units import Kind

WORDS = (
    "What {equipment} holds while running is not stated, so the charge leaves it out. Enter its operating charge, or "
    "{missing}."
)
FLOODING_WORDS = (
    "The condenser floods in winter, and how much liquid that takes cannot be said without {missing}. The whole charge "
    "is left open until then."
)
SHORT_WORDS = (
    "The charge is that of {named}, which the job names: {limit}. At {condition} the circuit needs {value}. Charge for "
    "the condition that needs most, or make sure that it never runs so."
)


def flooding_data(view: CircuitView) -> Iterator[Finding]:
    """Yield a stop where condensers flood and the data to say how much are not stated."""
    if not floods(view.circuit):
        return
    missing = missing_for_flooding(view.circuit, view.site)
    if not missing:
        return
    words = [f"the {what} of {item.name or item.id}" if item else f"a {what}" for item, what in missing]
    yield Finding(
        code="flooding_data_missing",
        level=Level.STOP,
        title=f"{view.circuit.title}: winter flooding cannot be calculated",
        words=FLOODING_WORDS,
        circuit=view.circuit.id,
        rule="charge",
        source="physics",
        figures=(("missing", listed(words)),),
    )


def named_condition(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding where the job charges for a condition, and another needs more than its band covers."""
    charge = view.charge
    total, needed = charge.total_kg, charge.by_condition.total_kg
    if total is None or charge.high_kg is None or not np.nanmax(needed) > charge.high_kg:
        return
    most = int(np.nanargmax(needed))
    yield Finding(
        code="charge_condition_short",
        level=Level.WARN,
        title=f"{view.circuit.title}: another condition needs more refrigerant",
        words=SHORT_WORDS,
        circuit=view.circuit.id,
        condition=view.condition_id(most),
        kind=Kind.MASS,
        value=float(needed[most]),
        limit=total,
        rule="charge",
        source="physics",
        figures=(
            ("named", view.condition_title(charge.condition_index)),
            ("condition", view.condition_title(most)),
            ("value", Figure(Kind.MASS, float(needed[most]))),
            ("limit", Figure(Kind.MASS, total)),
        ),
    )


def charge_data(circuit: Circuit) -> Iterator[Finding]:
    """Yield a finding for each piece of equipment without charge data."""
    for equipment in circuit.equipment:
        missing = missing_charge_data(equipment)
        if missing is None:
            continue
        name = equipment.name or equipment.id
        yield Finding(
            code="charge_data_missing",
            level=Level.WARN,
            title=f"{name}: content not stated",
            words=WORDS,
            circuit=circuit.id,
            rule="charge",
            source="physics",
            figures=(("equipment", name), ("missing", missing)),
        )


def missing_charge_data(equipment: Equipment) -> str | None:
    """Return what a piece of equipment lacks for its charge, None where nothing."""
    if equipment.operating_kg is not None:
        return None
    if equipment.role is Role.CONDENSER:
        complete = equipment.volume_m3 is not None and equipment.mean_liquid_fraction is not None
        return None if complete else "its volume and mean liquid fraction"
    if equipment.role is Role.RECEIVER:
        complete = equipment.volume_m3 is not None and equipment.operating_fill is not None
        return None if complete else "its volume and operating fill"
    return "0 if it holds none"
