"""Compressor, discharge line and condenser solved together: each needs what the other gives."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.built_line import BuiltLine, solve_built
from linesizer.solver.curve import Curve
from linesizer.solver.cycle import LiquidState, Operation, discharge_enthalpy, line_flow, liquid_start
from linesizer.solver.line import LineState
from linesizer.solver.march import Known
from linesizer.solver.phase import vapour

Compressed: TypeAlias = Callable[[FloatArray], FloatArray]
"""Enthalpy of the gas that leaves the compressor, [J/kg], from the pressure that it works against, [Pa]."""

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
    """What the compressor gives and the condenser takes; arrays have the batch's shape.

    ``all_pass`` is where every path to several condensers passes its flow; None where there is one line at most.
    """

    line: LineState | None
    discharge_Pa: FloatArray
    discharge_J_kg: FloatArray
    line_flow: FloatArray
    compressor_flow: FloatArray
    liquid: LiquidState
    all_pass: BoolArray | None = None

    @property
    def passes(self) -> BoolArray:
        """Where the line passes its flow; everywhere where there is none."""
        if self.all_pass is not None:
            return self.all_pass
        return np.ones(self.discharge_Pa.shape, dtype=np.bool_) if self.line is None else self.line.settled

    def column(self) -> HotSide:
        """Return the same without its line and with shape (conditions, 1), to broadcast against sizes."""
        liquid = self.liquid
        return HotSide(
            None,
            self.discharge_Pa[:, None],
            self.discharge_J_kg[:, None],
            self.line_flow[:, None],
            self.compressor_flow[:, None],
            LiquidState(liquid.pressure_Pa[:, None], liquid.temperature_K[:, None], liquid.enthalpy_J_kg[:, None]),
        )


def condenser_drop(circuit: Circuit) -> CondenserDrop:
    """Return the stated drop of a circuit's condenser at the circuit's flow; 0 where none is stated.

    Of several the greatest, each at its stated part of the flow or an equal one.
    """
    shares = nominal_shares(tuple(item for item in circuit.equipment if item.role is Role.CONDENSER))
    drops = []
    for equipment in circuit.equipment:
        if equipment.id in shares:
            own = own_drop(equipment)
            drops.append(CondenserDrop(own.per_flow2 * shares[equipment.id] ** 2, own.constant_Pa))
    return max(drops, key=lambda drop: (drop.per_flow2, drop.constant_Pa), default=CondenserDrop())


def own_drop(condenser: Equipment) -> CondenserDrop:
    """Return the drop of one condenser at its own flow; 0 where none is stated."""
    if condenser.drop_Pa is None:
        return CondenserDrop()
    if condenser.at_kg_s is None:
        return CondenserDrop(constant_Pa=condenser.drop_Pa)
    return CondenserDrop(per_flow2=condenser.drop_Pa / condenser.at_kg_s**2)


def nominal_shares(condensers: Sequence[Equipment]) -> dict[str, float]:
    """Return each condenser's part of the flow before any pressure is known, by id: the stated one, else an equal one.

    Where all state one but not all are connected, the stated ones are taken in proportion.
    """
    stated = {item.id: item.share for item in condensers if item.share is not None}
    free = len(condensers) - len(stated)
    total = sum(stated.values())
    if free == 0:
        return {name: share / total for name, share in stated.items()}
    rest = max(1.0 - total, 0.0) / free
    return {item.id: stated.get(item.id, rest) for item in condensers}


def solve_hot_side(
    given: Operation,
    table: RefrigerantTable,
    condenser: CondenserDrop,
    *,
    compressed: Compressed | None = None,
    liquid_lost_J_kg: FloatArray | None = None,
) -> HotSide:
    """Return flow, compressor outlet and liquid state without a discharge line.

    The compressor works against the condensing pressure; the flow waits for the liquid, which waits for the
    condenser's own drop at that flow.

    Parameters
    ----------
    given : Operation
        The conditions, shape B.
    table : RefrigerantTable
        Properties.
    condenser : CondenserDrop
        The condenser's own drop.
    compressed : callable, optional
        What ``compressed_gas`` gives, where it is known already.
    liquid_lost_J_kg : ndarray, shape (B), optional
        Enthalpy that the liquid loses between the start of its line and the expansion valve; none by default.

    Returns
    -------
    HotSide
    """
    discharge_Pa = np.asarray(given.condensing_Pa, dtype=np.float64)
    enthalpy = (compressed or compressed_gas(given, table))(discharge_Pa)
    return _flowing(given, table, condenser, discharge_Pa, enthalpy, liquid_lost_J_kg)


def hot_side_with_line(
    given: Operation,
    table: RefrigerantTable,
    condenser: CondenserDrop,
    built: BuiltLine,
    alone: HotSide,
    compressed: Compressed,
    *,
    liquid_lost_J_kg: FloatArray | None = None,
    cut: bool = True,
) -> HotSide:
    """Return the hot side with the discharge line's drop on the compressor.

    The line ends at the condensing pressure; the compressor works against the pressure at its start, which sets the gas
    that enters it.  Only through a bypass does that gas move the flow; without one the flow is that without the line.

    Parameters
    ----------
    given, table, condenser, liquid_lost_J_kg
        As for ``solve_hot_side``; shape B.
    built : BuiltLine
        The discharge line.
    alone : HotSide
        The same without the line.
    compressed : callable
        What ``compressed_gas`` gives.
    cut : bool
        Whether the line's legs are cut finely where density changes much.

    Returns
    -------
    HotSide
    """
    phase, side = vapour(table), alone
    bypassed = given.bypass > 0.0
    for _ in range(MOST_ROUNDS):
        state = solve_built(built, phase, side.line_flow, compressed, given.condensing_Pa, Known.END, cut=cut)
        fresh = state.pressure_Pa[0]
        enthalpy = compressed(fresh)
        moved = np.abs(fresh - side.discharge_Pa)
        if not bypassed.any():
            return HotSide(state, fresh, enthalpy, side.line_flow, side.compressor_flow, side.liquid)
        side = replace(_flowing(given, table, condenser, fresh, enthalpy, liquid_lost_J_kg), line=state)
        if not (state.settled & bypassed & (moved > RELATIVE_TOLERANCE * fresh)).any():
            break
    return side


def _flowing(
    given: Operation,
    table: RefrigerantTable,
    condenser: CondenserDrop,
    discharge_Pa: FloatArray,
    enthalpy: FloatArray,
    liquid_lost_J_kg: FloatArray | None,
) -> HotSide:
    """Return the hot side with flow, condenser drop and liquid in balance for a known discharge gas."""
    drop: FloatArray = np.zeros_like(discharge_Pa)
    for _ in range(MOST_ROUNDS):
        liquid = liquid_start(given, table, drop)
        valve = liquid.enthalpy_J_kg if liquid_lost_J_kg is None else liquid.enthalpy_J_kg - liquid_lost_J_kg
        line, compressor = line_flow(given, enthalpy, valve)
        fresh = condenser.at(line)
        moved = np.abs(fresh - drop)
        drop = fresh
        if not (moved > RELATIVE_TOLERANCE * discharge_Pa).any():
            break
    return HotSide(None, discharge_Pa, enthalpy, line, compressor, liquid)


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


class CompressedGas:
    """Enthalpy of the gas that leaves the compressor, [J/kg], from the pressure that it works against, [Pa], both (B).

    A curve through eight points between the condensing pressure and three times that, or the table's end; the value at
    its end beyond.
    """

    __slots__ = ("_curve", "_high", "_low")

    def __init__(self, curve: Curve, low: FloatArray, high: FloatArray) -> None:
        self._curve, self._low, self._high = curve, low, high

    def __call__(self, pressure: FloatArray) -> FloatArray:
        """Return the enthalpy at a pressure."""
        return self._curve(np.clip(pressure, self._low, self._high))

    def column(self) -> CompressedGas:
        """Return the same with shape (conditions, 1), to broadcast against sizes."""
        return CompressedGas(self._curve.column(), self._low[:, None], self._high[:, None])


def compressed_gas(given: Operation, table: RefrigerantTable) -> CompressedGas:
    """Return the enthalpy of the gas that leaves the compressor as a function of the pressure it works against.

    Parameters
    ----------
    given : Operation
        Suction state and efficiency; shape B.
    table : RefrigerantTable
        Properties.
    """
    low = 0.98 * given.condensing_Pa
    high = np.clip(3.0 * given.condensing_Pa, 1.02 * low, np.maximum(table.maximum_pressure_Pa, 1.02 * low))
    return CompressedGas(Curve(lambda at: discharge_enthalpy(given, table, at), low, high, points=8), low, high)
