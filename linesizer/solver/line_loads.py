"""What the legs of a line do to its pressure at given flows: tube, fittings, changes of size, parts, double risers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.solver.arrays import FloatArray
from linesizer.solver.double_riser import Twins, TwinState, work_twins
from linesizer.solver.fitting_loss import contraction, expansion
from linesizer.solver.friction import friction_factor, reynolds_number
from linesizer.solver.losses import Losses
from linesizer.solver.march import Loads


@dataclass(frozen=True, slots=True)
class Run:
    """The legs of an unbranched line in the order of flow; arrays have shape (legs,)."""

    length_m: FloatArray
    rise_m: FloatArray
    fittings: Losses
    parts: Losses
    twins: Twins | None = None


class LineFlowLoads:
    """The loads of a run in given tubes at given flows; what only the viscosity decides is left open.

    ``reynolds``, ``friction_factor`` and ``fitting_coefficient`` are those of the last loads asked for.
    """

    def __init__(
        self, run: Run, bore: FloatArray, roughness: FloatArray, mass_flow: FloatArray, known_pressure: FloatArray
    ) -> None:
        self._run = run
        self._bore, self._roughness = np.asarray(bore), np.asarray(roughness)
        self._mass_flow = mass_flow
        batch = np.broadcast_shapes(np.shape(mass_flow), np.shape(known_pressure), self._bore.shape[1:])
        self._shape = (len(run.length_m), *batch)
        own_flux = mass_flow / (0.25 * np.pi * self._bore**2)
        self._dynamic = 0.5 * own_flux**2
        self._flux = np.broadcast_to(own_flux, self._shape)
        self._size_change = size_change(self._bore)
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
        return work_twins(twins, self._mass_flow, own, foot, top, film_density)

    def loads(self, viscosity: FloatArray, twins: TwinState | None = None) -> Loads:
        """Return the loads at a viscosity, (legs or 1, B), [Pa s]; with double risers as they work."""
        run, bore = self._run, self._bore
        reynolds = reynolds_number(self._mass_flow, bore, viscosity)
        factor = friction_factor(reynolds, self._roughness / bore)
        fitting_k = run.fittings.coefficient(reynolds, bore, factor) + self._size_change
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
            flux_before=flux if len(bore) == 1 else np.concatenate([flux[:1], flux[:-1]]),
        )


def size_change(bore: FloatArray) -> FloatArray:
    """Return the loss coefficient of the change of size at the start of each leg, on the leg's own velocity head.

    ``bore`` and the answer have shape (legs, B); 0 at the first leg and where the bore stays.
    """
    change = np.zeros(bore.shape)
    if len(bore) < 2 or not np.any(bore[1:] != bore[:-1]):
        return change
    small, large = np.minimum(bore[1:], bore[:-1]), np.maximum(bore[1:], bore[:-1])
    narrowing = bore[1:] < bore[:-1]
    coefficient = np.where(narrowing, contraction(small, large), expansion(small, large))
    change[1:] = coefficient * (bore[1:] / small) ** 4
    return change
