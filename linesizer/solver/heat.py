"""Heat between a line and its surroundings: insulation, outside film, temperature along a leg, surface temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.solver.arrays import ArrayLike, FloatArray

BARE_COPPER_FILM_W_m2K = 3.1
"""ISO 12241's constant for oxidised metal, taken for bare copper tube (from memory)."""

COVERED_FILM_W_m2K = 8.5
"""ISO 12241's constant for a surface that is not metal, such as insulation or its jacket (from memory)."""

FILM_PER_KELVIN_W_m2K2 = 0.05
"""ISO 12241: growth of the film coefficient of a pipe with its difference to the air (from memory)."""

RADIATION_OUTDOORS_W_m2K = 4.5
"""Radiation of a surface that is not bright, at outdoor temperatures; added to the wind's share (textbook value)."""


def still_air_film(difference_K: ArrayLike, insulated: ArrayLike) -> FloatArray:
    r"""Return the outside film coefficient of a pipe in still air, radiation included.

    .. math:: h = C_A + 0.05\,\Delta\theta

    The arguments broadcast together; call the common shape S.

    Parameters
    ----------
    difference_K : array_like, shape S
        Surface less air temperature, either sign, [K].
    insulated : array_like of bool, shape S
        Whether the surface is insulation rather than bare copper.

    Returns
    -------
    ndarray, shape S
        Film coefficient, [W/(m2 K)].

    References
    ----------
    .. [1] ISO 12241, Thermal insulation for building equipment and industrial installations, calculation rules: the
       simplified form for horizontal pipes indoors (from memory).
    """
    constant = np.where(np.asarray(insulated, dtype=np.bool_), COVERED_FILM_W_m2K, BARE_COPPER_FILM_W_m2K)
    return np.asarray(constant + FILM_PER_KELVIN_W_m2K2 * np.abs(np.asarray(difference_K, dtype=np.float64)))


def wind_film(wind_m_s: ArrayLike, outside_diameter: ArrayLike) -> FloatArray:
    r"""Return the outside film coefficient of a pipe in wind, radiation included.

    .. math:: h = 8.9\, v^{0.9} / D^{0.1} + h_r

    The arguments broadcast together; call the common shape S.

    Parameters
    ----------
    wind_m_s : array_like, shape S
        Wind speed, [m/s].
    outside_diameter : array_like, shape S
        Diameter of the outer surface, [m].

    Returns
    -------
    ndarray, shape S
        Film coefficient, [W/(m2 K)].

    References
    ----------
    .. [1] ISO 12241, pipes outdoors, turbulent air flow, wind times diameter above 0.00855 m2/s (from memory).
    """
    wind = np.asarray(wind_m_s, dtype=np.float64)
    diameter = np.asarray(outside_diameter, dtype=np.float64)
    return np.asarray(8.9 * wind**0.9 / diameter**0.1 + RADIATION_OUTDOORS_W_m2K)


def conductance_per_length(
    outside_diameter: ArrayLike, insulation_m: ArrayLike, conductivity_W_mK: ArrayLike, film_W_m2K: ArrayLike
) -> FloatArray:
    r"""Return the conductance between the refrigerant and the air of one metre of tube.

    .. math:: U_L = \pi \left/ \left[\frac{1}{h D_o} + \frac{1}{2 k} \ln\frac{D_o}{D_t}\right]\right.

    with :math:`D_o = D_t + 2 s`.  The refrigerant's own film and the tube's wall are left out; they are small against
    the air's film, and without them the loss is on the high side.  The arguments broadcast together; call the common
    shape S.

    Parameters
    ----------
    outside_diameter : array_like, shape S
        Outside diameter of the tube, [m].
    insulation_m : array_like, shape S
        Thickness of the insulation, 0 for bare tube, [m].
    conductivity_W_mK : array_like, shape S
        Conductivity of the insulation, [W/(m K)].
    film_W_m2K : array_like, shape S
        Outside film coefficient, [W/(m2 K)].

    Returns
    -------
    ndarray, shape S
        Conductance, [W/(m K)].

    Examples
    --------
    Bare 28 mm tube in a film of 10 W/(m2 K) is pi D h = 0.880 W/(m K):

    >>> round(float(conductance_per_length(0.028, 0.0, 0.04, 10.0)), 3)
    0.88
    """
    tube = np.asarray(outside_diameter, dtype=np.float64)
    outer = tube + 2.0 * np.asarray(insulation_m, dtype=np.float64)
    layer = np.log(outer / tube) / (2.0 * np.asarray(conductivity_W_mK, dtype=np.float64))
    return np.asarray(np.pi / (1.0 / (np.asarray(film_W_m2K, dtype=np.float64) * outer) + layer))


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What surrounds each leg; arrays have shape (legs, conditions).

    ``conductance_W_mK`` per metre of leg, ``ambient_K`` of the air, ``film_W_m2K`` and ``surface_m`` (outer diameter)
    of its surface.  Where nobody has stated an ambient the conductance is 0: the leg then keeps its heat.
    """

    conductance_W_mK: FloatArray
    ambient_K: FloatArray
    film_W_m2K: FloatArray
    surface_m: FloatArray

    def surface_K(self, fluid_K: FloatArray) -> FloatArray:
        """Return the temperature of the outer surface around a fluid of some temperature, (legs, conditions), [K]."""
        flow = self.conductance_W_mK * (fluid_K - self.ambient_K)
        area = np.pi * self.surface_m * np.maximum(self.film_W_m2K, 1e-9)
        return np.asarray(np.where(self.conductance_W_mK > 0.0, self.ambient_K + flow / area, fluid_K))


def temperature_along(
    inlet_K: ArrayLike, ambient_K: ArrayLike, conductance_W: ArrayLike, capacity_flow_W_K: ArrayLike
) -> FloatArray:
    r"""Return the temperature at the end of a run that exchanges heat with air of one temperature.

    .. math:: T_2 = T_a + (T_1 - T_a)\, e^{-U L / (\dot m c_p)}

    The arguments broadcast together; call the common shape S.

    Parameters
    ----------
    inlet_K, ambient_K : array_like, shape S
        Temperature of the fluid at the start and of the air, [K].
    conductance_W : array_like, shape S
        Conductance of the whole run, [W/K].
    capacity_flow_W_K : array_like, shape S
        Mass flow times specific heat, [W/K].

    Returns
    -------
    ndarray, shape S
        Temperature at the end, [K].
    """
    ambient = np.asarray(ambient_K, dtype=np.float64)
    fall = np.exp(-np.asarray(conductance_W, dtype=np.float64) / np.asarray(capacity_flow_W_K, dtype=np.float64))
    return np.asarray(ambient + (np.asarray(inlet_K, dtype=np.float64) - ambient) * fall)
