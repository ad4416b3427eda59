"""From a job to everything that is shown of it: solver, then sizing, then checks."""

from __future__ import annotations

import numpy as np

from linesizer.catalog.fittings import LossMethod
from linesizer.catalog.practice import PracticeSet, practice_set
from linesizer.checks.context import CircuitView
from linesizer.checks.not_calculated import line_gaps
from linesizer.checks.run import findings
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.job import Job, Site
from linesizer.domain.result import CircuitResult, ConditionResult, LineResult, Result
from linesizer.domain.route import Joint, Line, Service
from linesizer.properties.library import load
from linesizer.properties.table import RefrigerantTable
from linesizer.sizing.sweep import SweepBasis, sweep
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.cycle import (
    Operation,
    operation,
    refuse_impossible_bypass,
    refuse_states_outside_table,
)
from linesizer.solver.hot_side import CondenserDrop, HotSide, condenser_drop, solve_hot_side, where_it_passes
from linesizer.solver.line import Run
from linesizer.solver.line_results import flow_results, leg_results, line_state
from linesizer.solver.route_losses import LineTubes, line_run, line_tubes
from linesizer.solver.static_head import GRAVITY
from linesizer.solver.total_charge import circuit_charge
from linesizer.solver.tube_rating import rating_temperature_C, tube_ratings_Pa
from linesizer.units import ZERO_CELSIUS_K, atmospheric_pressure_Pa


def solve(job: Job) -> Result:
    """Return everything that the program shows of a job.

    Parameters
    ----------
    job : Job
        A sound job, as reading a file or a document gives it.

    Returns
    -------
    Result
        One result a circuit; what this version does not calculate is empty and has a finding that says so.

    Raises
    ------
    UserError
        If a condition cannot exist: a temperature outside the refrigerant's table, a bypass that eats all cooling.
    """
    practice = practice_set(job.practice.set, job.practice.overrides)
    return Result(job, tuple(solve_circuit(circuit, job.site, practice) for circuit in job.circuits))


def solve_circuit(circuit: Circuit, site: Site, practice: PracticeSet) -> CircuitResult:
    """Return one circuit solved; see ``solve``."""
    table = load(circuit.refrigerant)
    given = operation(circuit, table)
    refuse_states_outside_table(circuit, given, table)
    refuse_impossible_bypass(circuit, given, table)
    condenser = condenser_drop(circuit)
    alone = solve_hot_side(given, table, condenser)
    design_flow = float(alone.line_flow.max())
    runs = {
        line.id: line_run(line, practice, design_flow, LossMethod.THREE_K)
        for line in circuit.lines
        if line_geometry(line).shape is Shape.CHAIN and not any(leg.double_riser for leg in line.legs)
    }
    tubes = {line.id: line_tubes(line) for line in circuit.lines if line.id in runs}
    hot = {
        line.id: _hot_side(given, table, condenser, runs[line.id], tubes[line.id])
        for line in circuit.lines
        if line.id in runs and line.service is Service.DISCHARGE and not line_gaps(line)
    }
    # Where several discharge lines are drawn, the compressor works against the one that asks most.
    governing = max(hot.values(), key=lambda side: float(side.discharge_Pa.max()), default=alone)
    governing = where_it_passes(governing, alone)
    conditions = _conditions(given, table, governing)
    film = _film_density(circuit, practice)
    maximum_gauge = _maximum_gauge_Pa(circuit, site, practice, table)
    lines, ratings, demands = [], {}, {}
    for line in circuit.lines:
        geometry = line_geometry(line)
        run = runs.get(line.id)
        legs, flow, swept = None, None, None
        if run is not None and line.service in (Service.DISCHARGE, Service.LIQUID):
            climbs = _climbs(line, practice)
            rating_C = rating_temperature_C(practice, line.service, conditions.discharge_C)
            demand = maximum_gauge + _columns_Pa(line, table, governing)
            placed = tubes[line.id]
            if placed is not None and not line_gaps(line):
                state, enthalpy, phase = line_state(line, run, placed, given, table, hot.get(line.id), governing)
                legs = leg_results(line, placed, run, state, climbs, film)
                flow = flow_results(line, state, enthalpy, phase, table, legs)
                demands[line.id] = demand
                ratings[line.id] = _ratings(line, placed, rating_C)
            basis = SweepBasis(given, condenser, governing, table, practice, film, float(demand.max()), rating_C)
            swept = sweep(line, run, climbs, basis)
        lines.append(LineResult(line, geometry.length_m, geometry.rise_m, legs, flow, swept))
    solved = tuple(lines)
    charge = circuit_charge(circuit, solved, conditions, table, practice)
    view = CircuitView(circuit, site, practice, table, conditions, solved, maximum_gauge, ratings, demands)
    return CircuitResult(circuit, conditions, solved, charge, findings(view))


