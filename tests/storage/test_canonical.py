"""The canonical form: what goes in comes out, and always as the same bytes."""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Job, JobInfo, PracticeChoice, Review, Room, Site
from linesizer.domain.part import Part
from linesizer.domain.route import DoubleRiser, Leg, Line, RiserPart, Service
from linesizer.errors import UserError
from linesizer.storage import job_file
from tests.storage.samples import EXAMPLE_BYTES, as_bytes, example, put
from tests.storage.strategies import jobs


def paths_with_values(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    below: Any = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    if not below:
        yield path, value
    for step, inner in below:
        yield from paths_with_values(inner, (*path, step))


@given(jobs())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
def test_any_job_survives_its_file(job: Job) -> None:
    written = job_file.canonical(job)
    again = job_file.parse(written, "random.json")
    assert again.job == job
    assert job_file.canonical(again.job) == written
    assert job_file.problems(job) == ()


def test_every_value_of_the_example_is_written() -> None:
    written = json.loads(job_file.canonical(job_file.parse(EXAMPLE_BYTES, "example.json").job))
    there = dict(paths_with_values(written))
    lost = [(path, value) for path, value in paths_with_values(example()) if there.get(path, "nothing") != value]
    assert lost == []


def test_the_layout_is_fixed() -> None:
    text = job_file.canonical(job_file.parse(EXAMPLE_BYTES, "example.json").job).decode()
    assert text.startswith('{\n  "format": "remote-condenser-job",\n  "version": 1,\n  "job": {\n    "title": "Ice')
    assert '\n            "n2": [0.0, 0.0, 3.4],\n' in text
    assert '\n      "film_density_kg_m3": null,\n' in text
    assert '\n  "record": [],\n' in text
    assert text.endswith('\n    "disposition": null\n  }\n}\n')


def test_keys_stand_in_the_order_of_the_example() -> None:
    # A job that fills every key, and the example's order of them.
    document = json.loads(job_file.canonical(job_file.parse(EXAMPLE_BYTES, "example.json").job))
    for spoken, written in ((example(), document),):
        waiting = [(spoken, written)]
        while waiting:
            said, put_down = waiting.pop()
            if isinstance(said, dict):
                assert [key for key in put_down if key in said] == list(said)
                waiting += [(said[key], put_down[key]) for key in said]
            elif isinstance(said, list):
                waiting += list(zip(said, put_down, strict=True))


def test_keys_at_their_default_are_left_out_only_where_that_is_fixed() -> None:
    document = json.loads(job_file.canonical(job_file.parse(EXAMPLE_BYTES, "example.json").job))
    circuit = document["circuits"][0]
    first, _, riser, _ = circuit["lines"][0]["legs"]
    assert list(riser) == [
        "id", "from", "to", "double_riser", "place", "insulation_m", "insulation_W_mK", "joint"
    ]  # fmt: skip
    assert list(first) == [
        "id", "from", "to", "size", "place", "insulation_m", "insulation_W_mK", "joint", "parts"
    ]  # fmt: skip
    assert list(first["parts"][0]) == ["id", "kind", "at"]
    assert list(circuit["equipment"][2]) == [
        "id", "role", "kind", "name", "at_m", "place", "volume_m3", "operating_fill"
    ]  # fmt: skip
    assert "hours_per_year" in circuit["conditions"][1]


def test_numbers_are_as_short_as_they_round_trip_and_five_stand_on_lines_of_their_own() -> None:
    document = example()
    put(document, "circuits.0.conditions.0.capacity_W", 105000)
    put(document, "site.altitude_m", 0.1 + 0.2)
    document["four"] = [1, 2.5, -3, 1e-9]
    document["five"] = [1, 2, 3, 4, 5]
    document["mixed"] = [1, True]
    text = job_file.canonical(job_file.parse(as_bytes(document), "x").job).decode()
    assert '"capacity_W": 105000.0,' in text
    assert '"altitude_m": 0.30000000000000004,' in text
    assert '\n  "four": [1, 2.5, -3, 1e-09],\n' in text
    assert '\n  "five": [\n    1,\n    2,\n' in text
    assert '\n  "mixed": [\n    1,\n    true\n  ]\n}\n' in text


def test_a_whole_number_from_a_caller_is_written_as_the_file_writes_it() -> None:
    job = job_file.parse(EXAMPLE_BYTES, "x").job
    first, *rest = job.circuits[0].conditions
    same = dataclasses.replace(first, capacity_W=105000, bypass=0)
    circuit = dataclasses.replace(job.circuits[0], conditions=(same, *rest))
    again = dataclasses.replace(job, circuits=(circuit,), site=dataclasses.replace(job.site, altitude_m=210))
    assert job_file.canonical(again) == job_file.canonical(job)


def test_unknown_keys_are_kept_at_every_level_behind_the_known_ones() -> None:
    document = example()
    circuit = document["circuits"][0]
    line = circuit["lines"][0]
    line["legs"][0]["parts"][0]["loss"] = {"k": 2.0, "heard_of": "a colleague"}
    line["legs"][2]["double_riser"]["small_parts"] = [{"kind": "tee_branch"}]
    objects = [
        document, document["job"], document["site"], document["site"]["rooms"][0], document["practice"], circuit,
        circuit["compressor"], circuit["conditions"][0], circuit["head_pressure_control"], circuit["equipment"][1],
        line, line["legs"][0], line["legs"][0]["parts"][0], line["legs"][2]["double_riser"],
        line["legs"][2]["double_riser"]["small_parts"][0], line["fittings"]["n3"], document["review"],
    ]  # fmt: skip
    for number, item in enumerate(objects):
        known = dict(item)
        item.clear()
        item.update({"zz": {"deep": [number, None]}, "aa": f"Größe {number}"} | known)
    written = json.loads(job_file.canonical(job_file.parse(as_bytes(document), "x").job))
    there = dict(paths_with_values(written))
    assert [path for path, value in paths_with_values(document) if there.get(path, "nothing") != value] == []
    assert list(written)[-2:] == ["zz", "aa"]
    assert list(written["circuits"][0]["lines"][0]["legs"][0]["parts"][0]["loss"])[-1] == "heard_of"


@pytest.mark.parametrize(
    "extra_key", ["model_extra", "model_config", "__dict__", "start", "copy", "json", "", "a.b", "ключ", "_x"]
)
def test_no_name_of_an_unknown_key_is_special(extra_key: str) -> None:
    document = example()
    document["circuits"][0]["lines"][0]["legs"][0][extra_key] = [1]
    job = job_file.parse(as_bytes(document), "x").job
    assert job.circuits[0].lines[0].legs[0].extra == ((extra_key, [1]),)
    assert json.loads(job_file.canonical(job))["circuits"][0]["lines"][0]["legs"][0][extra_key] == [1]


def test_defaults_of_the_file_are_those_of_the_domain() -> None:
    least = {
        "format": "remote-condenser-job",
        "version": 1,
        "job": {},
        "site": {"rooms": [{"id": "r"}]},
        "practice": {},
        "review": {},
        "circuits": [
            {
                "id": "c",
                "refrigerant": "R134a",
                "conditions": [
                    {
                        "id": "a",
                        "capacity_W": 1000,
                        "condensing_C": 40,
                        "superheat_K": 5,
                        "subcooling_K": 3,
                        "evaporating_C": 0,
                    }
                ],
                "compressor": {},
                "head_pressure_control": {},
                "equipment": [{"id": "u", "role": "unit"}],
                "lines": [
                    {
                        "id": "l",
                        "service": "liquid",
                        "nodes": {"n": [0, 0, 0], "m": [1, 0, 0]},
                        "legs": [
                            {
                                "id": "x",
                                "from": "n",
                                "to": "m",
                                "double_riser": {
                                    "small": "7/8",
                                    "large": "1-1/8",
                                    "seal_m": 0.2,
                                    "small_parts": [{"kind": "elbow_45"}],
                                },
                                "parts": [{"id": "p", "kind": "ball_valve"}],
                            }
                        ],
                    }
                ],
            }
        ],
    }
    job = job_file.parse(as_bytes(least), "least.json").job
    assert job.info == JobInfo()
    assert job.site == Site(rooms=(Room("r"),))
    assert job.practice == PracticeChoice()
    assert job.review == Review()
    circuit = job.circuits[0]
    condition = Condition("a", 1000.0, 40.0, 5.0, 3.0, evaporating_C=0.0)
    riser = DoubleRiser("7/8", "1-1/8", 0.2, (RiserPart("elbow_45"),))
    leg = Leg("x", "n", "m", double_riser=riser, parts=(Part("p", "ball_valve"),))
    line = Line("l", Service.LIQUID, circuit.lines[0].nodes, (leg,))
    assert circuit == Circuit("c", "R134a", (condition,), equipment=(Equipment("u", Role.UNIT),), lines=(line,))


def test_a_line_just_begun_may_be_empty() -> None:
    document = example()
    put(document, "circuits.0.lines.0", {"id": "new", "service": "liquid", "nodes": {}, "legs": []})
    job = job_file.parse(as_bytes(document), "x").job
    assert job.circuits[0].lines == (Line("new", Service.LIQUID, (), ()),)


@pytest.mark.parametrize(
    ("notes", "altitude", "place"),
    [("", math.nan, "site.altitude_m"), ("", math.inf, "site.altitude_m"), ("half \ud83d", 0.0, "job.notes")],
)
def test_what_no_file_can_hold_is_refused_by_name(notes: str, altitude: float, place: str) -> None:
    job = job_file.parse(EXAMPLE_BYTES, "x").job
    spoilt = dataclasses.replace(
        job,
        info=dataclasses.replace(job.info, notes=notes),
        site=dataclasses.replace(job.site, altitude_m=altitude),
    )
    with pytest.raises(UserError) as caught:
        job_file.canonical(spoilt)
    assert caught.value.code == "SAVE-01"
    assert place in caught.value.what
