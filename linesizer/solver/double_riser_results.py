"""Double risers as results: pattern, ratios, changeover load, what the seal has to hold."""

from __future__ import annotations

import numpy as np

from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import DoubleRiserResult
from linesizer.solver.arrays import FloatArray
from linesizer.solver.double_riser import at_changeover
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.static_head import GRAVITY


def double_riser_results(
    work: LineAtWork, mass_flow: FloatArray, capacity_W: FloatArray, film_density: float, count: int
) -> tuple[DoubleRiserResult, ...]:
    """Return each double riser of a line at work.

    At the changeover load the worse of the two tubes just lifts.  Just below it the small tube carries that flow alone.

    Parameters
    ----------
    work : LineAtWork
        A solved line.
    mass_flow, capacity_W : ndarray, shape (conditions and corners,)
        Flow of the circuit [kg/s] and net cooling [W].
    film_density : float
        [kg/m3].
    count : int
        How many of the conditions are the circuit's own.
    """
    state, run = work.state, work.run
    if state is None or state.twins is None or run.twins is None:
        return ()
    legs = line_geometry(work.line).legs
    twins, found = state.twins, []
    foot, top = state.density_kg_m3[:-1][run.twins.leg], state.density_kg_m3[1:][run.twins.leg]
    viscosity = state.viscosity_Pa_s[run.twins.leg]
    flows = mass_flow if run.shares is None else run.flows(mass_flow)[run.twins.leg]
    change, changed = at_changeover(run.twins, flows, viscosity, foot, top, film_density)
    for index, place in enumerate(run.twins.leg):
        leg = legs[int(place)].leg
        if leg.double_riser is None:
            continue
        blank = np.where(state.settled, 0.0, np.nan)
        seal, changeover = changed.seal_needed_m[index] + blank, capacity_W * change[index] + blank
        drop = seal * film_density * GRAVITY
        penalty = saturation_fall(work.phase.saturation_temperature, state.pressure_Pa[place], drop)
        own, corners = slice(None, count), slice(count, None)
        found.append(
            DoubleRiserResult(
                leg=leg.id,
                small=leg.double_riser.small,
                large=leg.double_riser.large,
                seal_m=leg.double_riser.seal_m,
                pattern=twins.pattern[index, own],
                small_share=twins.small_share[index, own] + blank[own],
                small_ratio=twins.small_ratio[index, own] + blank[own],
                large_ratio=twins.large_ratio[index, own] + blank[own],
                alone_ratio=twins.alone_ratio[index, own] + blank[own],
                changeover_W=changeover[own],
                drop_at_changeover_Pa=drop[own],
                penalty_at_changeover_K=penalty[own],
                seal_at_changeover_m=seal[own],
                seal_needed_m=twins.seal_needed_m[index, own] + blank[own],
                corner_pattern=twins.pattern[index, corners],
                corner_seal_needed_m=(twins.seal_needed_m[index] + blank)[corners],
                corner_alone_ratio=(twins.alone_ratio[index] + blank)[corners],
                corner_changeover_W=changeover[corners],
                corner_seal_at_changeover_m=seal[corners],
            )
        )
    return tuple(found)
