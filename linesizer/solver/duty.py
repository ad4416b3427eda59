"""What a circuit's conditions give before any line is looked at: states, corners, flow, liquid."""

from __future__ import annotations

from dataclasses import dataclass, replace

from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.cycle import (
    Operation,
    has_receiver_before_liquid,
    operation,
    refuse_impossible_bypass,
    refuse_states_outside_table,
)
from linesizer.solver.hot_side import (
    CompressedGas,
    CondenserDrop,
    HotSide,
    compressed_gas,
    condenser_drop,
    solve_hot_side,
)
from linesizer.solver.load_grid import corner_conditions


@dataclass(frozen=True, slots=True)
class Duty:
    """The conditions of a circuit, the corners of the load grid behind them, and the hot side without any line."""

    corners: tuple[Condition, ...]
    given: Operation
    condenser: CondenserDrop
    compressed: CompressedGas
    alone: HotSide


_remembered: tuple[tuple[Circuit, RefrigerantTable, Duty], ...] = ()
"""The last duties, newest first; replaced as a whole, never changed, because the window asks from several threads."""

_REMEMBERED_AT_MOST = 8


def circuit_duty(circuit: Circuit, table: RefrigerantTable) -> Duty:
    """Return what a circuit's conditions give.

    The answer is remembered: while a route is drawn or dragged, conditions and equipment are the very same values.

    Raises
    ------
    UserError
        If a stated condition cannot exist.
    """
    global _remembered
    for known, its_table, duty in _remembered:
        if its_table is table and _same_duty(known, circuit):
            return duty
    corners = corner_conditions(circuit, table)
    given = operation(replace(circuit, conditions=(*circuit.conditions, *corners)), table)
    stated = given.first(len(circuit.conditions))
    refuse_states_outside_table(circuit, stated, table)
    refuse_impossible_bypass(circuit, stated, table)
    condenser = condenser_drop(circuit)
    compressed = compressed_gas(given, table)
    duty = Duty(corners, given, condenser, compressed, solve_hot_side(given, table, condenser, compressed=compressed))
    _remembered = ((circuit, table, duty), *_remembered[: _REMEMBERED_AT_MOST - 1])
    return duty


def _same_duty(one: Circuit, other: Circuit) -> bool:
    """Whether all that a duty hangs on is the same values, by identity."""
    return (
        one.conditions is other.conditions
        and one.equipment is other.equipment
        and one.compressor is other.compressor
        and one.head_pressure_control is other.head_pressure_control
        and one.temperature_basis is other.temperature_basis
        and one.name == other.name
        and has_receiver_before_liquid(one) == has_receiver_before_liquid(other)
    )
