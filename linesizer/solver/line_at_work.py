"""One line of a circuit at work: its legs, tubes and state, before and after it is solved."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from linesizer.catalog.fittings import LossMethod
from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit
from linesizer.domain.condenser_paths import CondenserPath
from linesizer.domain.geometry import line_geometry
from linesizer.domain.job import Site
from linesizer.domain.route import Line, Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.built_line import BuiltLine
from linesizer.solver.hot_side import HotSide
from linesizer.solver.line import LineState, Run
from linesizer.solver.phase import Phase, liquid, vapour
from linesizer.solver.route_losses import LineTubes, line_run, line_tubes, tee_losses
from linesizer.solver.surroundings import line_surroundings


@dataclass(frozen=True, slots=True)
class LineAtWork:
    """One unbranched line that can be calculated; ``built`` and ``state`` are None where a leg has no size.

    ``design_flow_kg_s`` is the greatest flow of each leg, (legs,), at which stated default drops hold.  ``path`` is set
    where the line, or what of it lies on the way to one condenser, carries only a part of the circuit's flow;
    ``start_Pa`` is then the pressure at which a liquid line starts, (conditions and corners,).
    """

    line: Line
    run: Run
    climbs: BoolArray
    tubes: LineTubes | None
    built: BuiltLine | None
    state: LineState | None
    phase: Phase
    design_flow_kg_s: FloatArray
    path: CondenserPath | None = None
    start_Pa: FloatArray | None = None

    def with_shares(self, shares: FloatArray) -> LineAtWork:
        """Return the same with other parts of the circuit's flow in its legs, (legs, conditions and corners)."""
        run = replace(self.run, shares=shares)
        return replace(self, run=run, built=None if self.built is None else replace(self.built, run=run))


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


@dataclass(frozen=True, slots=True)
class Ground:
    """What a line is prepared on: the circuit with its corners, site, rules, refrigerant, and the flow without it."""

    everything: Circuit
    site: Site
    practice: PracticeSet
    table: RefrigerantTable
    alone: HotSide
    design_flow: float
    film: float


def prepared(line: Line, on: Ground) -> LineAtWork:
    """Return an unbranched line that carries the whole flow, ready to be solved."""
    return _at_work(line, on, np.full(len(line.legs), on.design_flow))


def prepared_path(path: CondenserPath, on: Ground, nominal: dict[str, float]) -> LineAtWork:
    """Return the legs on the way to or from one condenser, ready to be solved.

    ``nominal`` has each condenser's part of the flow, to start from.
    """
    part = np.array([sum(nominal[name] for name in sorted(served)) for served in path.serves])
    work = _at_work(path.chain, on, on.design_flow * part)
    run = replace(work.run, tees=tee_losses(path.tees, LossMethod.THREE_K))
    shares = np.broadcast_to(part[:, None], (len(part), len(on.everything.conditions)))
    return replace(work, run=run, path=path).with_shares(shares)


def _at_work(line: Line, on: Ground, design_flow: FloatArray) -> LineAtWork:
    run = line_run(line, on.practice, design_flow, LossMethod.THREE_K)
    tubes = line_tubes(line)
    gas = line.service is Service.DISCHARGE
    phase = vapour(on.table) if gas else liquid(on.table)
    built = None
    if tubes is not None:
        surroundings = None
        if on.everything.heat_exchange:
            alone = on.alone
            fluid = on.table.vapour_temperature_ph(alone.discharge_Pa, alone.discharge_J_kg)
            fluid_K = fluid if gas else alone.liquid.temperature_K
            outside = tubes.outside_diameter_m[:, None]
            surroundings = line_surroundings(line, on.everything, on.site, on.practice, outside, fluid_K)
        built = BuiltLine(run, tubes.bore_m[:, None], tubes.roughness_m[:, None], surroundings, on.film)
    return LineAtWork(line, run, climbing_legs(line, on.practice), tubes, built, None, phase, design_flow)


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
