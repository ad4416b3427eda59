"""The best sizes of a line that branches to, or gathers from, parallel condensers: one way after another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from linesizer.catalog.fittings import LossMethod
from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.geometry import line_geometry
from linesizer.domain.proposal import Combination, Objective, SizeProposal
from linesizer.domain.route import DoubleRiser, Leg, Line, Service
from linesizer.sizing.choose import WORTH_K, propose
from linesizer.sizing.groups import built, is_open
from linesizer.sizing.sweep import SweepBasis
from linesizer.solver.arrays import FloatArray
from linesizer.solver.charge import tube_volume
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.route_losses import line_run


@dataclass(frozen=True, slots=True)
class _Sized:
    """What the ways through a line came to for one objective."""

    chosen: Combination
    by_way: tuple[SizeProposal, ...]

    @property
    def fits(self) -> bool:
        return all(own.fits for own in self.by_way)


def propose_branched(
    line: Line, works: Sequence[LineAtWork], basis: SweepBasis, demand_Pa: FloatArray, goals: Sequence[Objective]
) -> SizeProposal | None:
    """Return the best sizes of the open legs of a line that branches.

    The longest way is sized first, with the legs that it shares; then the next one with those legs as they are, and so
    on.  On each way all combinations are worked: a size for its climbing gas legs and one for all others, apart for
    legs that carry the flow of other condensers.

    Parameters
    ----------
    line : Line
        The whole line.
    works : sequence of LineAtWork
        Its paths, at the shares of the flow to size for.
    basis : SweepBasis
        Conditions and limits.
    demand_Pa : ndarray, shape (legs,)
        Gauge pressure that each leg has to bear, in the line's order of flow, [Pa].
    goals : sequence of Objective
        What the choice makes small; the others beside the first are worked as well.

    Returns
    -------
    SizeProposal or None
        None where no leg is open or on some way no combination passes the flow.  The penalty is that of the worst way;
        the charge that of the open and stated legs at the density with which the line starts.
    """
    first = _sized(line, works, basis, demand_Pa, goals[0])
    if first is None:
        return None
    names = tuple(geometry.leg.id for geometry in line_geometry(line).legs if is_open(line, geometry.leg))
    count = sum(own.combinations for own in first.by_way)
    if not first.fits:
        short = next(own for own in first.by_way if not own.fits)
        return SizeProposal(line.id, goals[0], False, first.chosen, (), (), names, count, short.exclusions)
    found = {goals[0]: first}
    for goal in goals[1:]:
        one = _sized(line, works, basis, demand_Pa, goal)
        if one is not None and one.fits and one.chosen.figure(goal) is not None:
            found[goal] = one
    best = tuple((goal, one.chosen) for goal, one in found.items())
    front: list[Combination] = []
    for combination in sorted((own for _, own in best), key=lambda own: (own.tube_mass_kg, own.penalty_K)):
        if not front or combination.penalty_K <= front[-1].penalty_K - WORTH_K:
            front.append(combination)
    return SizeProposal(line.id, goals[0], True, first.chosen, best, tuple(front), names, count)


def _sized(
    line: Line, works: Sequence[LineAtWork], basis: SweepBasis, demand_Pa: FloatArray, goal: Objective
) -> _Sized | None:
    sizes: dict[str, str | DoubleRiser] = {}
    ways: list[SizeProposal] = []
    for work in sorted(works, key=lambda own: -float(own.run.length_m.sum())):
        if work.path is None:
            raise ValueError("not on the way to a condenser")
        met = [leg.id for leg in work.line.legs]
        chain = built(work.line, tuple((leg, build) for leg, build in sizes.items() if leg in met))
        if not any(is_open(chain, leg) for leg in chain.legs):
            continue
        found = propose(_rebuilt(work, chain, basis), basis, demand_Pa[list(work.path.places)], goal)
        if found is None:
            return None
        sizes |= dict(found.chosen.sizes)
        ways.append(found)
    if not ways:
        return None
    whole = built(line, tuple(sizes.items()))
    order = [geometry.leg.id for geometry in line_geometry(line).legs]
    each = [own.chosen for own in ways]
    return _Sized(
        Combination(
            sizes=tuple((leg, sizes[leg]) for leg in order if leg in sizes),
            penalty_K=max(own.penalty_K for own in each),
            tube_mass_kg=_mass_kg(whole),
            charge_kg=_charge_kg(whole, basis),
            velocity_m_s=max(own.velocity_m_s for own in each),
            oil_return_ratio=_least([own.oil_return_ratio for own in each]),
            outlet_subcooling_K=_least([own.outlet_subcooling_K for own in each]),
            extra_power_W=_most([own.extra_power_W for own in each]),
            yearly_cost=_most([own.yearly_cost for own in each]),
        ),
        tuple(ways),
    )


def _rebuilt(work: LineAtWork, chain: Line, basis: SweepBasis) -> LineAtWork:
    """Return a path with other sizes in its legs."""
    if chain is work.line or work.path is None:
        return work
    run = line_run(chain, basis.practice, work.design_flow_kg_s, LossMethod.THREE_K)
    run = replace(run, shares=work.run.shares, tees=work.run.tees)
    return replace(work, line=chain, run=run, path=replace(work.path, chain=chain))


def _tubes(line: Line, leg: Leg) -> list[tuple[float, float]]:
    """Return bore [m] and mass [kg/m] of each tube of a leg."""
    catalogue = tube_catalogue(leg.tube or line.tube)
    riser = leg.double_riser
    names = [leg.size or line.default_size] if riser is None else [riser.small, riser.large]
    sizes = [catalogue.find(name) for name in names if name is not None]
    return [(size.inside_diameter_m, size.mass_kg_m) for size in sizes]


def _mass_kg(line: Line) -> float:
    legs = line_geometry(line).legs
    return float(sum(own.length_m * mass for own in legs for _, mass in _tubes(line, own.leg)))


def _charge_kg(line: Line, basis: SweepBasis) -> float:
    hot, table, count = basis.flow.hot, basis.table, len(basis.flow.circuit.conditions)
    if line.service is Service.DISCHARGE:
        density = table.vapour_density_ph(hot.discharge_Pa, hot.discharge_J_kg)
    else:
        density = table.liquid_density_ph(hot.liquid.pressure_Pa, hot.liquid.enthalpy_J_kg)
    legs = line_geometry(line).legs
    volume = sum(float(tube_volume(bore, own.length_m)) for own in legs for bore, _ in _tubes(line, own.leg))
    return volume * float(np.max(density[:count]))


def _least(figures: Sequence[float | None]) -> float | None:
    return min((figure for figure in figures if figure is not None), default=None)


def _most(figures: Sequence[float | None]) -> float | None:
    return max((figure for figure in figures if figure is not None), default=None)
