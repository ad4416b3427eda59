"""Compressor, discharge line and condenser solved together: each needs what the other gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Role
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.built_line import BuiltLine, solve_built
from linesizer.solver.curve import Curve
from linesizer.solver.cycle import LiquidState, Operation, discharge_enthalpy, line_flow, liquid_start
from linesizer.solver.line import LineState
from linesizer.solver.march import Known
from linesizer.solver.phase import vapour

MOST_ROUNDS = 25
RELATIVE_TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class CondenserDrop:
    """The condenser's own pressure drop: a part that goes with the flow squared, and a constant one."""

    per_flow2: float = 0.0
    constant_Pa: float = 0.0

    def at(self, mass_flow: FloatArray) -> FloatArray:
        """Return the drop at a flow [kg/s], [Pa]."""
        return np.asarray(self.per_flow2 * mass_flow**2 + self.constant_Pa)


@dataclass(frozen=True, slots=True)
class HotSide:
    """What the compressor gives and the condenser takes; arrays have the batch's shape."""

    line: LineState | None
    discharge_Pa: FloatArray
    discharge_J_kg: FloatArray
    line_flow: FloatArray
    compressor_flow: FloatArray
    liquid: LiquidState

    @property
    def passes(self) -> BoolArray:
        """Where the line passes its flow; everywhere where there is none."""
        return np.ones(self.discharge_Pa.shape, dtype=np.bool_) if self.line is None else self.line.settled


def condenser_drop(circuit: Circuit) -> CondenserDrop:
    """Return the stated drop of a circuit's condenser, the greatest where there are several; 0 where none is stated."""
    drops = []
    for equipment in circuit.equipment:
        if equipment.role is Role.CONDENSER and equipment.drop_Pa is not None:
            if equipment.at_kg_s is None:
                drops.append(CondenserDrop(constant_Pa=equipment.drop_Pa))
            else:
                drops.append(CondenserDrop(per_flow2=equipment.drop_Pa / equipment.at_kg_s**2))
    return max(drops, key=lambda drop: (drop.per_flow2, drop.constant_Pa), default=CondenserDrop())


def solve_hot_side(
    given: Operation,
    table: RefrigerantTable,
    condenser: CondenserDrop,
    built: BuiltLine | None = None,
    *,
    liquid_lost_J_kg: FloatArray | None = None,
    cut: bool = True,
) -> HotSide:
    """Return flow, compressor outlet and liquid state with the discharge line's drop on the compressor.

    The line ends at the condensing pressure; the compressor works against the pressure at its start, which sets the gas
    that enters it.

    Parameters
    ----------
    given : Operation
        The conditions, shape B.
    table : RefrigerantTable
        Properties.
    condenser : CondenserDrop
        The condenser's own drop.
    built : BuiltLine, optional
        The discharge line; without it the compressor works against the condensing pressure.
    liquid_lost_J_kg : ndarray, shape (B), optional
        Enthalpy that the liquid loses between the start of its line and the expansion valve; none by default.
    cut : bool
        Whether the line's legs are cut finely where density changes much.

    Returns
    -------
    HotSide
    """
    phase = vapour(table)
    compressed = compressed_gas(given, table)
    discharge_Pa = np.asarray(given.condensing_Pa, dtype=np.float64)
    enthalpy = compressed(discharge_Pa)
    drop: FloatArray = np.zeros_like(discharge_Pa)
    state: LineState | None = None
    for _ in range(MOST_ROUNDS):
        liquid = liquid_start(given, table, drop)
        valve = liquid.enthalpy_J_kg if liquid_lost_J_kg is None else liquid.enthalpy_J_kg - liquid_lost_J_kg
        line, compressor = line_flow(given, enthalpy, valve)
        fresh_drop, fresh = condenser.at(line), discharge_Pa
        if built is not None:
            state = solve_built(built, phase, line, compressed, given.condensing_Pa, Known.END, cut=cut)
            fresh = state.pressure_Pa[0]
            enthalpy = compressed(fresh)
        # The flow hangs on the discharge gas only through a bypass, and on the condenser's drop only where one is
        # stated.
        moved = np.abs(fresh_drop - drop) + np.where(given.bypass > 0.0, np.abs(fresh - discharge_Pa), 0.0)
        counted = True if state is None else state.settled
        discharge_Pa, drop = fresh, fresh_drop
        if not (counted & (moved > RELATIVE_TOLERANCE * discharge_Pa)).any():
            break
    return HotSide(state, discharge_Pa, enthalpy, line, compressor, liquid)


def where_it_passes(solved: HotSide, alone: HotSide) -> HotSide:
    """Return a hot side that has the figures of a compressor without a line where its line cannot pass the flow.

    Parameters
    ----------
    solved : HotSide
        Solved with its line.
    alone : HotSide
        The same conditions solved without one.

    Returns
    -------
    HotSide
        With the line's own state.
    """
    passes = solved.passes
    if passes.all():
        return solved

    def chosen(with_line: FloatArray, without: FloatArray) -> FloatArray:
        return np.where(passes, with_line, without)

    return HotSide(
        line=solved.line,
        discharge_Pa=chosen(solved.discharge_Pa, alone.discharge_Pa),
        discharge_J_kg=chosen(solved.discharge_J_kg, alone.discharge_J_kg),
        line_flow=chosen(solved.line_flow, alone.line_flow),
        compressor_flow=chosen(solved.compressor_flow, alone.compressor_flow),
        liquid=LiquidState(
            chosen(solved.liquid.pressure_Pa, alone.liquid.pressure_Pa),
            chosen(solved.liquid.temperature_K, alone.liquid.temperature_K),
            chosen(solved.liquid.enthalpy_J_kg, alone.liquid.enthalpy_J_kg),
        ),
    )


def compressed_gas(given: Operation, table: RefrigerantTable) -> Callable[[FloatArray], FloatArray]:
    """Return the enthalpy of the gas that leaves the compressor as a function of the pressure it works against.

    Parameters
    ----------
    given : Operation
        Suction state and efficiency; shape B.
    table : RefrigerantTable
        Properties.

    Returns
    -------
    callable
        From pressure [Pa] to enthalpy [J/kg], both (B); a curve through eight points between the condensing pressure
        and three times that, or the table's end; the value at its end beyond.
    """
    low = 0.98 * given.condensing_Pa
    high = np.clip(3.0 * given.condensing_Pa, 1.02 * low, np.maximum(table.maximum_pressure_Pa, 1.02 * low))
    curve = Curve(lambda at: discharge_enthalpy(given, table, at), low, high, points=8)

    def enthalpy(pressure: FloatArray) -> FloatArray:
        return curve(np.clip(pressure, low, high))

    return enthalpy
