"""The whole line at one size after another: what each size costs, and which limit excludes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.catalog.tubes import TubeCatalogue, tube_catalogue
from linesizer.domain.geometry import line_geometry
from linesizer.domain.job import Site
from linesizer.domain.result import SizeSweep
from linesizer.domain.route import Joint, Line, Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.built_line import BuiltLine, solve_built
from linesizer.solver.charge import tube_volume
from linesizer.solver.circuit_flow import CircuitFlow
from linesizer.solver.cycle import line_flow
from linesizer.solver.heat import Surroundings
from linesizer.solver.hot_side import hot_side_with_line
from linesizer.solver.line import LineState
from linesizer.solver.line_at_work import LineAtWork, carried_loss
from linesizer.solver.march import Known
from linesizer.solver.merged_run import merged
from linesizer.solver.oil_return import minimum_mass_flux
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.surge import upstream_of_fast_valve
from linesizer.solver.surroundings import line_surroundings
from linesizer.solver.tube_rating import tube_ratings_Pa

KILOWATTS_PER_WATT = 1e-3

MERGED_PIECES = 8
"""Into so many pieces a long line of one size is taken together."""

FLOW_ROUNDS = 3
FLOW_TOLERANCE = 1e-3
"""Up to which a liquid line's flow is left as it is when its heat at another size moves it."""


@dataclass(frozen=True, slots=True)
class SweepBasis:
    """What a sweep stands on: the circuit solved with the line as drawn.

    ``demand_Pa`` is the greatest gauge pressure that stands in the line at the design pressure, NaN where that is not
    known; ``rating_C`` the temperature that its tube is rated at.
    """

    flow: CircuitFlow
    site: Site
    practice: PracticeSet
    table: RefrigerantTable
    demand_Pa: float
    rating_C: float


@dataclass(frozen=True, slots=True)
class _Swept:
    """One path in every size; arrays over (conditions, sizes) unless they say otherwise.

    ``density`` is that at the legs' nodes, (nodes, conditions, sizes), ``mass_flux`` that in the legs, (legs or 1,
    conditions, sizes); ``ratio`` the worst oil return at conditions and corners, (sizes,).
    """

    work: LineAtWork
    settled: BoolArray
    density: FloatArray
    mass_flux: FloatArray
    bore_m: FloatArray
    inlet_Pa: FloatArray
    drop_Pa: FloatArray
    judged_Pa: FloatArray
    penalty_K: FloatArray
    tube_penalty_K: FloatArray
    left_K: FloatArray
    ratio: FloatArray


def sweep(works: Sequence[LineAtWork], basis: SweepBasis) -> SizeSweep:
    """Return what every size of a line's tube catalogue would give for the whole line, worst of all conditions.

    Double risers count as single tubes of that size.  Oil return is judged at the corners of the load grid too.  Of a
    line with several paths every figure is the worst path's, at the split of the flow as the line is drawn; charge and
    mass count each leg once.

    Parameters
    ----------
    works : sequence of LineAtWork
        An unbranched line, or all paths of one that branches.
    basis : SweepBasis
        Conditions and limits.

    Returns
    -------
    SizeSweep
        Arrays of shape (sizes,).
    """
    line = works[0].line
    catalogue = tube_catalogue(line.tube)
    swept = [_swept(work, catalogue, basis) for work in works]
    passes: BoolArray = np.all([own.settled.all(axis=0) for own in swept], axis=0)
    blank = np.where(passes, 0.0, np.nan)
    velocity = _worst_velocity(swept)
    allowed = _allowed_Pa(swept, catalogue, basis)
    lengths, charge = _legs_once(swept)
    powers = [penalty_power(line, own.inlet_Pa, own.judged_Pa, basis) for own in swept]
    dearest = np.argmax([np.nan_to_num(power) for power, _ in powers], axis=0)
    power = np.choose(dearest, [own for own, _ in powers])
    energy = np.choose(dearest, [own for _, own in powers])
    price = basis.site.electricity_price_kWh
    penalty = np.max([own.penalty_K.max(axis=0) for own in swept], axis=0)
    tube_penalty = np.max([own.tube_penalty_K.max(axis=0) for own in swept], axis=0)
    ratio = np.min([own.ratio for own in swept], axis=0)
    left = np.min([own.left_K.min(axis=0) for own in swept], axis=0)
    judged = penalty if line.service is Service.DISCHARGE else tube_penalty
    return SizeSweep(
        sizes=catalogue.size_names,
        inner_diameter_m=catalogue.inside_diameters_m,
        pressure_drop_Pa=np.max([own.drop_Pa.max(axis=0) for own in swept], axis=0) + blank,
        saturation_penalty_K=penalty + blank,
        tube_penalty_K=tube_penalty + blank,
        velocity_m_s=np.maximum(*velocity) + blank,
        oil_return_ratio=ratio + blank,
        outlet_subcooling_K=left + blank,
        allowable_gauge_Pa=allowed,
        demand_gauge_Pa=basis.demand_Pa,
        charge_kg=charge.max(axis=0) + blank,
        charge_by_condition_kg=charge + blank,
        tube_mass_kg=catalogue.masses_kg_m * lengths,
        extra_power_W=power + blank,
        yearly_kWh=energy + blank,
        yearly_cost=energy * (np.nan if price is None else price) + blank,
        excluded_by=_excluded(line.service, passes, judged, ratio, left, velocity, allowed, basis),
    )


