"""Check valves and solenoid valves against refrigerant that wanders while the compressor stands."""

from __future__ import annotations

from typing import Any

import pytest

from linesizer.document.remedies import remedy_command
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Level
from linesizer.domain.job import Job, Room, Site
from linesizer.domain.part import Part
from linesizer.domain.remedy import AddPart
from linesizer.domain.route import Line, Service
from tests.checks.judged import findings, job, messages
from tests.solver.routes import chain, condition

CHECK, LIQUID = "condenser_check_valve", "off_cycle_migration"
ROOM = Room("hall", "Hall", ambient_C=24.0)


def gas(rise_m: float, **changes: Any) -> Line:
    return chain([(0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (5.0, 0.0, rise_m), (8.0, 0.0, rise_m)], **changes)


def level(**changes: Any) -> Line:
    return chain([(0.0, 0.0, 0.0), (5.0, 0.0, 0.0)], **changes)


def plant(*lines: Line, ambient_C: float | None = 20.0, unit: str = "hall", summer_C: float | None = None) -> Job:
    return job(
        *lines,
        site=Site(rooms=(ROOM,), summer_ambient_C=summer_C),
        conditions=[condition(ambient_C=ambient_C)],
        equipment=(
            Equipment("unit", Role.UNIT, place=unit),
            Equipment("cond", Role.CONDENSER, name="Roof condenser", place="outdoor"),
        ),
    )


def test_a_condenser_above_the_compressor() -> None:
    (found,) = findings(plant(gas(3.0)), CHECK)
    assert (found.level, found.leg, found.value, found.limit) == (Level.NOTE, "l2", 3.0, 0.0)
    si, ip = messages(found)
    assert si.startswith("Roof condenser stands 3.00 m above the compressor. When")
    assert ip.startswith("Roof condenser stands 9.84 ft above the compressor. When")
    assert "may stand in" not in si


@pytest.mark.parametrize(("rise_m", "advised"), [(-1.0, False), (0.00005, False), (0.01, True)])
def test_at_just_above_and_just_below_the_compressor(rise_m: float, advised: bool) -> None:
    line = chain([(0.0, 0.0, 0.0), (5.0, 0.0, rise_m)])
    assert bool(findings(plant(line), CHECK)) is advised


@pytest.mark.parametrize(("ambient_C", "advised"), [(23.9, False), (24.0, False), (24.1, True)])
def test_a_condenser_that_may_be_warmer_than_the_compressors_room(ambient_C: float, advised: bool) -> None:
    found = findings(plant(level(), ambient_C=ambient_C), CHECK)
    assert [(finding.value, finding.limit) for finding in found] == ([(24.1, 24.0)] if advised else [])
    if found:
        assert "may stand in 24.1 °C while the compressor stands in 24.0 °C" in found[0].message("si")
        assert "may stand in 75.4 °F" in found[0].message("ip")


def test_the_sites_summer_counts_too() -> None:
    assert len(findings(plant(level(), summer_C=30.0), CHECK)) == 1


def test_both_outdoors_are_as_warm_as_each_other() -> None:
    assert findings(plant(level(), ambient_C=35.0, unit="outdoor", summer_C=38.0), CHECK) == ()


def test_air_that_nobody_has_stated_says_nothing() -> None:
    assert findings(plant(level(), ambient_C=None, unit="indoor"), CHECK) == ()


def test_the_check_valve_cures_it() -> None:
    before = plant(gas(3.0))
    (found,) = findings(before, CHECK)
    assert found.remedy == AddPart("gas", "l2", "check_valve", 0.8)
    assert findings(remedy_command("c1", found.remedy).apply(before), CHECK) == ()


@pytest.mark.parametrize(("leg", "advised"), [(0, True), (1, False), (2, False)])
def test_a_check_valve_before_the_riser_holds_the_whole_column(leg: int, advised: bool) -> None:
    line = gas(3.0, parts={leg: [Part("c", "check_valve")]})
    assert bool(findings(plant(line), CHECK)) is advised


def liquid(*parts: Part) -> Line:
    return chain([(8.0, 1.0, 2.0), (0.0, 1.0, 2.0)], Service.LIQUID, size="7/8", parts={0: parts})


def test_liquid_that_nothing_shuts_off() -> None:
    before = plant(gas(3.0), liquid(Part("b", "ball_valve")))
    (found,) = findings(before, LIQUID)
    assert (found.level, found.line, found.leg) == (Level.NOTE, "liquid", "l0")
    assert found.remedy == AddPart("liquid", "l0", "solenoid_valve", 0.8)
    assert findings(remedy_command("c1", found.remedy).apply(before), LIQUID) == ()
    assert "no valve on liquid line liquid shuts by itself" in found.message("ip")


@pytest.mark.parametrize("kind", ["solenoid_valve", "expansion_valve"])
def test_a_valve_that_shuts_by_itself(kind: str) -> None:
    assert findings(plant(gas(3.0), liquid(Part("s", kind))), LIQUID) == ()


def test_no_note_where_nothing_draws_it() -> None:
    assert findings(plant(level(), liquid()), CHECK, LIQUID) == ()
