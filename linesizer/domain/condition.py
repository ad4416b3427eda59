"""One running condition of a circuit: load, temperatures, subcooling."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from linesizer.domain.extra import Extra


class SubcoolingAt(StrEnum):
    """Where the stated subcooling is measured."""

    CONDENSER = "condenser"
    LIQUID_LINE = "liquid_line"


@dataclass(frozen=True, slots=True)
class Condition:
    """A running condition; temperatures in C, differences in K, powers in W.

    ``capacity_W`` is the net cooling.  ``evaporating_C``, or ``leaving_fluid_C`` and ``approach_K`` instead.
    ``bypass`` is the fraction of the compressor's flow that returns as hot gas.  ``discharge_C`` overrides the
    computed discharge temperature; ``isentropic_efficiency`` that of the compressor.
    """

    id: str
    capacity_W: float
    condensing_C: float
    superheat_K: float
    subcooling_K: float
    name: str = ""
    evaporating_C: float | None = None
    leaving_fluid_C: float | None = None
    approach_K: float | None = None
    suction_heat_K: float = 0.0
    subcooling_at: SubcoolingAt = SubcoolingAt.CONDENSER
    ambient_C: float | None = None
    bypass: float = 0.0
    discharge_C: float | None = None
    isentropic_efficiency: float | None = None
    hours_per_year: float | None = None
    extra: Extra = ()

    @property
    def title(self) -> str:
        """The name that the person gave, or the id."""
        return self.name or self.id
