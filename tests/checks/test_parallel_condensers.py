"""Findings on parallel condensers: connected or not, even or not, and whether liquid columns can balance."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linesizer.domain.finding import Finding, Level
from linesizer.domain.job import Job
from linesizer.domain.route import LineEnd
from linesizer.evaluate import solve
from tests.solver.condensers import FULL, condensers, gas, liquid, parallel_job

G = 9.80665


def found(job: Job, *codes: str) -> tuple[Finding, ...]:
    return tuple(finding for finding in solve(job).findings if finding.code in codes)


ALL = ("condenser_not_connected", "split_uneven", "split_impossible", "gas_in_header", "drop_leg_short")


def test_alike_lines_say_nothing() -> None:
    assert found(parallel_job(gas(8.5), liquid(8.5)), *ALL) == ()


def test_a_condenser_without_its_lines_stops() -> None:
    job = parallel_job(
        replace(gas(), nodes=gas().nodes[:5], legs=gas().legs[:4], ends=gas().ends[:2]),
        replace(liquid(), ends=liquid().ends),
    )
    (stop,) = found(job, "condenser_not_connected")
    assert stop.level is Level.STOP
    assert stop.message().startswith("No discharge line is tied to Far one, so it takes no part here: the flow goes")
    assert "through Near one." in stop.message()


def test_the_limit_of_an_uneven_split_is_the_practice_sets() -> None:
    """The finding holds the share that the result shows, over an equal part; just above it there is none."""
    job = parallel_job(conditions=(FULL,))
    share = solve(job).circuits[0].lines[0].branches[0].share[0]
    off = share / 0.5 - 1.0
    (warning,) = found(job, "split_uneven")
    assert warning.level is Level.WARN
    assert warning.value == pytest.approx(off, rel=1e-9)
    assert f"takes {100 * share:.0f} %" in warning.message() or f"takes {100 - 100 * share:.0f} %" in warning.message()
    for change, count in ((1e-6, 0), (-1e-6, 1)):
        limited = replace(job, practice=replace(job.practice, overrides=(("parallel_share_spread", off + change),)))
        assert len(found(limited, "split_uneven")) == count
    # Somebody who states shares has decided.
    assert found(parallel_job(shares=(0.6, 0.4)), "split_uneven") == ()


def test_gas_reaches_the_header_where_the_branch_falls_less_than_the_column_has_to() -> None:
    """The column of the near branch stands short by so many metres; a branch of just that fall holds it."""
    shares = (0.5, 0.5)
    deep = solve(parallel_job(gas(branch="1-1/8"), liquid(), shares=shares, conditions=(FULL,)))
    short = float(deep.circuits[0].lines[1].branches[0].column_short_m[0])
    assert 0.3 < short < 6.0
    assert found(deep.job, "gas_in_header") == ()
    # Raise the header until the branch falls by a little more, and by a little less.
    for spare, count in ((0.05, 0), (-0.05, 1)):
        header = 9.0 - short - spare
        job = parallel_job(gas(branch="1-1/8"), liquid(header_m=header), shares=shares, conditions=(FULL,))
        stops = found(job, "gas_in_header")
        assert len(stops) == count
        for stop in stops:
            assert stop.level is Level.STOP
            assert stop.line == "liquid"
            assert stop.limit == pytest.approx(short + spare, abs=1e-6)
            assert stop.value == pytest.approx(short, abs=0.02)
            assert "in the branch of Near one liquid has to stand" in stop.message()


def test_a_drop_leg_is_asked_for_where_equal_parts_would_leave_more_than_the_branch_falls() -> None:
    """With equal parts stated the same lines need the column that the advice foretells, within a tenth.

    The advice says "about": it carries each loss over by the power 1.9 of the flow, at the densities of the split that
    is.
    """
    lines = (gas(branch="1-1/8"), liquid(header_m=8.7))
    (advice,) = found(parallel_job(*lines, conditions=(FULL,)), "drop_leg_short")
    assert advice.level is Level.WARN
    stated = solve(parallel_job(*lines, shares=(0.5, 0.5), conditions=(FULL,)))
    needed = stated.circuits[0].lines[1].branches[0].column_short_m[0]
    assert advice.value == pytest.approx(needed, rel=0.1)
    assert advice.limit == pytest.approx(0.3)
    assert "With 50 % of the flow through Near one" in advice.message()
    # With more fall than that there is nothing to say.
    lower = liquid(header_m=9.0 - 1.1 * float(needed))
    assert found(parallel_job(lines[0], lower, conditions=(FULL,)), "drop_leg_short") == ()


def test_a_condenser_whose_liquid_climbs_too_far_gets_nothing() -> None:
    """Five metres of liquid are some 55 kPa; the other way costs far less, so no split evens them out."""
    line = liquid()
    low = {"c": (20.0, 3.0, -3.0), "d": (20.0, 3.0, 2.0)}
    nodes = tuple(replace(node, at_m=low.get(node.id, node.at_m)) for node in line.nodes)
    job = parallel_job(gas(), replace(line, nodes=nodes), conditions=(FULL,))
    (stop,) = found(job, "split_impossible")
    assert stop.level is Level.STOP
    assert "Far one would get nothing. Its own liquid branch climbs." in stop.message()


def test_a_tee_behind_a_narrow_trunk_starves_the_way_through_its_branch() -> None:
    """Of the trunk's velocity head the tee takes more through its branch than straight on, and the branches, far wider,
    cost next to nothing to make up for it (3-K constants 0.14 and 0.05 on the head of the common leg).
    """
    job = parallel_job(gas(trunk="1-1/8", branch="2-5/8"), liquid(branch="2-1/8"), conditions=(FULL,))
    (stop,) = found(job, "split_impossible")
    assert "Near one would get nothing. Its way costs more than the others' whatever it carries" in stop.message()
    assert found(parallel_job(gas(trunk="1-1/8", branch="2-5/8"), shares=(0.5, 0.5)), "split_impossible") == ()


def test_ends_at_one_condenser_stop_the_line() -> None:
    line = replace(gas(), ends=(LineEnd("a", "unit"), LineEnd("d", "near"), LineEnd("g", "near")))
    (stop,) = found(parallel_job(line, liquid()), "not_calculated")
    assert stop.message().startswith("Line gas branches to nodes d and g, both tied to Near one; the split of its flow")
    assert stop.message().endswith("tie each of its ends to another one, or draw it as several lines.")


def test_a_condenser_with_a_stated_share_keeps_it() -> None:
    job = replace(parallel_job(), circuits=parallel_job(equipment=condensers(shares=(0.3, None))).circuits)
    near, far = solve(job).circuits[0].lines[0].branches
    assert near.share == pytest.approx([0.3, 0.3])
    assert far.share == pytest.approx([0.7, 0.7])


def test_a_branch_that_climbs_is_named_and_not_the_one_that_falls() -> None:
    """The near one's branch ends half a metre below the header: it is full, and the other's stands at its lowest."""
    line = liquid()
    low = {"a": (8.0, 3.0, 1.5)}
    nodes = tuple(replace(node, at_m=low.get(node.id, node.at_m)) for node in line.nodes)
    job = parallel_job(gas(), replace(line, nodes=nodes), conditions=(FULL,))
    (stop,) = found(job, "branch_climbs", "gas_in_header")
    assert stop.code == "branch_climbs"
    assert stop.level is Level.STOP
    assert stop.value == pytest.approx(0.5)
    assert stop.message().startswith("The liquid branch of Near one climbs 0.50 m to where it meets the others.")
