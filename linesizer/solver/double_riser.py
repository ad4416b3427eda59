"""Double risers: how the flow splits over the two tubes, which of them flow, and whether oil comes up.

Both tubes leave one node and enter the next one, so both see the same drop.  At low load the large tube's trap fills
with oil and seals it; the small tube then carries alone, until its own drop pushes the seal out.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from linesizer.solver.arrays import FloatArray
from linesizer.solver.friction import friction_factor, reynolds_number
from linesizer.solver.losses import Losses
from linesizer.solver.oil_return import minimum_mass_flux
from linesizer.solver.static_head import GRAVITY

SPLIT_ROUNDS = 8
CHANGEOVER_ROUNDS = 4


class Pattern(IntEnum):
    """Which tubes flow."""

    BOTH = 0
    """Both, and both lift oil."""

    SMALL = 1
    """The small tube alone; the large one's trap is sealed with oil."""

    BLOWN = 2
    """The seal is blown out, so both flow, but too slowly: oil comes up in neither for sure."""


@dataclass(frozen=True, slots=True)
class Twins:
    """The double risers of a run; arrays have shape (risers,).

    ``leg`` is the place of each in the run.  ``small`` and ``large`` are roles, each with its bends.
    """

    leg: NDArray[np.intp]
    length_m: FloatArray
    small_bore: FloatArray
    large_bore: FloatArray
    small_roughness: FloatArray
    large_roughness: FloatArray
    small: Losses
    large: Losses
    seal_m: FloatArray

    def only(self, index: int) -> Twins:
        """Return one of the double risers."""
        at = slice(index, index + 1)
        return Twins(
            self.leg[at],
            self.length_m[at],
            self.small_bore[at],
            self.large_bore[at],
            self.small_roughness[at],
            self.large_roughness[at],
            self.small.only(index),
            self.large.only(index),
            self.seal_m[at],
        )


@dataclass(frozen=True, slots=True)
class TwinState:
    """Double risers at work; arrays have shape (risers, B).

    ``small_share`` is the small tube's part of the flow.  ``friction`` and ``fittings`` are drops times density,
    [Pa kg/m3]; ``mass_flux`` that of the whole flow over the area that flows.  ``small_ratio`` and ``large_ratio``
    are the oil-return ratios of what flows, NaN for a sealed tube; ``both_ratio`` the worse of the two if both
    flowed, and ``alone_ratio`` that of the small tube if it carried alone.  ``seal_needed_m`` holds the small tube's
    drop at this flow.
    """

    pattern: NDArray[np.intp]
    small_share: FloatArray
    friction: FloatArray
    fittings: FloatArray
    mass_flux: FloatArray
    small_ratio: FloatArray
    large_ratio: FloatArray
    both_ratio: FloatArray
    alone_ratio: FloatArray
    alone_resistance: FloatArray
    seal_needed_m: FloatArray

    @property
    def ratio(self) -> FloatArray:
        """The oil-return ratio of the pattern that flows, the worst of its tubes."""
        return np.asarray(np.fmin(self.small_ratio, self.large_ratio))


