"""A line in given tubes, solved with the heat that it exchanges on its way."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.solver.arrays import FloatArray
from linesizer.solver.density_along import StartEnthalpy, start_enthalpy
from linesizer.solver.heat import Surroundings
from linesizer.solver.line import LineState, Run, solve_line
from linesizer.solver.lost_heat import LostHeat, lost_heat
from linesizer.solver.march import Known
from linesizer.solver.phase import Phase

HEAT_PASSES = 2
"""Pressure moves the heat so little that the second pass changes a drop by less than 1e-5 of itself."""


@dataclass(frozen=True, slots=True)
class BuiltLine:
    """A run with the tube of each leg.

    ``bore`` and ``roughness`` have shape (legs or 1, B), [m].  ``surroundings`` None means that the line keeps its
    heat. ``film_density`` is that of the oil film, [kg/m3]; only double risers need it.
    """

    run: Run
    bore: FloatArray
    roughness: FloatArray
    surroundings: Surroundings | None
    film_density: float


def solve_built(
    built: BuiltLine,
    phase: Phase,
    mass_flow: FloatArray,
    enthalpy: StartEnthalpy,
    known_pressure: FloatArray,
    known: Known,
    *,
    cut: bool = True,
    before: LineState | None = None,
) -> LineState:
    """Return the state of a line with its heat.

    The arguments are those of ``solve_line``; ``before`` is its state at a flow close to this one, to start from.
    """

    def solved(lost: LostHeat | None) -> LineState:
        return solve_line(
            built.run,
            phase,
            bore=built.bore,
            roughness=built.roughness,
            mass_flow=mass_flow,
            enthalpy=enthalpy,
            known_pressure=known_pressure,
            known=known,
            lost=lost,
            film_density=built.film_density,
            cut=cut,
        )

    if built.surroundings is None or not built.surroundings.conductance_W_mK.any():
        return solved(None)
    state = solved(None) if before is None else before
    lost = state.lost
    # What heat a liquid gives hardly hangs on its pressure.
    for number in range(HEAT_PASSES if phase.name == "vapour" else 1):
        begin = start_enthalpy(enthalpy, state.pressure_Pa[0])
        fresh = lost_heat(
            phase,
            state.pressure_Pa,
            begin,
            built.run.flows(mass_flow),
            built.run.length_m,
            built.surroundings,
            before=lost,
        )
        if number > 0 and lost is not None and not fresh.differs(lost):
            break
        lost = fresh
        state = solved(lost)
    return state
