"""The oil-return rows against the result that they are taken from."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linesizer.catalog.practice import practice_set
from linesizer.domain.job import Job
from linesizer.domain.result import CircuitResult
from linesizer.evaluate import solve
from linesizer.storage import job_file
from linesizer.ui.plots.oil_return import OilReturnRow, Verdict, holds_words, oil_return_rows, worst_words
from tests.ui.opened import ABOVE, BELOW, SAMPLES, TALL

PRACTICE = practice_set("general")


def job(sample: str) -> Job:
    return job_file.read(SAMPLES / f"{sample}.json").job


def solved(sample: str) -> CircuitResult:
    return solve(job(sample)).circuits[0]


def test_every_climbing_leg_has_a_row_for_every_condition() -> None:
    rows = oil_return_rows(solved(TALL), PRACTICE)
    assert [(row.leg, row.condition) for row in rows] == [("d1", 0), ("d1", 1), ("d3", 0), ("d3", 1)]
    assert [row.first for row in rows] == [True, False, True, False]
    assert [row.last for row in rows] == [False, True, False, True]
    assert [row.verdict for row in rows] == [Verdict.HOLDS, Verdict.SHORT, Verdict.HOLDS, Verdict.SHORT]


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
    return float(flow.inlet_Pa[row.condition])


def test_velocity_is_the_least_velocity_times_the_ratio() -> None:
    for row in oil_return_rows(solved(TALL), PRACTICE):
        assert row.velocity_m_s == pytest.approx(row.ratio * row.least_m_s)


def test_the_job_s_own_margin_decides_the_verdict() -> None:
    strict = practice_set("general", (("oil_return_margin_ratio", 4.5),))
    assert [row.verdict for row in oil_return_rows(solved(TALL), strict)] == [
        Verdict.NEAR,
        Verdict.SHORT,
        Verdict.NEAR,
        Verdict.SHORT,
    ]


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
    assert holds_words(ROW, "si") == "20.0 kW at 30.0 °C condensing"
    assert holds_words(ROW, "ip") == "5.69 tons at 86.0 °F condensing"
    assert worst_words(ROW, PRACTICE, "si") == (
        "At low (26.0 kW) the gas in d3, 1-3/8, carries 1.30 times the least flow. It returns oil down to 20.0 kW at "
        "30.0 °C condensing."
    )
    short = replace(ROW, ratio=0.8, holds_W=32_500.0)
    assert worst_words(short, PRACTICE, "si").endswith("Oil stays; it would need 32.5 kW at 30.0 °C condensing.")
