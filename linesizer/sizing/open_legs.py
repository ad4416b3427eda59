"""Sizes for the legs for which a job states none."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit
from linesizer.domain.job import Site
from linesizer.domain.proposal import Objective, SizeProposal
from linesizer.properties.table import RefrigerantTable
from linesizer.sizing.choose import propose
from linesizer.sizing.groups import built, is_open
from linesizer.sizing.sweep import SweepBasis
from linesizer.solver.circuit_flow import CircuitFlow, solve_circuit_flow
from linesizer.solver.design_pressure import column_pressures_Pa, maximum_gauge_Pa
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.line_results import condition_results
from linesizer.solver.tube_rating import rating_temperature_C

FLOW_ROUNDS = 2
"""The flow moves by a per cent at most; the second round moves it by a hundredth of that."""


def open_lines(circuit: Circuit) -> frozenset[str]:
    """Return the lines of a circuit that have a leg without a size."""
    return frozenset(line.id for line in circuit.lines if any(is_open(line, leg) for leg in line.legs))


def size_open_legs(
    circuit: Circuit,
    site: Site,
    practice: PracticeSet,
    table: RefrigerantTable,
    lines: Collection[str],
    objective: Objective = Objective.MASS,
    *,
    every: bool = False,
) -> dict[str, SizeProposal]:
    """Return the best sizes for the open legs of some lines of a circuit, by line.

    A line that cannot be calculated, has no open leg or in which no size passes the flow has no entry.  With ``every``
    a line that branches has the best by all objectives too, at four times the cost.  Raises like
    ``solve_circuit_flow``.
    """
    goals = (objective, *(goal for goal in Objective if every and goal is not objective))
    opened = solve_circuit_flow(circuit, site, practice, table)
    found = _proposed(circuit, site, practice, table, lines, goals, opened, opened)
    feeds_back = circuit.heat_exchange or any(condition.bypass > 0.0 for condition in circuit.conditions)
    # What condensers take of the flow follows from the sizes too.
    feeds_back = feeds_back or opened.parallel is not None
    for _ in range(FLOW_ROUNDS if feeds_back and found else 0):
        # What a line loses in heat or pressure moves the flow a little, which was worked without the open lines.
        sized = solve_circuit_flow(with_sizes(circuit, found), site, practice, table)
        fresh = _proposed(circuit, site, practice, table, lines, goals, opened, sized)
        same = {name: one.chosen.sizes for name, one in fresh.items()} == {
            name: one.chosen.sizes for name, one in found.items()
        }
        found = fresh
        if same:
            break
    for name in list(found):
        if len(opened.works(name)) > 1:
            from linesizer.sizing.own_split import at_own_split

            found[name] = at_own_split(found[name], found, circuit, site, practice, table)
    return found


def _proposed(
    circuit: Circuit,
    site: Site,
    practice: PracticeSet,
    table: RefrigerantTable,
    lines: Collection[str],
    goals: tuple[Objective, ...],
    opened: CircuitFlow,
    flow: CircuitFlow,
) -> dict[str, SizeProposal]:
    """Return the proposals for lines left open, ``opened``, at the flow of a circuit with sizes, ``flow``."""
    discharge_C = condition_results(flow, table).discharge_C
    maximum = maximum_gauge_Pa(circuit, site, practice, table)
    densest = float(table.liquid_density_ph(flow.hot.liquid.pressure_Pa, flow.hot.liquid.enthalpy_J_kg).max())
    found = {}
    for line in circuit.lines:
        works = opened.works(line.id)
        if not works or line.id not in lines:
            continue
        demand = maximum + column_pressures_Pa(line, densest)
        rating_C = rating_temperature_C(practice, line.service, discharge_C)
        basis = SweepBasis(flow, site, practice, table, float(demand.max(initial=maximum)), rating_C)
        works = tuple(_at_shares(work, flow) for work in works)
        if len(works) == 1:
            proposal = propose(works[0], basis, demand, goals[0])
        else:
            # Loaded by the few jobs that need it.
            from linesizer.sizing.branched_sizes import propose_branched

            proposal = propose_branched(line, works, basis, demand, goals)
        if proposal is not None:
            found[line.id] = proposal
    return found


def _at_shares(work: LineAtWork, flow: CircuitFlow) -> LineAtWork:
    """Return a line, or a path, at the shares of the flow that another solution of the circuit found."""
    if work.path is None or flow.parallel is None:
        return work
    known = next(
        own
        for own in flow.parallel.paths[work.line.id]
        if own.path is not None and own.path.condenser == work.path.condenser
    )
    start_Pa = flow.parallel.outlet_Pa[flow.parallel.place(work.path.condenser)]
    gas = work.phase.name == "vapour"
    shared = work if known.run.shares is None else work.with_shares(known.run.shares)
    return replace(shared, start_Pa=None if gas else start_Pa)


def with_sizes(circuit: Circuit, proposals: dict[str, SizeProposal]) -> Circuit:
    """Return a circuit with what was chosen for its lines in place of what was open."""
    if not proposals:
        return circuit
    return replace(
        circuit,
        lines=tuple(
            built(line, proposals[line.id].chosen.sizes) if line.id in proposals else line for line in circuit.lines
        ),
    )
