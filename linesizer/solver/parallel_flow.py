"""Parallel condensers: how the flow splits between them, and what the liquid columns balance."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeAlias

import numpy as np

from linesizer.domain.condenser_paths import TO_CONDENSERS, ParallelCondensers
from linesizer.domain.equipment import Equipment
from linesizer.domain.route import Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.built_line import solve_built
from linesizer.solver.cycle import line_flow, liquid_start
from linesizer.solver.duty import Duty
from linesizer.solver.hot_side import HotSide, nominal_shares, own_drop
from linesizer.solver.line import LineState
from linesizer.solver.line_at_work import LineAtWork, carried_loss
from linesizer.solver.march import Known
from linesizer.solver.static_head import GRAVITY

_Works: TypeAlias = tuple[LineAtWork, ...]

MOST_ROUNDS = 60
FULL_ROUNDS, DAMPED = 15, 0.4
"""What has not come to rest by then swings about its place, as where friction turns laminar: it goes on in less than
half steps."""

FINE_FROM = 1e-4
"""Legs are cut into pieces, which costs most, only once the shares move by no more than this."""

SHARE_TOLERANCE = 1e-5
PRESSURE_TOLERANCE = 1e-8
AT_REST = 1e-5
"""By how much of itself the lowest pressure at a condenser may at last miss the condensing one."""

LEAST_SHARE = 1e-3
"""A condenser that would get less than this gets nothing: then no split leaves the same drop on all paths."""

MOST_STEP = 0.5
"""A share moves by no more than this part of itself at once."""

TUBE_EXPONENT = 1.82
"""Friction over flow in drawn tube at the Reynolds numbers of these lines; it only steers the search."""

TURBULENT_EXPONENT = 1.9
"""Drop over flow, with fittings and parts."""


@dataclass(frozen=True, slots=True)
class ParallelFlow:
    """How the flow splits between condensers; arrays have shape (condensers, B), B the conditions and corners.

    ``inlet_Pa`` and ``outlet_Pa`` are pressures at each condenser.  ``lost_Pa`` is what each path costs from the
    compressor to where all meet again, liquid columns left out that fall and so adjust themselves: the same for all
    whose share is not stated, where ``balances`` (B); ``even_lost_Pa`` is about the same if condensers without a stated
    share took equal parts.  ``paths`` are those of each line, and ``sink_Pa``, (B), by line,
    the pressure at which a liquid or drain line ends: with all columns full the least of its paths', to which the
    columns of the others stand lower by ``short_m``, (paths, B).
    """

    condensers: tuple[Equipment, ...]
    share: FloatArray
    inlet_Pa: FloatArray
    outlet_Pa: FloatArray
    lost_Pa: FloatArray
    even_lost_Pa: FloatArray
    balances: BoolArray
    paths: dict[str, tuple[LineAtWork, ...]]
    sink_Pa: dict[str, FloatArray]
    short_m: dict[str, FloatArray]

    @property
    def liquid_lost_J_kg(self) -> FloatArray | None:
        """Enthalpy that a kilogram loses in the liquid lines from the condensers, (B), None where there are none."""
        return self._lost(Service.LIQUID)

    @property
    def gas_lost_J_kg(self) -> FloatArray | None:
        """Enthalpy that a kilogram of gas loses on its way to the condensers, (B), None where no line leads there."""
        return self._lost(Service.DISCHARGE)

    def _lost(self, service: Service) -> FloatArray | None:
        places = {item.id: place for place, item in enumerate(self.condensers)}
        return _lost_on_the_ways(self.paths, service, self.share, places)

    def place(self, condenser: str) -> int:
        """Return the place of a condenser."""
        return next(place for place, item in enumerate(self.condensers) if item.id == condenser)


def split_flow(
    duty: Duty,
    table: RefrigerantTable,
    parallel: ParallelCondensers,
    prepared: Mapping[str, tuple[LineAtWork, ...]],
    others: Mapping[str, LineAtWork],
    *,
    heat: bool,
) -> tuple[HotSide, ParallelFlow, dict[str, LineAtWork]]:
    r"""Return the hot side, the split between parallel condensers, and the lines that carry the whole flow.

    One share a condenser, the same for gas and liquid.  Shares that are not stated leave the same loss on every path:

    .. math:: \Delta p_{gas} + \Delta p_{condenser} + \Delta p_{liquid, no column} + \rho g \max(0, \Delta z_{own})

    with the climb of a condenser's own liquid branch, which stands full; a branch that falls fills with liquid as far
    as it has to, so its column is no part of the balance.  The lowest pressure at a condenser's inlet is the condensing
    pressure.  All shares and the pressure behind the compressor are improved together by Newton's method, each leg's
    loss going with a power of its flow, until no share moves by more than 1e-5 (a tenth of that is then left).

    Parameters
    ----------
    duty : Duty
        The conditions and corners, (B).
    table : RefrigerantTable
        Properties.
    parallel : ParallelCondensers
        The condensers and the paths of the lines.
    prepared : mapping
        The paths ready to be solved, by line; those without tubes are left as they are.
    others : mapping
        Lines that carry the whole flow, such as the liquid line behind a receiver.
    heat : bool
        Whether what the liquid loses on its way moves the flow.

    Returns
    -------
    HotSide, ParallelFlow, dict of LineAtWork
        The lines of ``others`` solved.
    """
    condensers = parallel.condensers
    index = {item.id: place for place, item in enumerate(condensers)}
    given = duty.given
    nominal = nominal_shares(condensers)
    share = np.stack([np.full(len(given.condensing_Pa), nominal[item.id]) for item in condensers])
    side = duty.alone
    pressure, settled = _starting_pressure(duty, prepared)
    drops = [own_drop(item) for item in condensers]
    free = np.array([item.share is None for item in condensers])
    lost: FloatArray | None = None
    paths, straight = dict(prepared), dict(others)
    inlet = outlet = losses = np.broadcast_to(given.condensing_Pa, share.shape)
    cut, exact = False, False
    for number in range(MOST_ROUNDS):
        enthalpy = duty.compressed(pressure)
        # The lowest inlet pressure comes to be the condensing one; while it is not yet, only the difference is right.
        fall = inlet.min(axis=0) - outlet.min(axis=0) if exact else duty.condenser.at(side.line_flow)
        liquid = liquid_start(given, table, fall)
        valve = liquid.enthalpy_J_kg if lost is None else liquid.enthalpy_J_kg - lost
        flow, compressor = line_flow(given, enthalpy, valve)
        side = HotSide(None, pressure, enthalpy, flow, compressor, liquid, settled)
        gas_act = partial(_gas_at, index=index, share=share, duty=duty, pressure=pressure, flow=flow, cut=cut)
        paths = _solved(paths, gas_act, gas=True)
        # Where a way does not pass, the rest stands on what there is without any line.
        inlet = np.where(settled, _inlets(paths, index, pressure), given.condensing_Pa)
        outlet = inlet - np.stack([drop.at(part * flow) for drop, part in zip(drops, share, strict=True)])
        liquid_act = partial(_liquid_from, index=index, share=share, outlet=outlet, side=side, cut=cut)
        paths = _solved(paths, liquid_act, gas=False)
        slope = np.zeros((len(condensers), *share.shape))
        losses = pressure - outlet
        for row, (drop, part) in enumerate(zip(drops, share, strict=True)):
            slope[row, row] += 2.0 * drop.per_flow2 * part * flow**2
        in_liquid: FloatArray = np.zeros(share.shape)
        for works in paths.values():
            _meet_losses(works, index, in_liquid, slope)
        losses = losses + in_liquid
        if heat:
            straight = _straight_solved(straight, side, cut=cut)
            lost = carried_loss(
                _liquid_lost(paths, straight, share, index), flow, duty.alone.line_flow, given.capacity_W
            )
        moved_share = _moved(share, losses, slope, free, settled) * (1.0 if number < FULL_ROUNDS else DAMPED)
        # Along a gas line the square of the pressure falls alike, so its end moves by more than its start.
        lowest = inlet.min(axis=0)
        moved_Pa = np.where(settled, (given.condensing_Pa - lowest) * lowest / pressure, 0.0)
        share, pressure = share + moved_share, pressure + moved_Pa
        by_share, by_Pa = float(np.abs(moved_share).max()), float((np.abs(moved_Pa) / pressure).max())
        if cut and by_share < SHARE_TOLERANCE and by_Pa < PRESSURE_TOLERANCE:
            break
        exact, cut = True, cut or max(by_share, by_Pa) < FINE_FROM
    # A pressure behind the compressor that does not come to rest is none: then the flow does not pass.
    rested = np.abs(given.condensing_Pa - inlet.min(axis=0)) < AT_REST * given.condensing_Pa
    paths = _solved(paths, partial(_resting, rested=rested), gas=True)
    straight = _straight_solved(straight, side, cut=True)
    side = replace(side, all_pass=settled & _all_pass(paths, settled))
    even = _at_even_shares(condensers, paths, index, share, losses, side.line_flow)
    return side, _columns(condensers, share, inlet, outlet, losses, even, free, paths, index), straight


def _resting(work: LineAtWork, *, rested: BoolArray) -> LineAtWork:
    state = work.state
    return work if state is None else replace(work, state=replace(state, settled=state.settled & rested))


def _starting_pressure(duty: Duty, prepared: Mapping[str, tuple[LineAtWork, ...]]) -> tuple[FloatArray, BoolArray]:
    """Return the pressure behind the compressor that the worst gas path asks for, and where all pass the flow, (B)."""
    pressure = np.array(duty.given.condensing_Pa, dtype=np.float64)
    settled = np.ones(pressure.shape, dtype=np.bool_)
    for works in prepared.values():
        for work in works:
            if work.line.service in TO_CONDENSERS and work.built is not None:
                state = solve_built(
                    work.built,
                    work.phase,
                    duty.alone.line_flow,
                    duty.compressed,
                    duty.given.condensing_Pa,
                    Known.END,
                    cut=False,
                )
                settled &= state.settled
                pressure = np.where(state.settled, np.maximum(pressure, state.pressure_Pa[0]), pressure)
    return np.where(settled, pressure, duty.given.condensing_Pa), settled


def _shared(work: LineAtWork, index: Mapping[str, int], share: FloatArray) -> LineAtWork:
    if work.path is None:
        raise ValueError("not on the way to a condenser")
    return work.with_shares(
        np.stack([share[[index[name] for name in served]].sum(axis=0) for served in work.path.serves])
    )


def _solved(paths: Mapping[str, _Works], act: Callable[[LineAtWork], LineAtWork], *, gas: bool) -> dict[str, _Works]:
    """Return the paths with those of gas, or of liquid, solved by an act; what has no tubes stays as it is."""
    return {
        name: tuple(
            act(work) if work.built is not None and (work.line.service in TO_CONDENSERS) is gas else work
            for work in works
        )
        for name, works in paths.items()
    }


def _gas_at(
    work: LineAtWork,
    *,
    index: Mapping[str, int],
    share: FloatArray,
    duty: Duty,
    pressure: FloatArray,
    flow: FloatArray,
    cut: bool,
) -> LineAtWork:
    """Return a gas path at a split, solved from the compressor on against a pressure there."""
    work = _shared(work, index, share)
    if work.built is None:
        return work
    state = solve_built(
        work.built, work.phase, flow, duty.compressed, pressure, Known.START, cut=cut, before=work.state
    )
    return replace(work, state=state)


def _liquid_at(work: LineAtWork, start_Pa: FloatArray, side: HotSide, *, cut: bool) -> LineAtWork:
    """Return a liquid line or path solved from a pressure at its start on."""
    if work.built is None:
        return work
    state = solve_built(
        work.built,
        work.phase,
        side.line_flow,
        side.liquid.enthalpy_J_kg,
        start_Pa,
        Known.START,
        cut=cut,
        before=work.state,
    )
    return replace(work, state=state)


def _liquid_from(
    work: LineAtWork, *, index: Mapping[str, int], share: FloatArray, outlet: FloatArray, side: HotSide, cut: bool
) -> LineAtWork:
    """Return a liquid path at a split, solved from its condenser's outlet on."""
    work = _shared(work, index, share)
    if work.path is None:
        raise ValueError("not on the way to a condenser")
    start_Pa = outlet[index[work.path.condenser]]
    return _liquid_at(replace(work, start_Pa=start_Pa), start_Pa, side, cut=cut)


