"""What surrounds each leg of a line at each condition: air by place, insulation, film."""

from __future__ import annotations

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.domain.geometry import line_geometry
from linesizer.domain.job import Site
from linesizer.domain.route import Line
from linesizer.solver.arrays import FloatArray
from linesizer.solver.heat import Surroundings, conductance_per_length, still_air_film, wind_film
from linesizer.units import ZERO_CELSIUS_K

INSULATION_W_mK = 0.040
"""Conductivity of insulation where none is stated: closed-cell foam (assumed; common practice, no source)."""


def ambient_C(place: str, site: Site, condition: Condition) -> float | None:
    """Return the air temperature at a place and condition, [C]; None where nobody has stated it.

    Outdoors the condition's ambient, else the site's in summer; in a room its own, else the site's indoor one.
    """
    if place == "outdoor":
        return condition.ambient_C if condition.ambient_C is not None else site.summer_ambient_C
    room = next((room for room in site.rooms if room.id == place), None)
    if room is not None and room.ambient_C is not None:
        return room.ambient_C
    return site.indoor_ambient_C


def line_surroundings(
    line: Line,
    circuit: Circuit,
    site: Site,
    practice: PracticeSet,
    outside_diameter_m: FloatArray,
    fluid_K: FloatArray,
) -> Surroundings:
    """Return what surrounds a line.

    Parameters
    ----------
    line, circuit, site, practice
        The route with its places and insulation; the conditions; ambients; the wind that practice counts on.
    outside_diameter_m : ndarray, shape (legs or 1, 1, ...)
        Outside diameter of the tube, [m]; the axes behind are those of the sizes.
    fluid_K : ndarray, shape (conditions,)
        Temperature of the refrigerant, which the film's coefficient hangs on a little, [K].

    Returns
    -------
    Surroundings
        Arrays of shape (legs, conditions, ...); legs whose ambient nobody has stated keep their heat.
    """
    legs = [geometry.leg for geometry in line_geometry(line).legs]
    behind = (slice(None), slice(None)) + (None,) * (outside_diameter_m.ndim - 2)
    air = [[ambient_C(leg.place, site, condition) for condition in circuit.conditions] for leg in legs]
    known = np.array([[value is not None for value in row] for row in air])
    ambient_K = np.array([[0.0 if v is None else v + ZERO_CELSIUS_K for v in row] for row in air])
    ambient_K = np.where(known, ambient_K, fluid_K)[behind]

    def column(values: list[float]) -> FloatArray:
        return np.array(values)[:, None][behind]

    thickness = column([leg.insulation_m for leg in legs])
    conductivity = column([INSULATION_W_mK if leg.insulation_W_mK is None else leg.insulation_W_mK for leg in legs])
    outdoors = column([float(leg.place == "outdoor") for leg in legs]) > 0.0
    surface = outside_diameter_m + 2.0 * thickness
    insulated = thickness > 0.0
    # Behind insulation the surface stands close to the air; a tenth of the difference is taken.
    difference = (fluid_K[None, :][behind] - ambient_K) * np.where(insulated, 0.1, 1.0)
    still = still_air_film(difference, insulated)
    windy = wind_film(practice.value("wind_m_s"), surface)
    film = np.where(outdoors, np.maximum(windy, still), still)
    conductance = conductance_per_length(outside_diameter_m, thickness, conductivity, film)
    conductance = np.where(known[behind], conductance, 0.0)
    return Surroundings(
        conductance, np.broadcast_to(ambient_K, conductance.shape), film, np.broadcast_to(surface, conductance.shape)
    )
