"""Which field the trouble of a calculation belongs to."""

from __future__ import annotations

from linesizer.domain.circuit import Circuit
from linesizer.errors import UserError

_BY_SUBJECT = {
    "Evaporating temperature of condition": ("evaporating_C",),
    "Condensing temperature of condition": ("condensing_C",),
    "Suction gas temperature (superheat and suction heat) of condition": ("superheat_K", "suction_heat_K"),
    "Discharge temperature of condition": ("discharge_C",),
}
_BY_CODE = {
    "CYCLE-01": ("bypass",),
    "CYCLE-02": ("evaporating_C",),
    "CYCLE-03": ("isentropic_efficiency",),
    "CYCLE-04": ("subcooling_K",),
}


def troubled_fields(circuit: Circuit, trouble: UserError | None) -> dict[tuple[str, str], str]:
    """Return the reason for each (condition's id, field) that keeps the circuit from being calculated.

    The calculation names a condition by its title; where two share one, both are marked.  Empty where the trouble lies
    elsewhere.
    """
    if trouble is None:
        return {}
    found: dict[tuple[str, str], str] = {}
    for condition in circuit.conditions:
        keys = _keys(trouble, condition.title)
        if keys == ("evaporating_C",) and condition.evaporating_C is None:
            keys = ("leaving_fluid_C",)
        for key in keys:
            found[condition.id, key] = trouble.why
    return found


def _keys(trouble: UserError, title: str) -> tuple[str, ...]:
    if trouble.code in _BY_CODE:
        return _BY_CODE[trouble.code] if trouble.what.startswith(f"Condition {title} ") else ()
    for subject, keys in _BY_SUBJECT.items():
        if trouble.what.startswith(f"{subject} {title} cannot "):
            return keys
    return ()
