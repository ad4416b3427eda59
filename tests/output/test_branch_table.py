"""How the flow splits, as printed: the shares and columns of the result, a row for each condenser and condition."""

from __future__ import annotations

from linesizer.evaluate import solve
from linesizer.output.branch_table import branch_rows
from linesizer.output.size_table import size_report
from tests.solver.condensers import parallel_job


def test_a_row_for_each_condenser_at_each_condition() -> None:
    result = solve(parallel_job(shares=(0.5, 0.5))).circuits[0]
    gas, liquid = result.lines
    rows = branch_rows(gas, result, "si")
    assert rows[0] == ["way to", "at", "share, %", "drop, kPa", "penalty, K"]
    assert [row[:3] for row in rows[1:]] == [
        ["Near one", "full", "50.0"],
        ["Near one", "low", "50.0"],
        ["Far one", "full", "50.0"],
        ["Far one", "low", "50.0"],
    ]
    for row, drop in zip(rows[1:], [*gas.branches[0].drop_Pa, *gas.branches[1].drop_Pa], strict=True):
        assert float(row[3]) == round(float(drop) / 1e3, 2)
    rows = branch_rows(liquid, result, "si")
    assert rows[0][-2:] == ["column short by, m", "falls, m"]
    assert [row[-1] for row in rows[1:]] == ["7.00"] * 4
    assert rows[3][-2] == rows[4][-2] == "0.00"
    assert float(rows[1][-2]) == round(float(liquid.branches[0].column_short_m[0]), 2)


def test_a_column_that_is_full_but_for_a_hair_is_full() -> None:
    """With open shares nothing is left but what solving leaves, some micrometres."""
    result = solve(parallel_job()).circuits[0]
    liquid = result.lines[1]
    assert 0.0 < max(float(branch.column_short_m.max()) for branch in liquid.branches) < 1e-3
    assert [row[-2] for row in branch_rows(liquid, result, "si")[1:]] == ["0.00"] * 4


def test_the_report_has_it_and_one_condenser_has_none() -> None:
    whole = solve(parallel_job())
    text = size_report(whole, "ip")
    assert "way to" in text
    assert "column short by, ft" in text
    (circuit,) = whole.circuits
    single = parallel_job(equipment=circuit.circuit.equipment[:1])
    assert "way to" not in size_report(solve(single), "si")
