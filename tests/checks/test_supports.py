"""The count of supports and what is said of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.catalog.practice import practice_set
from linesizer.domain.finding import Level
from linesizer.domain.part import Part
from linesizer.domain.route import DoubleRiser, Line, Service
from linesizer.solver.supports import SupportCount, supports
from tests.checks.judged import findings, job, messages
from tests.solver.routes import chain

GENERAL = practice_set("general")


def run(length_m: float, size: str = "7/8", **changes: Any) -> Line:
    return chain([(0.0, 0.0, 0.0), (length_m, 0.0, 0.0)], Service.LIQUID, size=size, **changes)


def total(line: Line, **overrides: float) -> int:
    return sum(item.count for item in supports(line, practice_set("general", overrides.items())))


@pytest.mark.parametrize(
    ("length_m", "count"),
    [(0.2, 1), (0.6, 1), (0.61, 2), (2.4, 2), (2.401, 3), (4.2, 3), (4.201, 4)],
)
def test_at_and_just_above_each_step(length_m: float, count: int) -> None:
    """0.3 m from either end and every 1.8 m between: 0.6, 2.4 and 4.2 m are the steps of 7/8 in."""
    assert total(run(length_m)) == count


@pytest.mark.parametrize(
    ("tube", "size", "spacing_m"),
    [
        ("ASTM-B280-drawn", "5/8", 1.5),
        ("ASTM-B280-drawn", "1-1/8", 1.8),
        ("ASTM-B280-drawn", "1-3/8", 2.4),
        ("EN-12735-1", "54x2", 2.4),
        ("ASTM-B280-drawn", "2-5/8", 3.0),
    ],
)
def test_the_bands(tube: str, size: str, spacing_m: float) -> None:
    assert total(run(0.6 + spacing_m, size, tube=tube)) == 2
    assert total(run(0.601 + spacing_m, size, tube=tube)) == 3


def test_a_riser_hangs_and_a_slope_lies() -> None:
    assert total(chain([(0.0, 0.0, 0.0), (0.0, 0.0, 3.6)], size="7/8")) == 2
    assert total(chain([(0.0, 0.0, 0.0), (0.0, 0.0, 3.601)], size="7/8")) == 3
    assert total(chain([(0.0, 0.0, 0.0), (1.5, 0.0, 3.2)], size="7/8")) == 3


@pytest.mark.parametrize(
    ("kind", "at", "count"),
    [
        ("ball_valve", 0.5, 3),
        ("ball_valve", 0.2, 2),
        ("sleeve", 0.5, 2),
        ("access_valve", 0.5, 2),
    ],
    ids=["a heavy part", "near a support that is there", "a sleeve", "a port"],
)
def test_a_part_has_a_support_near(kind: str, at: float, count: int) -> None:
    assert total(run(2.4, parts={0: [Part("p", kind, at)]})) == count


def test_straight_legs_share_and_each_size_has_its_own() -> None:
    made = chain([(0.0, 0.0, 0.0), (3.0, 0.0, 0.0), (6.0, 0.0, 0.0)], size=["1-3/8", "7/8"])
    assert supports(made, GENERAL) == (
        SupportCount("ASTM-B280-drawn", "1-3/8", 2),
        SupportCount("ASTM-B280-drawn", "7/8", 2),
    )


def test_both_tubes_of_a_double_riser_are_held() -> None:
    made = chain([(0.0, 0.0, 0.0), (0.0, 0.0, 3.0)], size="7/8")
    line = replace(made, legs=(replace(made.legs[0], size=None, double_riser=DoubleRiser("7/8", "1-3/8", 0.3)),))
    assert [(item.size, item.count) for item in supports(line, GENERAL)] == [("7/8", 2), ("1-3/8", 2)]


def test_a_line_without_sizes_has_no_count() -> None:
    assert supports(chain([(0.0, 0.0, 0.0), (3.0, 0.0, 0.0)], size=None), GENERAL) == ()


def test_overrides_change_the_count() -> None:
    assert total(run(6.0)) == 4
    assert total(run(6.0), support_spacing_m=6.0) == 2
    assert total(run(6.0), support_from_elbow_m=1.2) == 3
    assert total(chain([(0.0, 0.0, 0.0), (0.0, 0.0, 6.0)], size="7/8"), support_spacing_vertical_m=1.8) == 4


def test_the_note() -> None:
    (found,) = findings(job(run(6.0)), "supports")
    assert (found.level, found.line, found.value, found.limit) == (Level.NOTE, "liquid", 4.0, None)
    si, ip = messages(found)
    assert si.startswith("Line liquid takes about 4 supports, by practice's spacing: 4 for 7/8.")
    assert "within 0.30 m of each bend" in si
    assert "within 0.98 ft of each bend" in ip
    (one,) = findings(job(run(0.5)), "supports")
    assert "about 1 support, by" in one.message()
