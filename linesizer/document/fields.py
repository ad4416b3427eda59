"""Change single fields of an object, and say in words which."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, TypeAlias, TypeVar

Changes: TypeAlias = tuple[tuple[str, Any], ...]
"""Names of fields with their new values, in SI."""

T = TypeVar("T")

_WORDS = {
    "altitude_m": "altitude",
    "ambient_C": "ambient temperature",
    "approach_K": "approach",
    "at_m": "place",
    "at_kg_s": "flow of the stated drop",
    "capacity_W": "capacity",
    "charge_kg": "highest charge",
    "charge_condition": "condition that governs the charge",
    "condensing_C": "condensing temperature",
    "default_size": "default size",
    "design_td_K": "design temperature difference",
    "differential_Pa": "valve differential",
    "discharge_C": "discharge temperature",
    "discharge_sizes": "permitted discharge sizes",
    "drop_Pa": "pressure drop",
    "drop_m": "deepest condenser",
    "electricity_price_kWh": "price of electricity",
    "evaporating_C": "evaporating temperature",
    "film_density_kg_m3": "density of the oil film",
    "heat_exchange": "heat exchange along the lines",
    "holds_kg": "charge that it arrives with",
    "hours_per_year": "hours a year",
    "indoor_ambient_C": "indoor ambient",
    "insulation_W_mK": "conductivity of the insulation",
    "insulation_m": "insulation",
    "length_m": "longest line",
    "lift_m": "highest condenser",
    "liquid_sizes": "permitted liquid sizes",
    "leaving_fluid_C": "leaving fluid temperature",
    "listed_rating_Pa": "listed rating",
    "maximum_pressure_Pa": "design pressure",
    "mean_liquid_fraction": "mean liquid fraction",
    "minimum_condensing_C": "least condensing temperature",
    "operating_fill": "operating fill",
    "operating_kg": "operating charge",
    "prepared_by": "preparer",
    "share": "share of the flow",
    "subcooling_K": "subcooling",
    "subcooling_at": "place of the subcooling",
    "suction_heat_K": "suction heat",
    "summer_ambient_C": "summer ambient",
    "superheat_K": "superheat",
    "seal_m": "height of the seal",
    "volume_m3": "volume",
    "winter_ambient_C": "winter ambient",
}


def field_words(name: str) -> str:
    """Return a field's name as a person says it: ``capacity``."""
    return _WORDS.get(name, name.replace("_", " "))


def changed_fields_label(changes: Changes, whose: str) -> str:
    """Return what a change of fields is called: ``change capacity and superheat of condition full``."""
    words = [field_words(name) for name, _ in changes]
    listed = f"{len(words)} values" if len(words) > 2 else " and ".join(words)
    return f"change {listed or 'nothing'} of {whose}"


def changed(value: T, changes: Changes, allowed: Iterable[str] | None = None) -> T:
    """Return a frozen value with some fields changed, or the very same one where none differs.

    Raises
    ------
    ValueError
        If a field is not one of those allowed: a defect of the caller, not of the person.
    """
    if allowed is not None:
        names = frozenset(allowed)
        stray = [name for name, _ in changes if name not in names]
        if stray:
            raise ValueError(f"{type(value).__name__} does not let {', '.join(stray)} be changed here")
    if all(getattr(value, name) == new and type(getattr(value, name)) is type(new) for name, new in changes):
        return value
    return replace(value, **dict(changes))  # type: ignore[type-var]  # every value of the domain is a dataclass
