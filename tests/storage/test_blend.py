"""The composition that a job carries: read, written, refused, and asked for where its table is missing."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from linesizer.domain.blend import Blend, BlendBasis
from linesizer.errors import JobFileError
from linesizer.properties.own_blends import OwnBlends, UnbuiltBlendsError
from linesizer.storage import job_file
from tests.own_blends import HALF, MILD, NAME, built, document, job, written


def parsed(plain: dict[str, Any]) -> job_file.JobFile:
    return job_file.parse(json.dumps(plain).encode(), "job.json")


def problems(plain: dict[str, Any]) -> dict[str, str]:
    with pytest.raises(JobFileError) as error:
        parsed(plain)
    return {problem.path: f"{problem.found}; {problem.allowed}" for problem in error.value.problems}


def test_the_composition_is_read_and_written_behind_the_known_keys() -> None:
    file = parsed(document())
    circuit = file.job.circuits[0]
    assert (circuit.refrigerant, circuit.blend) == (NAME, MILD)
    text = job_file.canonical(file.job).decode()
    plain = json.loads(text)["circuits"][0]
    assert list(plain)[-2:] == ["lines", "blend"]
    assert plain["blend"] == {"basis": "mass", "composition": {"R134a": 0.9, "R227ea": 0.1}}
    assert job_file.canonical(parsed(json.loads(text)).job).decode() == text


def test_what_is_stated_and_unknown_keys_go_round() -> None:
    blend = Blend(HALF.composition, BlendBasis.MOLE, "A2L", 700.0, 0.25, (("maker", {"x": [1]}),))
    data = job_file.canonical(job(NAME, blend))
    file = job_file.parse(data, "job.json")
    assert file.job.circuits[0].blend == blend
    assert "blend.maker: unknown key" in file.notes[0]
    assert job_file.canonical(file.job) == data


def test_a_shipped_refrigerant_has_no_such_key() -> None:
    plain = document("R134a", None)
    assert parsed(plain).job.circuits[0].blend is None
    assert b"blend" not in job_file.canonical(parsed(plain).job)
    plain["circuits"][0]["blend"] = None
    assert parsed(plain).job.circuits[0].blend is None


@pytest.mark.parametrize(
    ("blend", "path", "words"),
    [
        ({"composition": {"R32": 1.0}}, "blend.basis", "mass"),
        ({"basis": "volume", "composition": {"R32": 1.0}}, "blend.basis", "mass"),
        ({"basis": "mass"}, "blend.composition", "missing"),
        ({"basis": "mass", "composition": {}}, "blend.composition", ""),
        ({"basis": "mass", "composition": {"R32": 0.5, "R125": 0.4}}, "blend.composition", "sum to 0.9"),
        ({"basis": "mass", "composition": {"R32": 0.5, "R135": 0.5}}, "blend.composition.R135", "R125"),
        ({"basis": "mass", "composition": {"R32": 1.5, "R125": -0.5}}, "blend.composition.R125", ""),
        ({"basis": "mass", "composition": {"R32": "half", "R125": 0.5}}, "blend.composition.R32", ""),
        ({"basis": "mass", "composition": {"R32": 1.0}, "safety_group": "A9"}, "blend.safety_group", "A2L"),
        ({"basis": "mass", "composition": {"R32": 1.0}, "gwp": -1}, "blend.gwp", ""),
        ({"basis": "mass", "composition": {"R32": 1.0}, "rcl_kg_m3": 0}, "blend.rcl_kg_m3", ""),
        ("R32/R125", "blend", ""),
    ],
)
def test_a_blend_that_cannot_be_is_refused_with_its_place(blend: object, path: str, words: str) -> None:
    plain = document()
    plain["circuits"][0]["blend"] = blend
    found = problems(plain)
    assert words in found[f"circuits[0].{path}"]


@pytest.mark.parametrize(
    ("name", "words"), [("R410A", "shipped refrigerant"), ("a b", "letters, digits"), ("../x", "letters, digits")]
)
def test_a_name_that_cannot_be_that_of_an_own_blend_is_refused(name: str, words: str) -> None:
    assert words in problems(document(name))["circuits[0].refrigerant"]


def test_everything_wrong_is_listed_at_once() -> None:
    plain = document("R410A")
    plain["circuits"][0]["blend"]["composition"] = {"R32": 0.5}
    plain["circuits"][0]["conditions"][0]["capacity_W"] = -1.0
    assert set(problems(plain)) == {
        "circuits[0].refrigerant",
        "circuits[0].blend.composition",
        "circuits[0].conditions[0].capacity_W",
    }


def test_a_missing_table_is_told_with_name_and_composition(tmp_path: Path) -> None:
    path = written(tmp_path)
    with pytest.raises(UnbuiltBlendsError) as error:
        job_file.read(path)
    assert error.value.blends == ((NAME, MILD),)
    assert f"{NAME} (R134a/227ea 90/10 by mass)" in str(error.value)
    built(NAME, HALF)  # another one of that name helps nothing
    with pytest.raises(UnbuiltBlendsError):
        job_file.read(path)
    built()
    assert job_file.read(path).job.circuits[0].blend == MILD


def test_a_missing_table_is_built_once_for_all_circuits(tmp_path: Path) -> None:
    plain = document()
    second = json.loads(json.dumps(plain["circuits"][0]))
    second["id"] = "c2"
    second["blend"]["composition"] = {"R227ea": 0.1, "R134a": 0.9}
    plain["circuits"].append(second)
    path = tmp_path / "job.json"
    path.write_text(json.dumps(plain), encoding="utf-8")
    asked: list[OwnBlends] = []

    def build(blends: OwnBlends) -> None:
        asked.append(blends)
        for name, blend in blends:
            built(name, blend)

    assert len(job_file.read(path, build).job.circuits) == 2
    assert [len(blends) for blends in asked] == [1]


def test_conditions_are_held_against_the_table_once_it_is_there(tmp_path: Path) -> None:
    plain = document()
    plain["circuits"][0]["conditions"][0]["condensing_C"] = 100.0
    path = tmp_path / "job.json"
    path.write_text(json.dumps(plain), encoding="utf-8")
    with pytest.raises(JobFileError, match="condensing_C"):
        job_file.read(path, lambda blends: [built(*each) for each in blends] and None)


def test_unbuilt_asks_for_the_composition_and_nothing_else() -> None:
    assert job_file.unbuilt(job()) == ((NAME, MILD),)
    built()
    assert job_file.unbuilt(job()) == ()
    stated = replace(MILD, safety_group="A1", gwp=5.0)
    assert job_file.unbuilt(job(NAME, stated)) == ()
