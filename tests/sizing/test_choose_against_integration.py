"""The choice of sizes against a search that shares nothing with the program: neither its search nor its physics.

Every combination of a size for each group of legs is followed by ``tests/solver/network_reference.py`` (CoolProp called
directly, friction factor and fittings of the fluids library, an adaptive integration) and held against the limits as
they are printed: penalty 1 K, gas 18 m/s, oil return 1.2 (practice set); liquid 1.8 m/s, 2 K left at the valve.
Oil return by Jacobs et al. 1976, 0.7225 sqrt(rho_v g D (rho_f - rho_v)), film 950 kg/m3.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import pairwise, product
from math import sqrt
from typing import NamedTuple

import pytest

from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.condition import Condition
from linesizer.domain.job import Job
from linesizer.domain.proposal import Objective
from linesizer.domain.route import Point, Service
from linesizer.evaluate import solve
from tests.solver.network_reference import ELBOW_90, Branch, Loss, Path, Reach, Running, at_shares
from tests.solver.reference_path import GRAVITY, Fluid
from tests.solver.routes import ORIGIN, chain, condition, job

COPPER = {size.size: size for size in tube_catalogue("ASTM-B280-drawn").sizes}
GAS_UP: list[Point] = [ORIGIN, (6.0, 0.0, 0.0), (6.0, 0.0, 7.0), (16.0, 0.0, 7.0)]
LIQUID_UP: list[Point] = [(8.0, 0.0, 0.0), ORIGIN, (0.0, 0.0, 2.5), (0.0, 14.0, 2.5)]
GROUPS = ((0, 2), (1,))
"""Places of the level legs and of the riser in both routes."""


class Tried(NamedTuple):
    """A combination that passes every limit: sizes of the groups, tube [kg], refrigerant [kg], penalty [K]."""

    sizes: tuple[str, ...]
    mass_kg: float
    charge_kg: float
    penalty_K: float


def reaches(points: Sequence[Point], sizes: Sequence[str]) -> tuple[Reach, ...]:
    """Return legs that meet at right angles: a long elbow, and a sudden change of bore on the smaller bore's head."""
    legs: list[Reach] = []
    for index, ((x0, y0, z0), (x1, y1, z1)) in enumerate(pairwise(points)):
        bore = COPPER[sizes[index]].inside_diameter_m
        losses = [Loss(ELBOW_90)] if index else []
        if index and sizes[index] != sizes[index - 1]:
            before = COPPER[sizes[index - 1]].inside_diameter_m
            if bore < before:
                losses.append(Loss(k=0.5 * (1.0 - (bore / before) ** 2)))
            else:
                losses.append(Loss(k=(1.0 - (before / bore) ** 2) ** 2, on=f"l{index - 1}"))
        length = abs(x1 - x0) + abs(y1 - y0) + abs(z1 - z0)
        legs.append(Reach(f"l{index}", length, z1 - z0, bore, 1.5e-6, tuple(losses)))
    return tuple(legs)


def running(fluid: Fluid, of: Condition) -> Running:
    assert of.evaporating_C is not None
    return Running(
        fluid,
        capacity_W=of.capacity_W,
        evaporating_K=of.evaporating_C + 273.15,
        condensing_K=of.condensing_C + 273.15,
        superheat_K=of.superheat_K,
        subcooling_K=of.subcooling_K,
        efficiency=0.68,
    )


NOTHING = (Reach("nothing", 0.0, 0.0, 0.1, 1.5e-6),)


def gas_figures(supply: Running, legs: tuple[Reach, ...]) -> tuple[float, float] | None:
    """Return penalty [K] and refrigerant [kg], None where a limit is broken."""
    flow = supply.flow_kg_s(supply.condensing_Pa)
    thinnest = supply.gas(supply.condensing_Pa)(supply.condensing_Pa).density
    if max(flow / leg.area_m2 for leg in legs) / thinnest > 25.0:
        return None
    found = at_shares([Branch("c", legs, NOTHING)], supply, (1.0,))
    path, medium, fluid = found.gas[0], supply.gas(found.discharge_Pa), supply.fluid
    before_Pa = path.inlet_Pa
    penalty = fluid.saturation_temperature(before_Pa, 1.0) - fluid.saturation_temperature(
        before_Pa - path.dynamic_Pa, 1.0
    )
    velocity, ratio, charge = 0.0, 1e9, 0.0
    for leg, ends in zip(legs, path.nodes_Pa, strict=True):
        flux = flow / leg.area_m2
        densities = [medium(at).density for at in ends]
        velocity = max(velocity, flux / min(densities))
        charge += leg.area_m2 * leg.length_m * 0.5 * sum(densities)
        if leg.rise_m > 0.0:
            carried = [0.7225 * sqrt(rho * GRAVITY * leg.bore_m * (950.0 - rho)) for rho in densities]
            ratio = min(ratio, flux / max(carried))
    return judged(penalty, charge, (penalty, 1.0, -1), (velocity, 18.0, -1), (ratio, 1.2, 1))


