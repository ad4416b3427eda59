"""The refrigerants at a glance, for a list on the command line or in the window."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.domain.blend import Blend
from linesizer.domain.blend_record import BlendRecord
from linesizer.properties import library
from linesizer.properties.table import ByPhase

GLIDE_AT_K = 313.15


@dataclass(frozen=True, slots=True)
class RefrigerantSummary:
    """One line of the list; every value in SI units."""

    name: str
    composition: str
    """Mass fractions in words, ``"R32 50 %, R125 50 %"``; empty for a pure refrigerant."""
    safety_group: str | None
    """None where it is not known."""
    gwp: float
    gwp_edition: str
    critical_temperature_K: float
    minimum_saturation_temperature_K: float
    maximum_saturation_temperature_K: float
    dew_pressure_Pa: float | None
    """At 40 °C, the temperature at which the glide is told too; None where that is above the table."""
    glide_K: float | None
    """Dew less bubble temperature at that pressure."""
    viscosity_method: ByPhase[str]
    viscosity_uncertainty: ByPhase[float]
    bridged: tuple[str, ...]
    coolprop_version: str
    own: BlendRecord | None = None
    """How the table of an own blend came about; None for a shipped refrigerant."""


def describe(name: str, blend: Blend | None = None) -> RefrigerantSummary:
    """Return one refrigerant at a glance; ``blend`` is what it is made of where it is somebody's own.

    Raises
    ------
    UserError
        PROP-01 if there is none of that name, PROP-06 if the blend has no table.
    """
    table, facts = library.load(name, blend), library.facts(name, blend)
    pressure = float(table.dew_pressure(GLIDE_AT_K)) if table.maximum_saturation_temperature_K >= GLIDE_AT_K else None
    shares = facts.mass_fractions.value
    return RefrigerantSummary(
        name=name,
        composition=", ".join(f"{part} {100.0 * share:g} %" for part, share in shares.items())
        if len(shares) > 1
        else "",
        safety_group=None if facts.safety_group is None else facts.safety_group.value,
        gwp=facts.gwp.value,
        gwp_edition=facts.gwp_edition,
        critical_temperature_K=table.critical_temperature_K,
        minimum_saturation_temperature_K=table.minimum_saturation_temperature_K,
        maximum_saturation_temperature_K=table.maximum_saturation_temperature_K,
        dew_pressure_Pa=pressure,
        glide_K=None if pressure is None else max(0.0, GLIDE_AT_K - float(table.bubble_temperature(pressure))),
        viscosity_method=table.viscosity_method,
        viscosity_uncertainty=table.viscosity_uncertainty,
        bridged=table.bridged,
        coolprop_version=table.coolprop_version,
        own=table.own,
    )


def describe_all() -> tuple[RefrigerantSummary, ...]:
    """Return every shipped refrigerant at a glance."""
    return tuple(describe(name) for name in library.names())
