"""The choice of sizes against an exhaustive search that solves every combination by itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import product
from typing import Any

import numpy as np
import pytest

from linesizer.catalog.practice import practice_set
from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.job import Job
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.proposal import Combination, Objective, SizeProposal
from linesizer.domain.route import DoubleRiser, Line, Point, Service
from linesizer.evaluate import propose_sizes, solve
from tests.solver.routes import ORIGIN, chain, condition, job

PRACTICE = practice_set("general")
COPPER = tube_catalogue("ASTM-B280-drawn")
UP: list[Point] = [ORIGIN, (6.0, 0.0, 0.0), (6.0, 0.0, 7.0), (16.0, 0.0, 7.0), (16.0, 4.0, 7.0)]
DOWN: list[Point] = UP[::-1]
LONG: list[Point] = [ORIGIN, (0.0, 0.0, 2.0), (12.0, 0.0, 2.0)]
HUMP: list[Point] = [ORIGIN, (0.0, 0.0, 5.0), (9.0, 0.0, 5.0), (9.0, 0.0, 2.0), (15.0, 0.0, 2.0)]
MILD = (condition("full", hours_per_year=2000.0), condition("part", capacity_W=40e3, hours_per_year=3000.0))
WIDE = (condition("full"), condition("low", capacity_W=6e3, condensing_C=32.0))


def priced(made: Job, price: float = 0.2) -> Job:
    return replace(made, site=replace(made.site, electricity_price_kWh=price, indoor_ambient_C=48.0))


def proposal(made: Job) -> SizeProposal:
    found = solve(made).circuits[0].lines[0].proposal
    assert found is not None
    return found


class Oracle:
    """Every combination of a job's open groups, each solved by itself and judged by the practice set's limits."""

    def __init__(self, made: Job, groups: tuple[tuple[str, ...], ...], sizes: tuple[Any, ...]) -> None:
        self.made, self.groups, self.sizes = made, groups, sizes

    def built(self, choice: tuple[Any, ...]) -> Job:
        circuit = self.made.circuits[0]
        by_leg = {leg: size for legs, size in zip(self.groups, choice, strict=True) for leg in legs}
        line = circuit.lines[0]
        legs = tuple(
            leg
            if leg.id not in by_leg
            else replace(leg, double_riser=by_leg[leg.id])
            if isinstance(by_leg[leg.id], DoubleRiser)
            else replace(leg, size=by_leg[leg.id])
            for leg in line.legs
        )
        return replace(self.made, circuits=(replace(circuit, lines=(replace(line, legs=legs),)),))

    def all(self) -> Iterator[tuple[dict[str, Any], dict[str, float]]]:
        for choice in product(*([own if isinstance(own, tuple) else (own,) for own in self.sizes])):
            figures = judged(self.built(choice))
            if figures is not None:
                yield {leg: s for legs, s in zip(self.groups, choice, strict=True) for leg in legs}, figures


def judged(made: Job) -> dict[str, float] | None:
    """Return what a sized job costs, None where it breaks a limit."""
    found = solve(made).circuits[0]
    line = found.lines[0]
    assert line.flow is not None
    assert line.legs is not None
    assert line.sweep is not None
    flow, legs = line.flow, line.legs
    if not flow.passes_flow.all():
        return None
    if any(finding.rule == "rating_temper" for finding in found.findings):
        return None
    velocity = legs.velocity_m_s.max()
    if line.line.service is Service.DISCHARGE:
        penalty = flow.saturation_penalty_K.max()
        ratios = np.concatenate([legs.oil_return_ratio, legs.corner_ratio], axis=1)
        if np.isfinite(ratios).any() and np.nanmin(ratios) < PRACTICE.value("oil_return_margin_ratio"):
            return None
        service = "discharge"
    else:
        penalty = flow.tube_penalty_K.max()
        if flow.outlet_subcooling_K.min() < PRACTICE.value("liquid_margin_at_valve_K"):
            return None
        service = "liquid"
    if penalty > PRACTICE.value(f"{service}_penalty_K"):
        return None
    if velocity > PRACTICE.value(f"{service}_velocity_max_m_s"):
        return None
    mass = 0.0
    for name, length in zip(legs.sizes, legs.length_m, strict=True):
        mass += sum(COPPER.find(size).mass_kg_m for size in name.split(" + ")) * float(length)
    return {"mass": mass, "charge": float(flow.charge_kg.max()), "penalty": float(penalty)}


SINGLE = COPPER.size_names
CASES: dict[str, tuple[Any, ...]] = {
    "gas": (job(chain(UP, size=None), conditions=MILD), (("l0", "l2", "l3"), ("l1",))),
    "gas with heat": (
        job(chain(UP, size=None), conditions=MILD, heat_exchange=True),
        (("l0", "l2", "l3"), ("l1",)),
    ),
    "gas, small": (
        job(
            chain(HUMP, size=[None, "1-3/8", None, "1-3/8"], fittings={"n1": "loop"}),
            conditions=[condition("one", capacity_W=40e3)],
        ),
        (("l0",), ("l2",)),
    ),
    "bypass": (
        job(chain(UP, size=None), conditions=[condition("b", bypass=0.3)]),
        (("l0", "l2", "l3"), ("l1",)),
    ),
    "R410A, one size held": (
        job(
            chain(UP, size=["1-1/8", None, None, None]), refrigerant="R410A", conditions=MILD, maximum_pressure_Pa=2.0e6
        ),
        (("l1",), ("l2", "l3")),
    ),
    "R410A, hot": (
        job(
            chain(UP, size=None),
            refrigerant="R410A",
            conditions=[condition("hot", capacity_W=30e3, isentropic_efficiency=0.5)],
            maximum_pressure_Pa=2.8e6,
        ),
        (("l0", "l2", "l3"), ("l1",)),
    ),
    "liquid through a valve that costs much": (
        job(
            chain(DOWN, Service.LIQUID, size=None, parts={1: [Part("s", "solenoid_valve", loss=PartLoss(drop_Pa=4e4))]})
        ),
        (("l0", "l1", "l3"), ("l2",)),
    ),
    "liquid through a hot room": (
        job(
            chain(LONG, Service.LIQUID, size=None),
            conditions=[condition(capacity_W=12e3, condensing_C=35.0, ambient_C=55.0)],
            heat_exchange=True,
        ),
        (("l0",), ("l1",)),
    ),
    "liquid": (job(chain(DOWN, Service.LIQUID, size=None), conditions=MILD), (("l0", "l1", "l3"), ("l2",))),
    "liquid that climbs, with heat": (
        job(chain(UP, Service.LIQUID, size=None), conditions=[condition(subcooling_K=9.0)], heat_exchange=True),
        (("l0", "l2", "l3"), ("l1",)),
    ),
}


@cache
def exhaustive(name: str) -> tuple[tuple[dict[str, Any], dict[str, float]], ...]:
    made, groups = CASES[name]
    return tuple(Oracle(priced(made), groups, (SINGLE,) * len(groups)).all())


@pytest.mark.parametrize("name", CASES)
def test_the_choice_is_that_of_an_exhaustive_search(name: str) -> None:
    passing = exhaustive(name)
    assert len(passing) > 3
    found = proposal(priced(CASES[name][0]))
    assert found.fits
    sizes, figures = min(passing, key=lambda own: (own[1]["mass"], own[1]["penalty"]))
    assert dict(found.chosen.sizes) == sizes
    assert found.chosen.tube_mass_kg == pytest.approx(figures["mass"], rel=1e-12)
    assert found.chosen.penalty_K == pytest.approx(figures["penalty"], rel=2e-4)
    assert found.chosen.charge_kg == pytest.approx(figures["charge"], rel=2e-4)
    lightest = found.by(Objective.CHARGE)
    assert lightest is not None
    assert dict(lightest.sizes) == min(passing, key=lambda own: own[1]["charge"])[0]


@pytest.mark.parametrize("name", CASES)
def test_the_front_is_that_of_an_exhaustive_search(name: str) -> None:
    """A point may be missing only where another one is as light and costs not a hundredth of a kelvin more.

    Which ones are shown goes by estimates, which solving in full moves by less than a hundredth of themselves.
    """
    passing = exhaustive(name)
    front = proposal(priced(CASES[name][0])).front
    assert len(front) > 1
    masses, penalties = [one.tube_mass_kg for one in front], [one.penalty_K for one in front]
    assert masses == sorted(masses)
    assert penalties == sorted(penalties, reverse=True)
    for one in front:
        beaten = [f for _, f in passing if f["mass"] < one.tube_mass_kg - 1e-9 and f["penalty"] < one.penalty_K - 1e-4]
        assert not beaten
    for _, figures in passing:
        assert any(
            one.tube_mass_kg <= figures["mass"] + 1e-9 and one.penalty_K <= 1.01 * figures["penalty"] + 0.01
            for one in front
        )


def test_least_power_and_yearly_cost() -> None:
    """Less penalty, less power: for a gas line both choose the least penalty of all where hours do not differ."""
    found = proposal(priced(CASES["gas"][0]))
    sizes, figures = min(exhaustive("gas"), key=lambda own: own[1]["penalty"])
    for objective in (Objective.POWER, Objective.YEARLY_COST):
        best = found.by(objective)
        assert best is not None
        assert dict(best.sizes) == sizes
        # Legs are cut as finely as the worst combination of a batch asks, which makes some 1e-4.
        assert best.penalty_K == pytest.approx(figures["penalty"], rel=2e-4)
    cost = found.by(Objective.YEARLY_COST)
    assert cost is not None
    assert cost.yearly_cost is not None
    dearer = proposal(priced(CASES["gas"][0], price=0.4)).by(Objective.YEARLY_COST)
    assert dearer is not None
    assert dearer.yearly_cost == pytest.approx(2.0 * cost.yearly_cost)
    unpriced = proposal(CASES["gas"][0])
    assert unpriced.by(Objective.YEARLY_COST) is None
    assert unpriced.by(Objective.POWER) is not None
    assert proposal(CASES["liquid"][0]).by(Objective.POWER) is None


def test_the_search_goes_on_until_one_passes(monkeypatch: pytest.MonkeyPatch) -> None:
    """However few are solved at a time, the choice is the same: estimates that do not hold are passed over."""
    made = job(chain(HUMP, size=None), conditions=[condition("one", capacity_W=40e3)])
    whole = proposal(made)
    monkeypatch.setattr("linesizer.sizing.choose.TOGETHER", 1)
    monkeypatch.setattr("linesizer.sizing.choose._front_places", lambda found: set())
    stepped = proposal(made)
    assert dict(stepped.chosen.sizes) == dict(whole.chosen.sizes)
    least, most = whole.by(Objective.CHARGE), stepped.by(Objective.CHARGE)
    assert least is not None
    assert most is not None
    assert dict(least.sizes) == dict(most.sizes)


def test_three_groups_against_every_combination_of_some_sizes() -> None:
    """Level, climbing and falling legs of their own; the search outside keeps to the sizes around the choice."""
    made = job(chain(HUMP, size=None), conditions=[condition("one", capacity_W=40e3)])
    groups = (("l0",), ("l1", "l3"), ("l2",))
    found = proposal(made)
    places = [COPPER.index(str(dict(found.chosen.sizes)[legs[0]])) for legs in groups]
    sizes = tuple(SINGLE[max(0, place - 2) : place + 3] for place in places)
    passing = tuple(Oracle(made, groups, sizes).all())
    assert dict(found.chosen.sizes) == min(passing, key=lambda own: (own[1]["mass"], own[1]["penalty"]))[0]
    assert found.combinations == len(SINGLE) ** 3


RISER: list[Point] = [ORIGIN, (0.0, 0.0, 9.0), (8.0, 0.0, 9.0)]


def test_a_double_riser_where_no_single_tube_does() -> None:
    """All pairs against the choice; lighter ones that need a deeper trap than a metre give way to those that do not."""
    made = job(chain(RISER, size=[None, "1-5/8"]), conditions=WIDE)
    single = tuple(Oracle(made, (("l0",),), (SINGLE,)).all())
    assert single == ()
    couples = [(small, large) for place, small in enumerate(SINGLE) for large in SINGLE[place:]]
    passing, anything = (
        tuple(Oracle(made, (("l0",),), (tuple(DoubleRiser(*couple, seal) for couple in couples),)).all())
        for seal in (1.0, 5.0)
    )
    found = proposal(made)
    assert found.fits
    chosen = dict(found.chosen.sizes)["l0"]
    assert isinstance(chosen, DoubleRiser)
    best = min(passing, key=lambda own: (own[1]["mass"], own[1]["penalty"]))[0]["l0"]
    assert (chosen.small, chosen.large) == (best.small, best.large)
    assert chosen.seal_m <= 1.0
    lightest = min(anything, key=lambda own: (own[1]["mass"], own[1]["penalty"]))[0]["l0"]
    assert (lightest.small, lightest.large) != (best.small, best.large), "a lighter one needs a deeper trap"
    # The seal holds at every load, with a step to spare at most: half of it would be blown out.
    heavy = [finding.code for finding in solve(made).findings if finding.level.weight > 1]
    assert heavy == ["level_velocity_flat"], "the level run that the test holds at 1-5/8 is slow at the least load"
    built = Oracle(made, (("l0",),), ()).built((replace(chosen, seal_m=0.5 * chosen.seal_m),))
    assert [finding.level for finding in solve(built).findings if "seal" in finding.code or "riser" in finding.code]


def test_single_tubes_go_first() -> None:
    made = job(chain(RISER, size=None), conditions=MILD)
    assert not any(isinstance(build, DoubleRiser) for _, build in proposal(made).chosen.sizes)


def test_a_slope_is_no_double_riser() -> None:
    """A run that climbs 1 in 5 has to return its oil, but two tubes with a trap do not belong there."""
    slope: list[Point] = [ORIGIN, (45.0, 0.0, 9.0), (53.0, 0.0, 9.0)]
    found = proposal(job(chain(slope, size=[None, "1-5/8"]), conditions=WIDE))
    assert not found.fits
    assert not any(isinstance(build, DoubleRiser) for _, build in found.chosen.sizes)


def test_where_nothing_fits_the_nearest_and_what_excludes() -> None:
    """Counted by hand from the sweep of a line that is a single group: one row a combination."""
    made = job(chain([ORIGIN, (0.0, 0.0, 9.0)], size=None), conditions=WIDE, overrides={"discharge_penalty_K": 0.1})
    limited = replace(made, circuits=(replace(made.circuits[0], maximum_pressure_Pa=6.5e6),))
    result = solve(limited).circuits[0].lines[0]
    found = result.proposal
    assert found is not None
    assert result.sweep is not None
    assert not found.fits
    assert not found.best
    assert not found.front
    assert result.legs is not None
    by_rule = {one.rule: one for one in found.exclusions}
    sweep = result.sweep
    passes = np.isfinite(sweep.velocity_m_s)
    low = passes & (sweep.oil_return_ratio < PRACTICE.value("oil_return_stop_ratio"))
    weak = passes & (sweep.allowable_gauge_Pa < sweep.demand_gauge_Pa)
    dear = passes & (sweep.saturation_penalty_K > 0.1)
    assert by_rule["oil_return_stop_ratio"].combinations == int(low.sum())
    assert by_rule["rating_temper"].combinations == int(weak.sum())
    assert by_rule["discharge_penalty_K"].combinations == int(dear.sum())
    margin = passes & (sweep.oil_return_ratio < PRACTICE.value("oil_return_margin_ratio"))
    fast = passes & (sweep.velocity_m_s > PRACTICE.value("discharge_velocity_max_m_s"))
    others = passes & ~weak & ~margin & ~fast
    nearest = by_rule["discharge_penalty_K"].nearest
    if others.any():
        assert nearest == pytest.approx(sweep.saturation_penalty_K[others].min(), rel=2e-2)
    else:
        assert nearest is None


def test_no_size_that_passes_leaves_the_line_empty() -> None:
    result = solve(job(chain(UP, size=None), conditions=[condition(capacity_W=1e9)])).circuits[0]
    assert result.lines[0].proposal is None
    assert result.lines[0].legs is None
    assert "no_size_passes" in {finding.code for finding in result.findings}


def test_what_is_sized_is_what_is_shown() -> None:
    """The line's figures are those of the same job with the chosen sizes stated, and the job itself stays open."""
    made = priced(job(chain(UP, size=None), conditions=(MILD[0], condition("low", capacity_W=20e3, condensing_C=32.0))))
    circuit = solve(made).circuits[0]
    line, found = circuit.lines[0], circuit.lines[0].proposal
    assert found is not None
    assert circuit.circuit is made.circuits[0]
    stated = Oracle(made, tuple((leg,) for leg, _ in found.chosen.sizes), ()).built(
        tuple(size for _, size in found.chosen.sizes)
    )
    same = solve(stated).circuits[0].lines[0]
    assert same.proposal is None
    assert line.line == same.line
    assert line.flow is not None
    assert same.flow is not None
    np.testing.assert_array_equal(line.flow.drop_Pa, same.flow.drop_Pa)
    assert line.legs is not None
    ratios = np.concatenate([line.legs.oil_return_ratio, line.legs.corner_ratio], axis=1)
    assert np.nanmin(line.legs.corner_ratio) < np.nanmin(line.legs.oil_return_ratio)
    assert found.chosen.oil_return_ratio == pytest.approx(float(np.nanmin(ratios)), rel=2e-4)
    assert found.chosen.velocity_m_s == pytest.approx(float(line.legs.velocity_m_s.max()), rel=2e-4)
    assert line.legs.sizes == tuple(size for _, size in found.chosen.sizes)


