"""The proposed double riser against all pairs, each built into the job and solved."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from linesizer.catalog.practice import practice_set
from linesizer.catalog.tubes import tube_catalogue
from linesizer.document.remedies import remedy_command
from linesizer.domain.finding import Level
from linesizer.domain.job import Job
from linesizer.domain.remedy import UseDoubleRiser
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import DoubleRiser
from linesizer.evaluate import solve
from linesizer.properties.library import load
from tests.checks.limits import coded
from tests.solver.routes import ORIGIN, chain, condition, job

HEIGHT_m = 14.0
PLAIN = job(
    chain([ORIGIN, (2.0, 0.0, 0.0), (2.0, 0.0, HEIGHT_m), (6.0, 0.0, HEIGHT_m)], size="1-5/8"),
    conditions=[condition("full"), condition("low", capacity_W=11e3, condensing_C=32.0)],
)
PRACTICE = practice_set("general")


def remedy(made: Job) -> UseDoubleRiser:
    (finding,) = coded(solve(made).circuits[0], "oil_return_short")
    assert isinstance(finding.remedy, UseDoubleRiser)
    return finding.remedy


@cache
def built(small: str, large: str, seal_m: float) -> CircuitResult:
    line = PLAIN.circuits[0].lines[0]
    legs = list(line.legs)
    legs[1] = replace(legs[1], size=None, double_riser=DoubleRiser(small, large, seal_m))
    return solve(job(replace(line, legs=tuple(legs)), conditions=PLAIN.circuits[0].conditions)).circuits[0]


def fits(small: str, large: str, *, slack: float = 0.0) -> bool:
    """Whether a pair with a seal that holds anything lifts oil with practice's margin and costs the riser's aim."""
    found = built(small, large, 1e3).lines[0]
    assert found.legs is not None
    assert found.flow is not None
    if not found.flow.passes_flow.all():
        return False
    ratios = np.concatenate([found.legs.oil_return_ratio[1], found.legs.corner_ratio[1]])
    dew = load("R134a").dew_temperature
    inlet = found.legs.inlet_Pa[1]
    penalty_K = dew(inlet) - dew(inlet - found.legs.friction_Pa[1] - found.legs.fittings_Pa[1])
    margin, aim = PRACTICE.value("oil_return_margin_ratio"), PRACTICE.value("discharge_penalty_target_K")
    return bool((ratios >= margin * (1.0 - slack)).all() and (penalty_K <= aim * (1.0 + slack)).all())


def test_the_proposal_cures_the_leg() -> None:
    command = remedy_command("c1", remedy(PLAIN))
    after = solve(command.apply(PLAIN)).circuits[0]
    assert [finding for finding in after.findings if finding.level is Level.STOP] == []
    for code in ("oil_return_short", "oil_return_near", "double_riser_blown", "double_riser_seal"):
        assert coded(after, code) == []


def test_the_proposal_is_the_lightest_pair_that_fits() -> None:
    """A two-hundredth on either side is left open: the pairs are judged at the pressures of the line as drawn."""
    catalogue = tube_catalogue("ASTM-B280-drawn")
    chosen = remedy(PLAIN).riser
    mass = dict(zip(catalogue.size_names, catalogue.masses_kg_m, strict=True))
    least = mass[chosen.small] + mass[chosen.large]
    assert fits(chosen.small, chosen.large, slack=0.005)
    names = catalogue.size_names
    lighter = [
        (small, large)
        for index, small in enumerate(names)
        for large in names[index:]
        if mass[small] + mass[large] < least * (1.0 - 1e-9)
    ]
    assert len(lighter) > 10
    for small, large in lighter:
        assert not fits(small, large, slack=-0.005), (small, large)


def test_the_seal_is_the_least_step_that_no_load_blows_out() -> None:
    chosen = remedy(PLAIN).riser
    twin = built(chosen.small, chosen.large, chosen.seal_m).lines[0].legs.double_risers[0]  # type: ignore[union-attr]
    assert chosen.seal_m / 0.05 == pytest.approx(round(chosen.seal_m / 0.05))
    needed = max(float(twin.seal_at_changeover_m.max()), float(twin.corner_seal_at_changeover_m.max()), 0.15)
    assert needed <= chosen.seal_m < needed + 0.05


def test_no_proposal_where_no_pair_serves_both_loads() -> None:
    """A hundredth of the load needs a tube that full load's penalty rules out together with any other."""
    far = job(PLAIN.circuits[0].lines[0], conditions=[condition("full"), condition("low", capacity_W=100.0)])
    (finding,) = coded(solve(far).circuits[0], "oil_return_short")
    assert finding.remedy is None