def _hot_side(
    given: Operation, table: RefrigerantTable, condenser: CondenserDrop, run: Run, tubes: LineTubes | None
) -> HotSide:
    if tubes is None:
        return solve_hot_side(given, table, condenser)
    return solve_hot_side(
        given, table, condenser, run, bore=tubes.bore_m[:, None], roughness=tubes.roughness_m[:, None]
    )


def _conditions(given: Operation, table: RefrigerantTable, hot: HotSide) -> ConditionResult:
    blank = np.where(hot.passes, 0.0, np.nan)
    discharge_J_kg = hot.discharge_J_kg + blank
    shaft = hot.compressor_flow * (discharge_J_kg - given.suction_J_kg)
    return ConditionResult(
        mass_flow_kg_s=hot.line_flow,
        compressor_flow_kg_s=hot.compressor_flow,
        discharge_C=table.vapour_temperature_ph(hot.discharge_Pa, hot.discharge_J_kg) - ZERO_CELSIUS_K + blank,
        discharge_Pa=hot.discharge_Pa + blank,
        discharge_J_kg=discharge_J_kg,
        evaporating_Pa=given.evaporating_Pa,
        condensing_Pa=given.condensing_Pa,
        liquid_Pa=hot.liquid.pressure_Pa,
        liquid_C=hot.liquid.temperature_K - ZERO_CELSIUS_K,
        liquid_J_kg=hot.liquid.enthalpy_J_kg,
        compressor_W=shaft,
        electric_W=shaft / given.drive_efficiency,
        heat_rejection_W=hot.line_flow * (discharge_J_kg - hot.liquid.enthalpy_J_kg),
    )


def _film_density(circuit: Circuit, practice: PracticeSet) -> float:
    if circuit.film_density_kg_m3 is not None:
        return circuit.film_density_kg_m3
    mineral = circuit.oil is not None and circuit.oil.strip().upper() in ("MO", "AB", "MINERAL")
    if mineral and circuit.refrigerant in ("R717", "R290", "R1270", "R600a"):
        return practice.value("oil_film_density_mineral_oil_kg_m3")
    return practice.value("oil_film_density_kg_m3")


def _maximum_gauge_Pa(circuit: Circuit, site: Site, practice: PracticeSet, table: RefrigerantTable) -> float:
    """Return the high side's design pressure as gauge; NaN where it is neither stated nor has the refrigerant one."""
    atmosphere = atmospheric_pressure_Pa(site.altitude_m)
    if circuit.maximum_pressure_Pa is not None:
        return circuit.maximum_pressure_Pa - atmosphere
    temperature = practice.value("design_saturation_C") + ZERO_CELSIUS_K
    if temperature > table.maximum_saturation_temperature_K:
        return float("nan")
    return float(table.bubble_pressure(temperature)) - atmosphere


def _columns_Pa(line: Line, table: RefrigerantTable, hot: HotSide) -> FloatArray:
    """Return the pressure that the liquid above each leg's lower end adds to the design pressure, (legs,), [Pa]."""
    legs = line_geometry(line).legs
    if line.service is not Service.LIQUID or not legs:
        return np.zeros(len(legs))
    top = max(max(leg.start_m[2], leg.end_m[2]) for leg in legs)
    densest = float(table.liquid_density_ph(hot.liquid.pressure_Pa, hot.liquid.enthalpy_J_kg).max())
    return np.array([GRAVITY * densest * (top - min(leg.start_m[2], leg.end_m[2])) for leg in legs])


def _climbs(line: Line, practice: PracticeSet) -> BoolArray:
    """Return which legs are judged by oil return: vapour that climbs steeper than the practice set's slope, (legs,)."""
    legs = line_geometry(line).legs
    if line.service is not Service.DISCHARGE:
        return np.zeros(len(legs), dtype=np.bool_)
    slope = practice.value("oil_return_climb_slope")
    return np.array([leg.slope > slope for leg in legs], dtype=np.bool_)


def _ratings(line: Line, tubes: LineTubes, temperature_C: float) -> FloatArray:
    """Return the gauge pressure that each leg's tube may bear, (legs,), [Pa]."""
    if line.listed_rating_Pa is not None:
        return np.full(len(tubes.sizes), line.listed_rating_Pa)
    ratings: dict[tuple[str, Joint], FloatArray] = {}
    allowed = np.empty(len(tubes.sizes))
    for index, (geometry, catalogue, size) in enumerate(
        zip(line_geometry(line).legs, tubes.catalogues, tubes.sizes, strict=True)
    ):
        key = (catalogue.id, geometry.leg.joint)
        if key not in ratings:
            ratings[key] = tube_ratings_Pa(catalogue, geometry.leg.joint, temperature_C)
        allowed[index] = ratings[key][catalogue.index(size.size)]
    return allowed
