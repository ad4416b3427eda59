"""From a job to everything that is shown of it: solver, then sizing, then checks."""

from __future__ import annotations

from dataclasses import replace

from linesizer.catalog.practice import PracticeSet, practice_set
from linesizer.checks.context import CircuitView
from linesizer.checks.not_calculated import line_gaps
from linesizer.checks.run import findings
from linesizer.domain.branch_result import BranchResult
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import line_geometry
from linesizer.domain.job import Job, Site
from linesizer.domain.proposal import Objective, SizeProposal
from linesizer.domain.remedy import Remedy, UseDoubleRiser, UseSize
from linesizer.domain.result import CircuitResult, LegResult, LineFlow, LineResult, Result
from linesizer.properties.library import load
from linesizer.sizing.groups import all_open
from linesizer.sizing.open_legs import open_lines, size_open_legs, with_sizes
from linesizer.sizing.riser_cures import RiserCure, riser_cures
from linesizer.sizing.sweep import SweepBasis, sweep
from linesizer.solver.circuit_flow import solve_circuit_flow
from linesizer.solver.design_pressure import column_pressures_Pa, leg_ratings_Pa, maximum_gauge_Pa
from linesizer.solver.line_results import condition_results, flow_results, leg_results
from linesizer.solver.route_losses import line_tubes
from linesizer.solver.total_charge import circuit_charge
from linesizer.solver.tube_rating import rating_temperature_C


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
    table = load(circuit.refrigerant, circuit.blend)
    stated, chosen = circuit, {}
    if wanted := frozenset(
        line.id for line in circuit.lines if line.id in open_lines(circuit) and not line_gaps(circuit, line)
    ):
        chosen = size_open_legs(circuit, site, practice, table, wanted)
        circuit = with_sizes(circuit, chosen)
    flow = solve_circuit_flow(circuit, site, practice, table)
    conditions = condition_results(flow, table)
    maximum = maximum_gauge_Pa(circuit, site, practice, table)
    densest = float(table.liquid_density_ph(flow.hot.liquid.pressure_Pa, flow.hot.liquid.enthalpy_J_kg).max())
    lines, ratings, demands = [], {}, {}
    cures: dict[tuple[str, str], RiserCure] = {}
    for line in circuit.lines:
        geometry = line_geometry(line)
        legs, whole, swept, rise_m = None, None, None, geometry.rise_m
        branches: tuple[BranchResult, ...] = ()
        works = flow.works(line.id)
        if works:
            rating_C = rating_temperature_C(practice, line.service, conditions.discharge_C)
            demand = maximum + column_pressures_Pa(line, densest)
            tubes = line_tubes(line)
            if all(work.state is not None for work in works) and tubes is not None and not line_gaps(circuit, line):
                paths: tuple[tuple[LegResult, LineFlow], ...]
                if works[0].path is None:
                    legs = leg_results(works[0], flow)
                    whole = flow_results(works[0], legs, flow, table)
                    paths = ((legs, whole),)
                else:
                    # Loaded by the few jobs that need it.
                    from linesizer.solver.branch_results import branched_results

                    found = branched_results(line, works, flow, table)
                    legs, whole, branches, paths = found.legs, found.whole, found.branches, found.paths
                    rise_m = max((line_geometry(work.line).rise_m for work in works), key=abs)
                for work, (own, own_whole) in zip(works, paths, strict=True):
                    cures |= riser_cures(work, own, own_whole, flow, practice)
                demands[line.id] = demand
                ratings[line.id] = leg_ratings_Pa(line, tubes, rating_C)
            swept = sweep(works, SweepBasis(flow, site, practice, table, float(demand.max(initial=maximum)), rating_C))
        lines.append(LineResult(line, geometry.length_m, rise_m, legs, whole, swept, chosen.get(line.id), branches))
    solved = tuple(lines)
    charge = circuit_charge(circuit, site, solved, conditions, table, practice)
    remedies = {place: _remedy(place, cure) for place, cure in cures.items()}
    view = CircuitView(
        circuit, site, practice, table, flow, conditions, solved, maximum, ratings, demands, remedies, charge
    )
    return CircuitResult(stated, conditions, solved, charge, findings(view), flow.corners, table.own)


def propose_sizes(job: Job, circuit: str, line: str, objective: Objective = Objective.MASS) -> SizeProposal | None:
    """Return the best sizes of all legs of a line, whatever the job states for them.

    Parameters
    ----------
    job : Job
        A sound job.
    circuit, line : str
        Which line, by ids.
    objective : Objective
        What the choice makes small.

    Returns
    -------
    SizeProposal or None
        None where the line is not calculated by this version or no size passes the flow.

    Raises
    ------
    UserError
        As ``solve`` does.
    """
    practice = practice_set(job.practice.set, job.practice.overrides)
    found = next(one for one in job.circuits if one.id == circuit)
    lines = tuple(all_open(one) if one.id == line else one for one in found.lines)
    opened = replace(found, lines=lines)
    if any(line_gaps(opened, one) for one in lines if one.id == line):
        return None
    table = load(found.refrigerant, found.blend)
    return size_open_legs(opened, job.site, practice, table, (line,), objective, every=True).get(line)


def propose_all(job: Job, objective: Objective = Objective.MASS) -> dict[tuple[str, str], SizeProposal]:
    """Return the best sizes of every line, one line after the other with the others as they are in the job.

    By the ids of circuit and line; a line that is not calculated, or in which no size passes the flow, has no entry.
    Raises as ``solve`` does.
    """
    found = {
        (circuit.id, line.id): propose_sizes(job, circuit.id, line.id, objective)
        for circuit in job.circuits
        for line in circuit.lines
        if line.legs
    }
    return {place: proposal for place, proposal in found.items() if proposal is not None}


def _remedy(place: tuple[str, str], cure: RiserCure) -> Remedy:
    line, leg = place
    if cure.riser is not None:
        return UseDoubleRiser(line, leg, cure.riser)
    return UseSize(line, (leg,), cure.size or "")
