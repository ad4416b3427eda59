"""The shipped schemas are those of the models, and agree with the program about samples and about spoilt ones."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from jsonschema import Draft202012Validator

from linesizer.domain.job import Job
from linesizer.domain.resources import resource
from linesizer.errors import JobFileError
from linesizer.storage import job_file, schema
from tests.storage.samples import EXAMPLE_BYTES, as_bytes, example, put
from tests.storage.strategies import jobs
from tests.storage.test_job_file import WRONG_VALUES

SHIPPED = json.loads(resource("schema", "job.schema.json").read_text(encoding="utf-8"))
VALIDATOR = Draft202012Validator(SHIPPED)
SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.json"))


def test_the_shipped_schemas_are_current(tmp_path: Path) -> None:
    schema.write_schemas(tmp_path)
    for name in ("job.schema.json", "result.schema.json"):
        assert json.loads((tmp_path / name).read_bytes()) == json.loads(resource("schema", name).read_bytes()), name


@pytest.mark.parametrize("name", ["job.schema.json", "result.schema.json"])
def test_the_shipped_schemas_are_of_the_2020_draft(name: str) -> None:
    shipped = json.loads(resource("schema", name).read_bytes())
    assert shipped["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(shipped)


def test_the_example_and_its_canonical_form_fit() -> None:
    VALIDATOR.validate(example())
    VALIDATOR.validate(json.loads(job_file.canonical(job_file.parse(EXAMPLE_BYTES, "x").job)))


def test_every_sample_fits_and_is_in_canonical_form() -> None:
    for path in SAMPLES:
        VALIDATOR.validate(json.loads(path.read_bytes()))
        read = job_file.read(path)
        assert job_file.canonical(read.job) == path.read_bytes(), path.name
        assert read.notes == ()


@given(jobs())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
def test_every_job_that_is_written_fits(job: Job) -> None:
    VALIDATOR.validate(json.loads(job_file.canonical(job)))


@pytest.mark.parametrize(("where", "value"), [(case[0], case[1]) for case in WRONG_VALUES if case[1] != "2026-02-30"])
def test_what_the_models_refuse_the_schema_refuses(where: str, value: Any) -> None:
    document = example()
    put(document, where, value)
    assert not VALIDATOR.is_valid(document)


@pytest.mark.parametrize(
    "changes",
    [
        {"circuits.0.conditions.0.evaporating_C": None},
        {"circuits.0.conditions.0.evaporating_C": ...},
        {"circuits.0.conditions.0.approach_K": 3},
        {"circuits.0.conditions.0.evaporating_C": None, "circuits.0.conditions.0.approach_K": 3},
        {"circuits.0.lines.0.legs.2.size": "7/8"},
        {"circuits.0.lines.0.legs.0.parts.0.loss": {}},
        {"circuits.0.lines.0.legs.0.parts.0.loss": {"k": 1, "drop_Pa": 2}},
        {"circuits.0.lines.0.legs.0.parts.0.loss": {"k": 1, "at_kg_s": 2}},
    ],
)
def test_keys_that_exclude_each_other_exclude_each_other_in_the_schema_too(changes: dict[str, Any]) -> None:
    document = example()
    for where, value in changes.items():
        put(document, where, value)
    assert not VALIDATOR.is_valid(document)
    with pytest.raises(JobFileError):
        job_file.parse(as_bytes(document), "x")


@pytest.mark.parametrize(
    "changes",
    [
        {
            "circuits.0.conditions.0.evaporating_C": None,
            "circuits.0.conditions.0.leaving_fluid_C": 7,
            "circuits.0.conditions.0.approach_K": 3,
        },
        {"circuits.0.lines.0.legs.2.size": None},
        {"circuits.0.lines.0.legs.0.parts.0.loss": {"k": 1, "drop_Pa": None}},
        {"circuits.0.lines.0.legs.0.parts.0.loss": {"drop_Pa": 2, "at_kg_s": 1}},
        {"circuits.0.lines.0.legs.0.parts.0.loss": None},
    ],
)
def test_what_may_stand_beside_each_other_fits(changes: dict[str, Any]) -> None:
    document = example()
    for where, value in changes.items():
        put(document, where, value)
    VALIDATOR.validate(document)
    job_file.parse(as_bytes(document), "x")


def result_example() -> dict[str, Any]:
    """Return the format's own example of a result."""
    document: dict[str, Any] = json.loads(Path(__file__).with_name("result.json").read_bytes())
    return document


def test_the_example_of_a_result_fits() -> None:
    shipped = json.loads(resource("schema", "result.schema.json").read_bytes())
    Draft202012Validator(shipped).validate(result_example())


@pytest.mark.parametrize(
    ("where", "value"),
    [
        ("format", "remote-condenser-job"),
        ("circuits.0.charge.to_add_kg", "much"),
        ("circuits.0.findings.0.level", "error"),
        ("circuits.0.lines.0.by_condition.0.outlet_vapour_fraction", 1.5),
        ("circuits.0.lines.0.legs.0.by_condition.0.reynolds", ...),
        ("circuits.0.lines.0.sizes.0.passes", None),
        ("circuits.0.conditions.0.compressor_W", ...),
    ],
)
def test_a_result_of_another_shape_does_not_fit(where: str, value: Any) -> None:
    shipped = json.loads(resource("schema", "result.schema.json").read_bytes())
    document = result_example()
    put(document, where, value)
    assert not Draft202012Validator(shipped).is_valid(document)
