"""The JSON Schemas (draft 2020-12) of the job file and of a result; run as a module, it writes both.

A schema says what one value must be, and which keys of one object exclude each other.  What needs two objects (ids,
references, sums, the route, the refrigerant's range) is beyond it; the program checks that too.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema

from linesizer.domain.resources import resource
from linesizer.storage.models import JobModel
from linesizer.storage.result_models import ResultRow

_NUMBER = {"type": "number"}
_NOTHING: dict[str, Any] = {"type": "null"}


def _stated(*keys: str) -> dict[str, Any]:
    return {"required": list(keys), "properties": {key: {"not": _NOTHING} for key in keys}}


_TOGETHER: dict[str, dict[str, Any]] = {
    "Condition": {
        "oneOf": [
            {
                "required": ["evaporating_C"],
                "properties": {"evaporating_C": _NUMBER, "leaving_fluid_C": _NOTHING, "approach_K": _NOTHING},
            },
            {
                "required": ["leaving_fluid_C", "approach_K"],
                "properties": {"evaporating_C": _NOTHING, "leaving_fluid_C": _NUMBER, "approach_K": _NUMBER},
            },
        ]
    },
    "PartLoss": {
        "oneOf": [_stated(form) for form in ("equivalent_length_m", "k", "kv_m3_h", "drop_Pa")],
        "if": _stated("at_kg_s"),
        "then": _stated("drop_Pa"),
    },
    "Leg": {"not": _stated("size", "double_riser")},
}
"""What the keys of one object demand of each other."""


def job_schema() -> dict[str, Any]:
    """Return the JSON Schema of the job file."""
    return _schema(JobModel, "Job file of a remote condenser's refrigerant lines", "Model")


def result_schema() -> dict[str, Any]:
    """Return the JSON Schema of a result."""
    return _schema(ResultRow, "Result of a remote condenser's refrigerant lines", "Row")


def schema_bytes(schema: dict[str, Any]) -> bytes:
    """Return a schema as the file holds it."""
    return f"{json.dumps(schema, indent=2, ensure_ascii=False)}\n".encode()


def write_schemas(folder: Path) -> None:
    """Write both schemas into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "job.schema.json").write_bytes(schema_bytes(job_schema()))
    (folder / "result.schema.json").write_bytes(schema_bytes(result_schema()))


def _schema(model: type[BaseModel], title: str, ending: str) -> dict[str, Any]:
    schema = _plain_words(model.model_json_schema(by_alias=True), ending)
    definitions = {name.removesuffix(ending): value for name, value in schema.pop("$defs").items()}
    for name, rule in _TOGETHER.items():
        if name in definitions:
            definitions[name] |= rule
    return {"$schema": GenerateJsonSchema.schema_dialect, "title": title, **schema, "$defs": definitions}


def _plain_words(node: Any, ending: str) -> Any:
    """Return a schema without the titles that only repeat a key, and without class names."""
    if isinstance(node, list):
        return [_plain_words(item, ending) for item in node]
    if not isinstance(node, dict):
        return node
    plain: dict[str, Any] = {}
    for key, value in node.items():
        if key == "properties":
            plain[key] = {name: _plain_words(below, ending) for name, below in value.items()}
        elif key == "$ref":
            plain[key] = value.removesuffix(ending)
        elif key == "default":
            # What an object holds by default is said where its own keys are.
            plain |= {} if "$ref" in node else {key: value}
        elif key != "title":
            plain[key] = _plain_words(value, ending)
    return plain


if __name__ == "__main__":
    write_schemas(resource("schema"))
