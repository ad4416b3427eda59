"""The folder ``.venv``: made, kept, mended, never by two at once.

The runs are real ones without the network, in a copy of the two commands beside a project so small that pip needs
nothing from elsewhere.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from linesizer import environment

ROOT = Path(__file__).parent.parent.parent
SHARED = ["linesizer/environment.py", "samples/run.py", "tests/run.py"]

PYPROJECT = """\
[build-system]
requires = []
build-backend = "backend"
backend-path = ["."]

[project]
name = "small"
version = "1"
optional-dependencies.test = []
"""

# Notes the stamp that each build finds, waits while a file named "wait" is there and fails if one named "fail" is.
BACKEND = """
import pathlib, time, zipfile

def build_editable(folder, config_settings=None, metadata_directory=None):
    root = pathlib.Path.cwd()
    with open(root / "builds", "a") as builds:
        builds.write((root / ".venv" / "set-up.json").read_text() + "\\n")
    until = time.monotonic() + 60
    while (root / "wait").exists() and time.monotonic() < until:
        time.sleep(0.05)
    if (root / "fail").exists():
        raise SystemExit("this build fails on purpose")
    name = "small-1-py3-none-any.whl"
    files = {
        "small.pth": str(root),
        "small-1.dist-info/METADATA": "Metadata-Version: 2.1\\nName: small\\nVersion: 1\\nProvides-Extra: test\\n",
        "small-1.dist-info/WHEEL": "Wheel-Version: 1.0\\nRoot-Is-Purelib: true\\nTag: py3-none-any\\n",
    }
    files["small-1.dist-info/RECORD"] = "".join(f"{name},,\\n" for name in [*files, "small-1.dist-info/RECORD"])
    with zipfile.ZipFile(pathlib.Path(folder) / name, "w") as wheel:
        for path, text in files.items():
            wheel.writestr(path, text)
    return name