def _swept(work: LineAtWork, catalogue: TubeCatalogue, basis: SweepBasis) -> _Swept:
    run = replace(work.run, twins=None)
    bore = catalogue.inside_diameters_m[None, None, :]
    around = surroundings_in(work, basis, catalogue.outside_diameters_m[None, None, :])
    short = merged(run, MERGED_PIECES) if around is None else None
    built = BuiltLine(run if short is None else short.run, bore, np.full_like(bore, catalogue.roughness_m), around, 0.0)
    whole, phase = solve_sizes(work, built, basis), work.phase
    density = whole.density_kg_m3 if short is None else short.densities(whole.pressure_Pa, whole.density_kg_m3)
    flux = whole.mass_flux if run.shares is not None else whole.mass_flux[:1]
    state = whole.first(len(basis.flow.circuit.conditions))
    own = slice(None, len(basis.flow.circuit.conditions))
    saturation = phase.saturation_temperature
    left: FloatArray = np.full(state.settled.shape, np.nan)
    if phase.name == "liquid":
        left = saturation(state.pressure_Pa[-1]) - phase.temperature(state.pressure_Pa[-1], state.enthalpy_J_kg[-1])
    static = state.terms.static_Pa.sum(axis=0)
    parts = state.terms.parts_Pa.sum(axis=0)
    drop = state.pressure_Pa[0] - state.pressure_Pa[-1]
    inlet = state.pressure_Pa[0]
    ratio = np.full(state.settled.shape[-1], np.nan)
    if work.climbs.any():
        ratio = _worst_ratio(work, density, flux, bore, basis.flow.film_density)
    return _Swept(
        work=work,
        settled=state.settled,
        density=density[:, own],
        mass_flux=flux[:, own],
        bore_m=catalogue.inside_diameters_m,
        inlet_Pa=inlet,
        drop_Pa=drop,
        judged_Pa=drop - static,
        penalty_K=saturation_fall(saturation, inlet, drop - static),
        tube_penalty_K=saturation_fall(saturation, inlet, drop - static - parts),
        left_K=left,
        ratio=ratio,
    )


def _worst_ratio(
    work: LineAtWork, density: FloatArray, flux: FloatArray, bore: FloatArray, film_density: float
) -> FloatArray:
    """Return the worst oil return of each size over climbing legs, conditions and corners, (sizes,)."""
    climbs = work.climbs
    # Where a flow does not pass, what the march left is no gas at all; such sizes have no figures.
    gas = np.where(density > 0.0, density, 1.0)
    foot, top = gas[:-1][climbs], gas[1:][climbs]
    film = np.asarray(film_density)
    if len(flux) == 1:
        # With one flow in one bore the densest gas decides.
        worst = np.minimum(np.maximum(foot.max(axis=0), top.max(axis=0)), 0.5 * film)
        return np.asarray((flux[0] / minimum_mass_flux(worst, film, bore[0])).min(axis=0))
    worst = np.minimum(np.maximum(foot, top), 0.5 * film)
    return np.asarray((flux[climbs] / minimum_mass_flux(worst, film, bore)).min(axis=(0, 1)))


