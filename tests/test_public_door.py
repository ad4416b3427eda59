"""The package's public door opens late."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import linesizer
from linesizer.domain.job import Job
from tests.storage.samples import EXAMPLE_BYTES

HEAVY = ("PySide6", "CoolProp", "numpy", "scipy", "pydantic", "pyqtgraph")


def loaded_by(statement: str) -> set[str]:
    """Return which of the heavy packages a fresh interpreter has loaded after a statement."""
    program = f"import sys; {statement}; print(*[name for name in {HEAVY} if name in sys.modules])"
    ended = subprocess.run(
        [sys.executable, "-c", program], cwd=Path(__file__).parents[1], check=True, capture_output=True, text=True
    )
    return set(ended.stdout.split())


def test_the_package_alone_loads_nothing_heavy() -> None:
    assert loaded_by("import linesizer; linesizer.__version__; dir(linesizer)") == set()


def test_reading_a_job_loads_neither_qt_nor_the_property_library() -> None:
    example = Path(__file__).parent / "storage" / "example.json"
    loaded = loaded_by(f"from linesizer import read_job; read_job({str(example)!r})")
    assert "pydantic" in loaded
    assert loaded.isdisjoint({"PySide6", "CoolProp", "scipy", "pyqtgraph"})


def test_read_job_returns_the_job(tmp_path: Path) -> None:
    path = tmp_path / "plant.json"
    path.write_bytes(EXAMPLE_BYTES)
    job = linesizer.read_job(path)
    assert isinstance(job, Job)
    assert job.circuits[0].refrigerant == "R134a"


def test_the_door_names_what_is_behind_it_and_nothing_else() -> None:
    assert {"read_job", "solve"} <= set(dir(linesizer))
    with pytest.raises(AttributeError, match="no attribute 'write_job'"):
        _ = linesizer.write_job
