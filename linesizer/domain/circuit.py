"""A refrigerant circuit: what it holds, how it runs, its equipment and lines."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from linesizer.domain.blend import Blend
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment
from linesizer.domain.extra import Extra
from linesizer.domain.route import Line


class Use(StrEnum):
    """What the cooling is for; some rules on charge depend on it."""

    PROCESS = "process"
    COMFORT = "comfort"
    COMMERCIAL = "commercial"


class TemperatureBasis(StrEnum):
    """What a stated saturation temperature means for a refrigerant with glide."""

    DEW = "dew"
    MIDPOINT = "midpoint"


class CompressorKind(StrEnum):
    """The machine's kind."""

    SCROLL = "scroll"
    RECIPROCATING = "reciprocating"
    SCREW = "screw"
    ROTARY = "rotary"
    CENTRIFUGAL = "centrifugal"


class HeadPressureControlKind(StrEnum):
    """How condensing pressure is held up in the cold."""

    NONE = "none"
    FAN_CYCLING = "fan_cycling"
    FAN_SPEED = "fan_speed"
    DAMPER = "damper"
    FLOODING = "flooding"


@dataclass(frozen=True, slots=True)
class Compressor:
    """The compressor: kind, isentropic efficiency, efficiency of its drive."""

    kind: CompressorKind = CompressorKind.SCROLL
    isentropic_efficiency: float = 0.68
    drive_efficiency: float = 0.92
    oil_separator: bool = False
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class HeadPressureControl:
    """Head-pressure control: its kind, the least condensing temperature it holds, its valve's differential."""

    kind: HeadPressureControlKind = HeadPressureControlKind.NONE
    minimum_condensing_C: float | None = None
    differential_Pa: float | None = None
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Circuit:
    """One refrigerant circuit.

    ``film_density_kg_m3`` None takes the practice set's.  ``charge_condition`` None lets the charge be that of the
    condition that needs most.  ``maximum_pressure_Pa`` is the high-side design pressure, absolute; None takes the
    bubble pressure at the practice set's temperature.  ``blend`` is what the refrigerant is made of where it is a blend
    of somebody's own; None for a shipped one.
    """

    id: str
    refrigerant: str
    conditions: tuple[Condition, ...]
    name: str = ""
    use: Use = Use.PROCESS
    temperature_basis: TemperatureBasis = TemperatureBasis.DEW
    oil: str | None = None
    film_density_kg_m3: float | None = None
    compressor: Compressor = Compressor()
    charge_condition: str | None = None
    heat_exchange: bool = False
    maximum_pressure_Pa: float | None = None
    head_pressure_control: HeadPressureControl = HeadPressureControl()
    equipment: tuple[Equipment, ...] = ()
    lines: tuple[Line, ...] = ()
    blend: Blend | None = None
    extra: Extra = ()

    @property
    def title(self) -> str:
        """The name that the person gave, or the id."""
        return self.name or self.id
