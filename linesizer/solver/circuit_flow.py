"""A whole circuit at all its conditions: compressor, lines, condenser and valve, each waiting for the others."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit
from linesizer.domain.condenser_paths import parallel_condensers
from linesizer.domain.condition import Condition
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.job import Site
from linesizer.domain.route import Service
from linesizer.errors import UserError
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import FloatArray
from linesizer.solver.built_line import solve_built
from linesizer.solver.cycle import Operation
from linesizer.solver.duty import Duty, circuit_duty
from linesizer.solver.hot_side import HotSide, hot_side_with_line, nominal_shares, solve_hot_side, where_it_passes
from linesizer.solver.line_at_work import Ground, LineAtWork, carried_loss, film_density, prepared, prepared_path
from linesizer.solver.march import Known
from linesizer.solver.parallel_flow import ParallelFlow, split_flow
from linesizer.units import ZERO_CELSIUS_K

CALCULATED_SERVICES = (Service.DISCHARGE, Service.LIQUID, Service.DRAIN)

VALVE_ROUNDS = 8
VALVE_TOLERANCE_J_kg = 15.0
"""Heat that the liquid gains shifts the flow; a kilogram cools by some 150 kJ: this leaves a ten-thousandth of it."""


@dataclass(frozen=True, slots=True)
class CircuitFlow:
    """A circuit solved.

    ``everything`` is the circuit with the corners of the load grid behind its own conditions; all arrays run over both.
    ``hot`` is the hot side with the line that asks most.  ``lines`` are the unbranched ones; what branches is in the
    paths of ``parallel``, which is None where one condenser takes the whole flow.
    """

    circuit: Circuit
    everything: Circuit
    duty: Duty
    hot: HotSide
    film_density: float
    lines: dict[str, LineAtWork]
    parallel: ParallelFlow | None = None

    @property
    def given(self) -> Operation:
        """What the conditions and corners fix."""
        return self.duty.given

    @property
    def liquid_lost_J_kg(self) -> FloatArray | None:
        """Enthalpy that the liquid loses on its way to the valve, (conditions and corners,); None without a line."""
        whole = {name: work for name, work in self.lines.items() if work.path is None}
        lost = _liquid_lost(whole)
        if self.parallel is None:
            return lost
        shared = self.parallel.liquid_lost_J_kg
        return shared if lost is None else lost if shared is None else np.asarray(lost + shared)

    @property
    def corners(self) -> tuple[Condition, ...]:
        """The corners of the load grid."""
        return self.duty.corners

    def works(self, line: str) -> tuple[LineAtWork, ...]:
        """Return an unbranched line, or the paths of one that branches; empty where it is not calculated."""
        if line in self.lines:
            return (self.lines[line],)
        return self.parallel.paths.get(line, ()) if self.parallel is not None else ()


def solve_circuit_flow(circuit: Circuit, site: Site, practice: PracticeSet, table: RefrigerantTable) -> CircuitFlow:
    """Return a circuit's flow, states and lines.

    Parameters
    ----------
    circuit, site, practice, table
        What runs, where, by which rules, with which refrigerant.

    Returns
    -------
    CircuitFlow

    Raises
    ------
    UserError
        If a stated condition cannot exist.
    """
    duty = circuit_duty(circuit, table)
    everything = replace(circuit, conditions=(*circuit.conditions, *duty.corners))
    film = film_density(circuit, practice)
    design_flow = float(duty.alone.line_flow[: len(circuit.conditions)].max())
    ground = Ground(everything, site, practice, table, duty.alone, design_flow, film)
    parallel = parallel_condensers(circuit)
    shared = {} if parallel is None else parallel.paths
    lines = {
        line.id: prepared(line, ground)
        for line in circuit.lines
        if line.id not in shared and line.service in CALCULATED_SERVICES and line_geometry(line).shape is Shape.CHAIN
    }
    split: ParallelFlow | None = None
    if parallel is None:
        hot, lines = _settled(duty, table, lines, heat=circuit.heat_exchange)
    else:
        nominal = nominal_shares(parallel.condensers)
        ready = {name: tuple(prepared_path(path, ground, nominal) for path in paths) for name, paths in shared.items()}
        hot, split, lines = split_flow(duty, table, parallel, ready, lines, heat=circuit.heat_exchange)
        lines |= {name: works[0] for name, works in split.paths.items() if len(works) == 1}
    _refuse_wet_discharge(circuit, duty.given, hot, table)
    return CircuitFlow(circuit, everything, duty, hot, film, lines, split)


def _settled(
    duty: Duty, table: RefrigerantTable, ready: dict[str, LineAtWork], *, heat: bool
) -> tuple[HotSide, dict[str, LineAtWork]]:
    """Return hot side and lines with the flow that waits for the heat of the liquid on its way to the valve."""
    if not heat or not any(w.line.service is Service.LIQUID and w.built is not None for w in ready.values()):
        return _solve_lines(duty, table, ready, None)
    # Only through a bypass does the discharge line move the flow; else the liquid lines settle it between themselves.
    bypassed = bool((duty.given.bypass > 0.0).any())
    looked_at = ready if bypassed else {n: w for n, w in ready.items() if w.line.service is Service.LIQUID}
    lost: FloatArray | None = None
    hot, lines = duty.alone, dict(looked_at)
    for _ in range(VALVE_ROUNDS):
        hot, lines = _solve_lines(duty, table, looked_at, lost, lines)
        fresh = _liquid_lost(lines)
        if fresh is None:
            break
        fresh = carried_loss(fresh, hot.line_flow, duty.alone.line_flow, duty.given.capacity_W)
        if lost is not None and float(np.abs(fresh - lost).max()) < VALVE_TOLERANCE_J_kg:
            break
        lost = fresh
    return (hot, lines) if bypassed else _solve_lines(duty, table, ready, lost, lines)


def _refuse_wet_discharge(circuit: Circuit, given: Operation, hot: HotSide, table: RefrigerantTable) -> None:
    """Raise a UserError that names the first condition whose stated discharge temperature would be that of wet gas."""
    dew_K = table.dew_temperature(hot.discharge_Pa)
    for condition, stated, dew, passes in zip(circuit.conditions, given.discharge_K, dew_K, hot.passes, strict=False):
        if passes and stated <= dew:
            raise UserError(
                "CYCLE-05",
                what=f"Condition {condition.title} of {circuit.title} has a discharge temperature that cannot be.",
                why=f"{stated - ZERO_CELSIUS_K:.1f} °C is stated; with the line's drop the gas leaves the compressor "
                f"at a pressure whose dew point is {dew - ZERO_CELSIUS_K:.1f} °C.",
                remedy="Enter a higher discharge temperature, or none, so that it is calculated.",
            )


def _solve_lines(
    duty: Duty,
    table: RefrigerantTable,
    ready: dict[str, LineAtWork],
    liquid_lost: FloatArray | None,
    known: dict[str, LineAtWork] | None = None,
) -> tuple[HotSide, dict[str, LineAtWork]]:
    """Return hot side and lines at a known loss of the liquid's; ``known`` are states to start from."""
    lines = dict(ready)
    without = duty.alone
    if liquid_lost is not None:
        without = solve_hot_side(
            duty.given, table, duty.condenser, compressed=duty.compressed, liquid_lost_J_kg=liquid_lost
        )
    governing, sides = without, []
    for name, work in ready.items():
        if work.line.service is Service.DISCHARGE and work.built is not None:
            side = hot_side_with_line(
                duty.given,
                table,
                duty.condenser,
                work.built,
                without,
                duty.compressed,
                liquid_lost_J_kg=liquid_lost,
            )
            lines[name] = replace(work, state=side.line)
            sides.append(side)
    if sides:
        # Where several discharge lines are drawn, the compressor works against the one that asks most.
        governing = where_it_passes(max(sides, key=lambda side: float(side.discharge_Pa.max())), without)
    for name, work in ready.items():
        if work.line.service is not Service.DISCHARGE and work.built is not None:
            state = solve_built(
                work.built,
                work.phase,
                governing.line_flow,
                governing.liquid.enthalpy_J_kg,
                governing.liquid.pressure_Pa,
                Known.START,
                before=known[name].state if known is not None and name in known else None,
            )
            lines[name] = replace(work, state=state)
    return governing, lines


def _liquid_lost(lines: dict[str, LineAtWork]) -> FloatArray | None:
    """Return the enthalpy that the liquid loses on its way to the valve, in all liquid lines, (conditions,)."""
    found = [
        work.state.enthalpy_J_kg[0] - work.state.enthalpy_J_kg[-1]
        for work in lines.values()
        if work.line.service is Service.LIQUID and work.state is not None
    ]
    return np.sum(found, axis=0) if found else None
