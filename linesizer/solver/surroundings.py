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
from linesizer.solver.phase import Phase
from linesizer.units import ZERO_CELSIUS_K

INSULATION_W_mK = 0.040
"""Conductivity of insulation where none is stated: closed-cell foam (assumed; common practice, no source)."""

HEAT_ROUNDS = 6
_PROBE_J_kg = 2000.0


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


def lost_enthalpy(
    phase: Phase,
    pressure_Pa: FloatArray,
    start_J_kg: FloatArray,
    mass_flow: FloatArray,
    length_m: FloatArray,
    surroundings: Surroundings,
) -> FloatArray:
    r"""Return the enthalpy that a line has lost up to each node.

    Each leg cools (or warms) towards its air as :math:`q = \dot m c_p (T_1 - T_a)(1 - e^{-U L / (\dot m c_p)})`, with
    the specific heat at its start; vapour that has reached its dew point gives the rest at that temperature.  All
    legs are taken at once and repeated, because what one loses the next one starts with.

    Parameters
    ----------
    phase : Phase
        Vapour or liquid.
    pressure_Pa : ndarray, shape (legs + 1, B)
        Pressure at the nodes, [Pa].
    start_J_kg, mass_flow : ndarray, shape (B)
        Enthalpy at the start [J/kg] and flow [kg/s].
    length_m : ndarray, shape (legs,)
        Lengths, [m].
    surroundings : Surroundings
        Conductance and air of each leg.

    Returns
    -------
    ndarray, shape (legs + 1, B)
        Lost enthalpy, negative where heat is gained, [J/kg].
    """
    lost = np.zeros(np.broadcast_shapes(pressure_Pa.shape, start_J_kg.shape))
    behind = (slice(None),) + (None,) * (surroundings.conductance_W_mK.ndim - 1)
    conductance = surroundings.conductance_W_mK * length_m[behind]
    least = phase.saturation_temperature(pressure_Pa[:-1]) if phase.name == "vapour" else None
    for _ in range(HEAT_ROUNDS):
        enthalpy = start_J_kg - lost[:-1]
        temperature = phase.temperature(pressure_Pa[:-1], enthalpy)
        warmer = phase.temperature(pressure_Pa[:-1], enthalpy + _PROBE_J_kg)
        capacity = mass_flow * _PROBE_J_kg / np.maximum(warmer - temperature, 1e-6)
        if least is not None:
            temperature = np.maximum(temperature, least)
        heat = capacity * (temperature - surroundings.ambient_K) * -np.expm1(-conductance / capacity)
        fresh = np.concatenate([np.zeros((1, *lost.shape[1:])), np.cumsum(heat / mass_flow, axis=0)])
        moved = np.abs(fresh - lost).max(initial=0.0)
        lost = fresh
        if moved < 0.1:
            break
    return lost
