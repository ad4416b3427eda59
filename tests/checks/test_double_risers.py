"""What is said of a double riser: both tubes, the small one alone, a seal that is blown out or too low, the corners."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linesizer.domain.condition import Condition
from linesizer.domain.finding import Figure, Level
from linesizer.domain.result import CircuitResult, DoubleRiserResult
from linesizer.domain.route import DoubleRiser
from linesizer.evaluate import solve
from linesizer.solver.double_riser import Pattern
from tests.checks.limits import assert_words_are_whole, coded, only
from tests.solver.routes import ORIGIN, chain, condition, job

FULL, LOW = condition("full", name="Full load"), condition("low", capacity_W=9e3, name="Night")
CODES = ("oil_return_short", "oil_return_near", "double_riser_blown", "double_riser_seal")


def built(
    *conditions: Condition, small: str = "7/8", large: str = "1-3/8", seal_m: float = 1.0, **changes: float
) -> CircuitResult:
    plain = chain([ORIGIN, (0.0, 0.0, 12.0)])
    leg = replace(plain.legs[0], size=None, double_riser=DoubleRiser(small, large, seal_m))
    return solve(job(replace(plain, legs=(leg,)), conditions=conditions, overrides=changes)).circuits[0]


def twin(found: CircuitResult) -> DoubleRiserResult:
    legs = found.lines[0].legs
    assert legs is not None
    return legs.double_risers[0]


def said(found: CircuitResult) -> set[str]:
    return {code for code in CODES if coded(found, code)}


def test_both_lift_at_full_load_and_the_small_one_carries_the_low_one() -> None:
    found = built(FULL, LOW)
    assert twin(found).pattern.tolist() == [Pattern.BOTH, Pattern.SMALL]
    assert said(found) == set()


def test_a_seal_that_the_low_load_blows_out_stops_with_the_one_that_would_hold() -> None:
    found = built(FULL, LOW, seal_m=0.3)
    finding = only(found, "double_riser_blown")
    assert (finding.level, finding.rule, finding.condition) == (Level.STOP, "oil_return_stop_ratio", "low")
    assert finding.value == 0.3
    assert finding.limit == twin(found).seal_needed_m[1]
    assert_words_are_whole(finding)
    # A height shows in whole millimetres or eighths of an inch; the one that is asked for is never less than is needed:
    # 453.5 mm and half an eighth, 1.6 mm, are 455 mm, 17.92 in, of which the nearest eighth is 17 7/8 in or 454.0 mm.
    for word in ("Night", "13.5 kW", "300 mm", "455 mm"):
        assert word in finding.message()
    for word in ("11 3/4 in", "A seal of 17 7/8 in"):
        assert word in finding.message("ip")
    assert said(found) == {"double_riser_blown"}
    # With the seal that is asked for the small tube works alone.
    assert finding.limit is not None
    assert twin(built(FULL, LOW, seal_m=finding.limit * 1.001)).pattern[1] == Pattern.SMALL
    assert "double_riser_blown" not in said(built(FULL, LOW, seal_m=finding.limit * 1.001))


def test_a_seal_is_no_cure_where_the_small_tube_alone_is_too_slow() -> None:
    found = built(FULL, condition("low", capacity_W=2.5e3), small="1-1/8", large="1-5/8", seal_m=0.001)
    finding = only(found, "double_riser_blown")
    assert twin(found).alone_ratio[1] < 1.0
    assert "smaller small tube" in finding.message()
    assert "A seal of" not in finding.message()
    assert_words_are_whole(finding)


def test_a_seal_that_holds_the_low_load_but_not_the_changeover_warns() -> None:
    found = built(FULL, LOW, seal_m=0.6)
    finding = only(found, "double_riser_seal")
    assert (finding.level, finding.rule) == (Level.WARN, "double_riser_seal_least_m")
    needed = [*twin(found).seal_at_changeover_m, *twin(found).corner_seal_at_changeover_m]
    assert finding.limit == max(needed)
    assert_words_are_whole(finding)
    assert said(found) == {"double_riser_seal"}
    assert said(built(FULL, LOW, seal_m=max(needed) + 1e-6)) == set()
    assert said(built(FULL, LOW, seal_m=max(needed) - 1e-6)) == {"double_riser_seal"}
    # The job's own least seal counts where the drop asks for less.
    assert said(built(FULL, LOW, seal_m=1.0, double_riser_seal_least_m=1.2)) == {"double_riser_seal"}


def test_the_seal_does_not_matter_where_no_load_crosses_the_changeover() -> None:
    assert said(built(FULL, condition("less", capacity_W=30e3), seal_m=0.01)) == set()


def test_the_small_tube_too_slow_for_the_least_load_stops() -> None:
    found = built(FULL, condition("low", capacity_W=2.5e3, name="Night"))
    finding = only(found, "oil_return_short")
    assert finding.value == twin(found).alone_ratio[1]
    assert (finding.condition, finding.remedy) == ("low", None)
    assert "the small tube of double riser l0 (7/8 + 1-3/8) carries alone" in finding.message()
    assert_words_are_whole(finding)


@pytest.mark.parametrize(("by", "near"), [(1e-9, True), (0.0, False), (-1e-9, False)])
def test_the_margin_counts_for_the_worse_tube_that_flows(by: float, near: bool) -> None:
    value = min(float(twin(built(FULL, LOW)).small_ratio[1]), float(twin(built(FULL, LOW)).small_ratio[0]))
    found = built(FULL, LOW, oil_return_margin_ratio=value * (1.0 + by))
    assert bool(coded(found, "oil_return_near")) == near
    if near:
        finding = only(found, "oil_return_near")
        assert "in the worse of its flowing tubes" in finding.message()
        assert_words_are_whole(finding)


def test_a_corner_that_nobody_states_is_judged_too() -> None:
    """At the design's condensing pressure the least load blows out the seal that holds it in winter."""
    night = condition("low", capacity_W=11e3, condensing_C=32.0, name="Night")
    state = twin(built(FULL, night))
    own, corner = float(state.seal_needed_m[1]), float(state.corner_seal_needed_m[0])
    assert corner != own
    seal = 0.5 * (own + corner)
    found = built(FULL, night, seal_m=seal)
    finding = only(found, "double_riser_blown")
    place = "low" if own > corner else None
    assert finding.condition == place
    assert finding.limit == pytest.approx(max(own, corner), rel=1e-6)
    assert ("Night" if place else "design condensing with least load") in finding.message()
    changeover = dict(finding.figures)["changeover"]
    assert isinstance(changeover, Figure)
    assert changeover.value > 11e3


def test_where_the_line_cannot_pass_its_flow_nothing_is_said_of_the_pattern() -> None:
    """A narrow leg behind the riser lets the peak not through; the riser's big tubes would not lift it either."""
    plain = chain([ORIGIN, (0.0, 0.0, 12.0), (80.0, 0.0, 12.0)], size=["1-3/8", "3/8"])
    leg = replace(plain.legs[0], size=None, double_riser=DoubleRiser("7/8", "4-1/8", 1e-4))
    line = replace(plain, legs=(leg, plain.legs[1]))
    loads = [condition("peak", capacity_W=30e3, name="Peak"), condition("low", capacity_W=4e3, name="Night")]
    found = solve(job(line, conditions=loads)).circuits[0]
    flow = found.lines[0].flow
    assert flow is not None
    assert flow.passes_flow.tolist() == [False, True]
    assert twin(found).pattern.tolist() == [Pattern.BLOWN, Pattern.BLOWN]
    assert np.isnan(twin(found).seal_needed_m).tolist() == [True, False]
    for finding in found.findings:
        assert_words_are_whole(finding)
    assert only(found, "double_riser_blown").condition == "low"
