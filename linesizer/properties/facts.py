"""What is known about a refrigerant beside its properties, each fact with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Sourced(Generic[Value]):
    """A fact, who says it, and how that was seen: ``read``, ``from memory`` or ``derived``."""

    value: Value
    source: str
    status: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class RefrigerantFacts:
    """Safety, climate, material and oil facts of one refrigerant.

    ``None`` means that no value is at hand, not that there is no limit.
    """

    name: str
    safety_group: Sourced[str] | None
    """ANSI/ASHRAE 34 group: A1, A2L, A2, A3, B1, B2L."""
    mass_fractions: Sourced[Mapping[str, float]]
    gwp: Sourced[float]
    """Global warming potential over 100 years, [kg CO2 / kg]."""
    gwp_edition: str
    rcl_kg_m3: Sourced[float] | None
    """Refrigerant concentration limit, [kg/m3]."""
    rcl_ppm: Sourced[float] | None
    """The same by volume, [parts per million]."""
    practical_limit_kg_m3: Sourced[float] | None
    """EN 378 practical limit, [kg/m3]."""
    tube_materials: Sourced[tuple[str, ...]] | None
    """Materials in use with it; what is not named is not suitable or not usual."""
    oils: Sourced[tuple[str, ...]] | None


def read_facts(data: Mapping[str, Any]) -> dict[str, RefrigerantFacts]:
    """Return the facts of every refrigerant from the plain values of the facts file, in its order."""
    sources = data["sources"]

    def sourced(row: Mapping[str, Any], key: str = "value") -> Sourced[Any]:
        value = tuple(row[key]) if isinstance(row[key], list) else row[key]
        source = sources[row["source"]]
        return Sourced(value, source["text"], source["status"], source["note"])

    def known(row: Mapping[str, Any] | None, key: str) -> Sourced[Any] | None:
        return None if row is None else sourced(row, key)

    return {
        name: RefrigerantFacts(
            name=name,
            safety_group=sourced(row["safety_group"]),
            mass_fractions=sourced(row["mass_fractions"]),
            gwp=sourced(row["gwp"]),
            gwp_edition=row["gwp"]["edition"],
            rcl_kg_m3=known(row["rcl"], "kg_m3"),
            rcl_ppm=known(row["rcl"], "ppm"),
            practical_limit_kg_m3=known(row["practical_limit"], "kg_m3"),
            tube_materials=sourced(row["tube_materials"]),
            oils=sourced(row["oils"]),
        )
        for name, row in data["refrigerants"].items()
    }


def read_component_gwps(data: Mapping[str, Any]) -> dict[str, tuple[Sourced[float], str]]:
    """Return the warming potentials, with their editions, of the fluids that blends are made of."""
    sources = data["sources"]
    rows = {name: row["gwp"] for name, row in (*data["refrigerants"].items(), *data["components"].items())}
    return {
        name: (
            Sourced(row["value"], *(sources[row["source"]][key] for key in ("text", "status", "note"))),
            row["edition"],
        )
        for name, row in rows.items()
    }