def liquid_figures(supply: Running, legs: tuple[Reach, ...]) -> tuple[float, float] | None:
    """Return the same of a liquid line."""
    flow = supply.flow_kg_s(supply.condensing_Pa)
    medium, fluid = supply.liquid(supply.condensing_Pa), supply.fluid
    velocity = max(flow / leg.area_m2 for leg in legs) / medium(supply.condensing_Pa).density
    if velocity > 2.5:
        return None
    path: Path = at_shares([Branch("c", NOTHING, legs)], supply, (1.0,)).liquid[0]
    first = fluid.saturation_temperature(path.inlet_Pa, 0.0)
    penalty = first - fluid.saturation_temperature(path.inlet_Pa - path.dynamic_Pa, 0.0)
    start_K = first - supply.subcooling_K
    enthalpy = fluid.by_temperature("liquid", path.inlet_Pa, start_K).hmass()
    end_K = fluid.by_enthalpy("liquid", path.outlet_Pa, enthalpy, start_K).T()
    left = fluid.saturation_temperature(path.outlet_Pa, 0.0) - end_K
    density = medium(path.inlet_Pa).density
    charge = sum(leg.area_m2 * leg.length_m for leg in legs) * density
    return judged(penalty, charge, (penalty, 1.0, -1), (velocity, 1.8, -1), (left, 2.0, 1))


def judged(penalty: float, charge: float, *held: tuple[float, float, int]) -> tuple[float, float] | None:
    """Return penalty and charge where every value keeps its limit: at most it with sense -1, at least it with 1."""
    least = min(sense * (value - limit) / limit for value, limit, sense in held)
    assert abs(least) > 0.003, "too near a limit for two calculations to agree"
    return (penalty, charge) if least > 0.0 else None


CASES: dict[str, tuple[Job, str, list[Point], Callable[[Running, tuple[Reach, ...]], tuple[float, ...] | None]]] = {}


def case(name: str, service: Service, points: list[Point], refrigerant: str, *conditions: Condition) -> None:
    # A design pressure that every tube of the catalogue bears, so that its rating does not choose.
    made = job(
        chain(points, service, size=None), refrigerant=refrigerant, conditions=conditions, maximum_pressure_Pa=2.0e6
    )
    CASES[name] = (made, refrigerant, points, gas_figures if service is Service.DISCHARGE else liquid_figures)


case("R134a gas", Service.DISCHARGE, GAS_UP, "R134a", condition("full"), condition("part", capacity_W=35e3))
case(
    "R134a gas, small",
    Service.DISCHARGE,
    GAS_UP,
    "R134a",
    condition("one", capacity_W=12e3),
    condition("low", capacity_W=4.5e3),
)
case("R134a liquid that climbs", Service.LIQUID, LIQUID_UP, "R134a", condition(subcooling_K=3.3))
case(
    "R404A liquid that climbs", Service.LIQUID, LIQUID_UP, "R404A", condition("one", capacity_W=25e3, condensing_C=35.0)
)


@cache
def exhaustive(name: str) -> tuple[Tried, ...]:
    return tuple(_tried(name))


def _tried(name: str) -> Iterator[Tried]:
    made, refrigerant, points, figures = CASES[name]
    supplies = [running(Fluid(refrigerant), of) for of in made.circuits[0].conditions]
    for choice in product(COPPER, repeat=len(GROUPS)):
        sizes = {place: size for places, size in zip(GROUPS, choice, strict=True) for place in places}
        legs = reaches(points, [sizes[place] for place in range(len(points) - 1)])
        found = [figures(supply, legs) for supply in supplies]
        if any(one is None for one in found):
            continue
        mass = sum(COPPER[sizes[place]].mass_kg_m * leg.length_m for place, leg in enumerate(legs))
        yield Tried(choice, mass, max(one[1] for one in found if one), max(one[0] for one in found if one))


@pytest.mark.parametrize("name", CASES)
def test_the_choice_is_that_of_a_search_outside_the_program(name: str) -> None:
    passing = exhaustive(name)
    assert 3 < len(passing) < len(COPPER) ** 2 - 3
    proposal = solve(CASES[name][0]).circuits[0].lines[0].proposal
    assert proposal is not None
    assert proposal.fits
    assert proposal.combinations == len(COPPER) ** 2
    for objective, key in (
        (Objective.MASS, lambda one: (one.mass_kg, one.penalty_K)),
        (Objective.CHARGE, lambda one: one.charge_kg),
    ):
        best, found = min(passing, key=key), proposal.by(objective)
        assert found is not None
        by_leg = dict(found.sizes)
        assert tuple(by_leg[f"l{places[0]}"] for places in GROUPS) == best.sizes
        assert found.tube_mass_kg == pytest.approx(best.mass_kg, rel=1e-12)
        assert found.penalty_K == pytest.approx(best.penalty_K, rel=0.003, abs=0.002)
        assert found.charge_kg == pytest.approx(best.charge_kg, rel=0.003)


@pytest.mark.parametrize("name", CASES)
def test_no_combination_beats_the_front(name: str) -> None:
    """Whatever passes, a point of the front is as light and costs a hundredth of a kelvin more at most."""
    proposal = solve(CASES[name][0]).circuits[0].lines[0].proposal
    assert proposal is not None
    assert len(proposal.front) > 1
    for tried in exhaustive(name):
        assert any(
            one.tube_mass_kg <= tried.mass_kg + 1e-9 and one.penalty_K <= 1.01 * tried.penalty_K + 0.01
            for one in proposal.front
        )
    by_sizes = {tried.sizes: tried for tried in exhaustive(name)}
    for one in proposal.front:
        by_leg = dict(one.sizes)
        tried = by_sizes[tuple(str(by_leg[f"l{places[0]}"]) for places in GROUPS)]
        assert one.penalty_K == pytest.approx(tried.penalty_K, rel=0.003, abs=0.002)
