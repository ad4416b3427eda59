"""The whole charge in the smallest room, at, just below and just above the limits of concentration."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Level
from linesizer.domain.job import Job, Room, Site
from linesizer.domain.route import Line
from tests.checks.judged import findings, job, messages
from tests.solver.routes import ORIGIN, chain, condition

CODE, MISSING, UNKNOWN = "room_concentration", "room_volume_missing", "concentration_limit_unknown"
RCL, PRACTICAL = "refrigerant concentration limit of ASHRAE 34", "practical limit of EN 378"


def hall(volume_m3: float | None = 100.0, name: str = "hall", **changes: Any) -> Room:
    return Room(name, name.capitalize(), volume_m3=volume_m3, **changes)


def holding(charge_kg: float, *rooms: Room, places: tuple[str, ...] = ("hall",), **changes: Any) -> Job:
    """Return a job whose charge is what its equipment holds, one piece in each place."""
    each = charge_kg / len(places)
    equipment = tuple(Equipment(f"e{n}", Role.UNIT, operating_kg=each, place=place) for n, place in enumerate(places))
    return job(site=Site(rooms=rooms), equipment=equipment, **changes)


# R134a: RCL 210 g/m3 (ANSI/ASHRAE 34) and practical limit 0.25 kg/m3 (EN 378-1:2016 Annex E), both from memory: 21 and
# 25 kg in 100 m3.
@pytest.mark.parametrize(("rule", "limit_kg", "limit"), [(RCL, 21.0, 0.21), (PRACTICAL, 25.0, 0.25)])
def test_at_just_above_and_just_below(rule: str, limit_kg: float, limit: float) -> None:
    def levels(charge_kg: float) -> list[Level]:
        return [item.level for item in findings(holding(charge_kg, hall()), CODE) if item.rule == rule]

    (found,) = (item for item in findings(holding(1.001 * limit_kg, hall()), CODE) if item.rule == rule)
    assert (found.level, found.limit) == (Level.WARN, limit)
    assert found.value == pytest.approx(1.001 * limit)
    assert levels(0.999 * limit_kg) == [Level.NOTE]  # within the band of the charge
    assert levels(0.8 * limit_kg) == []


def test_words_in_either_system() -> None:
    (rcl, practical) = findings(holding(30.0, hall(occupied=True)), CODE)
    si, ip = messages(rcl)
    assert si.startswith("If the whole charge of 30.00 kg escapes into Hall (100.0 m3, people stay in it), the ")
    # 0.30 and 0.21 kg/m3; 18.73 and 13.11 lb in 1000 ft3, which ASHRAE 34 prints as 13.
    assert f"0.300 kg/m3 of R134a stand in it, against a {RCL} of 0.210 kg/m3" in si
    assert "Hall (3531 ft3, " in ip
    assert "18.73 lb/1000 ft3" in ip
    assert "13.11 lb/1000 ft3" in ip
    assert si.endswith("It may apply: check your local code.")
    assert "(from memory)" in rcl.source
    assert practical.rule == PRACTICAL
    (other, _) = findings(holding(30.0, hall()), CODE)
    assert "not marked as occupied" in other.message()


def test_the_smallest_room_that_equipment_or_a_leg_is_in_counts() -> None:
    gas: Line = chain([ORIGIN, (4.0, 0.0, 0.0), (4.0, 0.0, 3.0)])
    shaft = replace(gas, legs=(replace(gas.legs[0], place="hall"), replace(gas.legs[1], place="shaft")))
    rooms = (hall(), hall(50.0, "shaft"), hall(10.0, "larder"))
    made = job(shaft, site=Site(rooms=rooms), equipment=(Equipment("e", Role.UNIT, operating_kg=18.0, place="hall"),))
    (found, _) = findings(made, CODE)
    assert found.title.startswith("Shaft: ")
    assert found.value == pytest.approx(18.0 / 50.0, rel=0.2)
    assert found.value > 18.0 / 50.0, "what the line holds is part of the charge"


@pytest.mark.parametrize("refrigerant", ["R134a", "R515B"])
def test_outdoors_there_is_no_room(refrigerant: str) -> None:
    made = holding(500.0, hall(10.0), places=("outdoor",), refrigerant=refrigerant)
    assert findings(made, CODE, MISSING, UNKNOWN) == ()


@pytest.mark.parametrize("place", ["hall", "indoor"])
def test_a_volume_that_is_not_stated(place: str) -> None:
    (found,) = findings(holding(21.0, hall(None), places=(place,)), CODE, MISSING)
    assert (found.code, found.level) == (MISSING, Level.NOTE)
    si, ip = messages(found)
    # 21 kg / 0.21 kg/m3 = 100 m3: the stricter of the two.
    assert found.limit == pytest.approx(100.0)
    assert f"exceeds the {RCL} of 0.210 kg/m3 in a room of less than 100.0 m3" in si
    assert "less than 3531 ft3" in ip
    assert ("Hall" if place == "hall" else "indoor space that is no room of the site") in si


def test_a_room_of_unknown_volume_beside_one_of_known() -> None:
    made = holding(30.0, hall(), hall(None, "cellar"), places=("hall", "cellar"))
    assert [item.code for item in findings(made, CODE, MISSING)] == [CODE, CODE, MISSING]


def test_a_refrigerant_without_a_limit_at_hand_is_told() -> None:
    found = findings(holding(500.0, hall(), refrigerant="R515B"), CODE, UNKNOWN)
    assert [(item.code, item.level) for item in found] == [(UNKNOWN, Level.NOTE)] * 2
    assert "of R515B is at hand" in found[0].message()


def test_the_stricter_limit_is_the_one_that_a_refrigerant_has() -> None:
    # R32: practical limit 0.061 kg/m3 (EN 378), below its RCL of 77 g/m3 (ASHRAE 34); both from memory.
    (found,) = findings(holding(6.1, hall(None), refrigerant="R32", conditions=[condition()]), MISSING)
    assert found.rule == PRACTICAL
    assert found.limit == pytest.approx(100.0)
