"""The few combinations that come into question, solved in full: what they cost and whether they meet the limits."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from linesizer.catalog.fittings import LossMethod
from linesizer.domain.geometry import line_geometry
from linesizer.domain.proposal import Combination
from linesizer.domain.route import DoubleRiser, Service
from linesizer.sizing.combine import Combined
from linesizer.sizing.groups import built
from linesizer.sizing.limits import Figures, Limit, breaks
from linesizer.sizing.options import Options
from linesizer.sizing.sweep import SweepBasis, penalty_power, solve_sizes, surroundings_in
from linesizer.solver.built_line import BuiltLine
from linesizer.solver.charge import tube_volume
from linesizer.solver.line import oil_return_by_leg
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.route_losses import line_run


@dataclass(frozen=True, slots=True)
class Confirmed:
    """One combination solved in full, and the first rule that it breaks, None where it meets all of them."""

    combination: Combination
    excluded_by: str | None


def confirm(
    found: Combined,
    options: tuple[Options, ...],
    work: LineAtWork,
    basis: SweepBasis,
    rules: tuple[Limit, ...],
) -> tuple[Confirmed, ...]:
    """Return combinations solved in full, in their order.

    Parameters
    ----------
    found : Combined
        The combinations.
    options : tuple of Options
        The groups' ways that they name.
    work, basis
        The line and what it stands on.
    rules : tuple of Limit
        What is judged.
    """
    doubles = [index for index, own in enumerate(options) if own.group.fixed is None and bool(own.double.any())]
    answers: dict[int, Confirmed] = {}
    # One pair of tubes at a time: its bends are part of the run.
    keys = [tuple(int(way) for way in row) for row in found.ways[:, doubles]]
    for key in dict.fromkeys(keys):
        places = np.array([place for place, own in enumerate(keys) if own == key], dtype=np.intp)
        pairs: dict[int, DoubleRiser] = {}
        for index, way in zip(doubles, key, strict=True):
            own, build = options[index], options[index].builds[way]
            if isinstance(build, DoubleRiser):
                for number, leg in enumerate(own.group.legs):
                    pairs[int(leg)] = replace(build, seal_m=float(own.seals_m[number, way]))
        for place, one in zip(places, _solved(found.ways[places], options, pairs, work, basis, rules), strict=True):
            answers[int(place)] = one
    return tuple(answers[place] for place in range(len(keys)))


def _solved(
    ways: NDArray[np.intp],
    options: tuple[Options, ...],
    pairs: dict[int, DoubleRiser],
    work: LineAtWork,
    basis: SweepBasis,
    rules: tuple[Limit, ...],
) -> list[Confirmed]:
    """Return combinations that share their double risers, solved at once."""
    legs = line_geometry(work.line).legs
    many = len(ways)
    bore, outside = np.empty((len(legs), 1, many)), np.empty((len(legs), 1, many))
    rough = np.empty((len(legs), 1, many))
    reserve, mass = np.full(many, np.inf), np.zeros(many)
    for own, way in zip(options, ways.T, strict=True):
        tubes = own.group.catalogue
        widths = np.array([_outside_m(own, build) for build in own.builds])
        bore[own.group.legs, 0] = own.bore_m[way]
        outside[own.group.legs, 0] = widths[way]
        rough[own.group.legs] = tubes.roughness_m
        reserve = np.minimum(reserve, own.rating_reserve_Pa[way])
        mass = mass + own.tube_mass_kg[way]
    run = work.run
    if pairs:
        line = built(work.line, tuple((legs[place].leg.id, pair) for place, pair in pairs.items()))
        run = line_run(line, basis.practice, work.design_flow_kg_s, LossMethod.THREE_K)
        run = replace(run, shares=work.run.shares, tees=work.run.tees)
    film = basis.flow.film_density
    at_work = replace(work, run=run)
    construction = BuiltLine(run, bore, rough, surroundings_in(work, basis, outside), film)
    whole = solve_sizes(at_work, construction, basis, cut=True)
    count = len(basis.flow.circuit.conditions)
    state, saturation, phase = whole.first(count), work.phase.saturation_temperature, work.phase
    static, parts = state.terms.static_Pa.sum(axis=0), state.terms.parts_Pa.sum(axis=0)
    drop, inlet = state.pressure_Pa[0] - state.pressure_Pa[-1], state.pressure_Pa[0]
    gas = work.line.service is Service.DISCHARGE
    penalty = saturation_fall(saturation, inlet, drop - static - (0.0 if gas else parts)).max(axis=0)
    left = np.full(many, np.nan)
    if phase.name == "liquid":
        end = state.pressure_Pa[-1]
        left = (saturation(end) - phase.temperature(end, state.enthalpy_J_kg[-1])).min(axis=0)
    ratio = np.full(many, np.nan)
    if work.climbs.any():
        ratio = np.nanmin(oil_return_by_leg(whole, run, work.climbs, bore, film), axis=(0, 1))
    charge = (tube_volume(bore, run.length_m[:, None, None]) * state.mean_density).sum(axis=0).max(axis=0)
    velocity = state.velocity_m_s.max(axis=(0, 1))
    power, energy = penalty_power(work.line, inlet, drop - static, basis)
    figures = Figures(np.asarray(state.settled.all(axis=0)), penalty, ratio, left, velocity, reserve)
    broken = breaks(figures, rules)
    names = ("flow_does_not_pass", *(rule.rule for rule in rules))
    price = basis.site.electricity_price_kWh
    answers = []
    for place in range(many):
        first = np.flatnonzero(broken[:, place])
        answers.append(
            Confirmed(
                Combination(
                    sizes=_sizes(ways[place], options, pairs, work),
                    penalty_K=float(penalty[place]),
                    tube_mass_kg=float(mass[place]),
                    charge_kg=float(charge[place]),
                    velocity_m_s=float(velocity[place]),
                    oil_return_ratio=_figure(ratio[place]),
                    outlet_subcooling_K=_figure(left[place]),
                    extra_power_W=_figure(power[place]),
                    yearly_cost=None if price is None else _figure(energy[place] * price),
                ),
                names[first[0]] if len(first) else None,
            )
        )
    return answers


def _sizes(
    ways: NDArray[np.intp], options: tuple[Options, ...], pairs: dict[int, DoubleRiser], work: LineAtWork
) -> tuple[tuple[str, str | DoubleRiser], ...]:
    """Return what each sized leg is built from, in the order of flow."""
    chosen: dict[int, str | DoubleRiser] = {}
    for own, way in zip(options, ways, strict=True):
        if own.group.fixed is None:
            for leg in own.group.legs:
                chosen[int(leg)] = pairs.get(int(leg), own.builds[int(way)])
    legs = line_geometry(work.line).legs
    return tuple((legs[place].leg.id, chosen[place]) for place in sorted(chosen))


def _outside_m(options: Options, build: str | DoubleRiser) -> float:
    tubes = options.group.catalogue
    if isinstance(build, DoubleRiser):
        return tubes.find(build.small).outside_diameter_m + tubes.find(build.large).outside_diameter_m
    return tubes.find(build).outside_diameter_m


def _figure(value: float | np.float64) -> float | None:
    return float(value) if np.isfinite(value) else None
