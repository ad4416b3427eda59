"""One phase of a refrigerant, as the lines see it: the same questions for vapour and for liquid."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import FloatArray

OfPressureAndEnthalpy = Callable[[FloatArray, FloatArray], FloatArray]


@dataclass(frozen=True, slots=True)
class Phase:
    """Properties of one phase as functions of pressure [Pa] and enthalpy [J/kg], and its saturation curve.

    ``saturation_temperature`` is the dew curve for vapour and the bubble curve for liquid, [K] from [Pa];
    ``dew_enthalpy`` that of vapour at its dew point, [J/kg] from [Pa], None for liquid.
    """

    name: str
    density: OfPressureAndEnthalpy
    viscosity: OfPressureAndEnthalpy
    temperature: OfPressureAndEnthalpy
    saturation_temperature: Callable[[FloatArray], FloatArray]
    least_pressure_Pa: float
    most_pressure_Pa: float
    dew_enthalpy: Callable[[FloatArray], FloatArray] | None = None


def vapour(table: RefrigerantTable) -> Phase:
    """Return the vapour of a refrigerant."""
    return Phase(
        "vapour",
        table.vapour_density_ph,
        table.vapour_viscosity_ph,
        table.vapour_temperature_ph,
        table.dew_temperature,
        table.minimum_pressure_Pa,
        table.maximum_pressure_Pa,
        lambda pressure_Pa: table.saturated_vapour(pressure_Pa).enthalpy_J_kg,
    )


def liquid(table: RefrigerantTable) -> Phase:
    """Return the liquid of a refrigerant; above its bubble line it is carried on as liquid."""
    return Phase(
        "liquid",
        table.liquid_density_ph,
        table.liquid_viscosity_ph,
        table.liquid_temperature_ph,
        table.bubble_temperature,
        table.minimum_pressure_Pa,
        table.maximum_pressure_Pa,
    )
