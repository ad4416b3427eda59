"""The drain line's fall, climbs and traps."""

from __future__ import annotations

from dataclasses import replace
from math import nextafter

import pytest

from linesizer.document.remedies import remedy_command
from linesizer.domain.finding import Level
from linesizer.domain.job import Job
from linesizer.domain.remedy import GiveFall, PutFitting
from linesizer.domain.route import Line, Service
from tests.checks.judged import findings, job, messages
from tests.solver.routes import chain

CODES = ("drain_climbs", "drain_fall_short", "drain_trap")
LEVEL = [(0.0, 0.0, 6.0), (0.0, 0.0, 4.0), (3.0, 0.0, 4.0), (3.0, 0.0, 2.0)]
"""Down 2 m, level 3 m, down 2 m."""


def drain(fall: float = 0.0, **changes: object) -> Line:
    made = chain(LEVEL, Service.DRAIN, size="1-3/8", **changes)
    return replace(made, legs=tuple(replace(leg, fall=fall if leg.id == "l1" else 0.0) for leg in made.legs))


def sloping(drop_m: float) -> Line:
    """Return a drain of one leg, 1 m of run; powers of two give slopes without a rounding."""
    return chain([(0.0, 0.0, drop_m), (1.0, 0.0, 0.0)], Service.DRAIN, size="1-3/8")


@pytest.mark.parametrize(
    ("fall", "short"), [(nextafter(0.02, 0.0), True), (0.02, False), (nextafter(0.02, 1.0), False), (0.0, True)]
)
def test_a_level_leg_at_just_above_and_just_below_the_fall(fall: float, short: bool) -> None:
    found = findings(job(drain(fall)), *CODES)
    assert [finding.code for finding in found] == (["drain_fall_short"] if short else [])


@pytest.mark.parametrize(("drop_m", "short"), [(0.03125, False), (0.015625, True)])
def test_a_leg_that_is_drawn_sloping(drop_m: float, short: bool) -> None:
    found = findings(job(sloping(drop_m)), *CODES)
    assert [(finding.code, finding.value) for finding in found] == ([("drain_fall_short", drop_m)] if short else [])
    if found:
        assert found[0].remedy is None, "a leg that is drawn sloping has no fall to set"


def test_what_it_says_and_the_fall_that_cures_it() -> None:
    before = job(drain())
    (found,) = findings(before, *CODES)
    assert (found.level, found.line, found.leg, found.value, found.limit) == (Level.WARN, "drain", "l1", 0.0, 0.02)
    si, ip = messages(found)
    assert "falls by 0.00 % only; practice asks for 2.00 %" in si
    assert "falls by 0.000 in/ft only; practice asks for 0.240 in/ft" in ip
    assert found.remedy == GiveFall("drain", ("l1",), 0.02)
    assert findings(remedy_command("c1", found.remedy).apply(before), *CODES) == ()


def test_the_worst_leg_stands_for_all() -> None:
    made = chain([*LEVEL[:3], (3.0, 2.0, 4.0), (3.0, 2.0, 2.0)], Service.DRAIN, size="1-3/8")
    legs = tuple(replace(leg, fall={"l1": 0.01, "l2": 0.005}.get(leg.id, 0.0)) for leg in made.legs)
    (found,) = findings(job(replace(made, legs=legs)), *CODES)
    assert found.leg == "l2"
    assert "So does l1." in found.message()
    assert found.remedy == GiveFall("drain", ("l2", "l1"), 0.02)


def test_an_override_changes_the_verdict() -> None:
    assert findings(job(drain(0.01), overrides={"drain_fall": 0.01}), *CODES) == ()
    (found,) = findings(job(drain(0.03), overrides={"drain_fall": 0.04}), *CODES)
    assert "the job's own value" in found.source


@pytest.mark.parametrize(
    ("line", "leg", "climb_m"),
    [
        (chain([(0.0, 0.0, 3.0), (0.0, 0.0, 1.0), (2.0, 0.0, 1.5), (2.0, 0.0, 0.0)], Service.DRAIN), "l1", 0.5),
        (chain([(0.0, 0.0, 3.0), (0.0, 0.0, 1.0), (2.0, 0.0, 0.5), (2.0, 0.0, 1.0)], Service.DRAIN), "l2", 0.5),
        (drain(-0.01), "l1", 0.03),
    ],
    ids=["sloping up", "straight up", "drawn level with a fall against the flow"],
)
def test_a_climb(line: Line, leg: str, climb_m: float) -> None:
    (found,) = findings(job(line), *CODES)
    assert (found.code, found.level, found.leg) == ("drain_climbs", Level.WARN, leg)
    assert found.value == pytest.approx(climb_m)
    assert f"climbs {climb_m:.2f} m along leg {leg}" in found.message("si")
    assert "ft along leg" in found.message("ip")


@pytest.mark.parametrize("kind", ["trap", "loop"])
def test_a_trap_and_the_bend_that_cures_it(kind: str) -> None:
    before: Job = job(drain(0.02, fittings={"n1": kind}))
    (found,) = findings(before, *CODES)
    assert (found.code, found.level, found.leg) == ("drain_trap", Level.WARN, "l0")
    assert found.message().startswith(f"A {kind} stands at n1 of drain line drain.")
    assert found.remedy == PutFitting("drain", "n1", None)
    assert findings(remedy_command("c1", found.remedy).apply(before), *CODES) == ()


def test_an_elbow_is_no_trap() -> None:
    assert findings(job(drain(0.02, fittings={"n1": "elbow_90_long"})), *CODES) == ()


def test_only_drain_lines_are_judged() -> None:
    assert findings(job(chain(LEVEL, Service.LIQUID), chain(LEVEL, Service.DISCHARGE)), *CODES) == ()
