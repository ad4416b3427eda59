"""Traps, inverted loops, and what keeps refrigerant from a compressor that stands."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.document.remedies import remedy_command
from linesizer.domain.finding import Level
from linesizer.domain.remedy import PutFitting
from linesizer.domain.route import DoubleRiser, Leg, Line, Node, Point
from tests.checks.judged import findings, job, messages
from tests.solver.routes import chain, condition

WITHIN_A_SURVEY_m = 0.001


def riser(height_m: float, **changes: Any) -> Line:
    """Return a line that runs level, climbs, and runs level again."""
    points = [(0.0, 0.0, 1.0), (3.0, 0.0, 1.0), (3.0, 0.0, 1.0 + height_m), (6.0, 0.0, 1.0 + height_m)]
    return chain(points, **changes)


# --- the trap at the foot


@pytest.mark.parametrize(
    ("height_m", "advised"), [(2.5 - WITHIN_A_SURVEY_m, False), (2.5, False), (2.5 + WITHIN_A_SURVEY_m, True)]
)
def test_a_trap_at_the_foot_just_below_at_and_just_above(height_m: float, advised: bool) -> None:
    found = findings(job(riser(height_m)), "riser_trap")
    assert [(finding.level, finding.leg) for finding in found] == ([(Level.NOTE, "l1")] if advised else [])


def test_what_the_trap_is_for_and_the_trap() -> None:
    before = job(riser(4.0))
    (found,) = findings(before, "riser_trap")
    si, ip = messages(found)
    assert si.startswith("Riser l1 of gas line gas rises 4.00 m from a level run without a trap at its foot")
    assert "rises 13.12 ft" in ip
    assert found.remedy == PutFitting("gas", "n1", "trap")
    assert findings(remedy_command("c1", found.remedy).apply(before), "riser_trap") == ()


def test_an_override_changes_the_verdict() -> None:
    assert findings(job(riser(4.0), overrides={"riser_trap_from_m": 5.0}), "riser_trap") == ()
    assert len(findings(job(riser(2.0), overrides={"riser_trap_from_m": 1.0}), "riser_trap")) == 1


def test_a_riser_from_the_compressor() -> None:
    (found,) = findings(job(chain([(0.0, 0.0, 0.0), (0.0, 0.0, 3.0), (2.0, 0.0, 3.0)])), "riser_trap")
    assert "rises 3.00 m from the compressor" in found.message()


def test_a_run_that_falls_to_the_foot_is_a_trap_by_itself() -> None:
    sagging = chain([(0.0, 0.0, 2.0), (0.0, 0.0, 1.0), (0.5, 0.0, 1.0), (0.5, 0.0, 5.0)])
    assert len(findings(job(sagging), "riser_trap")) == 1, "a level run between"
    sagging = chain([(0.0, 0.0, 2.0), (0.5, 0.0, 1.0), (0.5, 0.0, 5.0)])
    assert findings(job(sagging), "riser_trap") == ()


def test_climbing_legs_that_hang_together_are_one_riser() -> None:
    broken = chain([(0.0, 0.0, 0.0), (0.0, 0.0, 2.0), (1.0, 0.0, 4.0), (3.0, 0.0, 4.0)])
    (found,) = findings(job(broken), "riser_trap")
    assert found.value == pytest.approx(4.0)
    assert "Riser l0 and l1 of" in found.message()
    parted = chain([(0.0, 0.0, 0.0), (0.0, 0.0, 2.0), (1.0, 0.0, 2.0), (1.0, 0.0, 4.0)])
    assert findings(job(parted), "riser_trap") == ()


def test_a_double_riser_has_its_trap() -> None:
    single = riser(4.0)
    twins = replace(single.legs[1], size=None, double_riser=DoubleRiser("7/8", "1-1/8", 0.3))
    line = replace(single, legs=(single.legs[0], twins, single.legs[2]))
    assert findings(job(line), "riser_trap") == ()


# --- traps between


def low(capacity_W: float = 9e3) -> list[Any]:
    return [condition(), condition("low", capacity_W=capacity_W, condensing_C=30.0)]


@pytest.mark.parametrize(
    ("height_m", "advised"), [(7.5 - WITHIN_A_SURVEY_m, False), (7.5, False), (7.5 + WITHIN_A_SURVEY_m, True)]
)
def test_traps_between_where_oil_return_has_little_reserve(height_m: float, advised: bool) -> None:
    found = findings(job(riser(height_m, size="1-5/8"), conditions=low()), "riser_trap_spacing")
    assert [(finding.level, finding.leg) for finding in found] == ([(Level.NOTE, "l1")] if advised else [])


def test_a_riser_with_reserve_needs_none() -> None:
    strong = job(riser(20.0, size="1-5/8"), conditions=[condition()])
    assert findings(strong, "oil_return_short", "oil_return_near") == ()
    assert findings(strong, "riser_trap_spacing") == ()
    assert len(findings(job(riser(20.0, size="1-5/8"), conditions=low()), "riser_trap_spacing")) == 1


def test_a_corner_of_the_load_grid_counts() -> None:
    """The least load has a reserve of 13 per cent at 30 C, where it is stated; at the 55 C of another load it has 7."""
    stated = [condition("full", condensing_C=30.0), condition("low", capacity_W=17e3, condensing_C=30.0)]
    line = riser(12.0, size="1-5/8")
    reserve = {"oil_return_margin_ratio": 1.1}
    alone = findings(job(line, conditions=stated, overrides=reserve), "riser_trap_spacing")
    with_corner = findings(
        job(line, conditions=[*stated, condition("hot", capacity_W=40e3, condensing_C=55.0)], overrides=reserve),
        "riser_trap_spacing",
    )
    assert (len(alone), len(with_corner)) == (0, 1)


def test_how_many_and_what_they_do_not_do() -> None:
    (found,) = findings(job(riser(20.0, size="1-5/8"), conditions=low()), "riser_trap_spacing")
    si, ip = messages(found)
    assert "stands 20.00 m without a trap" in si
    assert "a trap every 7.50 m: 2 more." in si
    assert "a trap every 24.61 ft" in ip
    assert "A trap does not carry oil up" in si


def test_traps_on_the_way_count() -> None:
    points: list[Point] = [(0.0, 0.0, 0.0), (0.0, 0.0, 7.0), (0.0, 0.0, 14.0), (3.0, 0.0, 14.0)]
    bare = job(chain(points, size="1-5/8"), conditions=low())
    (found,) = findings(bare, "riser_trap_spacing")
    assert ": 1 more." in found.message()
    assert findings(job(chain(points, size="1-5/8", fittings={"n1": "trap"}), conditions=low()), found.code) == ()


def test_the_spacing_may_be_overridden() -> None:
    made = job(riser(20.0, size="1-5/8"), conditions=low(), overrides={"riser_trap_spacing_m": 20.0})
    assert findings(made, "riser_trap_spacing") == ()


# --- the inverted loop


def from_above(drop_m: float, **changes: Any) -> Line:
    return chain([(0.0, 0.0, 0.0), (0.0, 0.0, 2.0), (4.0, 0.0, 2.0), (4.0, 0.0, 2.0 - drop_m)], **changes)


@pytest.mark.parametrize(
    ("drop_m", "advised"), [(0.15 - WITHIN_A_SURVEY_m, True), (0.15, False), (0.15 + WITHIN_A_SURVEY_m, False)]
)
def test_a_line_that_reaches_the_condenser_from_above(drop_m: float, advised: bool) -> None:
    found = findings(job(from_above(drop_m)), "inverted_loop")
    assert [(finding.level, finding.leg) for finding in found] == ([(Level.NOTE, "l2")] if advised else [])


def test_a_loop_cures_it() -> None:
    before = job(from_above(0.1))
    (found,) = findings(before, "inverted_loop")
    assert found.remedy == PutFitting("gas", "n3", "loop")
    assert "reaches the condenser from above, and behind its last riser or tee it stands only 0.10 m" in found.message()
    assert findings(remedy_command("c1", found.remedy).apply(before), "inverted_loop") == ()


def test_a_loop_before_the_riser_does_not() -> None:
    assert len(findings(job(from_above(0.1, fittings={"n0": "loop"})), "inverted_loop")) == 1


def test_a_line_that_arrives_level_or_climbing_is_left_alone() -> None:
    assert findings(job(chain([(0.0, 0.0, 0.0), (0.0, 0.0, 2.0), (4.0, 0.0, 2.0)])), "inverted_loop") == ()


def test_the_loops_height_may_be_overridden() -> None:
    assert findings(job(from_above(0.1), overrides={"inverted_loop_above_condenser_m": 0.1}), "inverted_loop") == ()


def test_a_common_header() -> None:
    """One branch goes on level, the other falls by 0.5 m: the first alone wants a loop."""
    header = Line(
        id="gas",
        service=riser(1.0).service,
        nodes=tuple(
            Node(name, at)
            for name, at in {
                "a": (0.0, 0.0, 0.0),
                "b": (0.0, 0.0, 4.0),
                "c": (5.0, 0.0, 4.0),
                "d": (5.0, 2.0, 4.0),
                "e": (5.0, 0.0, 3.5),
            }.items()
        ),
        legs=tuple(
            Leg(f"l{index}", start, end, size="1-3/8")
            for index, (start, end) in enumerate((("a", "b"), ("b", "c"), ("c", "d"), ("c", "e")))
        ),
    )
    (found,) = findings(job(header), "inverted_loop")
    assert (found.leg, found.value) == ("l2", 0.0)
    assert "through a common header" in found.message()