def _straight_solved(others: Mapping[str, LineAtWork], side: HotSide, *, cut: bool) -> dict[str, LineAtWork]:
    return {
        name: work if work.line.service in TO_CONDENSERS else _liquid_at(work, side.liquid.pressure_Pa, side, cut=cut)
        for name, work in others.items()
    }


def _all_pass(paths: Mapping[str, tuple[LineAtWork, ...]], like: BoolArray) -> BoolArray:
    """Return where every gas way passes its flow at the split that was found, (B)."""
    found = np.ones(like.shape, dtype=np.bool_)
    for works in paths.values():
        for work in works:
            if work.line.service in TO_CONDENSERS and work.state is not None:
                found &= work.state.settled
    return found


def _inlets(paths: Mapping[str, tuple[LineAtWork, ...]], index: Mapping[str, int], pressure: FloatArray) -> FloatArray:
    """Return the pressure at each condenser's inlet; without a calculated gas line that behind the compressor."""
    inlet = np.tile(pressure, (len(index), 1))
    for works in paths.values():
        for work in works:
            if work.line.service in TO_CONDENSERS and work.state is not None and work.path is not None:
                place = index[work.path.condenser]
                inlet[place] = np.minimum(inlet[place], work.state.pressure_Pa[-1])
    return inlet