def _worst_velocity(swept: Sequence[_Swept]) -> tuple[FloatArray, FloatArray]:
    """Return the highest velocity upstream of a fast-closing valve, and elsewhere, (sizes,)."""
    fast: list[FloatArray] = []
    slow: list[FloatArray] = []
    for own in swept:
        before = upstream_of_fast_valve(own.work.line)
        for found, legs in ((fast, before), (slow, ~before)):
            if not legs.any():
                found.append(np.zeros(len(own.bore_m)))
                continue
            flux = own.mass_flux if len(own.mass_flux) == 1 else own.mass_flux[legs]
            least = np.minimum(own.density[:-1], own.density[1:])[legs]
            by_condition = flux[0] / least.min(axis=0) if len(flux) == 1 else (flux / least).max(axis=0)
            found.append(by_condition.max(axis=0))
    return np.max(fast, axis=0), np.max(slow, axis=0)


def _allowed_Pa(swept: Sequence[_Swept], catalogue: TubeCatalogue, basis: SweepBasis) -> FloatArray:
    line = swept[0].work.line
    if line.listed_rating_Pa is not None:
        return np.full(len(catalogue.sizes), line.listed_rating_Pa)
    joints = {geometry.leg.joint for own in swept for geometry in line_geometry(own.work.line).legs}
    joint = Joint.BRAZED if Joint.BRAZED in joints or not joints else next(iter(joints))
    return tube_ratings_Pa(catalogue, joint, basis.rating_C)


def _legs_once(swept: Sequence[_Swept]) -> tuple[float, FloatArray]:
    """Return the length of all legs [m] and their charge, (conditions, sizes), [kg], each leg once."""
    length, charge = 0.0, np.zeros(swept[0].inlet_Pa.shape)
    met: set[int] = set()
    for own in swept:
        lengths = own.work.run.length_m
        if own.work.path is not None:
            fresh = np.array([place not in met for place in own.work.path.places])
            met |= set(own.work.path.places)
            lengths = np.where(fresh, lengths, 0.0)
        length += float(lengths.sum())
        # A node carries half of the legs on either side.
        carried = 0.5 * (np.append(lengths, 0.0) + np.append(0.0, lengths))
        charge = charge + tube_volume(own.bore_m, 1.0) * np.tensordot(carried, own.density, axes=1)
    return length, charge


def surroundings_in(work: LineAtWork, basis: SweepBasis, outside_m: FloatArray) -> Surroundings | None:
    """Return what surrounds a line in tubes so wide outside, (legs or 1, 1, sizes), [m]; None where it keeps heat."""
    flow = basis.flow
    if not flow.circuit.heat_exchange:
        return None
    # The film hangs on the temperature that it is taken at for the line as drawn.
    alone = flow.duty.alone
    fluid_K = alone.liquid.temperature_K
    if work.phase.name == "vapour":
        fluid_K = basis.table.vapour_temperature_ph(alone.discharge_Pa, alone.discharge_J_kg)
    return line_surroundings(work.line, flow.everything, basis.site, basis.practice, outside_m, fluid_K)


def solve_sizes(work: LineAtWork, built: BuiltLine, basis: SweepBasis, *, cut: bool = False) -> LineState:
    """Return a line solved in many builds at once, B = (conditions and corners, builds)."""
    flow = basis.flow
    given = flow.given.column()
    lost = flow.liquid_lost_J_kg if flow.circuit.heat_exchange else None
    if work.line.service is Service.DISCHARGE:
        compressed = flow.duty.compressed.column()
        hot = hot_side_with_line(
            given,
            basis.table,
            flow.duty.condenser,
            built,
            flow.hot.column(),
            compressed,
            liquid_lost_J_kg=None if lost is None else lost[:, None],
            cut=cut,
        )
        if hot.line is None:
            raise ValueError("a sweep needs a line")
        return hot.line
    liquid = flow.hot.column().liquid
    start_Pa = liquid.pressure_Pa if work.start_Pa is None else work.start_Pa[:, None]
    mass_flow = flow.hot.line_flow[:, None]
    as_drawn = None if work.state is None else work.state.enthalpy_J_kg[0] - work.state.enthalpy_J_kg[-1]
    elsewhere = None if lost is None or as_drawn is None else (lost - as_drawn)[:, None]
    state: LineState | None = None
    for _ in range(FLOW_ROUNDS):
        state = solve_built(
            built, work.phase, mass_flow, liquid.enthalpy_J_kg, start_Pa, Known.START, cut=cut, before=state
        )
        if elsewhere is None or work.line.service is not Service.LIQUID:
            break
        # Each size loses heat of its own, which moves the flow that carries the load.
        own = state.enthalpy_J_kg[0] - state.enthalpy_J_kg[-1]
        alone = flow.duty.alone.line_flow[:, None]
        valve = liquid.enthalpy_J_kg - carried_loss(elsewhere + own, mass_flow, alone, given.capacity_W)
        fresh, _ = line_flow(given, flow.hot.discharge_J_kg[:, None], valve)
        moved = np.where(state.settled, np.abs(fresh / mass_flow - 1.0), 0.0).max(initial=0.0)
        if moved < FLOW_TOLERANCE:
            break
        mass_flow = fresh
    if state is None:
        raise ValueError("a sweep takes at least one round")
    return state


