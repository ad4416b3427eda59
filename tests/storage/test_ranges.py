"""The ranges that the window's fields know are those by which a file is judged."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linesizer.domain.job import Job
from linesizer.storage.job_file import problems, read
from linesizer.storage.ranges import Range, range_of
from tests.ui.opened import ABOVE, SAMPLES


def sample() -> Job:
    return read(SAMPLES / f"{ABOVE}.json").job


@pytest.mark.parametrize(
    "key", ["superheat_K", "suction_heat_K", "subcooling_K", "bypass", "hours_per_year", "capacity_W"]
)
def test_a_file_is_judged_by_the_same_range(key: str) -> None:
    job = sample()
    circuit = job.circuits[0]
    within = range_of("condition", key)

    def faults(value: float) -> list[str]:
        condition = replace(circuit.conditions[0], **{key: value})
        changed = replace(circuit, conditions=(condition, *circuit.conditions[1:]))
        return [p.path for p in problems(replace(job, circuits=(changed,))) if p.path.endswith(key)]

    for value in (
        within.least,
        math.nextafter(within.least, -math.inf),
        math.nextafter(within.least, math.inf),
        within.most,
        math.nextafter(within.most, math.inf),
        math.nextafter(within.most, -math.inf),
    ):
        assert within.holds(value) is not bool(faults(value)), value


def test_open_ends_optional_keys_and_points() -> None:
    assert range_of("condition", "capacity_W") == Range(0.0, 1e8, open_least=True)
    assert range_of("condition", "bypass") == Range(0.0, 1.0, open_most=True)
    assert range_of("condition", "ambient_C") == Range(-90.0, 90.0)
    assert range_of("equipment", "at_m") == Range(-10000.0, 10000.0)
    assert range_of("equipment", "name") == Range()
    with pytest.raises(KeyError):
        range_of("condition", "colour")
