"""What the charge of a circuit comes to: where it is at every condition, what governs, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


class BandSource(StrEnum):
    """What makes the charge uncertain."""

    LENGTH = "length"
    BORE = "bore"
    LIQUID_TEMPERATURE = "liquid_temperature"
    EQUIPMENT = "equipment"


@dataclass(frozen=True, slots=True)
class BandTerm:
    """One part of half the band, [kg]; the parts add in quadrature."""

    source: BandSource
    kg: float


@dataclass(frozen=True, slots=True)
class EquipmentCharge:
    """What one piece of equipment holds at every condition, (conditions,), [kg]; None where nobody has said."""

    id: str
    kg: FloatArray | None


@dataclass(frozen=True, slots=True)
class FloodedCondenser:
    """A condenser that head-pressure control floods; arrays have shape (conditions,).

    ``active`` is the part of it that still condenses, ``extra_kg`` what it holds beyond its own charge.
    """

    id: str
    active: FloatArray
    extra_kg: FloatArray


@dataclass(frozen=True, slots=True)
class Flooding:
    """Winter flooding at the condensing temperature that the control holds.

    ``ambient_C`` is the air that each condition was counted with, (conditions,); at ``coldest_index``, the condition
    that rejects least, it is the coldest that is known, whatever the condition states itself.
    """

    condensing_C: float
    ambient_C: FloatArray
    coldest_index: int
    condensers: tuple[FloodedCondenser, ...]

    @property
    def kg(self) -> FloatArray:
        """Extra charge of all condensers, (conditions,), [kg]."""
        return np.asarray(np.sum([condenser.extra_kg for condenser in self.condensers], axis=0))


@dataclass(frozen=True, slots=True)
class ReceiverLevel:
    """How full a receiver is with the circuit's whole charge in it; 1 is full, more does not fit, below 0 lacks liquid.

    ``running`` is over conditions: its operating fill and its share of what the condition leaves over.  ``summer`` is
    that at ``summer_index``, the highest condensing pressure, with the condensers drained.  Both are None where its
    running content is not stated.  ``pumped_down`` has the whole charge in the receivers at the practice set's
    temperature.  ``pumped_volume_m3`` and ``summer_volume_m3`` are the volumes of all receivers together, run as full
    as they are, that would keep to the practice set's limits; None where none would.
    """

    id: str
    running: FloatArray | None
    summer: float | None
    summer_index: int
    pumped_down: float
    pumped_volume_m3: float | None
    summer_volume_m3: float | None


@dataclass(frozen=True, slots=True)
class ConditionCharge:
    """What is needed at every condition, (conditions,), [kg]; NaN where it is not known."""

    lines_kg: FloatArray
    equipment_kg: FloatArray
    flooding_kg: FloatArray
    total_kg: FloatArray


@dataclass(frozen=True, slots=True)
class ChargeResult:
    """The refrigerant that a circuit needs, at the condition that governs, [kg]; None where it is not known.

    ``flooding`` is None where no condenser is flooded, or what flooding needs is not stated: then ``flooding_kg`` is
    0 or None.  ``band_terms`` are empty where the total is not known.
    """

    condition: str
    condition_index: int
    lines_kg: float | None
    equipment_kg: float | None
    flooding_kg: float | None
    total_kg: float | None
    held_kg: float
    to_add_kg: float | None
    low_kg: float | None
    high_kg: float | None
    by_condition: ConditionCharge
    equipment: tuple[EquipmentCharge, ...]
    flooding: Flooding | None
    receivers: tuple[ReceiverLevel, ...]
    band_terms: tuple[BandTerm, ...]

    @property
    def largest_band_term(self) -> BandTerm | None:
        """The part of the band that outweighs the others."""
        return max(self.band_terms, key=lambda term: term.kg, default=None)
