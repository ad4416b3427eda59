"""The pressure that tubes have to bear: the high side's design pressure and the liquid column above."""

from __future__ import annotations

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import line_geometry
from linesizer.domain.job import Site
from linesizer.domain.route import Joint, Line, Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import FloatArray
from linesizer.solver.route_losses import LineTubes
from linesizer.solver.static_head import GRAVITY
from linesizer.solver.tube_rating import tube_ratings_Pa
from linesizer.units import ZERO_CELSIUS_K, atmospheric_pressure_Pa


def maximum_gauge_Pa(circuit: Circuit, site: Site, practice: PracticeSet, table: RefrigerantTable) -> float:
    """Return the high side's design pressure as gauge at the site.

    The circuit's own, else the bubble pressure at the practice set's temperature; NaN where the refrigerant has none
    there.
    """
    atmosphere = atmospheric_pressure_Pa(site.altitude_m)
    if circuit.maximum_pressure_Pa is not None:
        return circuit.maximum_pressure_Pa - atmosphere
    temperature = practice.value("design_saturation_C") + ZERO_CELSIUS_K
    if temperature > table.maximum_saturation_temperature_K:
        return float("nan")
    return float(table.bubble_pressure(temperature)) - atmosphere


def column_pressures_Pa(line: Line, liquid_density: float) -> FloatArray:
    """Return the pressure that the liquid above each leg's lower end adds to the design pressure, (legs,), [Pa]."""
    legs = line_geometry(line).legs
    if line.service is Service.DISCHARGE or not legs:
        return np.zeros(len(legs))
    top = max(max(leg.start_m[2], leg.end_m[2]) for leg in legs)
    return np.array([GRAVITY * liquid_density * (top - min(leg.start_m[2], leg.end_m[2])) for leg in legs])


def leg_ratings_Pa(line: Line, tubes: LineTubes, temperature_C: float) -> FloatArray:
    """Return the gauge pressure that each leg's tube may bear, (legs,), [Pa]; of a double riser the weaker tube's."""
    if line.listed_rating_Pa is not None:
        return np.full(len(tubes.sizes), line.listed_rating_Pa)
    ratings: dict[tuple[str, Joint], FloatArray] = {}
    allowed = np.empty(len(tubes.sizes))
    for index, (geometry, catalogue, sizes) in enumerate(
        zip(line_geometry(line).legs, tubes.catalogues, tubes.sizes, strict=True)
    ):
        key = (catalogue.id, geometry.leg.joint)
        if key not in ratings:
            ratings[key] = tube_ratings_Pa(catalogue, geometry.leg.joint, temperature_C)
        allowed[index] = min(ratings[key][catalogue.index(size.size)] for size in sizes)
    return allowed
