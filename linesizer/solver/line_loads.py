"""What the legs of a line do to its pressure at given flows: tube, fittings, changes of size, parts, double risers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesizer.solver.arrays import FloatArray
from linesizer.solver.double_riser import Twins, TwinState, work_twins
from linesizer.solver.fitting_loss import contraction, expansion
from linesizer.solver.friction import friction_factor, reynolds_number
from linesizer.solver.losses import Losses
from linesizer.solver.march import Loads


@dataclass(frozen=True, slots=True)
class TeeLosses:
    """Tees along a run: the leg that owns each one's loss, and the leg in whose velocity head it counts, (tees,)."""

    owner: NDArray[np.intp]
    common: NDArray[np.intp]
    losses: Losses


@dataclass(frozen=True, slots=True)
class Run:
    """The legs of an unbranched line in the order of flow; arrays have shape (legs,).

    ``shares`` is the part of the circuit's flow that each leg carries, (legs, conditions); None where all carry the
    whole.  Only then there may be ``tees``.
    """

    length_m: FloatArray
    rise_m: FloatArray
    fittings: Losses
    parts: Losses
    twins: Twins | None = None
    shares: FloatArray | None = None
    tees: TeeLosses | None = None

    def flows(self, mass_flow: FloatArray) -> FloatArray:
        """Return the flow in each leg from that of the circuit: (B) as it is, or (legs, B) where legs share it."""
        if self.shares is None:
            return mass_flow
        return np.asarray(mass_flow * self._shares_over(np.ndim(mass_flow)))

    def leg_flow(self, leg: int, mass_flow: FloatArray) -> FloatArray:
        """Return the flow in one leg from that of the circuit, both (B)."""
        return mass_flow if self.shares is None else np.asarray(mass_flow * self._shares_over(np.ndim(mass_flow))[leg])

    def _shares_over(self, axes: int) -> FloatArray:
        if self.shares is None:
            raise ValueError("the legs share no flow")
        return self.shares.reshape(*self.shares.shape, *(1,) * (axes - 1))


