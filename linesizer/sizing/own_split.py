"""What is proposed for a line to or from parallel condensers, at the split of the flow that it gives itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit
from linesizer.domain.job import Site
from linesizer.domain.proposal import Combination, Objective, SizeProposal
from linesizer.domain.route import Service
from linesizer.properties.table import RefrigerantTable
from linesizer.sizing.groups import built
from linesizer.sizing.limits import Figures, breaks, limits
from linesizer.sizing.sweep import SweepBasis, penalty_power
from linesizer.solver.arrays import FloatArray
from linesizer.solver.charge import tube_volume
from linesizer.solver.circuit_flow import CircuitFlow, solve_circuit_flow
from linesizer.solver.line import oil_return_by_leg
from linesizer.solver.penalty import saturation_fall


def at_own_split(
    proposal: SizeProposal,
    proposals: Mapping[str, SizeProposal],
    circuit: Circuit,
    site: Site,
    practice: PracticeSet,
    table: RefrigerantTable,
) -> SizeProposal:
    """Return a proposal with the figures that the line has once it is built so.

    The sizes were chosen at the split that other sizes gave; theirs moves it a little.  What then breaks a limit no
    longer fits.

    Parameters
    ----------
    proposal : SizeProposal
        Of a line that branches.
    proposals : mapping
        Of all lines of the circuit that are sized, by line.
    circuit, site, practice, table
        As for ``solve_circuit_flow``.
    """
    known: dict[tuple[tuple[str, object], ...], tuple[Combination, bool]] = {}

    def refreshed(one: Combination) -> tuple[Combination, bool]:
        if one.sizes not in known:
            chosen = {name: own.chosen.sizes for name, own in proposals.items()} | {proposal.line: one.sizes}
            lines = tuple(built(line, chosen[line.id]) if line.id in chosen else line for line in circuit.lines)
            flow = solve_circuit_flow(replace(circuit, lines=lines), site, practice, table)
            basis = SweepBasis(flow, site, practice, table, float("nan"), 0.0)
            known[one.sizes] = _solved(one, proposal.line, flow, basis, practice)
        return known[one.sizes]

    chosen, fits = refreshed(proposal.chosen)
    if not proposal.fits:
        return replace(proposal, chosen=chosen)
    if not fits:
        return replace(proposal, chosen=chosen, fits=False, best=(), front=())
    best: list[tuple[Objective, Combination]] = []
    for goal, one in proposal.best:
        own, holds = refreshed(one)
        if holds:
            best.append((goal, own))
    front = [own for own, holds in (refreshed(one) for one in proposal.front) if holds]
    front = [
        own for place, own in enumerate(front) if all(own.penalty_K < lighter.penalty_K for lighter in front[:place])
    ]
    return replace(proposal, chosen=chosen, best=tuple(best), front=tuple(front))


def _solved(
    one: Combination, name: str, flow: CircuitFlow, basis: SweepBasis, practice: PracticeSet
) -> tuple[Combination, bool]:
    """Return a combination with its figures as solved, and whether the line keeps its limits."""
    works = flow.works(name)
    count = len(flow.circuit.conditions)
    service = works[0].line.service
    penalty, ends, velocity, ratio, left, power, cost = [], [], [], [], [], [], []
    charge: dict[int, FloatArray] = {}
    passes = True
    for work in works:
        if work.state is None or work.tubes is None or work.path is None:
            raise ValueError("a path that is proposed has tubes")
        state, phase = work.state.first(count), work.phase
        passes &= bool(work.state.settled.all())
        saturation = phase.saturation_temperature
        inlet, end = state.pressure_Pa[0], state.pressure_Pa[-1]
        flowing = inlet - end - state.terms.static_Pa.sum(axis=0)
        parts = 0.0 if service is Service.DISCHARGE else state.terms.parts_Pa.sum(axis=0)
        penalty.append(saturation_fall(saturation, inlet, flowing - parts))
        ends.append(end)
        velocity.append(float(state.velocity_m_s.max()))
        if service is not Service.DISCHARGE:
            left.append(float((saturation(end) - phase.temperature(end, state.enthalpy_J_kg[-1])).min()))
        if work.climbs.any():
            by_leg = oil_return_by_leg(work.state, work.run, work.climbs, work.tubes.bore_m[:, None], flow.film_density)
            ratio.append(float(np.nanmin(by_leg)))
        watts, energy = penalty_power(work.line, inlet[:, None], flowing[:, None], basis)
        power.append(float(watts[0]))
        cost.append(float(energy[0]))
        holds = tube_volume(work.tubes.bore_m, work.run.length_m)[:, None] * state.mean_density
        for place, own in zip(work.path.places, holds, strict=True):
            charge.setdefault(place, own)
    price = basis.site.electricity_price_kWh
    # As in the result, the way that decides stands for the line.
    deciding = np.choose(np.argmin(ends, axis=0), penalty)
    figures = replace(
        one,
        penalty_K=float(deciding.max()),
        charge_kg=float(np.sum(list(charge.values()), axis=0).max()),
        velocity_m_s=max(velocity),
        oil_return_ratio=min(ratio) if ratio else None,
        outlet_subcooling_K=min(left) if left else None,
        extra_power_W=None if one.extra_power_W is None else max(power),
        yearly_cost=None if one.yearly_cost is None or price is None else max(cost) * price,
    )
    # The rating hangs on no split; it was judged when the sizes were chosen.
    judged = Figures(
        passes=np.array([passes]),
        penalty_K=np.array([figures.penalty_K]),
        oil_return_ratio=np.array([np.nan if figures.oil_return_ratio is None else figures.oil_return_ratio]),
        outlet_subcooling_K=np.array([np.nan if figures.outlet_subcooling_K is None else figures.outlet_subcooling_K]),
        velocity_m_s=np.array([figures.velocity_m_s]),
        rating_reserve_Pa=np.array([np.inf]),
    )
    return figures, not breaks(judged, limits(service, practice)).any()