def work_twins(
    twins: Twins,
    mass_flow: FloatArray,
    viscosity: FloatArray,
    foot_density: FloatArray,
    top_density: FloatArray,
    film_density: float,
) -> TwinState:
    r"""Return how double risers work at given flows.

    The split obeys :math:`a_s \dot m_s^2 = a_l \dot m_l^2` with :math:`a = (f L / D + K) / (2 A^2)` of each tube.
    Both tubes flow where the worse oil-return ratio of the two is at least 1.  Below that the small one carries alone
    while the trap's seal, :math:`\rho_f g h`, is more than its friction and bends cost; else the seal is blown out.

    Parameters
    ----------
    twins : Twins
        The risers.
    mass_flow : ndarray, shape (B) or (risers, B)
        The whole flow, [kg/s].
    viscosity : ndarray, shape (risers or 1, B)
        Viscosity of the vapour, [Pa s].
    foot_density, top_density : ndarray, shape (risers, B)
        Density of the vapour; the denser end decides over the oil, their mean over the drop, [kg/m3].
    film_density : float
        Density of the oil-rich film, [kg/m3].

    Returns
    -------
    TwinState

    References
    ----------
    .. [1] ASHRAE Handbook - Refrigeration, halocarbon piping chapter, double risers: the small tube for the least
    load, both
       together for the full one, a trap between them (principle, from memory); the balance of seal and drop is
       hydrostatics.
    """
    behind = (slice(None),) + (None,) * (foot_density.ndim - 1)
    small_bore, large_bore = twins.small_bore[behind], twins.large_bore[behind]
    small_area, large_area = 0.25 * np.pi * small_bore**2, 0.25 * np.pi * large_bore**2
    length = twins.length_m[behind]
    shape = np.broadcast_shapes(foot_density.shape, np.shape(mass_flow))

    def resist(losses: Losses, bore: FloatArray, rough: FloatArray, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
        reynolds = np.maximum(reynolds_number(flow, bore, viscosity), 1.0)
        factor = friction_factor(reynolds, rough[behind] / bore)
        per_flow2 = 0.5 / (0.25 * np.pi * bore**2) ** 2
        return per_flow2 * factor * length / bore, per_flow2 * losses.coefficient(reynolds, bore, factor)

    share = np.broadcast_to(small_area / (small_area + large_area), shape)
    for _ in range(SPLIT_ROUNDS):
        s_tube, s_bends = resist(twins.small, small_bore, twins.small_roughness, share * mass_flow)
        l_tube, l_bends = resist(twins.large, large_bore, twins.large_roughness, (1.0 - share) * mass_flow)
        root_small, root_large = np.sqrt(s_tube + s_bends), np.sqrt(l_tube + l_bends)
        share = root_large / (root_small + root_large)
    a_tube, a_bends = resist(twins.small, small_bore, twins.small_roughness, np.broadcast_to(mass_flow, shape))
    capped = np.minimum(np.maximum(foot_density, top_density), 0.5 * film_density)
    least_small = minimum_mass_flux(capped, film_density, small_bore) * small_area
    least_large = minimum_mass_flux(capped, film_density, large_bore) * large_area
    small_both, large_both = share * mass_flow / least_small, (1.0 - share) * mass_flow / least_large
    both = np.minimum(small_both, large_both)
    alone = mass_flow / least_small
    alone_resistance = (a_tube + a_bends) * mass_flow**2
    alone_drop = alone_resistance / (0.5 * (foot_density + top_density))
    holds = alone_drop <= film_density * GRAVITY * twins.seal_m[behind]
    pattern = np.where(both >= 1.0, Pattern.BOTH, np.where(holds, Pattern.SMALL, Pattern.BLOWN))
    sealed = pattern == Pattern.SMALL
    flows = np.where(sealed, 1.0, share)
    return TwinState(
        pattern=pattern.astype(np.intp),
        small_share=flows,
        friction=np.where(sealed, a_tube, s_tube * share**2) * mass_flow**2,
        fittings=np.where(sealed, a_bends, s_bends * share**2) * mass_flow**2,
        mass_flux=mass_flow / np.where(sealed, small_area, small_area + large_area),
        small_ratio=np.where(sealed, alone, small_both),
        large_ratio=np.where(sealed, np.nan, large_both),
        both_ratio=both,
        alone_ratio=np.broadcast_to(alone, shape),
        alone_resistance=np.broadcast_to(alone_resistance, shape),
        seal_needed_m=alone_drop / (film_density * GRAVITY),
    )


def at_changeover(
    twins: Twins,
    mass_flow: FloatArray,
    viscosity: FloatArray,
    foot_density: FloatArray,
    top_density: FloatArray,
    film_density: float,
) -> tuple[FloatArray, TwinState]:
    """Return the part of given flows at which both tubes just lift, and the risers at that flow, (risers, B).

    The arguments are those of ``work_twins``.  The ratios go with the flow but for the little that the split moves, so
    a few rounds are enough.  ``alone_resistance`` and ``seal_needed_m`` of the state are then those of the small tube
    that carries just that flow alone.
    """
    part: FloatArray = np.ones(np.broadcast_shapes(foot_density.shape, np.shape(mass_flow)))
    state = work_twins(twins, part * mass_flow, viscosity, foot_density, top_density, film_density)
    for _ in range(CHANGEOVER_ROUNDS):
        part = part / state.both_ratio
        state = work_twins(twins, part * mass_flow, viscosity, foot_density, top_density, film_density)
    return part, state
