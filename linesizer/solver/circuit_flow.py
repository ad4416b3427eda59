"""A whole circuit at all its conditions: compressor, lines, condenser and valve, each waiting for the others."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from linesizer.catalog.fittings import LossMethod
from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.job import Site
from linesizer.domain.route import Line, Service
from linesizer.errors import UserError
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.built_line import BuiltLine, solve_built
from linesizer.solver.cycle import Operation
from linesizer.solver.duty import Duty, circuit_duty
from linesizer.solver.hot_side import HotSide, hot_side_with_line, solve_hot_side, where_it_passes
from linesizer.solver.line import LineState, Run
from linesizer.solver.march import Known
from linesizer.solver.phase import Phase, liquid, vapour
from linesizer.solver.route_losses import LineTubes, line_run, line_tubes
from linesizer.solver.surroundings import line_surroundings
from linesizer.units import ZERO_CELSIUS_K

CALCULATED_SERVICES = (Service.DISCHARGE, Service.LIQUID, Service.DRAIN)

VALVE_ROUNDS = 8
VALVE_TOLERANCE_J_kg = 15.0
"""Heat that the liquid gains shifts the flow; a kilogram cools by some 150 kJ: this leaves a ten-thousandth of it."""


@dataclass(frozen=True, slots=True)
class LineAtWork:
    """One line that can be calculated; ``built`` and ``state`` are None where a leg has no size."""

    line: Line
    run: Run
    climbs: BoolArray
    tubes: LineTubes | None
    built: BuiltLine | None
    state: LineState | None
    phase: Phase


@dataclass(frozen=True, slots=True)
class CircuitFlow:
    """A circuit solved.

    ``everything`` is the circuit with the corners of the load grid behind its own conditions; all arrays run over both.
    ``hot`` is the hot side with the line that asks most.
    """

    circuit: Circuit
    everything: Circuit
    duty: Duty
    hot: HotSide
    film_density: float
    lines: dict[str, LineAtWork]

    @property
    def given(self) -> Operation:
        """What the conditions and corners fix."""
        return self.duty.given

    @property
    def liquid_lost_J_kg(self) -> FloatArray | None:
        """Enthalpy that the liquid loses on its way to the valve, (conditions and corners,); None without a line."""
        return _liquid_lost(self.lines)

    @property
    def corners(self) -> tuple[Condition, ...]:
        """The corners of the load grid."""
        return self.duty.corners


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
    alone = duty.alone
    film = film_density(circuit, practice)
    design_flow = float(alone.line_flow[: len(circuit.conditions)].max())
    prepared = {
        line.id: _prepared(line, everything, site, practice, table, alone, design_flow, film)
        for line in circuit.lines
        if line.service in CALCULATED_SERVICES and line_geometry(line).shape is Shape.CHAIN
    }
    hot, lines = _settled(duty, table, prepared, heat=circuit.heat_exchange)
    _refuse_wet_discharge(circuit, duty.given, hot, table)
    return CircuitFlow(circuit, everything, duty, hot, film, lines)


def _settled(
    duty: Duty, table: RefrigerantTable, prepared: dict[str, LineAtWork], *, heat: bool
) -> tuple[HotSide, dict[str, LineAtWork]]:
    """Return hot side and lines with the flow that waits for the heat of the liquid on its way to the valve."""
    if not heat or not any(w.line.service is Service.LIQUID and w.built is not None for w in prepared.values()):
        return _solve_lines(duty, table, prepared, None)
    # Only through a bypass does the discharge line move the flow; else the liquid lines settle it between themselves.
    bypassed = bool((duty.given.bypass > 0.0).any())
    looked_at = prepared if bypassed else {n: w for n, w in prepared.items() if w.line.service is Service.LIQUID}
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
    return (hot, lines) if bypassed else _solve_lines(duty, table, prepared, lost, lines)


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


def film_density(circuit: Circuit, practice: PracticeSet) -> float:
    """Return the density of the oil-rich film: the circuit's own, else practice's for its oil, [kg/m3]."""
    if circuit.film_density_kg_m3 is not None:
        return circuit.film_density_kg_m3
    mineral = circuit.oil is not None and circuit.oil.strip().upper() in ("MO", "AB", "MINERAL")
    if mineral and circuit.refrigerant in ("R717", "R290", "R1270", "R600a"):
        return practice.value("oil_film_density_mineral_oil_kg_m3")
    return practice.value("oil_film_density_kg_m3")


def climbing_legs(line: Line, practice: PracticeSet) -> BoolArray:
    """Return which legs are judged by oil return: vapour that climbs steeper than the practice set's slope, (legs,)."""
    legs = line_geometry(line).legs
    if line.service is not Service.DISCHARGE:
        return np.zeros(len(legs), dtype=np.bool_)
    slope = practice.value("oil_return_climb_slope")
    # A run drawn level climbs where its fall is negative.
    return np.array([leg.slope - leg.leg.fall > slope for leg in legs], dtype=np.bool_)