"""

COMMAND = """
import sys
print(sys.prefix, *sys.argv[1:], sep="\\n")
sys.exit(7)
"""


class Tree:
    """A project folder in which the two commands run."""

    def __init__(self, root: Path) -> None:
        self.root = root.resolve()
        for name in SHARED:
            (self.root / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(ROOT / name, self.root / name)
        (self.root / "pyproject.toml").write_text(PYPROJECT)
        (self.root / "backend.py").write_text(BACKEND)
        (self.root / "linesizer" / "__init__.py").write_text("import what_is_not_installed_yet\n")
        (self.root / "astray").mkdir()
        (self.root / "astray" / "pip.py").write_text("raise SystemExit('not the pip of this environment')")
        # "python -m linesizer" and "python -m pytest" are stood in for by one command that tells its arguments.
        (self.root / "stand_in").mkdir()
        for name in ("linesizer", "pytest"):
            (self.root / "stand_in" / f"{name}.py").write_text(COMMAND)
        self.venv = self.root / ".venv"
        self.stamp = self.venv / "set-up.json"

    def start(self, script: str, *arguments: str) -> "subprocess.Popen[str]":
        return subprocess.Popen(
            [sys.executable, str(self.root / script), *arguments],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            # "python -m" looks in the folder where it is started first of all.
            cwd=self.root / "stand_in",
            env={**os.environ, "PIP_NO_INDEX": "1", "PYTHONPATH": str(self.root / "astray")},
        )

    def run(self, script: str, *arguments: str) -> "subprocess.CompletedProcess[str]":
        process = self.start(script, *arguments)
        output, said = process.communicate(timeout=120)
        return subprocess.CompletedProcess(process.args, process.returncode, output, said)

    def builds(self) -> int:
        path = self.root / "builds"
        return len(path.read_text().splitlines()) if path.exists() else 0

    def read_stamp(self) -> dict[str, str]:
        stamp: dict[str, str] = json.loads(self.stamp.read_text())
        return stamp


@pytest.fixture
def tree(tmp_path: Path) -> Tree:
    return Tree(tmp_path / "a project")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Tree:
    """A tree that samples/run.py has set up; a test that changes it leaves it fit."""
    tree = Tree(tmp_path_factory.mktemp("made") / "a project")
    first = tree.run("samples/run.py")
    assert first.returncode == 7, first.stderr
    assert "making .venv" in first.stderr
    return tree


def test_passes_arguments_and_exit_code_on(made: Tree) -> None:
    again = made.run("samples/run.py", "--units", "ip")
    sample = made.root / "samples" / "condenser-above.json"
    assert again.returncode == 7
    picture = str(Path(tempfile.gettempdir()) / "linesizer-sample.png")
    opened = [str(made.venv), "open", str(sample), "--copy", "--otherwise", picture, "--units", "ip"]
    assert again.stdout.splitlines() == opened


def test_a_fitting_stamp_leaves_nothing_to_do(made: Tree) -> None:
    before = made.builds(), made.stamp.stat().st_mtime_ns
    again = made.run("samples/run.py")
    assert again.stderr == ""
    assert (made.builds(), made.stamp.stat().st_mtime_ns) == before


def test_the_tests_add_their_extra_and_the_samples_keep_it(made: Tree) -> None:
    builds = made.builds()
    tests = made.run("tests/run.py", "-q")
    assert tests.returncode == 7
    assert tests.stdout.splitlines() == [str(made.venv), "-c", str(made.root / "pyproject.toml"), "-q"]
    assert made.read_stamp()["extras"] == "test"
    assert made.builds() == builds + 1
    made.run("samples/run.py")
    assert made.builds() == builds + 1


def test_a_changed_project_is_installed_again_in_place(made: Tree) -> None:
    made.run("tests/run.py")
    (made.venv / "mine").touch()
    with (made.root / "pyproject.toml").open("a") as file:
        file.write("# changed\n")
    builds = made.builds()
    again = made.run("samples/run.py")
    assert again.returncode == 7
    assert "ing .venv" not in again.stderr
    assert made.builds() == builds + 1
    assert (made.venv / "mine").exists()
    assert made.read_stamp()["extras"] == "test"
    assert (made.root / "builds").read_text().splitlines()[-1] == "{}"


def test_a_failed_installation_says_so_and_keeps_what_was_there(made: Tree) -> None:
    before = made.stamp.read_text()
    fitting = (made.root / "pyproject.toml").read_text()
    (made.root / "pyproject.toml").write_text(fitting + "# changed again\n")
    (made.root / "fail").touch()
    failed = made.run("samples/run.py")
    assert failed.returncode == 2
    assert "this build fails on purpose" in failed.stderr
    assert "run the same again" in failed.stderr
    assert failed.stdout == ""
    assert made.stamp.read_text() == before
    (made.root / "fail").unlink()
    (made.root / "pyproject.toml").write_text(fitting)
    assert made.run("samples/run.py").stderr == ""


def test_a_folder_whose_python_is_gone_is_built_anew(made: Tree) -> None:
    python = made.venv / "bin" / "python"
    python.unlink()
    python.symlink_to("/nowhere/python3")
    (made.venv / "mine").touch()
    again = made.run("samples/run.py")
    assert again.returncode == 7
    assert "mending .venv" in again.stderr
    assert not (made.venv / "mine").exists()


def test_a_moved_project_is_built_anew(made: Tree) -> None:
    moved = Tree(made.root.parent / "moved")
    shutil.copytree(made.venv, moved.venv, symlinks=True)
    again = moved.run("samples/run.py")
    assert "mending .venv" in again.stderr
    assert again.stdout.splitlines()[0] == str(moved.venv)
    assert moved.read_stamp()["folder"] == str(moved.root)


def test_a_folder_made_by_hand_is_kept(tree: Tree) -> None:
    subprocess.run([sys.executable, "-m", "venv", str(tree.venv)], check=True)
    (tree.venv / "mine").touch()
    (tree.root / "fail").touch()
    assert tree.run("samples/run.py").returncode == 2
    assert not tree.stamp.exists()
    (tree.root / "fail").unlink()
    assert tree.run("samples/run.py").returncode == 7
    assert (tree.venv / "mine").exists()
    assert tree.read_stamp()["folder"] == str(tree.root)


def test_a_killed_run_is_waited_for_and_mended(tree: Tree) -> None:
    """The installer that a killed run leaves behind must not meet that of the next run in one folder."""
    (tree.root / "wait").touch()
    killed = tree.start("samples/run.py")
    wait_until(lambda: tree.builds() == 1)
    killed.kill()
    killed.communicate()
    assert tree.read_stamp() == {}
    (tree.venv / "half").touch()
    again = tree.start("samples/run.py")
    assert again.stderr is not None
    assert "another run is setting up; waiting for it" in again.stderr.readline()
    (tree.root / "wait").unlink()
    assert "mending .venv" in again.communicate(timeout=120)[1]
    assert again.returncode == 7
    assert not (tree.venv / "half").exists()
    assert tree.read_stamp()["folder"] == str(tree.root)
    assert tree.run("samples/run.py").stderr == ""


def test_a_deletion_cut_short_leaves_nothing_that_seems_to_work(tree: Tree, monkeypatch: pytest.MonkeyPatch) -> None:
    venv = environment.Venv(tree.root)
    venv.python.parent.mkdir(parents=True)
    venv.python.symlink_to(sys.executable)

    def stop(_folder: str) -> None:
        raise PermissionError

    monkeypatch.setattr(shutil, "rmtree", stop)
    with (tree.root / "lock").open("wb") as lock, pytest.raises(PermissionError):
        venv.build(sys.executable, lock)
    assert not venv.python.exists()


def test_two_at_once_do_the_work_once(tree: Tree) -> None:
    pair = [tree.start("samples/run.py") for _ in range(2)]
    said = [process.communicate(timeout=120)[1] for process in pair]
    assert [process.returncode for process in pair] == [7, 7]
    assert tree.builds() == 1
    assert sorted("making .venv" in words for words in said) == [False, True]


def test_what_stands_in_the_way_is_named(tree: Tree) -> None:
    (tree.root / ".venv.lock").mkdir()
    stopped = tree.run("samples/run.py")
    assert stopped.returncode == 2
    assert ".venv.lock" in stopped.stderr
    assert "Traceback" not in stopped.stderr


def wait_until(holds: Callable[[], bool]) -> None:
    deadline = time.monotonic() + 60
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.05)
