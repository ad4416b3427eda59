"""The oil-return rows against the result that they are taken from."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linesizer.catalog.practice import practice_set
from linesizer.domain.job import Job
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import DoubleRiser
from linesizer.evaluate import solve
from linesizer.solver.double_riser import Pattern
from linesizer.storage import job_file
from linesizer.ui.plots.oil_return import (
    OilReturnRow,
    TwinFigures,
    Verdict,
    holds_words,
    oil_return_rows,
    twin_phrases,
    worst_words,
)
from tests.ui.opened import ABOVE, BELOW, SAMPLES, TALL

PRACTICE = practice_set("general")


def job(sample: str) -> Job:
    return job_file.read(SAMPLES / f"{sample}.json").job


def solved(sample: str) -> CircuitResult:
    return solve(job(sample)).circuits[0]


def test_every_climbing_leg_has_a_row_for_every_condition_and_then_every_corner() -> None:
    found = solved(TALL)
    rows = oil_return_rows(found, PRACTICE)
    corners = [corner.title for corner in found.corners]
    assert corners == ["design condensing with least load", "least condensing with full load"]
    assert [(row.leg, row.condition) for row in rows] == [
        (leg, at) for leg in ("d1", "d3") for at in (0, 1, None, None)
    ]
    assert [row.title for row in rows if row.condition is None] == 2 * corners
    assert [row.first for row in rows] == 2 * [True, False, False, False]
    assert [row.last for row in rows] == 2 * [False, False, False, True]
    assert [row.verdict for row in rows] == 2 * [Verdict.HOLDS, Verdict.SHORT, Verdict.SHORT, Verdict.HOLDS]


def test_a_corner_has_its_own_load_and_temperature() -> None:
    """At a corner one load runs at the other's condensing temperature, so its ratio is that of such a condition."""
    before, found = job(TALL), solved(TALL)
    circuit = before.circuits[0]
    row = next(row for row in oil_return_rows(found, PRACTICE) if row.condition is None)
    assert (row.capacity_W, row.condensing_C) == (13_500.0, 48.0)
    stated = replace(circuit.conditions[1], condensing_C=48.0)
    after = solve(replace(before, circuits=(replace(circuit, conditions=(circuit.conditions[0], stated)),))).circuits[0]
    again = next(other for other in oil_return_rows(after, PRACTICE) if (other.leg, other.condition) == (row.leg, 1))
    assert row.ratio == pytest.approx(again.ratio, rel=1e-6)
    assert row.velocity_m_s == pytest.approx(again.velocity_m_s, rel=1e-6)


def test_exactly_one_row_is_the_worst() -> None:
    rows = oil_return_rows(solved(TALL), PRACTICE)
    worst = [row for row in rows if row.worst]
    assert len(worst) == 1
    assert worst[0].ratio == min(row.ratio for row in rows)


@pytest.mark.parametrize("sample", [ABOVE, BELOW, TALL])
def test_at_the_load_that_a_leg_holds_down_to_the_ratio_is_one(sample: str) -> None:
    """The stated load, put back into the job, has to bring the solver's own ratio to the criterion.

    Off by no more than the pressure at the line's start changes, for the line's own drop goes with the load
    (derived: the least flow goes with the square root of the gas density, and that along an isentrope with less than
    the pressure).
    """
    before, found = job(sample), solved(sample)
    circuit = before.circuits[0]
    for row in oil_return_rows(found, PRACTICE):
        if row.condition is None:
            continue
        conditions = list(circuit.conditions)
        conditions[row.condition] = replace(conditions[row.condition], capacity_W=row.holds_W)
        after = solve(replace(before, circuits=(replace(circuit, conditions=tuple(conditions)),))).circuits[0]
        again = next(
            other
            for other in oil_return_rows(after, PRACTICE)
            if (other.leg, other.condition) == (row.leg, row.condition)
        )
        change = inlet_Pa(after, row) / inlet_Pa(found, row) - 1.0
        assert abs(change) < 0.05
        assert abs(again.ratio - 1.0) <= abs(change)


def inlet_Pa(result: CircuitResult, row: OilReturnRow) -> float:
    flow = result.lines[0].flow
    assert flow is not None
    assert row.condition is not None
    return float(flow.inlet_Pa[row.condition])


def test_velocity_is_the_least_velocity_times_the_ratio() -> None:
    for row in oil_return_rows(solved(TALL), PRACTICE):
        assert row.velocity_m_s == pytest.approx(row.ratio * row.least_m_s)


def test_the_job_s_own_margin_decides_the_verdict() -> None:
    strict = practice_set("general", (("oil_return_margin_ratio", 4.5),))
    verdicts = [row.verdict for row in oil_return_rows(solved(TALL), strict)]
    assert verdicts == 2 * [Verdict.NEAR, Verdict.SHORT, Verdict.SHORT, Verdict.NEAR]


def test_a_line_that_only_falls_has_no_rows() -> None:
    found = solved(ABOVE)
    assert found.lines[0].legs is not None
    falling = replace(found.lines[0].legs, climbs=found.lines[0].legs.climbs & False)
    assert oil_return_rows(replace(found, lines=(replace(found.lines[0], legs=falling),)), PRACTICE) == ()
    assert oil_return_rows(replace(found, lines=(replace(found.lines[0], legs=None),)), PRACTICE) == ()


ROW = OilReturnRow(
    "dis", "d3", "1-3/8", 1, "low", 1.3, 6.5, 5.0, 26_000.0, 30.0, 20_000.0, Verdict.HOLDS, True, True, True
)