def _prepared(
    line: Line,
    everything: Circuit,
    site: Site,
    practice: PracticeSet,
    table: RefrigerantTable,
    alone: HotSide,
    design_flow: float,
    film: float,
) -> LineAtWork:
    run = line_run(line, practice, design_flow, LossMethod.THREE_K)
    tubes = line_tubes(line)
    gas = line.service is Service.DISCHARGE
    phase = vapour(table) if gas else liquid(table)
    built = None
    if tubes is not None:
        surroundings = None
        if everything.heat_exchange:
            fluid = table.vapour_temperature_ph(alone.discharge_Pa, alone.discharge_J_kg)
            fluid_K = fluid if gas else alone.liquid.temperature_K
            outside = tubes.outside_diameter_m[:, None]
            surroundings = line_surroundings(line, everything, site, practice, outside, fluid_K)
        built = BuiltLine(run, tubes.bore_m[:, None], tubes.roughness_m[:, None], surroundings, film)
    return LineAtWork(line, run, climbing_legs(line, practice), tubes, built, None, phase)


def _solve_lines(
    duty: Duty,
    table: RefrigerantTable,
    prepared: dict[str, LineAtWork],
    liquid_lost: FloatArray | None,
    known: dict[str, LineAtWork] | None = None,
) -> tuple[HotSide, dict[str, LineAtWork]]:
    """Return hot side and lines at a known loss of the liquid's; ``known`` are states to start from."""
    lines = dict(prepared)
    without = duty.alone
    if liquid_lost is not None:
        without = solve_hot_side(
            duty.given, table, duty.condenser, compressed=duty.compressed, liquid_lost_J_kg=liquid_lost
        )
    governing, sides = without, []
    for name, work in prepared.items():
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
    for name, work in prepared.items():
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


def carried_loss(lost: FloatArray, mass_flow: FloatArray, alone: FloatArray, capacity_W: FloatArray) -> FloatArray:
    """Return what a kilogram of liquid loses at the flow that the loss itself asks for, shape B, [J/kg].

    Heat that the liquid takes up is cooling that the flow has to bring along; as heat in watts it hardly changes with
    the flow, while taken per kilogram it could exceed what a kilogram cools.

    Parameters
    ----------
    lost : ndarray, shape B
        Enthalpy that the liquid lost at a flow, negative where it gained, [J/kg].
    mass_flow, alone : ndarray, shape B
        That flow, and the flow that the load alone asks for, [kg/s].
    capacity_W : ndarray, shape B
        Net cooling, [W].
    """
    gained_W = np.maximum(-lost, 0.0) * mass_flow
    return np.asarray(np.where(lost < 0.0, -gained_W / (alone * (1.0 + gained_W / capacity_W)), lost))


def _liquid_lost(lines: dict[str, LineAtWork]) -> FloatArray | None:
    """Return the enthalpy that the liquid loses on its way to the valve, in all liquid lines, (conditions,)."""
    found = [
        work.state.enthalpy_J_kg[0] - work.state.enthalpy_J_kg[-1]
        for work in lines.values()
        if work.line.service is Service.LIQUID and work.state is not None
    ]
    return np.sum(found, axis=0) if found else None
