"""A blend of one's own for tests: half R32, half R125 by mass, the composition of R410A (ANSI/ASHRAE 34)."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

from linesizer.domain.blend import Blend
from linesizer.domain.job import Job
from linesizer.properties.blend_building import build_blend
from linesizer.properties.own_blends import StoredBlend, keep
from linesizer.storage.job_file import read_job

SAMPLE = Path(__file__).parent.parent / "samples" / "condenser-above.json"
HALF = Blend((("R32", 0.5), ("R125", 0.5)))
MILD = Blend((("R134a", 0.9), ("R227ea", 0.1)))
"""Near R134a, which the sample runs with."""

NAME = "ShopMix"

_texts: dict[tuple[str, Blend], str] = {}


def built(name: str = NAME, blend: Blend = MILD) -> StoredBlend:
    """Put a blend into the test's own data folder; built once a run, in the manner of the program."""
    text = _texts.get((name, blend))
    if text is not None:
        return keep(name, blend, text)
    made = build_blend(name, blend)
    _texts[name, blend] = made.path.read_text(encoding="utf-8")
    return made


def document(name: str = NAME, blend: Blend | None = MILD) -> dict[str, Any]:
    """Return the sample as a plain document that runs with a blend."""
    plain: dict[str, Any] = json.loads(SAMPLE.read_text(encoding="utf-8"))
    circuit = plain["circuits"][0]
    circuit["refrigerant"] = name
    if blend is not None:
        circuit["blend"] = {"basis": blend.basis.value, "composition": dict(blend.composition)}
    return plain


def written(folder: Path, name: str = NAME, blend: Blend | None = MILD) -> Path:
    """Write that document as a job file."""
    path = folder / "job.json"
    path.write_text(json.dumps(document(name, blend)), encoding="utf-8")
    return path


def job(name: str = NAME, blend: Blend = MILD) -> Job:
    """Return the sample's job, running with a blend."""
    sample = read_job(SAMPLE)
    return replace(sample, circuits=(replace(sample.circuits[0], refrigerant=name, blend=blend),))