def _meet_losses(
    works: tuple[LineAtWork, ...], index: Mapping[str, int], losses: FloatArray, slope: FloatArray
) -> None:
    """Meet what the liquid ways of a line cost, of two from one condenser the dearer, and how a line's losses grow.

    ``losses`` has shape (condensers, B); ``slope`` gains by how much each condenser's loss goes with every share.
    """
    for work in works:
        state, path, shares = work.state, work.path, work.run.shares
        if state is None or path is None or shares is None:
            continue
        row = index[path.condenser]
        terms = state.terms
        flowing = terms.friction_Pa + terms.fittings_Pa + terms.parts_Pa
        if work.line.service not in TO_CONDENSERS:
            own = np.array(path.own)
            lost = (flowing + terms.acceleration_Pa).sum(axis=0) + np.maximum(terms.static_Pa[own].sum(axis=0), 0.0)
            losses[row] = np.maximum(losses[row], lost)
        grows = (TUBE_EXPONENT * terms.friction_Pa + 2.0 * (_fittings_by_flow(work) + terms.parts_Pa)) / shares
        if work.line.service in TO_CONDENSERS:
            # What a gas leg costs more takes more from a lower end: there the squares of the pressures count.
            grows = grows * 0.5 * (state.pressure_Pa[1:] + state.pressure_Pa[:-1]) / state.pressure_Pa[-1]
        for leg, served in enumerate(path.serves):
            for name in served:
                slope[row, index[name]] += grows[leg]


