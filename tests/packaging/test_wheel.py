"""The built wheel, installed into an environment of its own without the network, run from another folder."""

import json
import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

import linesizer

ROOT = Path(__file__).parent.parent.parent
OFFLINE = {**os.environ, "PIP_NO_INDEX": "1", "PIP_DISABLE_PIP_VERSION_CHECK": "1"}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("dist")
    build = [sys.executable, "-m", "pip", "wheel", "--no-deps", "--no-build-isolation", "-w", str(folder), str(ROOT)]
    done = subprocess.run(build, env=OFFLINE, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    (path,) = folder.iterdir()
    return path


@pytest.fixture(scope="module")
def python(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The Python of another environment, which holds the wheel and borrows the packages that it needs from this one."""
    folder = tmp_path_factory.mktemp("elsewhere")
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(folder)], check=True)
    python = folder / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")
    install = [sys.executable, "-m", "pip", "--python", str(python), "install", "--no-deps", str(wheel)]
    done = subprocess.run(install, env=OFFLINE, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    # Afterwards, or pip would find this environment's editable project and call it installed.
    borrowed = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (site_packages(python) / "borrowed.pth").write_text("\n".join(sorted(borrowed)))
    return python


def site_packages(python: Path) -> Path:
    question = "import sysconfig; print(sysconfig.get_path('purelib'))"
    return Path(subprocess.run([python, "-c", question], check=True, capture_output=True, text=True).stdout.strip())


def run(*command: str | Path, folder: Path) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(command, cwd=folder, env=OFFLINE, capture_output=True, text=True, timeout=120)


def test_the_wheel_holds_what_the_program_reads(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        held = set(archive.namelist())
    shipped = [path for folder in ("resources", "samples") for path in (ROOT / folder).rglob("*") if path.is_file()]
    wanted = {
        f"linesizer/{path.relative_to(ROOT).as_posix()}" for path in shipped if path.suffix not in (".py", ".pyc")
    }
    assert any(name.endswith(".json") for name in wanted)
    assert wanted <= held
    assert {name.split("/")[0] for name in held} == {"linesizer", f"linesizer-{linesizer.__version__}.dist-info"}
    assert "linesizer/samples/run.py" not in held


def test_the_installed_package_is_the_one_that_runs(python: Path, tmp_path: Path) -> None:
    done = run(python, "-c", "import linesizer; print(linesizer.__file__)", folder=tmp_path)
    assert Path(done.stdout.strip()).is_relative_to(site_packages(python)), done.stderr


def test_tells_its_version(python: Path, tmp_path: Path) -> None:
    script = python.parent / ("linesizer.exe" if sys.platform == "win32" else "linesizer")
    for command in ([python, "-m", "linesizer"], [script]):
        done = run(*command, "--version", folder=tmp_path)
        assert done.returncode == 0, done.stderr
        assert linesizer.__version__ in done.stdout


def test_sizes_every_packaged_sample(python: Path, tmp_path: Path) -> None:
    samples = sorted((site_packages(python) / "linesizer" / "samples").glob("*.json"))
    assert samples
    for sample in samples:
        table = run(python, "-m", "linesizer", "size", sample, folder=tmp_path)
        assert table.returncode == 0, table.stderr
        assert len(table.stdout.splitlines()) > 3
        result = run(python, "-m", "linesizer", "size", sample, "--json", folder=tmp_path)
        assert json.loads(result.stdout), result.stderr
