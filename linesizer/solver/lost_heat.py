"""The enthalpy that a line loses to the air on its way: legs cool one after another, gas may reach its dew point."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesizer.solver.arrays import FloatArray
from linesizer.solver.heat import Surroundings
from linesizer.solver.phase import Phase

MOST_ROUNDS = 6
SETTLED_J_kg = 1.0
"""A joule a kilogram is a thousandth of a kelvin."""

MOVES_NOTHING_J_kg = 5.0
"""A change of what is lost by so much, some thousandths of a kelvin, moves no drop by 1e-4 of itself."""

_LEAST_STEP_J_kg = 200.0
"""Least difference of enthalpy over which the specific heat is taken."""

_LEAST_FALL_K = 1e-6


@dataclass(frozen=True, slots=True)
class LostHeat:
    """What a line loses, negative where it gains; arrays have shape (legs, B), ``at_nodes_J_kg`` (legs + 1, B).

    ``at_nodes_J_kg`` is the enthalpy lost up to each node.  Within a leg it grows as ``scale_J_kg`` (1 - e^(-``units``
    x)), x the part of the leg, up to ``turn``, where vapour reaches its dew point, 1 or more where it does not; from
    there on it grows straight.
    """

    at_nodes_J_kg: FloatArray
    scale_J_kg: FloatArray
    units: FloatArray
    turn: FloatArray

    def differs(self, other: LostHeat) -> bool:
        """Whether another answer differs by more than moves a line's figures."""
        return bool(np.abs(self.at_nodes_J_kg - other.at_nodes_J_kg).max(initial=0.0) > MOVES_NOTHING_J_kg)

    def within(self, leg: NDArray[np.intp], part: FloatArray) -> FloatArray:
        """Return the enthalpy lost up to places within legs, (places, B): ``leg`` and ``part`` are (places,)."""
        part = part[(slice(None),) + (None,) * (self.units.ndim - 1)]
        before, after = self.at_nodes_J_kg[:-1][leg], self.at_nodes_J_kg[1:][leg]
        turn, scale, units = np.minimum(self.turn[leg], 1.0), self.scale_J_kg[leg], self.units[leg]
        grown = -scale * np.expm1(-units * np.minimum(part, turn))
        at_turn = -scale * np.expm1(-units * turn)
        rest = np.where(turn < 1.0, (part - turn) / np.where(turn < 1.0, 1.0 - turn, 1.0), 0.0)
        return np.asarray(before + grown + np.maximum(rest, 0.0) * (after - before - at_turn))


def lost_heat(
    phase: Phase,
    pressure_Pa: FloatArray,
    start_J_kg: FloatArray,
    mass_flow: FloatArray,
    length_m: FloatArray,
    surroundings: Surroundings,
    before: LostHeat | None = None,
) -> LostHeat:
    r"""Return the enthalpy that a line loses to the air along it.

    A leg cools (or warms) towards its air as :math:`q = \dot m c_p (T_1 - T_a)(1 - e^{-U L / (\dot m c_p)})`, with the
    mean specific heat between its ends at its mean pressure.  Vapour that reaches its dew point gives the rest at that
    temperature, :math:`U L (T_d - T_a)`.  The legs follow one another; the specific heats are met again until nothing
    moves.

    Parameters
    ----------
    phase : Phase
        Vapour or liquid.
    pressure_Pa : ndarray, shape (legs + 1, B)
        Pressure at the nodes, [Pa].
    start_J_kg, mass_flow : ndarray, shape (B)
        Enthalpy at the start [J/kg] and flow [kg/s].
    length_m : ndarray, shape (legs,)
        Lengths, [m].
    surroundings : Surroundings
        Conductance and air of each leg.
    before : LostHeat, optional
        The answer for pressures close to these, to start from.

    Returns
    -------
    LostHeat
    """
    at = 0.5 * (pressure_Pa[:-1] + pressure_Pa[1:])
    shape = np.broadcast_shapes(at.shape, start_J_kg.shape, mass_flow.shape)
    behind = (slice(None),) + (None,) * (surroundings.conductance_W_mK.ndim - 1)
    conductance = np.broadcast_to(surroundings.conductance_W_mK * length_m[behind] / mass_flow, shape)
    air = np.broadcast_to(surroundings.ambient_K, shape)
    least = np.broadcast_to(phase.saturation_temperature(at), shape) if phase.name == "vapour" else None
    met = np.array(np.broadcast_to(start_J_kg, shape))
    at = np.broadcast_to(at, shape)
    step: FloatArray = np.zeros(shape)
    if before is not None:
        met = start_J_kg - before.at_nodes_J_kg[:-1]
        step = -before.scale_J_kg * np.expm1(-before.units * np.minimum(before.turn, 1.0))
    nodes = np.empty((shape[0] + 1, *shape[1:]))
    gap, turn, moved = np.empty(shape), np.full(shape, np.inf), np.inf
    specific, units = step, step
    for _ in range(MOST_ROUNDS):
        warm = phase.temperature(at, met)
        towards = np.where(np.abs(step) < _LEAST_STEP_J_kg, np.copysign(_LEAST_STEP_J_kg, warm - air), step)
        # Beyond the table the temperature stops moving: the leg then gives what an endless specific heat gives.
        fall = np.maximum(np.abs(warm - phase.temperature(at, met - towards)), _LEAST_FALL_K)
        specific = np.abs(towards) / fall
        units = conductance / specific
        left = -np.expm1(-units)
        nodes[0] = start_J_kg
        for leg in range(shape[0]):
            here = warm[leg] + (nodes[leg] - met[leg]) / specific[leg]
            if least is not None:
                here = np.maximum(here, least[leg])
            gap[leg] = here - air[leg]
            given = specific[leg] * gap[leg] * left[leg]
            if least is not None:
                above = least[leg] - air[leg]
                crosses = gap[leg] * (1.0 - left[leg]) < above
                if crosses.any():
                    ratio = np.where(crosses, above / np.where(gap[leg] > 0.0, gap[leg], 1.0), 1.0)
                    turn[leg] = np.where(crosses, -np.log(ratio) / np.maximum(units[leg], 1e-12), np.inf)
                    plateau = specific[leg] * (gap[leg] - above) + conductance[leg] * (1.0 - turn[leg]) * above
                    given = np.where(crosses, plateau, given)
                else:
                    turn[leg] = np.inf
            nodes[leg + 1] = nodes[leg] - given
        moved = float(np.abs(nodes[:-1] - met).max(initial=0.0))
        met = nodes[:-1].copy()
        step = specific * gap * -np.expm1(-units * np.minimum(turn, 1.0))
        if moved < SETTLED_J_kg:
            break
    return LostHeat(start_J_kg - nodes, specific * gap, units, turn)