def test_a_sized_line_can_be_sized_anew() -> None:
    open_job, sized = CASES["gas"][0], job(chain(UP, size="3-1/8"), conditions=MILD)
    again = propose_sizes(sized, "c1", "gas")
    assert again is not None
    assert again.chosen == proposal(open_job).chosen
    by_charge = propose_sizes(sized, "c1", "gas", Objective.CHARGE)
    assert by_charge is not None
    assert by_charge.chosen == again.by(Objective.CHARGE)
    branched = Line("gas", Service.SUCTION, sized.circuits[0].lines[0].nodes, sized.circuits[0].lines[0].legs)
    assert propose_sizes(job(branched, conditions=MILD), "c1", "gas") is None


def test_another_tube_has_sizes_of_its_own() -> None:
    plain = chain(UP, size=None)
    legs = tuple(replace(leg, tube="EN-12735-1") if leg.id == "l1" else leg for leg in plain.legs)
    found = proposal(job(replace(plain, legs=legs), conditions=MILD))
    sizes = dict(found.chosen.sizes)
    assert sizes["l1"] in tube_catalogue("EN-12735-1").size_names
    assert sizes["l0"] in SINGLE
    assert found.fits


def test_blocks_give_what_the_whole_gives(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = proposal(CASES["gas"][0])
    monkeypatch.setattr("linesizer.sizing.combine.MOST_AT_ONCE", 40)
    assert proposal(CASES["gas"][0]) == whole


def test_a_combination_knows_its_figures() -> None:
    one = Combination((("l0", "7/8"),), 0.5, 3.0, 0.2, 9.0, extra_power_W=40.0)
    assert [one.figure(goal) for goal in Objective] == [3.0, 0.2, 40.0, None]
