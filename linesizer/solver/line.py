"""A line leg by leg: pressure, density, velocity and the terms of the drop, at many conditions or sizes at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace

import numpy as np

from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.density_along import DensityAlong, StartEnthalpy, start_enthalpy
from linesizer.solver.double_riser import TwinState
from linesizer.solver.line_loads import LineFlowLoads, Run
from linesizer.solver.lost_heat import LostHeat
from linesizer.solver.march import RELATIVE_TOLERANCE, Known, Loads, Profile, Terms, first_guess, march
from linesizer.solver.oil_return import minimum_mass_flux
from linesizer.solver.phase import Phase
from linesizer.solver.pieces import cut_legs

__all__ = ["LineState", "Run", "oil_return_by_leg", "oil_return_ratio", "solve_line"]

MOST_DENSITY_CHANGE = 0.01
"""A leg is cut into pieces until the density changes by no more than this within one."""

MOST_PIECES = 64

COARSE_TOLERANCE = 1e-7
"""Up to which pressures are settled where legs stay whole: less than a pascal."""


@dataclass(frozen=True, slots=True)
class LineState:
    """A solved line; B stands for the batch axes (conditions) or (conditions, sizes).

    ``pressure_Pa``, ``density_kg_m3`` and ``enthalpy_J_kg`` are at the nodes, (legs + 1, B); the rest per leg, (legs,
    B), except ``settled``, (B), which is False where the flow cannot pass within the range of the property table.
    """

    pressure_Pa: FloatArray
    density_kg_m3: FloatArray
    enthalpy_J_kg: FloatArray
    mass_flux: FloatArray
    viscosity_Pa_s: FloatArray
    reynolds: FloatArray
    friction_factor: FloatArray
    fitting_coefficient: FloatArray
    terms: Terms
    settled: BoolArray
    twins: TwinState | None = None
    lost: LostHeat | None = None

    @property
    def mean_density(self) -> FloatArray:
        """Mean of the densities at a leg's two ends, (legs, B), [kg/m3]."""
        return np.asarray(0.5 * (self.density_kg_m3[1:] + self.density_kg_m3[:-1]))

    @property
    def velocity_m_s(self) -> FloatArray:
        """Highest velocity on each leg, (legs, B), [m/s]."""
        return np.asarray(self.mass_flux / np.minimum(self.density_kg_m3[1:], self.density_kg_m3[:-1]))

    def first(self, count: int) -> LineState:
        """Return the first members of the batch's first axis."""

        def cut(values: FloatArray) -> FloatArray:
            return values[:, :count]

        terms = Terms(*(cut(getattr(self.terms, field.name)) for field in fields(Terms)))
        return replace(
            self,
            pressure_Pa=cut(self.pressure_Pa),
            density_kg_m3=cut(self.density_kg_m3),
            enthalpy_J_kg=cut(self.enthalpy_J_kg),
            mass_flux=cut(self.mass_flux),
            viscosity_Pa_s=cut(self.viscosity_Pa_s),
            reynolds=cut(self.reynolds),
            friction_factor=cut(self.friction_factor),
            fitting_coefficient=cut(self.fitting_coefficient),
            terms=terms,
            settled=self.settled[:count],
            twins=None,
            lost=None,
        )

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
    enthalpy: StartEnthalpy,
    known_pressure: FloatArray,
    known: Known,
    lost: LostHeat | None = None,
    film_density: float = 0.0,
    cut: bool = True,
) -> LineState:
    """Return the state of an unbranched line.

    Parameters
    ----------
    run : Run
        Lengths, rises, losses and double risers.
    phase : Phase
        Vapour or liquid.
    bore, roughness : ndarray, shape (legs or 1, B)
        Bore and roughness of each leg, [m]; those of a double riser's leg are not used.
    mass_flow, known_pressure : ndarray, shape (B)
        Flow [kg/s] and the pressure at the known end [Pa].
    enthalpy : ndarray, shape (B), or callable
        Enthalpy [J/kg] at the start of the line; or that of the gas which a compressor sends into it against a
        pressure at its start, (B) from (B).
    known : Known
        Which end has the known pressure.
    lost : LostHeat, optional
        Enthalpy that the line loses on its way; none by default.
    film_density : float
        Density of the oil film, [kg/m3]; only double risers need it.
    cut : bool
        Whether legs are cut into pieces where the density changes by more than 1 %.

    Returns
    -------
    LineState
    """
    known_pressure = np.asarray(known_pressure, dtype=np.float64)
    flow = LineFlowLoads(run, bore, roughness, mass_flow, known_pressure)
    gone = None if lost is None else lost.at_nodes_J_kg
    at_known = start_enthalpy(enthalpy, known_pressure) - (0.0 if gone is None or known is Known.START else gone[-1])
    rough = flow.loads(phase.viscosity(known_pressure, at_known)[None])
    start = first_guess(phase.density(known_pressure, at_known), rough, known_pressure, known)
    start = np.clip(start, phase.least_pressure_Pa, phase.most_pressure_Pa)
    along = start_enthalpy(enthalpy, start[0])
    if gone is None:
        # Along an adiabatic line viscosity changes so little that its value at the mean pressure serves all legs.
        viscosity = phase.viscosity(0.5 * (start[0] + start[-1]), along)[None]
    else:
        viscosity = phase.viscosity(0.5 * (start[1:] + start[:-1]), along - 0.5 * (gone[1:] + gone[:-1]))
    density_at = DensityAlong(phase, enthalpy, gone, start)
    twins = flow.work_twins(viscosity, density_at(start), film_density)
    loads = flow.loads(viscosity, twins)
    tolerance = RELATIVE_TOLERANCE if cut else COARSE_TOLERANCE
    profile = _march(density_at, loads, known_pressure, known, phase, start, tolerance)
    if not density_at.covers(profile):
        density_at = DensityAlong(phase, enthalpy, gone, profile.pressure_Pa)
        profile = _march(density_at, loads, known_pressure, known, phase, profile.pressure_Pa, tolerance)
    terms = loads.terms(profile.density_kg_m3)
    pieces = cut_legs(profile, MOST_DENSITY_CHANGE, MOST_PIECES) if cut else None
    if pieces is not None:
        fine_at = density_at if lost is None else density_at.along(pieces.lost(lost))
        fine_loads = pieces.loads(loads)
        fine = _march(fine_at, fine_loads, known_pressure, known, phase, pieces.guess(profile.pressure_Pa))
        terms = pieces.gather(fine_loads.terms(fine.density_kg_m3))
        profile = pieces.nodes(fine)
    shape = loads.mass_flux.shape
    at_start = start_enthalpy(enthalpy, profile.pressure_Pa[0])
    return LineState(
        pressure_Pa=profile.pressure_Pa,
        density_kg_m3=profile.density_kg_m3,
        enthalpy_J_kg=np.broadcast_to(at_start if gone is None else at_start - gone, profile.pressure_Pa.shape),
        mass_flux=loads.mass_flux,
        viscosity_Pa_s=np.broadcast_to(viscosity, shape),
        reynolds=np.broadcast_to(flow.reynolds, shape),
        friction_factor=np.broadcast_to(flow.friction_factor, shape),
        fitting_coefficient=np.broadcast_to(flow.fitting_coefficient, shape),
        terms=terms,
        settled=profile.settled,
        twins=twins,
        lost=lost,
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
    # Where a flow does not pass, what the march left may be no gas at all; the caller leaves such figures out.
    density = np.where(state.density_kg_m3 > 0.0, state.density_kg_m3, 1.0)
    # The flux that carries the film grows with the gas density over the whole range below half the film's density, so
    # the denser end decides; vapour near its critical point is capped there.
    worst = np.minimum(np.maximum(density[:-1][climbs], density[1:][climbs]), 0.5 * film_density)
    return np.asarray(state.mass_flux[climbs] / minimum_mass_flux(worst, film_density, bore))


def oil_return_by_leg(
    state: LineState, run: Run, climbs: BoolArray, bore: FloatArray, film_density: float
) -> FloatArray:
    """Return the oil-return ratio of each leg, of a double riser that of the pattern that flows, (legs, B).

    The arguments are those of ``oil_return_ratio``; NaN where a leg is not judged.
    """
    ratio = np.full(state.reynolds.shape, np.nan)
    if climbs.any():
        ratio[climbs] = oil_return_ratio(state, climbs, bore, np.asarray(film_density))
    if state.twins is not None and run.twins is not None:
        judged = climbs[run.twins.leg].reshape(-1, *(1,) * (ratio.ndim - 1))
        ratio[run.twins.leg] = np.where(judged, state.twins.ratio, np.nan)
    return ratio


def _march(
    density_at: Callable[[FloatArray], FloatArray],
    loads: Loads,
    known_pressure: FloatArray,
    known: Known,
    phase: Phase,
    guess: FloatArray,
    tolerance: float = RELATIVE_TOLERANCE,
) -> Profile:
    return march(
        density_at,
        loads,
        known_pressure,
        known,
        least_pressure=phase.least_pressure_Pa,
        most_pressure=phase.most_pressure_Pa,
        guess=guess,
        tolerance=tolerance,
    )
