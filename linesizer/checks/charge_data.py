"""Equipment whose content nobody has stated: the charge leaves it out, so say so."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Finding, Level

WORDS = (
    "What {equipment} holds while running is not stated, so the charge leaves it out. Enter its operating charge, or "
    "{missing}."
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
