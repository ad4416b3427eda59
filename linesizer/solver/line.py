"""A line leg by leg: pressure, density, velocity and the terms of the drop, at any number of conditions or sizes at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.fitting_loss import contraction, expansion
from linesizer.solver.friction import friction_factor, reynolds_number
from linesizer.solver.losses import Losses
from linesizer.solver.march import Known, Loads, Profile, Terms, march
from linesizer.solver.oil_return import minimum_mass_flux
from linesizer.solver.phase import Phase
from linesizer.solver.pieces import cut_legs

MOST_DENSITY_CHANGE = 0.01
"""A leg is cut into pieces until the density changes by no more than this within one."""

MOST_PIECES = 64


@dataclass(frozen=True, slots=True)
class Run:
    """The legs of an unbranched line in the order of flow; arrays have shape (legs,)."""

    length_m: FloatArray
    rise_m: FloatArray
    fittings: Losses
    parts: Losses


@dataclass(frozen=True, slots=True)
class LineState:
    """A solved line; B stands for the batch axes (conditions) or (conditions, sizes).

    ``pressure_Pa`` and ``density_kg_m3`` are at the nodes, (legs + 1, B); the rest per leg, (legs, B), except ``settled``, (B),
    which is False where the flow cannot pass within the range of the property table.
    """

    pressure_Pa: FloatArray
    density_kg_m3: FloatArray
    mass_flux: FloatArray
    viscosity_Pa_s: FloatArray
    reynolds: FloatArray
    friction_factor: FloatArray
    fitting_coefficient: FloatArray
    terms: Terms
    settled: BoolArray

    @property
    def mean_density(self) -> FloatArray:
        """Mean of the densities at a leg's two ends, (legs, B), [kg/m3]."""
        return np.asarray(0.5 * (self.density_kg_m3[1:] + self.density_kg_m3[:-1]))

    @property
    def velocity_m_s(self) -> FloatArray:
        """Highest velocity on each leg, (legs, B), [m/s]."""
        return np.asarray(self.mass_flux / np.minimum(self.density_kg_m3[1:], self.density_kg_m3[:-1]))

    @property
    def drop_Pa(self) -> FloatArray:
        """Drop of each leg, inlet less outlet, (legs, B), [Pa]."""
        return np.asarray(self.pressure_Pa[:-1] - self.pressure_Pa[1:])


