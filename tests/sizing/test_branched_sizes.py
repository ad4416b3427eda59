"""Sizes of lines that branch: what is proposed meets every limit, and no group of legs could do with a smaller one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linesizer.catalog.practice import practice_set
from linesizer.catalog.tubes import tube_catalogue
from linesizer.checks.size_exclusions import exclusion_sentences
from linesizer.domain.geometry import line_geometry
from linesizer.domain.job import Job
from linesizer.domain.proposal import Objective
from linesizer.domain.result import LineResult
from linesizer.domain.route import Line
from linesizer.evaluate import propose_sizes, solve
from linesizer.sizing.groups import all_open, built
from linesizer.sizing.oil_return_map import oil_return_map
from tests.solver.condensers import LOW, gas, liquid, parallel_job

TUBES = tube_catalogue("ASTM-B280-drawn")


def lines(job: Job) -> dict[str, LineResult]:
    return {line.line.id: line for line in solve(job).circuits[0].lines}


def with_line(job: Job, line: Line) -> Job:
    circuit = job.circuits[0]
    own = tuple(line if one.id == line.id else one for one in circuit.lines)
    return replace(job, circuits=(replace(circuit, lines=own),))


def limits_met(job: Job, name: str) -> bool:
    """Whether the line keeps penalty, oil return with its margin and velocity, read from the solved job itself."""
    result = lines(job)[name]
    assert result.flow is not None
    assert result.legs is not None
    if not result.flow.passes_flow.all():
        return False
    if name == "gas":
        ratios = min(float(result.legs.oil_return_ratio[result.legs.climbs].min()), _corner(result))
        penalty = max(float(branch.saturation_penalty_K.max()) for branch in result.branches)
        # Practice set general: 1 K, a ratio of 1.2, 18 m/s.
        return penalty <= 1.0 and ratios >= 1.2 and float(result.legs.velocity_m_s.max()) <= 18.0
    return (
        max(float(branch.saturation_penalty_K.max()) for branch in result.branches) <= 1.0  # no parts on it
        and float(result.flow.outlet_subcooling_K.min()) >= 2.0
        and float(result.legs.velocity_m_s.max()) <= 1.8
    )


def _corner(result: LineResult) -> float:
    assert result.legs is not None
    return float(result.legs.corner_ratio[result.legs.climbs].min(initial=99.0))


@pytest.mark.parametrize("name", ["gas", "liquid"])
@pytest.mark.parametrize("shares", [(None, None), (0.5, 0.5), (0.4, 0.6)])
def test_what_is_proposed_holds_and_nothing_smaller_does(name: str, shares: tuple[float | None, float | None]) -> None:
    drawn = {"gas": gas(), "liquid": liquid()}
    plain = parallel_job(shares=shares)
    job = with_line(plain, all_open(drawn[name]))
    result = lines(job)[name]
    proposal = result.proposal
    assert proposal is not None
    assert proposal.fits
    assert proposal.open_legs == tuple(geometry.leg.id for geometry in line_geometry(drawn[name]).legs)
    sizes = dict(proposal.chosen.sizes)
    assert set(sizes) == set(proposal.open_legs)
    stated = built(drawn[name], proposal.chosen.sizes)
    as_stated = with_line(plain, stated)
    assert limits_met(as_stated, name)
    solved = lines(as_stated)[name]
    assert solved.flow is not None
    judged = solved.flow.saturation_penalty_K if name == "gas" else solved.flow.tube_penalty_K
    assert proposal.chosen.penalty_K == pytest.approx(judged.max(), rel=1e-3)
    assert proposal.chosen.charge_kg == pytest.approx(solved.flow.charge_kg.max(), rel=1e-3)
    mass = sum(
        geometry.length_m * TUBES.find(str(sizes[geometry.leg.id])).mass_kg_m
        for geometry in line_geometry(drawn[name]).legs
    )
    assert proposal.chosen.tube_mass_kg == pytest.approx(mass, rel=1e-9)
    # Every set of legs of one size on one stretch, made one size smaller, breaks a limit; with an open split it may
    # send its flow the other way instead.
    for group in _groups(stated) if shares[0] is not None else ():
        smaller = TUBES.index(str(sizes[group[0]])) - 1
        changes = tuple((leg, TUBES.size_names[smaller]) for leg in group)
        assert not limits_met(with_line(plain, built(stated, changes)), name), (group, changes)


def _groups(line: Line) -> list[list[str]]:
    """Return the legs that are sized together: trunk and each branch, climbing gas legs apart."""
    found: dict[tuple[str, bool], list[str]] = {}
    parts = {"ab": "trunk", "bt": "trunk", "tu": "trunk", "uv": "trunk", "tc": "near", "at": "near"}
    for geometry in line_geometry(line).legs:
        part = parts.get(geometry.leg.id) or ("near" if line.id == "gas" and geometry.leg.id == "cd" else "far")
        climbs = line.id == "gas" and geometry.rise_m > 1.0
        found.setdefault((part, climbs), []).append(geometry.leg.id)
    return list(found.values())


def test_each_objective_is_worked_for_the_whole_line() -> None:
    proposal = propose_sizes(parallel_job(), "c1", "gas")
    assert proposal is not None
    assert proposal.fits
    least = proposal.by(Objective.MASS)
    cheap = proposal.by(Objective.POWER)
    assert least is proposal.chosen
    assert cheap is not None
    assert cheap.extra_power_W is not None
    assert least.extra_power_W is not None
    assert cheap.extra_power_W < least.extra_power_W
    assert cheap.tube_mass_kg > least.tube_mass_kg
    assert [one.tube_mass_kg for one in proposal.front] == sorted(one.tube_mass_kg for one in proposal.front)


def test_sizes_that_are_stated_stay() -> None:
    line = gas()
    legs = tuple(replace(leg, size=None) if leg.id == "ef" else leg for leg in line.legs)
    result = lines(with_line(parallel_job(), replace(line, legs=legs)))["gas"]
    assert result.proposal is not None
    assert [leg for leg, _ in result.proposal.chosen.sizes] == ["ef"]
    assert result.legs is not None
    assert result.legs.sizes[result.legs.ids.index("bt")] == "1-5/8"


def test_no_size_fits_says_what_excludes() -> None:
    job = parallel_job(all_open(gas()), liquid())
    strict = replace(job, practice=replace(job.practice, overrides=(("discharge_penalty_K", 0.06),)))
    result = lines(strict)["gas"]
    assert result.proposal is not None
    assert not result.proposal.fits
    assert "discharge_penalty_K" in {one.rule for one in result.proposal.exclusions}


def test_the_size_table_of_a_branched_line_is_that_of_the_line_drawn_in_each_size() -> None:
    """With stated shares the split is the same in every size; each leg counts once in charge and mass."""
    shares = (0.45, 0.55)
    for name, size in (("gas", "1-3/8"), ("liquid", "1-1/8")):
        whole = gas(trunk=size, branch=size) if name == "gas" else liquid(trunk=size, branch=size)
        result = lines(with_line(parallel_job(shares=shares), whole))[name]
        sweep, flow, legs = result.sweep, result.flow, result.legs
        assert sweep is not None
        assert flow is not None
        assert legs is not None
        at = sweep.sizes.index(size)
        worst = max(float(branch.saturation_penalty_K.max()) for branch in result.branches)
        # The table takes each way's compressor pressure for its own and cuts no leg.
        assert sweep.saturation_penalty_K[at] == pytest.approx(worst, rel=0.01)
        assert sweep.velocity_m_s[at] == pytest.approx(legs.velocity_m_s.max(), rel=0.01)
        assert sweep.charge_kg[at] == pytest.approx(flow.charge_kg.max(), rel=0.01)
        length = sum(geometry.length_m for geometry in line_geometry(whole).legs)
        assert sweep.tube_mass_kg[at] == pytest.approx(length * TUBES.find(size).mass_kg_m, rel=1e-9)
        if name == "gas":
            ratio = min(float(legs.oil_return_ratio[legs.climbs].min()), _corner(result))
            assert sweep.oil_return_ratio[at] == pytest.approx(ratio, rel=0.01)


def test_the_map_of_a_riser_behind_a_tee_meets_the_job_at_its_conditions() -> None:
    """At the job's own capacity and condensing temperature the map shows what the leg shows."""
    job = parallel_job(gas(branch="1-5/8"), liquid(), shares=(0.3, 0.7), conditions=(LOW,))
    result = solve(job).circuits[0]
    found = oil_return_map(result, job.site, practice_set("general"), points=9)
    assert found is not None
    assert found.leg == "tc", "the near riser carries least"
    line = result.lines[0]
    assert line.legs is not None
    column = [float(np.interp(30e3, found.capacity_W, row)) for row in found.ratio]
    own = line.legs.oil_return_ratio[line.legs.ids.index("tc"), 0]
    assert float(np.interp(30.0, found.condensing_C, column)) == pytest.approx(own, rel=0.01)


def test_a_split_that_sizes_move_beyond_a_limit_is_said_so() -> None:
    """Sizes found at one split that break a limit at their own exclude nothing else; the sentence stands by itself."""
    said = exclusion_sentences(()).text("si")
    assert said.startswith("Sizes that meet every limit move the flow from one condenser to the other")
    assert said.endswith(".")
