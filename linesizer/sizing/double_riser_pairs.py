"""The best double riser for a leg: of all pairs at all loads the lightest that returns oil and costs little."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.catalog.fittings import LossMethod
from linesizer.catalog.practice import PracticeSet
from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.geometry import line_geometry
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.circuit_flow import CircuitFlow
from linesizer.solver.double_riser import Pattern, Twins, at_changeover, work_twins
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.route_losses import pair_losses

STEP_m = 0.05

DEEP_SEAL_m = 1.0
"""A trap deeper than that is taken only where no pair does with less: it holds oil that the sump lacks (common
practice, no source)."""


@dataclass(frozen=True, slots=True)
class RiserPair:
    """A proposal: the two sizes, the seal that its trap needs, the riser's own penalty at the worst condition, mass."""

    small: str
    large: str
    seal_m: float
    penalty_K: float
    tube_mass_kg: float


def best_pair(
    work: LineAtWork, leg_index: int, flow: CircuitFlow, practice: PracticeSet, most_penalty_K: float
) -> RiserPair | None:
    """Return the lightest double riser of a leg that returns oil at every condition and corner.

    All pairs of the leg's catalogue are worked at all loads.  A pair passes where each load either has both tubes
    lifting or lets the small one carry alone with the practice set's margin, and where the riser's own penalty stays
    below a limit. The seal is the least, in steps of 50 mm, that holds the small tube's drop up to the changeover.

    Parameters
    ----------
    work : LineAtWork
        A solved discharge line.
    leg_index : int
        Which leg, in the order of flow.
    flow : CircuitFlow
        The circuit.
    practice : PracticeSet
        Margin and least seal.
    most_penalty_K : float
        What the riser alone may cost, [K].

    Returns
    -------
    RiserPair or None
        None where no pair passes.
    """
    if work.state is None:
        return None
    leg = line_geometry(work.line).legs[leg_index]
    catalogue = tube_catalogue(leg.leg.tube if leg.leg.tube is not None else work.line.tube)
    bores, masses = catalogue.inside_diameters_m, catalogue.masses_kg_m
    small, large = (index.ravel() for index in np.meshgrid(range(len(bores)), range(len(bores)), indexing="ij"))
    ordered = small <= large
    small, large = small[ordered], large[ordered]
    losses_small, losses_large = pair_losses(len(small), practice, LossMethod.THREE_K)
    rough = np.full(len(small), catalogue.roughness_m)
    # With a seal that holds anything, the pattern tells both lifting from the small tube alone.
    twins = Twins(
        leg=np.arange(len(small)),
        length_m=np.full(len(small), leg.length_m),
        small_bore=bores[small],
        large_bore=bores[large],
        small_roughness=rough,
        large_roughness=rough,
        small=losses_small,
        large=losses_large,
        seal_m=np.full(len(small), 1e6),
    )
    foot, top = work.state.density_kg_m3[leg_index], work.state.density_kg_m3[leg_index + 1]
    viscosity, shape = work.state.viscosity_Pa_s[leg_index], (len(small), len(foot))
    film, flows = flow.film_density, work.run.leg_flow(leg_index, flow.hot.line_flow)
    state = work_twins(twins, flows, viscosity[None], np.broadcast_to(foot, shape), np.broadcast_to(top, shape), film)
    margin = max(practice.value("oil_return_stop_ratio"), practice.value("oil_return_margin_ratio"))
    lifts = np.where(state.pattern == Pattern.BOTH, state.both_ratio, state.alone_ratio) >= margin
    drop = (state.friction + state.fittings) / (0.5 * (foot + top))
    penalty = saturation_fall(work.phase.saturation_temperature, work.state.pressure_Pa[leg_index], drop)
    # Oil has to come up at the corners of the load grid too; the penalty counts at the conditions that are run.
    own = slice(None, len(flow.circuit.conditions))
    passes = lifts.all(axis=1) & (penalty[:, own] <= most_penalty_K).all(axis=1)
    if not passes.any():
        return None
    mass = (masses[small] + masses[large]) * leg.length_m
    # Up to the changeover the small tube carries alone: its drop there is what the seal has to hold, wherever the
    # plant's loads cross it.
    loads = flow.given.capacity_W
    part, changed = at_changeover(
        twins, flows, viscosity[None], np.broadcast_to(foot, shape), np.broadcast_to(top, shape), film
    )
    crossed = (part * loads > loads.min()) & (part * loads < loads.max())
    held = np.where((state.pattern == Pattern.SMALL) | crossed, changed.seal_needed_m, 0.0).max(axis=1)
    seal = np.maximum(held, practice.value("double_riser_seal_least_m"))
    shallow = passes & (seal <= DEEP_SEAL_m)
    cost = np.where(shallow, mass, np.inf) if shallow.any() else np.where(passes, seal, np.inf)
    best = int(np.argmin(cost))
    return RiserPair(
        catalogue.size_names[small[best]],
        catalogue.size_names[large[best]],
        round(float(np.ceil(seal[best] / STEP_m - 1e-9)) * STEP_m, 3),
        float(penalty[best, own].max()),
        float(mass[best]),
    )


def seal_heights_m(
    risers: Twins,
    alone: BoolArray,
    flow: CircuitFlow,
    practice: PracticeSet,
    mass_flow: FloatArray,
    viscosity: FloatArray,
    foot: FloatArray,
    top: FloatArray,
) -> FloatArray:
    """Return the height of each double riser's trap that lets the small tube carry alone up to the changeover.

    Parameters
    ----------
    risers : Twins
        The risers.
    alone : ndarray of bool, shape (risers, conditions and corners)
        Where the small tube carries alone.
    flow, practice
        The loads; the least seal that can be made.
    mass_flow : ndarray, shape (conditions and corners,)
        Through each riser, [kg/s].
    viscosity : ndarray, shape (risers or 1, conditions and corners)
        [Pa s].
    foot, top : ndarray, shape (risers, conditions and corners)
        Density at foot and top, [kg/m3].

    Returns
    -------
    ndarray, shape (risers,)
        In steps of 50 mm, [m].
    """
    loads = flow.given.capacity_W
    part, changed = at_changeover(risers, mass_flow, viscosity, foot, top, flow.film_density)
    # What the small tube costs up to the changeover the seal has to hold, wherever the plant's loads cross it.
    crossed = (part * loads > loads.min()) & (part * loads < loads.max())
    held = np.where(alone | crossed, changed.seal_needed_m, 0.0).max(axis=1)
    needed = np.maximum(held, practice.value("double_riser_seal_least_m"))
    return np.asarray(np.round(np.ceil(needed / STEP_m - 1e-9) * STEP_m, 3))
