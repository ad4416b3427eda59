"""The insulation that keeps a discharge line gas all the way in the cold."""

from __future__ import annotations

from dataclasses import replace

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.job import Site
from linesizer.domain.route import Line
from linesizer.solver.circuit_flow import CircuitFlow
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.lost_heat import lost_heat
from linesizer.solver.surroundings import line_surroundings

THICKNESSES_m = (0.006, 0.009, 0.013, 0.019, 0.025, 0.032, 0.050)
"""Usual thicknesses of foam insulation (common practice, no source)."""


def insulation_that_keeps_m(
    flow: CircuitFlow, site: Site, practice: PracticeSet, line: Line, condition: int
) -> float | None:
    """Return the least usual thickness on all legs with which a line's gas reaches its end without condensing.

    Parameters
    ----------
    flow : CircuitFlow
        The circuit solved with the line as it is; its pressures are kept.
    site, practice : Site, PracticeSet
        Ambients and wind.
    line : Line
        A discharge line that condenses.
    condition : int
        At which condition.

    Returns
    -------
    float or None
        Thickness, [m]; legs that have more keep theirs.  None where no usual one is enough.
    """
    needed = [_needed_m(work, flow, site, practice, condition) for work in flow.works(line.id)]
    enough = [thickness for thickness in needed if thickness is not None]
    return max(enough) if enough and len(enough) == len(needed) else None


def _needed_m(work: LineAtWork, flow: CircuitFlow, site: Site, practice: PracticeSet, condition: int) -> float | None:
    """Return the least usual thickness for an unbranched line, or for one way through a line that branches."""
    line = work.line
    if work.state is None or work.tubes is None:
        return None
    phase, pressure = work.phase, work.state.pressure_Pa
    start = work.state.enthalpy_J_kg[0]
    fluid_K = phase.temperature(pressure[0], start)
    outside = work.tubes.outside_diameter_m[:, None]
    for thickness in THICKNESSES_m:
        legs = tuple(
            replace(leg, insulation_m=thickness, insulation_W_mK=None) if leg.insulation_m < thickness else leg
            for leg in line.legs
        )
        around = line_surroundings(replace(line, legs=legs), flow.everything, site, practice, outside, fluid_K)
        lost = lost_heat(phase, pressure, start, work.run.flows(flow.hot.line_flow), work.run.length_m, around)
        end = phase.temperature(pressure[-1], start - lost.at_nodes_J_kg[-1])
        if (end - phase.saturation_temperature(pressure[-1]))[condition] > 0.0:
            return thickness
    return None
