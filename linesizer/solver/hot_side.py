"""Compressor, discharge line and condenser solved together: each needs what the other gives."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Role
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import FloatArray
from linesizer.solver.cycle import LiquidState, Operation, discharge_enthalpy, line_flow, liquid_start
from linesizer.solver.line import LineState, Run, solve_line
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
    run: Run | None = None,
    *,
    bore: FloatArray | None = None,
    roughness: FloatArray | None = None,
    cut: bool = True,
) -> HotSide:
    """Return flow, compressor outlet and liquid state with the discharge line's drop on the compressor.

    The line ends at the condensing pressure; the compressor works against the pressure at its start, which sets the gas
    that enters it.  Repeated until that pressure moves by less than 1e-9 of itself.

    Parameters
    ----------
    given : Operation
        The conditions, shape B.
    table : RefrigerantTable
        Properties.
    condenser : CondenserDrop
        The condenser's own drop.
    run, bore, roughness : optional
        The discharge line with the bore and roughness [m] of its legs, (legs or 1, B); without it the compressor works
        against the condensing pressure.
    cut : bool
        Whether the line's legs are cut finely in the final march.

    Returns
    -------
    HotSide
    """
    phase = vapour(table)
    discharge_Pa = np.array(given.condensing_Pa, dtype=np.float64)
    if run is not None and bore is not None:
        discharge_Pa = np.array(np.broadcast_to(discharge_Pa, np.broadcast_shapes(discharge_Pa.shape, bore.shape[1:])))
    drop: FloatArray = np.zeros_like(discharge_Pa)
    state: LineState | None = None
    for _ in range(MOST_ROUNDS):
        enthalpy = discharge_enthalpy(given, table, discharge_Pa)
        liquid = liquid_start(given, table, drop)
        line, compressor = line_flow(given, enthalpy, liquid.enthalpy_J_kg)
        fresh_drop = condenser.at(line)
        fresh = discharge_Pa
        if run is not None and bore is not None and roughness is not None:
            state = solve_line(
                run,
                phase,
                bore=bore,
                roughness=roughness,
                mass_flow=line,
                enthalpy=enthalpy,
                known_pressure=given.condensing_Pa,
                known=Known.END,
                guess=None if state is None else state.pressure_Pa,
                cut=False,
            )
            fresh = state.pressure_Pa[0]
        moved = np.abs(fresh - discharge_Pa) + np.abs(fresh_drop - drop)
        discharge_Pa, drop = fresh, fresh_drop
        if (moved <= RELATIVE_TOLERANCE * discharge_Pa).all():
            break
    if cut and state is not None and run is not None and bore is not None and roughness is not None:
        state = solve_line(
            run,
            phase,
            bore=bore,
            roughness=roughness,
            mass_flow=line,
            enthalpy=enthalpy,
            known_pressure=given.condensing_Pa,
            known=Known.END,
            guess=state.pressure_Pa,
        )
        discharge_Pa = state.pressure_Pa[0]
    return HotSide(state, discharge_Pa, enthalpy, line, compressor, liquid)
