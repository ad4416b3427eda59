"""Pressure along a run of legs: the balance of friction, column and momentum, from a known pressure at one end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np

from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.static_head import GRAVITY, static_drop

RELATIVE_TOLERANCE = 1e-9
MOST_ROUNDS = 40
ROUNDS_FOR_ALL = 6
"""From this round on, members of the batch that left the table's range no longer keep the others going."""


class Known(Enum):
    """Which end of the run has the known pressure."""

    START = "start"
    END = "end"


@dataclass(frozen=True, slots=True)
class Profile:
    """Pressure and density at the nodes, (nodes, ...), and where the march came to rest, (...)."""

    pressure_Pa: FloatArray
    density_kg_m3: FloatArray
    settled: BoolArray


@dataclass(frozen=True, slots=True)
class Loads:
    """What each leg does to the pressure; every array has shape (legs, ...).

    ``tube``, ``fittings`` and ``parts`` are drops times density, [Pa kg/m3]; ``fittings_stated_Pa`` and
    ``parts_stated_Pa`` do not depend on density, [Pa]; ``rise_m`` in the direction of flow; ``mass_flux`` of the leg
    and ``flux_before`` of the leg before it, [kg/(m2 s)].
    """

    tube: FloatArray
    fittings: FloatArray
    parts: FloatArray
    fittings_stated_Pa: FloatArray
    parts_stated_Pa: FloatArray
    rise_m: FloatArray
    mass_flux: FloatArray
    flux_before: FloatArray

    def terms(self, density: FloatArray) -> Terms:
        """Return the five terms at given densities at the nodes, (legs + 1, ...), [kg/m3]."""
        mean = 0.5 * (density[1:] + density[:-1])
        return Terms(
            friction_Pa=self.tube / mean,
            fittings_Pa=self.fittings / mean + self.fittings_stated_Pa,
            parts_Pa=self.parts / mean + self.parts_stated_Pa,
            acceleration_Pa=momentum_drop(density, self.mass_flux, self.flux_before),
            static_Pa=static_drop(mean, self.rise_m),
        )


@dataclass(frozen=True, slots=True)
class Terms:
    """The five terms of each leg's pressure drop, (legs, ...), [Pa]; their sum is the drop."""

    friction_Pa: FloatArray
    fittings_Pa: FloatArray
    parts_Pa: FloatArray
    acceleration_Pa: FloatArray
    static_Pa: FloatArray


def momentum_drop(density: FloatArray, mass_flux: FloatArray, flux_before: FloatArray) -> FloatArray:
    r"""Return the pressure that the change of momentum costs on each leg.

    Within a leg :math:`G^2 (1/\rho_2 - 1/\rho_1)`; at a change of size at its start the change of velocity head,
    :math:`(G^2 - G_0^2) / (2 \rho_1)` with :math:`G_0` the flux of the leg before.

    Parameters
    ----------
    density : ndarray, shape (legs + 1, ...)
        Density at the nodes, [kg/m3].
    mass_flux, flux_before : ndarray, shape (legs, ...)
        Mass flux of the leg and of the leg before it, [kg/(m2 s)].

    Returns
    -------
    ndarray, shape (legs, ...)
        Pressure drop, [Pa].
    """
    specific_volume = 1.0 / density
    squared = mass_flux**2
    return np.asarray(
        squared * (specific_volume[1:] - specific_volume[:-1]) + 0.5 * (squared - flux_before**2) * specific_volume[:-1]
    )


