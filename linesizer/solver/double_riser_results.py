"""Double risers as results: pattern, ratios, changeover load, what the seal has to hold."""

from __future__ import annotations

import numpy as np

from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import DoubleRiserResult
from linesizer.solver.arrays import FloatArray
from linesizer.solver.circuit_flow import LineAtWork
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.static_head import GRAVITY


def double_riser_results(
    work: LineAtWork, capacity_W: FloatArray, film_density: float, count: int
) -> tuple[DoubleRiserResult, ...]:
    """Return each double riser of a line at work.

    The changeover load follows from the ratio: both tubes' shares hardly change with the flow, so the load at which the
    worse of them just lifts is the load over that ratio.  Just below it the small tube carries that flow alone.

    Parameters
    ----------
    work : LineAtWork
        A solved line.
    capacity_W : ndarray, shape (conditions and corners,)
        Net cooling, [W].
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
    for index, place in enumerate(run.twins.leg):
        leg = legs[int(place)].leg
        if leg.double_riser is None:
            continue
        foot, top = state.density_kg_m3[place], state.density_kg_m3[place + 1]
        change = 1.0 / twins.both_ratio[index]
        drop = twins.alone_resistance[index] * change**2 / np.maximum(foot, top)
        penalty = saturation_fall(work.phase.saturation_temperature, state.pressure_Pa[place], drop)
        blank = np.where(state.settled, 0.0, np.nan)
        own = slice(None, count)
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
                changeover_W=(capacity_W * change + blank)[own],
                drop_at_changeover_Pa=(drop + blank)[own],
                penalty_at_changeover_K=(penalty + blank)[own],
                seal_at_changeover_m=(drop / (film_density * GRAVITY) + blank)[own],
                seal_needed_m=twins.seal_needed_m[index, own] + blank[own],
                corner_pattern=twins.pattern[index, count:],
                corner_seal_needed_m=(twins.seal_needed_m[index] + blank)[count:],
            )
        )
    return tuple(found)
