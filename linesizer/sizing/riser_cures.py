"""What would cure a riser whose oil does not come up: one smaller tube where that is enough, else a double riser."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import LegResult, LineFlow
from linesizer.domain.route import DoubleRiser, Service
from linesizer.sizing.double_riser_pairs import best_pair
from linesizer.solver.arrays import FloatArray
from linesizer.solver.circuit_flow import CircuitFlow
from linesizer.solver.friction import friction_factor, reynolds_number
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.oil_return import minimum_mass_flux
from linesizer.solver.penalty import saturation_fall


@dataclass(frozen=True, slots=True)
class RiserCure:
    """Another size for a leg, or a double riser; one of the two is None."""

    size: str | None
    riser: DoubleRiser | None


def riser_cures(
    work: LineAtWork, legs: LegResult, whole: LineFlow, flow: CircuitFlow, practice: PracticeSet
) -> dict[tuple[str, str], RiserCure]:
    """Return the cure of each climbing leg of a single tube whose oil does not come up, by line and leg id.

    A single tube is proposed where the largest one that lifts with the practice set's margin leaves the line's penalty
    below its limit; a double riser may itself cost the practice set's aim for the line.

    Parameters
    ----------
    work : LineAtWork
        A solved line.
    legs, whole : LegResult, LineFlow
        Its results.
    flow : CircuitFlow
        The circuit.
    practice : PracticeSet
        Limits.
    """
    if work.line.service is not Service.DISCHARGE:
        return {}
    stop = practice.value("oil_return_stop_ratio")
    ratios = np.concatenate([legs.oil_return_ratio, legs.corner_ratio], axis=1)
    geometry = line_geometry(work.line).legs
    found = {}
    for index in np.flatnonzero((ratios < stop).any(axis=1)):
        if geometry[index].leg.double_riser is not None:
            continue
        key = work.line.id, legs.ids[index]
        size = largest_that_lifts(work, int(index), whole, flow, practice)
        if size is not None:
            found[key] = RiserCure(size, None)
            continue
        pair = best_pair(work, int(index), flow, practice, practice.value("discharge_penalty_target_K"))
        if pair is not None:
            found[key] = RiserCure(None, DoubleRiser(pair.small, pair.large, pair.seal_m))
    return found


def largest_that_lifts(
    work: LineAtWork, leg_index: int, whole: LineFlow, flow: CircuitFlow, practice: PracticeSet
) -> str | None:
    """Return the largest single tube that lifts a leg's oil everywhere, None where it costs too much.

    The line's other legs stay as they are; the leg's own drop is worked anew at the line's densities.
    """
    state = work.state
    if state is None:
        return None
    leg = line_geometry(work.line).legs[leg_index]
    catalogue = tube_catalogue(leg.leg.tube if leg.leg.tube is not None else work.line.tube)
    bore = catalogue.inside_diameters_m[:, None]
    mass_flow = work.run.leg_flow(leg_index, flow.hot.line_flow)
    foot, top = state.density_kg_m3[leg_index], state.density_kg_m3[leg_index + 1]
    flux = mass_flow / (0.25 * np.pi * bore**2)
    denser = np.minimum(np.maximum(foot, top), 0.5 * flow.film_density)
    ratio = flux / minimum_mass_flux(denser, flow.film_density, bore)
    margin = max(practice.value("oil_return_stop_ratio"), practice.value("oil_return_margin_ratio"))
    lifts = np.flatnonzero((ratio >= margin).all(axis=1))
    if len(lifts) == 0:
        return None
    place = int(lifts[-1])
    drop = _own_drop(work, leg_index, bore[place], catalogue.roughness_m, mass_flow)
    count = len(whole.drop_Pa)
    terms = state.terms
    before = (terms.friction_Pa + terms.fittings_Pa)[leg_index, :count]
    total = whole.drop_Pa - whole.static_Pa - before + drop[:count]
    penalty = saturation_fall(work.phase.saturation_temperature, whole.outlet_Pa + total, total)
    if not np.isfinite(penalty).all() or penalty.max() > practice.value("discharge_penalty_K"):
        return None
    return catalogue.size_names[place]


def _own_drop(
    work: LineAtWork, leg_index: int, bore: FloatArray, roughness: float, mass_flow: FloatArray
) -> FloatArray:
    """Return friction and fittings of one leg in another bore, (conditions and corners,), [Pa]."""
    state, run = work.state, work.run
    if state is None:
        raise ValueError("the line is not solved")
    reynolds = reynolds_number(mass_flow, bore, state.viscosity_Pa_s[leg_index])
    factor = friction_factor(reynolds, roughness / bore)
    losses = run.fittings
    coefficient = factor * run.length_m[leg_index] / bore + losses.of_leg(leg_index).coefficient(
        reynolds[None], bore[None], factor[None]
    )
    dynamic = 0.5 * (mass_flow / (0.25 * np.pi * bore**2)) ** 2
    return np.asarray((dynamic * coefficient / state.mean_density[leg_index])[0])