def _fittings_by_flow(work: LineAtWork) -> FloatArray:
    """Return the losses of a path's fittings, (legs, B), [Pa], those of a tee at the leg whose flow decides them."""
    state, tees = work.state, work.run.tees
    if state is None or work.built is None:
        raise ValueError("the path is not solved")
    fittings = state.terms.fittings_Pa
    if tees is None:
        return fittings
    common, owner = tees.common, tees.owner
    bore = np.broadcast_to(work.built.bore, fittings.shape)[common]
    coefficient = tees.losses.coefficient(state.reynolds[common], bore, state.friction_factor[common])
    drop = coefficient * 0.5 * state.mass_flux[common] ** 2 / state.mean_density[owner]
    moved = fittings.copy()
    np.subtract.at(moved, owner, drop)
    np.add.at(moved, common, drop)
    return moved


def _moved(share: FloatArray, losses: FloatArray, slope: FloatArray, free: BoolArray, settled: BoolArray) -> FloatArray:
    """Return by how much each share has to move, (condensers, B), for the free ones' losses to be the same."""
    moved = np.zeros(share.shape)
    count = int(free.sum())
    if count < 2:
        return moved
    system = np.zeros((share.shape[1], count + 1, count + 1))
    system[:, :count, :count] = np.moveaxis(slope[free][:, free], -1, 0)
    system[:, :count, count] = -1.0
    system[:, count, :count] = 1.0
    # Where the paths cost nothing all shares are as good; the least slope keeps them.
    system[:, np.arange(count), np.arange(count)] += 1e-3
    wanted = np.zeros((share.shape[1], count + 1))
    own = losses[free]
    wanted[:, :count] = -(own - own.mean(axis=0)).T
    step = np.linalg.solve(system, wanted[..., None])[:, :count, 0].T
    room = np.where(step < 0.0, share[free] - LEAST_SHARE, np.inf)
    part = np.minimum(MOST_STEP * share[free], np.maximum(room, 0.0)) / np.maximum(np.abs(step), 1e-300)
    held = np.where(step < 0.0, part, MOST_STEP * share[free] / np.maximum(np.abs(step), 1e-300))
    step = step * np.minimum(1.0, held.min(axis=0))
    moved[free] = np.where(settled & np.isfinite(step).all(axis=0), step, 0.0)
    return moved


