"""What each size, or pair of tubes, of a group of legs would cost: the columns from which combinations are summed.

A size costs a leg the same whatever the others are built from, once the drop is put so that the pressure falls out: of
a liquid the drop itself, of a gas the fall of the pressure squared, since its density goes with the pressure.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from linesizer.catalog.fittings import LossMethod
from linesizer.catalog.tubes import TubeCatalogue
from linesizer.domain.geometry import line_geometry
from linesizer.domain.route import DoubleRiser, Line
from linesizer.sizing.double_riser_pairs import seal_heights_m
from linesizer.sizing.groups import Group
from linesizer.sizing.sweep import SweepBasis, solve_sizes, surroundings_in
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.built_line import BuiltLine
from linesizer.solver.charge import tube_volume
from linesizer.solver.double_riser import Pattern, Twins, work_twins
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.line_loads import LineFlowLoads
from linesizer.solver.oil_return import minimum_mass_flux
from linesizer.solver.route_losses import line_twins, pair_losses
from linesizer.solver.static_head import GRAVITY
from linesizer.solver.tube_rating import tube_ratings_Pa

HOLDS_ANYTHING_m = 1e6


@dataclass(frozen=True, slots=True)
class Options:
    """The ways to build one group of legs.

    ``fall`` has the fall of pressure, [Pa], of a gas that of the pressure squared, [Pa2]; ``static_Pa`` and
    ``parts_Pa`` the terms that are not judged; ``lost_J_kg`` the enthalpy given off; ``mass_flux`` that in the group,
    [kg/(m2 s)]: all (conditions, ways).  ``seals_m`` has the height of the trap that each leg needs as a new double
    riser, (legs of the group, ways), 0 for single tubes.  The rest has shape (ways,), worst of all conditions;
    ``oil_return_ratio`` is NaN where nothing climbs.
    """

    group: Group
    builds: tuple[str | DoubleRiser, ...]
    bore_m: FloatArray
    double: BoolArray
    fall: FloatArray
    static_Pa: FloatArray
    parts_Pa: FloatArray
    lost_J_kg: FloatArray
    charge_kg: FloatArray
    mass_flux: FloatArray
    oil_return_ratio: FloatArray
    velocity_m_s: FloatArray
    rating_reserve_Pa: FloatArray
    tube_mass_kg: FloatArray
    seals_m: FloatArray

    def only(self, keep: BoolArray) -> Options:
        """Return some of the ways."""
        return Options(
            self.group,
            tuple(build for build, kept in zip(self.builds, keep, strict=True) if kept),
            self.bore_m[keep],
            self.double[keep],
            self.fall[:, keep],
            self.static_Pa[:, keep],
            self.parts_Pa[:, keep],
            self.lost_J_kg[:, keep],
            self.charge_kg[:, keep],
            self.mass_flux[:, keep],
            self.oil_return_ratio[keep],
            self.velocity_m_s[keep],
            self.rating_reserve_Pa[keep],
            self.tube_mass_kg[keep],
            self.seals_m[:, keep],
        )


@dataclass(frozen=True, slots=True)
class Reference:
    """The whole line in each size of one catalogue; arrays have shape (legs, conditions and corners, sizes).

    Where a size passes no flow, states are those of the next larger one that does.  ``pressure_Pa`` is the mean of a
    leg in the widest tube, to which the densities are brought where the line carries gas.
    """

    work: LineAtWork
    basis: SweepBasis
    gas: bool
    pressure_Pa: FloatArray
    mean_density: FloatArray
    least_density: FloatArray
    most_density: FloatArray
    viscosity_Pa_s: FloatArray
    lost_J_kg: FloatArray
    resistance: FloatArray
    parts: FloatArray
    stated_Pa: FloatArray
    parts_stated_Pa: FloatArray
    mass_flux: FloatArray

    @property
    def per_pressure(self) -> FloatArray:
        """Mean density over mean pressure at the widest tube, (legs, conditions), [kg/(m3 Pa)]."""
        return np.asarray(self.mean_density[..., -1] / self.pressure_Pa[..., 0])


def reference(work: LineAtWork, catalogue: TubeCatalogue, basis: SweepBasis) -> Reference | None:
    """Return a line, single tubes throughout, solved in each size of a catalogue; None where none passes the flow."""
    run = replace(work.run, twins=None)
    bore = catalogue.inside_diameters_m[None, None, :]
    rough = np.full_like(bore, catalogue.roughness_m)
    around = surroundings_in(work, basis, catalogue.outside_diameters_m[None, None, :])
    state = solve_sizes(work, BuiltLine(run, bore, rough, around, 0.0), basis)
    settled = np.atleast_1d(state.settled.all(axis=0))
    if not settled.any():
        return None
    sizes = np.arange(len(settled))
    # The next larger size that passes, else the largest that does.
    use = np.minimum(np.minimum.accumulate(np.where(settled, sizes, len(sizes))[::-1])[::-1], int(sizes[settled].max()))
    flow = basis.flow
    mass_flow = flow.hot.line_flow[:, None]
    pressure = (0.5 * (state.pressure_Pa[1:] + state.pressure_Pa[:-1]))[..., use]
    viscosity = state.viscosity_Pa_s[..., use]
    # A tee costs what the size of the leg makes it that carries all the flow, so that leg's group has to know it.
    counted = run if run.tees is None else replace(run, tees=replace(run.tees, owner=run.tees.common))
    loads = LineFlowLoads(counted, bore, rough, mass_flow, state.pressure_Pa[0]).loads(viscosity)
    ends = state.density_kg_m3[..., use]
    widest = pressure[..., -1:]
    gas = work.phase.name == "vapour"
    brought = widest / pressure if gas else np.ones_like(pressure)
    lost = state.enthalpy_J_kg[:-1] - state.enthalpy_J_kg[1:]
    return Reference(
        work=work,
        basis=basis,
        gas=gas,
        pressure_Pa=widest,
        mean_density=0.5 * (ends[1:] + ends[:-1]) * brought,
        least_density=np.minimum(ends[1:], ends[:-1]) * brought,
        most_density=np.maximum(ends[1:], ends[:-1]) * brought,
        viscosity_Pa_s=viscosity,
        lost_J_kg=lost[..., use],
        resistance=loads.tube + loads.fittings + loads.parts,
        parts=loads.parts,
        stated_Pa=loads.fittings_stated_Pa + loads.parts_stated_Pa,
        parts_stated_Pa=loads.parts_stated_Pa,
        mass_flux=loads.mass_flux,
    )


def single_options(group: Group, at: Reference, demand_Pa: FloatArray) -> Options:
    """Return a group in each single tube of its catalogue, or in the one that is fixed.

    Parameters
    ----------
    group : Group
        The legs.
    at : Reference
        The line in each size of the group's catalogue.
    demand_Pa : ndarray, shape (legs,)
        Gauge pressure that each leg has to bear, [Pa].
    """
    catalogue, legs, run = group.catalogue, group.legs, at.work.run
    length, rise = run.length_m[legs], run.rise_m[legs, None, None]
    density, pressure = at.mean_density[legs], at.pressure_Pa[legs]
    static = density * GRAVITY * rise
    drop = at.resistance[legs] / density + at.stated_Pa[legs]
    if at.gas:
        # Speeding up takes its share: of a drop dp the gas gains G2 / (rho p) dp.
        drop = drop * (1.0 + at.mass_flux[legs] ** 2 / (density * pressure))
    fall = (drop + static) * (2.0 * pressure if at.gas else 1.0)
    climbs = at.work.climbs[legs]
    ratio = np.full(len(catalogue.sizes), np.nan)
    film = at.basis.flow.film_density
    if climbs.any():
        most = np.minimum(at.most_density[legs][climbs], 0.5 * film)
        least = minimum_mass_flux(most, film, catalogue.inside_diameters_m)
        ratio = (at.mass_flux[legs][climbs] / least).min(axis=(0, 1))
    own = slice(None, len(at.basis.flow.circuit.conditions))
    volume = tube_volume(catalogue.inside_diameters_m, length[:, None])[:, None]
    options = Options(
        group=group,
        builds=catalogue.size_names,
        bore_m=catalogue.inside_diameters_m,
        double=np.zeros(len(catalogue.sizes), dtype=np.bool_),
        fall=fall.sum(axis=0)[own],
        static_Pa=static.sum(axis=0)[own],
        parts_Pa=(at.parts[legs] / density + at.parts_stated_Pa[legs]).sum(axis=0)[own],
        lost_J_kg=at.lost_J_kg[legs].sum(axis=0)[own],
        charge_kg=(volume * density).sum(axis=0)[own],
        mass_flux=at.mass_flux[legs[0]][own],
        oil_return_ratio=ratio,
        velocity_m_s=(at.mass_flux[legs] / at.least_density[legs])[:, own].max(axis=(0, 1)),
        rating_reserve_Pa=_reserve_Pa(at.work.line, group, at.basis.rating_C, demand_Pa),
        tube_mass_kg=catalogue.masses_kg_m * float(length.sum()),
        seals_m=np.zeros((len(legs), len(catalogue.sizes))),
    )
    if group.fixed is None or isinstance(group.fixed, DoubleRiser):
        return options
    return options.only(np.arange(len(options.builds)) == catalogue.index(group.fixed))


def double_options(group: Group, at: Reference, demand_Pa: FloatArray) -> Options:
    """Return a group built as double risers: every pair of its catalogue, or the one that is fixed.

    Worked with a seal that holds anything; ``seals_m`` says what it has to hold.
    """
    catalogue, bores = group.catalogue, group.catalogue.inside_diameters_m
    fixed = group.fixed if isinstance(group.fixed, DoubleRiser) else None
    if fixed is None:
        small, large = (index.ravel() for index in np.meshgrid(range(len(bores)), range(len(bores)), indexing="ij"))
        ordered = small <= large
        small, large = small[ordered], large[ordered]
    else:
        small, large = np.array([catalogue.index(fixed.small)]), np.array([catalogue.index(fixed.large)])
    count, film, flow = len(small), at.basis.flow.film_density, at.basis.flow
    fall = static = charge = np.zeros((len(flow.hot.line_flow), count))
    ratio, velocity = np.full(count, np.inf), np.zeros(count)
    own = slice(None, len(flow.circuit.conditions))
    flux = fall
    seals = np.zeros((len(group.legs), count))
    for number, leg in enumerate(group.legs):
        twins = _pairs(at, int(leg), catalogue, small, large, fixed)
        shape = (count, len(flow.hot.line_flow))
        foot = np.broadcast_to(at.most_density[leg, :, -1], shape)
        carried = at.work.run.leg_flow(int(leg), flow.hot.line_flow)
        state = work_twins(twins, carried, at.viscosity_Pa_s[leg, None, :, -1], foot, foot, film)
        if fixed is None:
            viscosity = at.viscosity_Pa_s[leg, None, :, -1]
            alone = np.asarray(state.pattern == Pattern.SMALL)
            seals[number] = seal_heights_m(twins, alone, flow, at.basis.practice, carried, viscosity, foot, foot)
        mean, pressure = at.mean_density[leg, :, -1], at.pressure_Pa[leg, :, 0]
        column = (mean * GRAVITY * at.work.run.rise_m[leg])[:, None]
        drop = ((state.friction + state.fittings) / mean).T + at.stated_Pa[leg, :, -1:]
        # A part on the leg carries the whole flow in a bore with the area of both.
        wider = (bores[large] ** 2 / (bores[small] ** 2 + bores[large] ** 2)) ** 2
        drop = drop + at.parts[leg][:, large] * wider / mean[:, None]
        drop = drop * (1.0 + (state.mass_flux**2 / (mean * pressure)).T)
        fall = fall + (drop + column) * 2.0 * pressure[:, None]
        static = static + column
        volume = tube_volume(bores, float(at.work.run.length_m[leg]))
        charge = charge + (volume[small] + volume[large]) * mean[:, None]
        lifting = np.where(state.pattern == Pattern.BOTH, state.both_ratio, state.alone_ratio)
        ratio = np.minimum(ratio, (lifting if fixed is None else state.ratio).min(axis=1))
        velocity = np.maximum(velocity, (state.mass_flux / at.least_density[leg, :, -1])[:, own].max(axis=1))
        flux = state.mass_flux.T
    reserve = _reserve_Pa(at.work.line, group, at.basis.rating_C, demand_Pa)
    masses = catalogue.masses_kg_m * float(at.work.run.length_m[group.legs].sum())
    names = catalogue.size_names
    return Options(
        group=group,
        builds=tuple(
            fixed or DoubleRiser(names[one], names[other], 0.0) for one, other in zip(small, large, strict=True)
        ),
        bore_m=np.sqrt(bores[small] ** 2 + bores[large] ** 2),
        double=np.ones(count, dtype=np.bool_),
        fall=fall[own],
        static_Pa=static[own],
        parts_Pa=np.zeros_like(fall[own]),
        lost_J_kg=np.zeros_like(fall[own]),
        charge_kg=charge[own],
        mass_flux=flux[own],
        oil_return_ratio=ratio,
        velocity_m_s=velocity,
        rating_reserve_Pa=np.minimum(reserve[small], reserve[large]),
        tube_mass_kg=masses[small] + masses[large],
        seals_m=seals,
    )


def _pairs(
    at: Reference,
    leg: int,
    catalogue: TubeCatalogue,
    small: np.ndarray[tuple[int, ...], np.dtype[np.intp]],
    large: np.ndarray[tuple[int, ...], np.dtype[np.intp]],
    fixed: DoubleRiser | None,
) -> Twins:
    if fixed is not None:
        twins = line_twins(at.work.line, at.basis.practice, LossMethod.THREE_K)
        if twins is None:
            raise ValueError("the line has no double riser")
        return twins.only(int(np.flatnonzero(twins.leg == leg)[0]))
    losses_small, losses_large = pair_losses(len(small), at.basis.practice, LossMethod.THREE_K)
    bores, rough = catalogue.inside_diameters_m, np.full(len(small), catalogue.roughness_m)
    return Twins(
        leg=np.arange(len(small)),
        length_m=np.full(len(small), at.work.run.length_m[leg]),
        small_bore=bores[small],
        large_bore=bores[large],
        small_roughness=rough,
        large_roughness=rough,
        small=losses_small,
        large=losses_large,
        seal_m=np.full(len(small), HOLDS_ANYTHING_m),
    )


def _reserve_Pa(line: Line, group: Group, rating_C: float, demand_Pa: FloatArray) -> FloatArray:
    """Return what each size may bear less what the worst leg has to, (sizes,), [Pa]; -inf where it is not known."""
    demand = demand_Pa[group.legs]
    if not np.isfinite(demand).all():
        return np.full(len(group.catalogue.sizes), np.inf)
    if line.listed_rating_Pa is not None:
        return np.full(len(group.catalogue.sizes), line.listed_rating_Pa - float(demand.max()))
    legs = line_geometry(line).legs
    by_leg = [
        tube_ratings_Pa(group.catalogue, legs[place].leg.joint, rating_C) - own
        for place, own in zip(group.legs, demand, strict=True)
    ]
    return np.asarray(np.nan_to_num(np.min(by_leg, axis=0), nan=-np.inf))