def solve_line(
    run: Run,
    phase: Phase,
    *,
    bore: FloatArray,
    roughness: FloatArray,
    mass_flow: FloatArray,
    enthalpy: FloatArray,
    known_pressure: FloatArray,
    known: Known,
    guess: FloatArray | None = None,
    cut: bool = True,
) -> LineState:
    """Return the state of an unbranched adiabatic line.

    Parameters
    ----------
    run : Run
        Lengths, rises and losses.
    phase : Phase
        Vapour or liquid.
    bore, roughness : ndarray, shape (legs or 1, B)
        Bore and roughness of each leg, [m].
    mass_flow, enthalpy, known_pressure : ndarray, shape (B)
        Flow [kg/s], enthalpy [J/kg] and the pressure at the known end [Pa].
    known : Known
        Which end has the known pressure.
    guess : ndarray, shape (legs + 1, B), optional
        Pressures at the nodes to start from, [Pa].
    cut : bool
        Whether legs are cut into pieces where the density changes by more than 1 %.

    Returns
    -------
    LineState
    """
    batch = np.broadcast_shapes(np.shape(mass_flow), np.shape(known_pressure), np.shape(bore)[1:])
    legs = len(run.length_m)
    bore = np.broadcast_to(bore, (legs, *np.shape(bore)[1:]))
    flux = np.broadcast_to(mass_flow / (0.25 * np.pi * bore**2), (legs, *batch))
    before = np.concatenate([flux[:1], flux[:-1]])
    size_change = _size_change(bore)
    behind = (slice(None),) + (None,) * len(batch)
    rise, length = run.rise_m[behind], run.length_m[behind]
    shape = (legs, *batch)
    fittings_stated = np.broadcast_to(run.fittings.stated_drop(mass_flow, rise.ndim), shape)
    parts_stated = np.broadcast_to(run.parts.stated_drop(mass_flow, rise.ndim), shape)
    fittings_kv = run.fittings.flow_over_kv(mass_flow, rise.ndim)
    parts_kv = run.parts.flow_over_kv(mass_flow, rise.ndim)
    dynamic = 0.5 * flux**2

    def density_at(pressure: FloatArray) -> FloatArray:
        return phase.density(pressure, enthalpy)

    pressure = guess
    viscosity = phase.viscosity(np.asarray(known_pressure), enthalpy)[None]
    # Friction follows the viscosity at each leg's mean pressure, which is known well after the first march.
    for _ in range(2):
        if pressure is not None:
            viscosity = phase.viscosity(0.5 * (pressure[1:] + pressure[:-1]), enthalpy)
        reynolds = np.broadcast_to(reynolds_number(mass_flow, bore, viscosity), shape)
        factor = friction_factor(reynolds, roughness / bore)
        fitting_k = run.fittings.coefficient(reynolds, bore, factor) + size_change
        loads = Loads(
            tube=dynamic * factor * length / bore,
            fittings=dynamic * fitting_k + fittings_kv,
            parts=dynamic * run.parts.coefficient(reynolds, bore, factor) + parts_kv,
            fittings_stated_Pa=fittings_stated,
            parts_stated_Pa=parts_stated,
            rise_m=np.broadcast_to(rise, shape),
            mass_flux=flux,
            flux_before=before,
        )
        profile = _march(density_at, loads, known_pressure, known, phase, pressure)
        pressure = profile.pressure_Pa
    terms = loads.terms(profile.density_kg_m3)
    pieces = cut_legs(profile, MOST_DENSITY_CHANGE, MOST_PIECES) if cut else None
    if pieces is not None:
        fine = _march(density_at, pieces.loads(loads), known_pressure, known, phase, pieces.guess(profile.pressure_Pa))
        terms = pieces.gather(pieces.loads(loads).terms(fine.density_kg_m3))
        profile = pieces.nodes(fine)
    return LineState(
        pressure_Pa=profile.pressure_Pa,
        density_kg_m3=profile.density_kg_m3,
        mass_flux=flux,
        viscosity_Pa_s=np.broadcast_to(viscosity, shape),
        reynolds=reynolds,
        friction_factor=factor,
        fitting_coefficient=np.broadcast_to(fitting_k, shape),
        terms=terms,
        settled=profile.settled,
    )


def oil_return_ratio(state: LineState, climbs: BoolArray, bore: FloatArray, film_density: FloatArray) -> FloatArray:
    """Return the mass flow over the least that carries oil up, the worst of foot and top of each climbing leg.

    Parameters
    ----------
    state : LineState
        A solved vapour line.
    climbs : ndarray of bool, shape (legs,)
        Which legs climb steeply enough to be judged.
    bore : ndarray, shape (legs or 1, B)
        Bore, [m].
    film_density : ndarray, shape ()
        Density of the oil-rich film, [kg/m3].

    Returns
    -------
    ndarray, shape (climbing legs, B)
        Ratio, [-].
    """
    legs = len(climbs)
    bore = np.broadcast_to(bore, (legs, *np.shape(bore)[1:]))[climbs]
    density = state.density_kg_m3
    # The flux that carries the film grows with the gas density over the whole range below half the film's density, so
    # the denser end decides; vapour near its critical point is capped there.
    worst = np.minimum(np.maximum(density[:-1][climbs], density[1:][climbs]), 0.5 * film_density)
    return np.asarray(state.mass_flux[climbs] / minimum_mass_flux(worst, film_density, bore))


def _size_change(bore: FloatArray) -> FloatArray:
    """Return the loss coefficient of the change of size at the start of each leg, on the leg's own velocity head."""
    change = np.zeros(bore.shape)
    if len(bore) < 2 or not np.any(bore[1:] != bore[:-1]):
        return change
    small, large = np.minimum(bore[1:], bore[:-1]), np.maximum(bore[1:], bore[:-1])
    narrowing = bore[1:] < bore[:-1]
    coefficient = np.where(narrowing, contraction(small, large), expansion(small, large))
    change[1:] = coefficient * (bore[1:] / small) ** 4
    return change


def _march(
    density_at: Callable[[FloatArray], FloatArray],
    loads: Loads,
    known_pressure: FloatArray,
    known: Known,
    phase: Phase,
    guess: FloatArray | None,
) -> Profile:
    return march(
        density_at,
        loads,
        known_pressure,
        known,
        least_pressure=phase.least_pressure_Pa,
        most_pressure=phase.most_pressure_Pa,
        guess=guess,
    )