def _lost_on_the_ways(
    paths: Mapping[str, _Works], service: Service, share: FloatArray, index: Mapping[str, int]
) -> FloatArray | None:
    """Return the enthalpy that a kilogram of the circuit's flow loses in the lines of a service to or from condensers.

    Every way counts by its share, (B), [J/kg]; None where there are none.
    """
    lost = [
        share[index[work.path.condenser]] * (work.state.enthalpy_J_kg[0] - work.state.enthalpy_J_kg[-1])
        for works in paths.values()
        for work in works
        if work.line.service is service and work.state is not None and work.path is not None
    ]
    return np.sum(lost, axis=0) if lost else None


def _liquid_lost(
    paths: Mapping[str, _Works], others: Mapping[str, LineAtWork], share: FloatArray, index: Mapping[str, int]
) -> FloatArray:
    """Return the enthalpy that a kilogram of the circuit's liquid loses on its way to the valve, (B), [J/kg]."""
    shared = _lost_on_the_ways(paths, Service.LIQUID, share, index)
    total = np.zeros(share.shape[1]) if shared is None else shared
    for work in others.values():
        if work.line.service is Service.LIQUID and work.state is not None:
            total = total + work.state.enthalpy_J_kg[0] - work.state.enthalpy_J_kg[-1]
    return total


def _columns(
    condensers: tuple[Equipment, ...],
    share: FloatArray,
    inlet: FloatArray,
    outlet: FloatArray,
    losses: FloatArray,
    even: FloatArray,
    free: BoolArray,
    paths: dict[str, tuple[LineAtWork, ...]],
    index: Mapping[str, int],
) -> ParallelFlow:
    """Return the split with the pressure at the end of each liquid line and by how much columns stand below full."""
    ends: dict[Service, FloatArray] = {}
    for works in paths.values():
        for work in works:
            if work.line.service not in TO_CONDENSERS and work.state is not None:
                end = work.state.pressure_Pa[-1]
                known = ends.get(work.line.service)
                ends[work.line.service] = end if known is None else np.minimum(known, end)
    sinks, short = {}, {}
    for name, works in paths.items():
        service = works[0].line.service
        if service in TO_CONDENSERS or any(work.state is None for work in works):
            continue
        sinks[name] = ends[service]
        short[name] = np.stack([_short_m(work.state, ends[service]) for work in works if work.state is not None])
    spread = losses[free].max(axis=0) - losses[free].min(axis=0) if free.any() else np.zeros(share.shape[1])
    balances = spread <= np.maximum(1.0, 1e-3 * np.abs(losses).max(axis=0))
    return ParallelFlow(condensers, share, inlet, outlet, losses, even, balances, paths, sinks, short)


def _at_even_shares(
    condensers: tuple[Equipment, ...],
    paths: Mapping[str, tuple[LineAtWork, ...]],
    index: Mapping[str, int],
    share: FloatArray,
    losses: FloatArray,
    flow: FloatArray,
) -> FloatArray:
    """Return about what each path would cost at stated, else equal shares: each loss by the power 1.9 of its flow."""
    nominal = nominal_shares(condensers)
    even = losses.copy()
    for place, item in enumerate(condensers):
        drop = own_drop(item)
        even[place] += drop.at(nominal[item.id] * flow) - drop.at(share[place] * flow)
    for works in paths.values():
        for work in works:
            if work.state is None or work.path is None or work.run.shares is None:
                continue
            terms = work.state.terms
            flowing = terms.friction_Pa + terms.fittings_Pa + terms.parts_Pa
            wanted = np.array([sum(nominal[name] for name in served) for served in work.path.serves])
            grown = (wanted[:, None] / work.run.shares) ** TURBULENT_EXPONENT - 1.0
            even[index[work.path.condenser]] += (flowing * grown).sum(axis=0)
    return even


def _short_m(state: LineState, sink_Pa: FloatArray) -> FloatArray:
    return np.asarray((state.pressure_Pa[-1] - sink_Pa) / (GRAVITY * state.density_kg_m3[0]))
