"""The unit maker's limits in the job file: optional, left out where nothing is given, kept where something is."""

from __future__ import annotations

import json
from typing import Any

import pytest

from linesizer.domain.equipment import MakerLimits
from linesizer.storage import job_file
from tests.storage.samples import EXAMPLE_BYTES, as_bytes, example, problems_of, put

UNIT = "circuits.0.equipment.0"
GIVEN = {"length_m": 40.0, "lift_m": 15.0, "charge_kg": 25.0, "discharge_sizes": ["1-3/8", "1-5/8"]}


def read(given: Any) -> tuple[MakerLimits | None, dict[str, Any]]:
    """Return what the unit's limits mean, and the unit as it is written again."""
    document = example()
    put(document, f"{UNIT}.maker_limits", given)
    job = job_file.parse(as_bytes(document), "plant.json").job
    written = job_file.canonical(job)
    assert job_file.parse(written, "again.json").job == job
    return job.circuits[0].equipment[0].maker_limits, json.loads(written)["circuits"][0]["equipment"][0]


def test_a_job_without_them_is_written_without_them() -> None:
    job = job_file.parse(EXAMPLE_BYTES, "plant.json").job
    assert job.circuits[0].equipment[0].maker_limits is None
    assert b"maker_limits" not in job_file.canonical(job)


def test_what_is_given_is_kept_and_the_rest_left_out() -> None:
    limits, unit = read(GIVEN)
    assert limits == MakerLimits(length_m=40.0, lift_m=15.0, charge_kg=25.0, discharge_sizes=("1-3/8", "1-5/8"))
    assert list(unit) == [
        "id", "role", "name", "at_m", "place", "holds_kg", "operating_kg", "connections", "maker_limits"
    ]  # fmt: skip
    assert unit["maker_limits"] == GIVEN
    assert list(unit["maker_limits"]) == list(GIVEN)


def test_null_and_an_empty_list_mean_not_given() -> None:
    limits, unit = read({"lift_m": None, "drop_m": 6, "liquid_sizes": []})
    assert limits == MakerLimits(drop_m=6.0)
    assert unit["maker_limits"] == {"drop_m": 6.0}
    assert read(None)[0] is None


def test_an_unknown_limit_is_kept_and_said() -> None:
    document = example()
    put(document, f"{UNIT}.maker_limits", {"length_mm": 40})
    file = job_file.parse(as_bytes(document), "plant.json")
    assert file.notes == (
        "circuits[0].equipment[0].maker_limits.length_mm: unknown key, kept as it is and not used; "
        "did you mean length_m?",
    )
    assert b'"length_mm": 40' in job_file.canonical(file.job)


@pytest.mark.parametrize(
    ("key", "value", "at", "allowed"),
    [
        ("length_m", 0, "length_m", "above 0 and up to 10000 m, or null"),
        ("lift_m", -1, "lift_m", "from 0 to 10000 m, or null"),
        ("charge_kg", "10 kg", "charge_kg", "from 0 to 100000 kg, or null"),
        ("liquid_sizes", "7/8", "liquid_sizes", "a list [ ]"),
        ("liquid_sizes", [7], "liquid_sizes[0]", "a text in quotation marks"),
    ],
)
def test_a_wrong_value_is_one_problem_in_words(key: str, value: Any, at: str, allowed: str) -> None:
    document = example()
    put(document, f"{UNIT}.maker_limits", {key: value})
    (problem,) = problems_of(document)
    assert problem.path == f"circuits[0].equipment[0].maker_limits.{at}"
    assert allowed in problem.allowed


def test_a_flood_of_sizes_is_refused_before_it_is_checked() -> None:
    document = example()
    put(document, f"{UNIT}.maker_limits", {"liquid_sizes": [1] * 60_000})
    (problem,) = problems_of(document)
    assert problem.found == "more than 50000 legs, nodes, conditions and the like"