class LineFlowLoads:
    """The loads of a run in given tubes at given flows; what only the viscosity decides is left open.

    ``reynolds``, ``friction_factor`` and ``fitting_coefficient`` are those of the last loads asked for.
    """

    def __init__(
        self, run: Run, bore: FloatArray, roughness: FloatArray, mass_flow: FloatArray, known_pressure: FloatArray
    ) -> None:
        self._run = run
        self._bore, self._roughness = np.asarray(bore), np.asarray(roughness)
        batch = np.broadcast_shapes(np.shape(mass_flow), np.shape(known_pressure), self._bore.shape[1:])
        mass_flow = run.flows(mass_flow)
        self._mass_flow = mass_flow
        self._shape = (len(run.length_m), *batch)
        own_flux = mass_flow / (0.25 * np.pi * self._bore**2)
        self._dynamic = 0.5 * own_flux**2
        self._flux = np.broadcast_to(own_flux, self._shape)
        self._size_change = size_change(self._bore, None if run.shares is None else mass_flow)
        behind = (slice(None),) + (None,) * len(batch)
        self._length = run.length_m[behind]
        self._rise = np.broadcast_to(run.rise_m[behind], self._shape)
        axes = len(self._shape)
        self._fittings_stated = np.broadcast_to(run.fittings.stated_drop(mass_flow, axes), self._shape)
        self._parts_stated = np.broadcast_to(run.parts.stated_drop(mass_flow, axes), self._shape)
        self._fittings_kv = run.fittings.flow_over_kv(mass_flow, axes)
        self._parts_kv = run.parts.flow_over_kv(mass_flow, axes)
        self.reynolds = self.friction_factor = self.fitting_coefficient = np.zeros(0)

    def work_twins(self, viscosity: FloatArray, density: FloatArray, film_density: float) -> TwinState | None:
        """Return how the run's double risers work, None where it has none.

        Parameters
        ----------
        viscosity : ndarray, shape (legs or 1, B)
            [Pa s].
        density : ndarray, shape (legs + 1, B)
            At the nodes, [kg/m3].
        film_density : float
            [kg/m3].
        """
        twins = self._run.twins
        if twins is None:
            return None
        foot, top = density[:-1][twins.leg], density[1:][twins.leg]
        own = viscosity if len(viscosity) == 1 else viscosity[twins.leg]
        flow = self._mass_flow if self._run.shares is None else self._mass_flow[twins.leg]
        return work_twins(twins, flow, own, foot, top, film_density)

    def loads(self, viscosity: FloatArray, twins: TwinState | None = None) -> Loads:
        """Return the loads at a viscosity, (legs or 1, B), [Pa s]; with double risers as they work."""
        run, bore = self._run, self._bore
        reynolds = reynolds_number(self._mass_flow, bore, viscosity)
        factor = friction_factor(reynolds, self._roughness / bore)
        fitting_k = run.fittings.coefficient(reynolds, bore, factor) + self._size_change
        if run.tees is not None:
            fitting_k = self._with_tees(run.tees, fitting_k, reynolds, factor)
        part_k = run.parts.coefficient(reynolds, bore, factor)
        tube = np.broadcast_to(self._dynamic * factor / bore * self._length, self._shape)
        fittings = np.broadcast_to(self._dynamic * fitting_k + self._fittings_kv, self._shape)
        flux = self._flux
        if twins is not None and run.twins is not None:
            tube, fittings, flux = tube.copy(), fittings.copy(), flux.copy()
            place = run.twins.leg
            tube[place], fittings[place], flux[place] = twins.friction, twins.fittings, twins.mass_flux
        self.reynolds, self.friction_factor, self.fitting_coefficient = reynolds, factor, fitting_k
        return Loads(
            tube=tube,
            fittings=fittings,
            parts=np.broadcast_to(self._dynamic * part_k + self._parts_kv, self._shape),
            fittings_stated_Pa=self._fittings_stated,
            parts_stated_Pa=self._parts_stated,
            rise_m=self._rise,
            mass_flux=flux,
            flux_before=flux if len(bore) == 1 and run.shares is None else np.concatenate([flux[:1], flux[:-1]]),
        )

    def _with_tees(
        self, tees: TeeLosses, fitting_k: FloatArray, reynolds: FloatArray, factor: FloatArray
    ) -> FloatArray:
        """Return the legs' coefficients with the losses of tees, each on the velocity head of what carries all flow."""
        whole = self._shape

        def of(values: FloatArray, legs: NDArray[np.intp]) -> FloatArray:
            return np.asarray(np.broadcast_to(values, whole)[legs])

        common, owner = tees.common, tees.owner
        bore = np.broadcast_to(self._bore, whole)[common]
        coefficient = tees.losses.coefficient(of(reynolds, common), bore, of(factor, common))
        total = np.array(np.broadcast_to(fitting_k, whole))
        np.add.at(total, owner, coefficient * of(self._dynamic, common) / of(self._dynamic, owner))
        return total


def size_change(bore: FloatArray, mass_flow: FloatArray | None = None) -> FloatArray:
    """Return the loss coefficient of the change of size at the start of each leg, on the leg's own velocity head.

    Parameters
    ----------
    bore : ndarray, shape (legs, B)
        Bores, [m].
    mass_flow : ndarray, shape (legs, B), optional
        Flows, where legs carry different ones, [kg/s]; a wider leg's loss is on what comes out of the narrower one.

    Returns
    -------
    ndarray, shape (legs, B)
        0 at the first leg and where the bore stays.
    """
    if len(bore) < 2 or not np.any(bore[1:] != bore[:-1]):
        return np.zeros(bore.shape)
    small, large = np.minimum(bore[1:], bore[:-1]), np.maximum(bore[1:], bore[:-1])
    narrowing = bore[1:] < bore[:-1]
    coefficient = np.where(narrowing, contraction(small, large), expansion(small, large)) * (bore[1:] / small) ** 4
    if mass_flow is not None:
        coefficient = coefficient * np.where(narrowing, 1.0, (mass_flow[:-1] / mass_flow[1:]) ** 2)
    return np.concatenate([np.zeros((1, *coefficient.shape[1:])), coefficient])
