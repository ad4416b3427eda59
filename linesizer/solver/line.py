"""A line leg by leg: pressure, density, velocity and the terms of the drop, at many conditions or sizes at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.curve import Curve
from linesizer.solver.fitting_loss import contraction, expansion
from linesizer.solver.friction import friction_factor, reynolds_number
from linesizer.solver.losses import Losses
from linesizer.solver.march import Known, Loads, Profile, Terms, first_guess, march
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

    ``pressure_Pa`` and ``density_kg_m3`` are at the nodes, (legs + 1, B); the rest per leg, (legs, B), except
    ``settled``, (B), which is False where the flow cannot pass within the range of the property table.
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
    enthalpy: FloatArray | Callable[[FloatArray], FloatArray],
    known_pressure: FloatArray,
    known: Known,
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
    mass_flow, known_pressure : ndarray, shape (B)
        Flow [kg/s] and the pressure at the known end [Pa].
    enthalpy : ndarray, shape (B), or callable
        Enthalpy [J/kg] along the line; or that of the gas which a compressor sends into it against a pressure at its
        start, (B) from (B).
    known : Known
        Which end has the known pressure.
    cut : bool
        Whether legs are cut into pieces where the density changes by more than 1 %.

    Returns
    -------
    LineState
    """
    batch = np.broadcast_shapes(np.shape(mass_flow), np.shape(known_pressure), np.shape(bore)[1:])
    legs = len(run.length_m)
    bore = np.asarray(bore)
    shape = (legs, *batch)
    own_flux = mass_flow / (0.25 * np.pi * bore**2)
    flux = np.broadcast_to(own_flux, shape)
    before = flux if len(bore) == 1 else np.concatenate([flux[:1], flux[:-1]])
    size_change = _size_change(bore)
    behind = (slice(None),) + (None,) * len(batch)
    rise, length = run.rise_m[behind], run.length_m[behind]
    fittings_stated = np.broadcast_to(run.fittings.stated_drop(mass_flow, rise.ndim), shape)
    parts_stated = np.broadcast_to(run.parts.stated_drop(mass_flow, rise.ndim), shape)
    fittings_kv = run.fittings.flow_over_kv(mass_flow, rise.ndim)
    parts_kv = run.parts.flow_over_kv(mass_flow, rise.ndim)
    dynamic = 0.5 * own_flux**2

    known_pressure = np.asarray(known_pressure, dtype=np.float64)
    rises = np.broadcast_to(rise, shape)

    def resist(viscosity: FloatArray) -> tuple[Loads, FloatArray, FloatArray, FloatArray]:
        reynolds = reynolds_number(mass_flow, bore, viscosity)
        factor = friction_factor(reynolds, roughness / bore)
        fitting_k = run.fittings.coefficient(reynolds, bore, factor) + size_change
        part_k = run.parts.coefficient(reynolds, bore, factor)
        loads = Loads(
            tube=np.broadcast_to(dynamic * factor / bore * length, shape),
            fittings=np.broadcast_to(dynamic * fitting_k + fittings_kv, shape),
            parts=np.broadcast_to(dynamic * part_k + parts_kv, shape),
            fittings_stated_Pa=fittings_stated,
            parts_stated_Pa=parts_stated,
            rise_m=rises,
            mass_flux=flux,
            flux_before=before,
        )
        return loads, reynolds, factor, fitting_k

    at_known = enthalpy(known_pressure) if callable(enthalpy) else enthalpy
    rough, *_ = resist(phase.viscosity(known_pressure, at_known)[None])
    start = first_guess(phase.density(known_pressure, at_known), rough, known_pressure, known)
    start = np.clip(start, phase.least_pressure_Pa, phase.most_pressure_Pa)
    # Along an adiabatic line viscosity changes so little that its value at the mean pressure serves all legs.
    along = enthalpy(start[0]) if callable(enthalpy) else enthalpy
    viscosity = phase.viscosity(0.5 * (start[0] + start[-1]), along)
    loads, reynolds, factor, fitting_k = resist(viscosity[None])
    density_at = _DensityAlong(phase, enthalpy, start)
    profile = _march(density_at, loads, known_pressure, known, phase, start)
    if not density_at.covers(profile):
        density_at = _DensityAlong(phase, enthalpy, profile.pressure_Pa)
        profile = _march(density_at, loads, known_pressure, known, phase, profile.pressure_Pa)
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
        reynolds=np.broadcast_to(reynolds, shape),
        friction_factor=np.broadcast_to(factor, shape),
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


class _DensityAlong:
    """Density at the nodes from pressure at the nodes, at the enthalpy that belongs to the pressure at the start."""

    def __init__(
        self, phase: Phase, enthalpy: FloatArray | Callable[[FloatArray], FloatArray], guess: FloatArray
    ) -> None:
        low, high = guess.min(axis=0), guess.max(axis=0)
        room = 0.25 * (high - low) + 0.005 * high
        self._low = np.maximum(low - room, 0.999 * phase.least_pressure_Pa)
        self._high = np.minimum(high + room, 1.001 * phase.most_pressure_Pa)
        self._enthalpy = enthalpy
        self._at = enthalpy(guess[0]) if callable(enthalpy) else enthalpy
        self._curve = Curve(lambda at: phase.density(at, self._at), self._low, self._high)
        self._by_enthalpy: FloatArray | None = None
        if callable(enthalpy):
            # Enthalpy moves so little from here on that its effect is a straight factor.
            middle, step = 0.5 * (self._low + self._high), 500.0
            change = phase.density(middle, self._at + step) - phase.density(middle, self._at - step)
            self._by_enthalpy = change / (2.0 * step * phase.density(middle, self._at))

    def __call__(self, pressure: FloatArray) -> FloatArray:
        density = self._curve(pressure)
        if self._by_enthalpy is not None and callable(self._enthalpy):
            density *= 1.0 + self._by_enthalpy * (self._enthalpy(pressure[0]) - self._at)
        return density

    def covers(self, profile: Profile) -> bool:
        """Whether the pressures that settled lie in the range over which density was met."""
        pressure = profile.pressure_Pa
        inside = (pressure.min(axis=0) >= self._low) & (pressure.max(axis=0) <= self._high)
        return bool((inside | ~profile.settled).all())


def _march(
    density_at: Callable[[FloatArray], FloatArray],
    loads: Loads,
    known_pressure: FloatArray,
    known: Known,
    phase: Phase,
    guess: FloatArray,
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
