"""Where the liquid's subcooling goes between the condenser and the expansion valve."""

from __future__ import annotations

import numpy as np

from linesizer.domain.result import LegResult, LiquidBudget
from linesizer.solver.arrays import FloatArray
from linesizer.solver.phase import Phase


def liquid_budget(phase: Phase, pressure_Pa: FloatArray, enthalpy_J_kg: FloatArray, legs: LegResult) -> LiquidBudget:
    """Return the budget of a liquid line, its items in the order subcooling, friction, fittings, parts, lift, heat.

    Each pressure term is worth what the bubble temperature falls when it is taken off after those before it; heat is
    what the liquid's own temperature rises.  The items add up to the margin exactly.

    Parameters
    ----------
    phase : Phase
        The liquid.
    pressure_Pa, enthalpy_J_kg : ndarray, shape (legs + 1, conditions)
        At the nodes, [Pa] and [J/kg].
    legs : LegResult
        The terms of each leg.

    Returns
    -------
    LiquidBudget
        Arrays of shape (conditions,), [K].
    """
    bubble = phase.saturation_temperature
    level = pressure_Pa[0]
    start_K = phase.temperature(pressure_Pa[0], enthalpy_J_kg[0])
    end_K = phase.temperature(pressure_Pa[-1], enthalpy_J_kg[-1])
    falls = []
    # The little that momentum takes goes with friction, so that nothing is lost.
    for term in (legs.friction_Pa + legs.acceleration_Pa, legs.fittings_Pa, legs.parts_Pa, legs.static_Pa):
        below = level - term.sum(axis=0)
        falls.append(np.asarray(bubble(level) - bubble(below)))
        level = below
    subcooling = bubble(pressure_Pa[0]) - start_K
    return LiquidBudget(
        subcooling_K=subcooling,
        friction_K=falls[0],
        fittings_K=falls[1],
        parts_K=falls[2],
        lift_K=falls[3],
        heat_K=end_K - start_K,
        margin_K=bubble(level) - end_K,
    )
