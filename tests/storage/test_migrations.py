"""Old versions brought up to the present one, shown with invented steps."""

from __future__ import annotations

import pytest

from linesizer.domain.extra import Json
from linesizer.storage import job_file, migrations
from tests.storage.samples import example, problems_of


def load_becomes_capacity(document: dict[str, Json]) -> dict[str, Json]:
    """Bring version 1 to 2: what was ``load`` in kilowatts is a capacity in watts."""
    old = document["load"]
    assert isinstance(old, int)
    return {key: value for key, value in document.items() if key != "load"} | {"capacity_W": old * 1000}


def capacity_goes_below(document: dict[str, Json]) -> dict[str, Json]:
    """Bring version 2 to 3."""
    return {"circuit": {"capacity_W": document.pop("capacity_W")}, **document}


STEPS = {1: load_becomes_capacity, 2: capacity_goes_below}


def test_steps_follow_each_other_up_to_the_version_wanted() -> None:
    old: dict[str, Json] = {"version": 1, "load": 5, "kept": [1]}
    assert migrations.migrated(old, to=3, steps=STEPS) == {"circuit": {"capacity_W": 5000}, "version": 3, "kept": [1]}
    assert migrations.migrated(old, to=2, steps=STEPS) == {"version": 2, "kept": [1], "capacity_W": 5000}
    middle: dict[str, Json] = {"version": 2, "capacity_W": 7}
    assert migrations.migrated(middle, to=3, steps=STEPS) == {"version": 3, "circuit": {"capacity_W": 7}}
    assert middle == {"version": 2, "capacity_W": 7}
    assert old == {"version": 1, "load": 5, "kept": [1]}


def test_the_present_version_is_left_alone() -> None:
    document: dict[str, Json] = {"version": 3, "x": 1}
    assert migrations.migrated(document, to=3, steps=STEPS) is document


def test_there_is_a_step_away_from_every_older_version() -> None:
    assert set(migrations.STEPS) == set(range(1, job_file.VERSION))


def test_an_old_file_is_read_by_way_of_its_step(monkeypatch: pytest.MonkeyPatch) -> None:
    document = example()
    document["contracts"] = document.pop("circuits")

    def renamed(old: dict[str, Json]) -> dict[str, Json]:
        return {("circuits" if key == "contracts" else key): value for key, value in old.items()}

    monkeypatch.setattr(job_file, "VERSION", 2)
    monkeypatch.setattr(migrations, "STEPS", {1: renamed})
    # The models still are those of version 1: the number alone is left to complain about.
    assert [problem.path for problem in problems_of(document)] == ["version"]
