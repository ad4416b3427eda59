"""The import guard of pyproject.toml, and that it would notice: each contract meets an import planted against it."""

import ast
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]["contracts"]
GUARD = "from importlinter.cli import lint_imports_command; lint_imports_command()"

# Contract, file of the package, what is planted in it.
PLANTS = [
    ("direction", "errors.py", "import linesizer.units"),
    ("direction", "domain/circuit.py", "from linesizer.solver import cycle"),
    ("direction", "solver/cycle.py", "from linesizer.storage.job_file import read_job"),
    ("direction", "sizing/sweep.py", "import linesizer.checks.run"),
    ("direction", "domain/job.py", "from linesizer import __version__"),
    ("direction", "storage/reading.py", "def late():\n    from linesizer.cli import main"),
    ("direction", "evaluate.py", "import linesizer.environment"),
    ("direction", "helpers/__init__.py", ""),
    ("qt", "drawing/frame.py", "from PySide6.QtGui import QPainter"),
    ("qt", "output/svg.py", "from PySide6 import QtSvg"),
    ("qt", "cli.py", "import shiboken6"),
    ("plots", "output/svg.py", "import pyqtgraph"),
    ("equations", "properties/table.py", "from scipy.interpolate import CubicSpline"),
    ("equations", "solver/friction.py", "from CoolProp import CoolProp"),
    ("generator", "properties/library.py", "def late():\n    from linesizer.properties.generator import build"),
    ("models", "domain/job.py", "from pydantic import BaseModel"),
    ("models", "document/change.py", "import pydantic_core"),
    ("pure", "solver/line.py", "from pathlib import Path"),
    ("pure", "units/reading.py", "def late():\n    import json"),
    ("peers", "solver/friction.py", "import fluids"),
]


def guard(folder: Path, *contracts: str) -> "subprocess.CompletedProcess[str]":
    chosen = [word for contract in contracts for word in ("--contract", contract)]
    return subprocess.run(
        [sys.executable, "-c", GUARD, "--no-cache", "--no-logo", *chosen],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=120,
    )


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """A copy of the package and of the contracts."""
    shutil.copytree(ROOT / "linesizer", tmp_path / "linesizer", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_the_tree_as_it_is_keeps_every_contract() -> None:
    done = guard(ROOT)
    assert done.returncode == 0, done.stdout + done.stderr
    assert f"{len(CONTRACTS)} kept, 0 broken" in done.stdout


@pytest.mark.parametrize(("contract", "file", "planted"), PLANTS)
def test_a_planted_import_breaks_its_contract(contract: str, file: str, planted: str, tree: Path) -> None:
    path = tree / "linesizer" / file
    path.parent.mkdir(exist_ok=True)
    with path.open("a", encoding="utf-8") as source:
        source.write(f"\n{planted}\n")
    done = guard(tree, contract)
    assert done.returncode == 1, done.stdout + done.stderr
    assert "0 kept, 1 broken" in done.stdout
    assert "linesizer." + file.removesuffix(".py").removesuffix("/__init__").replace("/", ".") in done.stdout


def test_every_contract_meets_a_plant() -> None:
    assert {contract["id"] for contract in CONTRACTS} == {contract for contract, _, _ in PLANTS}


def test_every_folder_of_the_package_has_its_place_in_the_direction() -> None:
    (direction,) = (contract for contract in CONTRACTS if contract["id"] == "direction")
    layers = " ".join(direction["layers"]).replace("(", " ").replace(")", " ")
    placed = {name for name in layers.split() if name not in ("|", ":")}
    there = {path.stem for path in (ROOT / "linesizer").glob("*.py")} | {
        path.parent.name for path in (ROOT / "linesizer").glob("*/__init__.py")
    }
    assert there - {"__init__"} <= placed
    assert direction["exhaustive"] is True


def test_the_set_up_imports_the_standard_library_alone() -> None:
    # It runs before anything is installed; the guard above only sees that nobody imports it.
    for file in ("linesizer/environment.py", "samples/run.py", "tests/run.py"):
        source = (ROOT / file).read_text(encoding="utf-8")
        assert imported(ast.parse(source, feature_version=(3, 8))) <= sys.stdlib_module_names, file


def test_what_calculates_opens_no_file() -> None:
    # open() needs no import, so the guard cannot see it.
    (pure,) = (contract for contract in CONTRACTS if contract["id"] == "pure")
    for module in pure["source_modules"]:
        place = ROOT.joinpath(*module.split("."))
        for path in place.rglob("*.py") if place.is_dir() else [place.with_suffix(".py")]:
            calls = [node for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, ast.Call)]
            assert not [call.lineno for call in calls if isinstance(call.func, ast.Name) and call.func.id == "open"], (
                path
            )


def imported(tree: ast.Module) -> set[str]:
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add((node.module or "").split(".")[0])
    return names
