"""Rules on charge that codes set, as dated data: thresholds of the whole charge, and concentrations in a room.

Nothing here says that a rule is met: the local code and its newest edition decide.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cache
from typing import Any

from linesizer.domain.resources import resource
from linesizer.units import KILOGRAMS_PER_POUND

FOLDER = "rules"
CHARGE_FILE = "charge.json"

_KILOGRAMS = {"kg": 1.0, "lb": KILOGRAMS_PER_POUND, "t": 1000.0}


class Measure(StrEnum):
    """What a threshold counts."""

    CHARGE = "charge"
    """All refrigerant of the circuit."""
    CO2_EQUIVALENT = "co2_equivalent"
    """All refrigerant times its global warming potential."""
    COMPONENTS = "components"
    """Of a blend only the components that the rule names."""


class ConcentrationFact(StrEnum):
    """Which fact of a refrigerant a concentration rule takes as its limit."""

    RCL = "rcl_kg_m3"
    PRACTICAL_LIMIT = "practical_limit_kg_m3"


@dataclass(frozen=True, slots=True)
class ThresholdStep:
    """From so much on, a rule asks for something.

    ``at`` is the printed number in the threshold's ``unit``, ``at_kg`` the same in kilograms of what it counts.
    """

    at: float
    at_kg: float
    asks: str


@dataclass(frozen=True, slots=True)
class ChargeThreshold:
    """A rule that applies from a charge on, with its date and source.

    ``components`` are those of which a refrigerant must hold at least one, empty for any; ``not_components`` those of
    which it may hold none.  ``gwp_above`` is the global warming potential that it must exceed, None for any.
    ``leak_rates`` has the part of the charge lost in a year, by use.
    """

    id: str
    title: str
    since: date
    measure: Measure
    unit: str
    components: tuple[str, ...]
    not_components: tuple[str, ...]
    gwp_above: float | None
    steps: tuple[ThresholdStep, ...]
    leak_rates: Mapping[str, float]
    beside: str
    source: str
    status: str

    def covers(self, mass_fractions: Mapping[str, float], gwp: float) -> bool:
        """Return whether the rule is about a refrigerant of this composition and global warming potential."""
        if self.components and not any(name in mass_fractions for name in self.components):
            return False
        if any(name in mass_fractions for name in self.not_components):
            return False
        return self.gwp_above is None or gwp > self.gwp_above

    def counted(self, mass_fractions: Mapping[str, float], gwp: float) -> float:
        """Return what one kilogram of refrigerant counts for, [kg]."""
        if self.measure is Measure.CO2_EQUIVALENT:
            return gwp
        if self.measure is Measure.COMPONENTS:
            return sum(mass_fractions.get(name, 0.0) for name in self.components)
        return 1.0


@dataclass(frozen=True, slots=True)
class ConcentrationRule:
    """A limit on the refrigerant in a cubic metre of a room; its value is a fact of the refrigerant."""

    id: str
    title: str
    fact: ConcentrationFact
    beside: str


@cache
def charge_thresholds() -> tuple[ChargeThreshold, ...]:
    """Return the rules that apply from a charge on, in the file's order."""
    return tuple(_threshold(row) for row in _read()["thresholds"])


@cache
def concentration_rules() -> tuple[ConcentrationRule, ...]:
    """Return the rules on concentration in a room, in the file's order."""
    return tuple(
        ConcentrationRule(row["id"], row["title"], ConcentrationFact(row["fact"]), row["beside"])
        for row in _read()["concentrations"]
    )


def _threshold(row: Mapping[str, Any]) -> ChargeThreshold:
    scale = _KILOGRAMS[row["unit"]]
    return ChargeThreshold(
        id=row["id"],
        title=row["title"],
        since=date.fromisoformat(row["from"]),
        measure=Measure(row["measure"]),
        unit=row["unit"],
        components=tuple(row.get("components", ())),
        not_components=tuple(row.get("not_components", ())),
        gwp_above=row["gwp_above"],
        steps=tuple(ThresholdStep(step["at"], step["at"] * scale, step["asks"]) for step in row["steps"]),
        leak_rates=dict(row.get("leak_rates", {})),
        beside=row["beside"],
        source=row["source"],
        status=row["status"],
    )


def _read() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(resource(FOLDER, CHARGE_FILE).read_text(encoding="utf-8"))
    return read