def penalty_power(
    line: Line, inlet_Pa: FloatArray, drop: FloatArray, basis: SweepBasis
) -> tuple[FloatArray, FloatArray]:
    """Return the electric power that the drop without its column costs, [W], and the year's energy, [kWh], (sizes,).

    ``inlet_Pa`` and ``drop`` have shape (conditions, sizes).
    """
    flow = basis.flow
    if line.service is not Service.DISCHARGE:
        none = np.full(drop.shape[1], np.nan)
        return none, none
    count = len(flow.circuit.conditions)
    given = flow.given.column()
    compressed = flow.duty.compressed.column()
    against = np.broadcast_to(given.condensing_Pa, (len(flow.given.condensing_Pa), drop.shape[1])).copy()
    against[:count] = inlet_Pa
    freed = against.copy()
    freed[:count] -= drop
    saved = (compressed(against) - compressed(freed))[:count]
    power = flow.hot.compressor_flow[:count, None] * saved / given.drive_efficiency[:count]
    hours = np.array([np.nan if c.hours_per_year is None else c.hours_per_year for c in flow.circuit.conditions])
    if np.isnan(hours).all():
        energy = np.full(drop.shape[1], np.nan)
    else:
        energy = np.nansum(power * hours[:, None], axis=0) * KILOWATTS_PER_WATT
    return power.max(axis=0), energy


def _excluded(
    service: Service,
    passes: BoolArray,
    penalty: FloatArray,
    ratio: FloatArray,
    left: FloatArray,
    velocities: tuple[FloatArray, FloatArray],
    allowed: FloatArray,
    basis: SweepBasis,
) -> tuple[str | None, ...]:
    """Return the first rule that each size breaks; NaN compares False, so what does not exist breaks none.

    ``velocities`` are the highest ones upstream of a fast-closing valve and elsewhere.
    """
    before_valve, elsewhere = velocities
    velocity = np.maximum(before_valve, elsewhere)
    value = basis.practice.value
    rules: list[tuple[str, BoolArray]] = [("flow_does_not_pass", ~passes)]
    if service is Service.DISCHARGE:
        rules += [
            ("oil_return_stop_ratio", ratio < value("oil_return_stop_ratio")),
            ("rating_temper", ~(allowed >= basis.demand_Pa)),
            ("discharge_penalty_K", penalty > value("discharge_penalty_K")),
            ("oil_return_margin_ratio", ratio < value("oil_return_margin_ratio")),
            ("discharge_velocity_max_m_s", velocity > value("discharge_velocity_max_m_s")),
        ]
    elif service is Service.DRAIN:
        # A drain runs part full to the receiver; subcooling is no business of its.
        rules += [
            ("rating_temper", ~(allowed >= basis.demand_Pa)),
            ("drain_velocity_m_s", velocity > value("drain_velocity_m_s")),
        ]
    else:
        rules += [
            ("liquid_margin_stop_K", left < value("liquid_margin_stop_K")),
            ("rating_temper", ~(allowed >= basis.demand_Pa)),
            ("liquid_penalty_K", penalty > value("liquid_penalty_K")),
            ("liquid_margin_at_valve_K", left < value("liquid_margin_at_valve_K")),
            ("liquid_velocity_fast_valve_m_s", before_valve > value("liquid_velocity_fast_valve_m_s")),
            ("liquid_velocity_max_m_s", elsewhere > value("liquid_velocity_max_m_s")),
        ]
    names = [name for name, _ in rules]
    broken = np.stack([mask for _, mask in rules])
    first = np.where(broken.any(axis=0), broken.argmax(axis=0), -1)
    return tuple(None if index < 0 else names[index] for index in first)
