"""The whole line at one size after another: what each size costs, and which limit excludes it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import SizeSweep
from linesizer.domain.route import Joint, Line, Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.charge import tube_volume
from linesizer.solver.cycle import Operation
from linesizer.solver.hot_side import CondenserDrop, HotSide, solve_hot_side
from linesizer.solver.line import LineState, Run, oil_return_ratio, solve_line
from linesizer.solver.march import Known
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.phase import Phase, liquid, vapour
from linesizer.solver.tube_rating import tube_ratings_Pa


@dataclass(frozen=True, slots=True)
class SweepBasis:
    """What a sweep stands on: the circuit's conditions solved with the line as drawn.

    ``demand_Pa`` is the greatest gauge pressure that stands in the line at the design pressure, NaN where that is not
    known; ``rating_C`` the temperature that its tube is rated at.
    """

    given: Operation
    condenser: CondenserDrop
    hot_side: HotSide
    table: RefrigerantTable
    practice: PracticeSet
    film_density: float
    demand_Pa: float
    rating_C: float


def sweep(line: Line, run: Run, climbs: BoolArray, basis: SweepBasis) -> SizeSweep:
    """Return what every size of a line's tube catalogue would give for the whole line, worst of all conditions.

    Parameters
    ----------
    line : Line
        An unbranched discharge or liquid line.
    run : Run
        Its legs with their losses.
    climbs : ndarray of bool, shape (legs,)
        Which legs are judged by oil return.
    basis : SweepBasis
        Conditions and limits.

    Returns
    -------
    SizeSweep
        Arrays of shape (sizes,).
    """
    catalogue = tube_catalogue(line.tube)
    bore = catalogue.inside_diameters_m[None, None, :]
    roughness = np.full_like(bore, catalogue.roughness_m)
    if line.service is Service.DISCHARGE:
        phase = vapour(basis.table)
        state = _discharge(run, bore, roughness, basis)
        left: FloatArray = np.full(state.settled.shape, np.nan)
    else:
        phase = liquid(basis.table)
        state, left = _liquid(run, phase, bore, roughness, basis)
    saturation = phase.saturation_temperature
    static = state.terms.static_Pa.sum(axis=0)
    parts = state.terms.parts_Pa.sum(axis=0)
    drop = state.pressure_Pa[0] - state.pressure_Pa[-1]
    inlet = state.pressure_Pa[0]
    penalty = saturation_fall(saturation, inlet, drop - static)
    judged = penalty if line.service is Service.DISCHARGE else saturation_fall(saturation, inlet, drop - static - parts)
    volume = tube_volume(bore[0], run.length_m[:, None, None])
    charge = (volume * state.mean_density).sum(axis=0)
    passes: BoolArray = np.asarray(state.settled.all(axis=0))
    ratio = np.full(passes.shape, np.nan)
    if climbs.any():
        ratio = oil_return_ratio(state, climbs, bore, np.asarray(basis.film_density)).min(axis=(0, 1))
    velocity = state.velocity_m_s.max(axis=(0, 1))
    joints = {geometry.leg.joint for geometry in line_geometry(line).legs}
    joint = Joint.BRAZED if Joint.BRAZED in joints else next(iter(joints))
    if line.listed_rating_Pa is not None:
        allowed = np.full(passes.shape, line.listed_rating_Pa)
    else:
        allowed = tube_ratings_Pa(catalogue, joint, basis.rating_C)
    blank = np.where(passes, 0.0, np.nan)
    worst_left = left.min(axis=0)
    length = float(run.length_m.sum())
    return SizeSweep(
        sizes=catalogue.size_names,
        inner_diameter_m=catalogue.inside_diameters_m,
        pressure_drop_Pa=drop.max(axis=0) + blank,
        saturation_penalty_K=penalty.max(axis=0) + blank,
        velocity_m_s=velocity + blank,
        oil_return_ratio=ratio + blank,
        outlet_subcooling_K=worst_left + blank,
        allowable_gauge_Pa=allowed,
        charge_kg=charge.max(axis=0) + blank,
        tube_mass_kg=catalogue.masses_kg_m * length,
        excluded_by=_excluded(line.service, passes, judged.max(axis=0), ratio, worst_left, velocity, allowed, basis),
    )


def _discharge(run: Run, bore: FloatArray, roughness: FloatArray, basis: SweepBasis) -> LineState:
    hot = solve_hot_side(
        basis.given.column(), basis.table, basis.condenser, run, bore=bore, roughness=roughness, cut=False
    )
    if hot.line is None:
        raise ValueError("a sweep needs a line")
    return hot.line


def _liquid(
    run: Run, phase: Phase, bore: FloatArray, roughness: FloatArray, basis: SweepBasis
) -> tuple[LineState, FloatArray]:
    hot = basis.hot_side
    enthalpy = hot.liquid.enthalpy_J_kg[:, None]
    state = solve_line(
        run,
        phase,
        bore=bore,
        roughness=roughness,
        mass_flow=hot.line_flow[:, None],
        enthalpy=enthalpy,
        known_pressure=hot.liquid.pressure_Pa[:, None],
        known=Known.START,
        cut=False,
    )
    end = state.pressure_Pa[-1]
    return state, phase.saturation_temperature(end) - phase.temperature(end, enthalpy)


def _excluded(
    service: Service,
    passes: BoolArray,
    penalty: FloatArray,
    ratio: FloatArray,
    left: FloatArray,
    velocity: FloatArray,
    allowed: FloatArray,
    basis: SweepBasis,
) -> tuple[str | None, ...]:
    """Return the first rule that each size breaks; NaN compares False, so what does not exist breaks none."""
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
    else:
        rules += [
            ("liquid_margin_stop_K", left < value("liquid_margin_stop_K")),
            ("rating_temper", ~(allowed >= basis.demand_Pa)),
            ("liquid_penalty_K", penalty > value("liquid_penalty_K")),
            ("liquid_margin_at_valve_K", left < value("liquid_margin_at_valve_K")),
            ("liquid_velocity_max_m_s", velocity > value("liquid_velocity_max_m_s")),
        ]
    names = [name for name, _ in rules]
    broken = np.stack([mask for _, mask in rules])
    first = np.where(broken.any(axis=0), broken.argmax(axis=0), -1)
    return tuple(None if index < 0 else names[index] for index in first)
