"""Where along a line its refrigerant begins to turn: liquid to boil, gas to condense."""

from __future__ import annotations

import numpy as np

from linesizer.solver.arrays import FloatArray
from linesizer.solver.line import LineState
from linesizer.solver.phase import Phase

PLACES = 33
"""Places along a leg at which the margin is met; between two of them it is taken as straight."""


def turns_at_m(phase: Phase, state: LineState, margin_K: FloatArray, length_m: FloatArray) -> FloatArray:
    """Return the developed length at which the margin to the other phase is used up.

    Within the leg that uses it up the enthalpy falls as the heat goes and the pressure is taken as straight.

    Parameters
    ----------
    phase : Phase
        Vapour or liquid.
    state : LineState
        The solved line, shape (conditions).
    margin_K : ndarray, shape (legs + 1, conditions)
        Superheat of vapour or subcooling of liquid at the nodes, negative beyond saturation, [K].
    length_m : ndarray, shape (legs,)
        Lengths, [m].

    Returns
    -------
    ndarray, shape (conditions,)
        Developed length, [m]; NaN where the refrigerant keeps its phase.
    """
    along = np.concatenate([[0.0], np.cumsum(length_m)])
    gone = margin_K < -1e-9
    first = np.where(gone.any(axis=0), gone.argmax(axis=0), -1)
    found = np.full(margin_K.shape[1], np.nan)
    for condition, node in enumerate(first):
        if node == 0:
            found[condition] = 0.0
        elif node > 0:
            found[condition] = along[node - 1] + length_m[node - 1] * _part(phase, state, int(node) - 1, condition)
    return found


def _part(phase: Phase, state: LineState, leg: int, condition: int) -> float:
    """Return the part of a leg at which its margin is used up."""
    part = np.linspace(0.0, 1.0, PLACES)
    start_Pa, end_Pa = state.pressure_Pa[leg, condition], state.pressure_Pa[leg + 1, condition]
    pressure = start_Pa + part * (end_Pa - start_Pa)
    enthalpy = np.full(PLACES, state.enthalpy_J_kg[0, condition])
    if state.lost is not None:
        enthalpy = enthalpy - state.lost.within(np.full(PLACES, leg), part)[:, condition]
    margin = phase.temperature(pressure, enthalpy) - phase.saturation_temperature(pressure)
    if phase.name == "liquid":
        margin = -margin
    beyond = np.flatnonzero(margin < 0.0)
    if not len(beyond):
        return 1.0
    after = int(beyond[0])
    if after == 0:
        return 0.0
    before = margin[after - 1] / (margin[after - 1] - margin[after])
    return float((after - 1 + before) / (PLACES - 1))