def march(
    density_at: Callable[[FloatArray], FloatArray],
    loads: Loads,
    known_pressure: FloatArray,
    known: Known,
    *,
    least_pressure: float,
    most_pressure: float,
    guess: FloatArray,
    tolerance: float = RELATIVE_TOLERANCE,
) -> Profile:
    r"""Return the pressure at every node of a run.

    Each leg obeys :math:`p_1 - p_2 = R / \bar\rho + \Delta p_0 + \bar\rho g \Delta z + \Delta p_a`, with
    :math:`\bar\rho` the mean of the densities at its ends, which is exact for friction where density is linear in
    pressure.  All legs are summed at once and repeated until no pressure moves by more than the tolerance; what
    leaves the table's range stops at its edge and has not settled.

    Parameters
    ----------
    density_at : callable
        Density at the nodes [kg/m3] from pressure at the nodes [Pa], both (legs + 1, ...).
    loads : Loads
        What each leg does to the pressure.
    known_pressure : ndarray, shape (...)
        Pressure at the known end, [Pa].
    known : Known
        Which end that is.
    least_pressure, most_pressure : float
        Range of the property table, [Pa]; what would leave it has not settled.
    guess : ndarray, shape (legs + 1, ...)
        Pressures to start from, [Pa].
    tolerance : float
        By how much of itself a pressure may still move.

    Returns
    -------
    Profile
        Pressures and densities at the nodes, and which members of the batch settled inside the table.
    """
    resistance = loads.tube + loads.fittings + loads.parts
    stated = loads.fittings_stated_Pa + loads.parts_stated_Pa
    column = GRAVITY * loads.rise_m
    squared = loads.mass_flux**2
    heads = 0.5 * (squared - loads.flux_before**2)
    has_stated, has_heads = bool(stated.any()), bool(heads.any())
    pressure = guess
    density = density_at(pressure)
    fresh, moved = pressure, np.zeros_like(pressure)
    for count in range(MOST_ROUNDS):
        mean = density[1:] + density[:-1]
        mean *= 0.5
        drop = resistance / mean
        mean *= column
        drop += mean
        volume = 1.0 / density
        change = volume[1:] - volume[:-1]
        change *= squared
        drop += change
        if has_stated:
            drop += stated
        if has_heads:
            drop += heads * volume[:-1]
        fresh = _sum_from(known, known_pressure, drop, pressure)
        within = np.clip(fresh, least_pressure, most_pressure)
        moved = np.abs(within - pressure)
        pressure = within
        density = density_at(pressure)
        resting = (moved <= tolerance * pressure).all(axis=0)
        if resting.all() or (count >= ROUNDS_FOR_ALL and (resting | (fresh != within).any(axis=0)).all()):
            break
    settled = (fresh == pressure) & (moved <= 1e-6 * pressure)
    return Profile(pressure, density, np.asarray(settled.all(axis=0)))


def _sum_from(known: Known, known_pressure: FloatArray, drop: FloatArray, pressure: FloatArray) -> FloatArray:
    """Return the pressure at the nodes, (legs + 1, ...), from the drops of the legs at the pressures before.

    From the start the drops add up.  Back from the end twice the mean pressure times the drop adds up to the pressure
    squared: for a gas that product hardly depends on the pressures before, so the rounds come to rest quickly however
    large the drop.
    """
    fresh = np.empty((len(drop) + 1, *drop.shape[1:]))
    if known is Known.START:
        fresh[0] = known_pressure
        np.cumsum(drop, axis=0, out=fresh[1:])
        np.subtract(known_pressure, fresh[1:], out=fresh[1:])
        return fresh
    drop *= pressure[1:] + pressure[:-1]
    fresh[-1] = 0.0
    np.cumsum(drop[::-1], axis=0, out=fresh[-2::-1])
    fresh += np.square(known_pressure)
    np.maximum(fresh, 0.0, out=fresh)
    return np.asarray(np.sqrt(fresh, out=fresh))


def first_guess(density: FloatArray, loads: Loads, known_pressure: FloatArray, known: Known) -> FloatArray:
    """Return pressures to start a march from.

    Density is taken as that at the known end: constant where the march runs from the start, in proportion to pressure
    where it runs back from the end.

    Parameters
    ----------
    density : ndarray, shape (...)
        Density at the known end, [kg/m3].
    loads : Loads
        What each leg does to the pressure.
    known_pressure : ndarray, shape (...)
        Pressure at the known end, [Pa].
    known : Known
        Which end that is.

    Returns
    -------
    ndarray, shape (legs + 1, ...)
        Pressure at the nodes, [Pa].
    """
    drop = (loads.tube + loads.fittings + loads.parts) / density
    drop += loads.fittings_stated_Pa + loads.parts_stated_Pa
    drop += GRAVITY * density * loads.rise_m
    level = np.broadcast_to(known_pressure, (len(drop) + 1, *drop.shape[1:]))
    fresh = _sum_from(known, known_pressure, drop, level)
    return np.maximum(fresh, 0.2 * known_pressure)