def test_the_words_name_the_load_and_the_temperature() -> None:
    assert holds_words(ROW, "si") == "20.0 kW at 30.0 °C"
    assert holds_words(ROW, "ip") == "5.69 tons at 86.0 °F"
    assert worst_words(ROW, PRACTICE, "si") == (
        "At low (26.0 kW) the gas in d3, 1-3/8, carries 1.30 times the least flow. It returns oil down to 20.0 kW at "
        "30.0 °C condensing."
    )
    short = replace(ROW, ratio=0.8, holds_W=32_500.0)
    assert worst_words(short, PRACTICE, "si").endswith("Oil stays; it would need 32.5 kW at 30.0 °C condensing.")


def twin_rows(riser: DoubleRiser, low_W: float = 13_500.0) -> tuple[CircuitResult, list[OilReturnRow]]:
    before = job(TALL)
    circuit = before.circuits[0]
    line = circuit.lines[0]
    legs = tuple(replace(leg, size=None, double_riser=riser) if leg.id == "d3" else leg for leg in line.legs)
    conditions = (circuit.conditions[0], replace(circuit.conditions[1], capacity_W=low_W))
    circuit = replace(circuit, lines=(replace(line, legs=legs), *circuit.lines[1:]), conditions=conditions)
    found = solve(replace(before, circuits=(circuit,))).circuits[0]
    return found, [row for row in oil_return_rows(found, PRACTICE) if row.leg == "d3"]


SHALLOW, DEEP = DoubleRiser("7/8", "1-3/8", 0.4), DoubleRiser("7/8", "1-3/8", 3.0)


def test_a_double_riser_names_the_tubes_that_flow() -> None:
    found, rows = twin_rows(SHALLOW)
    riser = found.lines[0].legs.double_risers[0]  # type: ignore[union-attr]
    twins = [row.twin for row in rows]
    assert [twin.pattern for twin in twins if twin] == [Pattern.BOTH, Pattern.BLOWN, Pattern.BLOWN, Pattern.BOTH]
    assert all(row.size == "7/8 + 1-3/8" for row in rows)
    full, low, corner = (twin for twin in twins[:3] if twin is not None)
    assert full.small_ratio == riser.small_ratio[0]
    assert rows[0].ratio == pytest.approx(min(full.small_ratio, full.large_ratio))
    assert low.seal_needed_m == riser.seal_needed_m[1] > low.seal_m
    assert corner.seal_needed_m == riser.corner_seal_needed_m[0]
    assert math.isnan(corner.small_ratio)
    _, deep = twin_rows(DEEP)
    assert [row.twin.pattern for row in deep if row.twin] == [Pattern.BOTH, Pattern.SMALL, Pattern.SMALL, Pattern.BOTH]
    assert deep[1].ratio == pytest.approx(deep[1].twin.alone_ratio if deep[1].twin else 0.0)


def test_a_double_riser_returns_oil_down_to_the_changeover_or_with_a_deep_seal_to_the_small_tubes_load() -> None:
    """The load that a deep seal holds down to, put back into the job, leaves the small tube at its criterion."""
    _, shallow = twin_rows(SHALLOW)
    for row in shallow:
        assert row.twin is not None
        assert row.holds_W == row.twin.changeover_W
    _, deep = twin_rows(DEEP)
    assert deep[1].holds_W < 0.3 * shallow[1].holds_W
    _, again = twin_rows(DEEP, deep[1].holds_W)
    # The drop of the line goes with the load, and the gas density with it; a few per cent, as for a single riser.
    assert again[1].ratio == pytest.approx(1.0, abs=0.02)
    assert again[1].twin is not None
    assert again[1].twin.pattern is Pattern.SMALL


def test_the_phrases_say_pattern_ratios_share_changeover_seal_and_penalty() -> None:
    twin = TwinFigures("7/8", "1-3/8", Pattern.BOTH, 5.031, 5.19, 23.8, 0.212, 16_600.0, 0.4, 39.8, 1.871, 0.365)
    assert twin_phrases(twin, "si") == (
        "both tubes",
        "small 7/8: 21 % of the flow, ratio 5.03",
        "large 1-3/8: 79 % of the flow, ratio 5.19",
        "both lift from 16.6 kW on",
        "just below, the trap needs 1871 mm and has 400 mm",
        "penalty there 0.36 K",
    )
    alone = twin_phrases(replace(twin, pattern=Pattern.SMALL, alone_ratio=3.9, seal_needed_m=0.3), "ip")
    assert alone[:4] == (
        "small tube alone",
        "small 7/8: all the flow, ratio 3.90",
        "large 1-3/8: sealed with oil",
        "seal: 11 3/4 in needed here, 15 3/4 in held",
    )
    nan = math.nan
    corner = replace(twin, pattern=Pattern.BLOWN, small_ratio=nan, large_ratio=nan, penalty_below_K=nan)
    assert twin_phrases(corner, "si")[:3] == (
        "seal blown out",
        "small 7/8 alone: ratio 23.80",
        "seal: 39800 mm needed here, 400 mm held",
    )
    assert not any("penalty" in phrase for phrase in twin_phrases(corner, "si"))


def test_the_sentence_about_the_worst_names_the_tube() -> None:
    twin = TwinFigures("7/8", "1-3/8", Pattern.SMALL, 5.0, 5.2, 1.3, 1.0, 16_600.0, 0.4, 0.3, 1.9, 0.36)
    words = worst_words(replace(ROW, size="7/8 + 1-3/8", twin=twin), PRACTICE, "si")
    assert "carries 1.30 times the least flow in the small tube alone." in words
    assert "the seal blown out" in worst_words(replace(ROW, twin=replace(twin, pattern=Pattern.BLOWN)), PRACTICE, "si")
