"""What the two commands need before they can start: a Python that will do, and the system's packages."""

import ast
import os
import shutil
import stat
import subprocess
import sys
import textwrap
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import IO

import pytest

from linesizer import environment
from linesizer.environment import SetUpError

ROOT = Path(__file__).parent.parent.parent
SHARED = ["linesizer/environment.py", "samples/run.py", "tests/run.py"]

# What an old python3 must be able to read.


@pytest.mark.parametrize("name", SHARED)
def test_reads_under_the_grammar_of_python_3_8(name: str) -> None:
    ast.parse((ROOT / name).read_text(encoding="utf-8"), feature_version=(3, 8))


@pytest.mark.parametrize("name", SHARED)
def test_imports_the_standard_library_alone(name: str) -> None:
    tree = ast.parse((ROOT / name).read_text(encoding="utf-8"))
    imported = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    imported |= {node.module or "." for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert {name.split(".")[0] for name in imported} <= sys.stdlib_module_names


@pytest.mark.parametrize("name", ["samples/run.py", "tests/run.py"])
def test_a_run_script_is_short(name: str) -> None:
    assert len((ROOT / name).read_text(encoding="utf-8").splitlines()) < 30


def test_the_versions_are_those_of_the_project() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    oldest, too_new = environment.OLDEST, environment.TOO_NEW
    assert project["requires-python"] == f">={oldest[0]}.{oldest[1]},<{too_new[0]}.{too_new[1]}"


def test_neither_script_loads_the_package() -> None:
    script = textwrap.dedent(
        """
        import runpy, sys
        for name in sys.argv[1:]:
            runpy.run_path(name)
        print(sorted({name.split(".")[0] for name in sys.modules} & {"linesizer", "numpy", "PySide6"}))
        """
    )
    paths = [str(ROOT / name) for name in SHARED[1:]]
    output = subprocess.run([sys.executable, "-c", script, *paths], check=True, capture_output=True, text=True).stdout
    assert output == "[]\n"


# Which Python.


def put_on_path(folder: Path, name: str, script: str) -> None:
    path = folder / name
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)


@pytest.mark.parametrize("version", [(3, 8), (3, 10), (3, 15)])
def test_says_plainly_which_python_is_needed(
    version: tuple[int, int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(sys, "argv", ["samples/run.py"])
    with pytest.raises(SetUpError) as caught:
        environment.suitable_python(version)
    words = str(caught.value)
    assert "Python 3.11 to 3.14 is needed" in words
    assert f"this is 3.{version[1]} (" in words
    assert "\n  python3.13 samples/run.py" in words


def test_takes_another_python_on_the_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put_on_path(tmp_path, "python3.14", "echo no such version >&2; exit 127")
    put_on_path(tmp_path, "python3.13", "echo /somewhere/python3.12; echo 3; echo 12")
    put_on_path(tmp_path, "python3.11", "echo /somewhere/python3.11; echo 3; echo 11")
    monkeypatch.setenv("PATH", str(tmp_path))
    assert environment.suitable_python((3, 9)) == "/somewhere/python3.11"


def test_takes_the_python_below_an_environment() -> None:
    below = environment.suitable_python()
    prefix = subprocess.run([below, "-c", "import sys; print(sys.prefix)"], check=True, capture_output=True, text=True)
    assert prefix.stdout.strip() == sys.base_prefix


# What the system must have.


class System:
    """A Debian that lacks some libraries, and what was asked of it."""

    def __init__(self, lacking: set[str]) -> None:
        self.lacking = lacking
        self.commands: list[list[str]] = []
        self.update_fails = False
        self.brings = True

    def loads(self, library: str) -> bool:
        return library not in self.lacking

    def run_quietly(self, command: list[str], *_rest: object) -> None:
        self.commands.append(command)
        if command[1] == "update" and self.update_fails:
            raise SetUpError("apt-get update ended with 100")
        if command[1] == "install" and self.brings:
            self.lacking = set()


@pytest.fixture
def system(monkeypatch: pytest.MonkeyPatch) -> System:
    system = System({"libEGL.so.1", "libdbus-1.so.3", "libxcb-cursor.so.0"})
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(environment, "loads", system.loads)
    monkeypatch.setattr(environment, "run_quietly", system.run_quietly)
    monkeypatch.setattr(os, "geteuid", lambda: 0, raising=False)
    monkeypatch.setattr(shutil, "which", lambda name: f"/usr/bin/{name}")
    return system


@pytest.fixture
def lock(tmp_path: Path) -> Iterator[IO[bytes]]:
    with (tmp_path / "lock").open("wb") as file:
        yield file


def test_root_brings_what_is_missing(system: System, lock: IO[bytes]) -> None:
    environment.bring_packages(False, None, lock)
    assert [command[:2] for command in system.commands] == [["apt-get", "update"], ["apt-get", "install"]]
    assert system.commands[1][2:] == ["-y", "--no-install-recommends", "libegl1", "libdbus-1-3"]


def test_a_display_asks_for_the_libraries_of_a_window(system: System, lock: IO[bytes]) -> None:
    environment.bring_packages(True, None, lock)
    assert system.commands[1][4:] == ["libegl1", "libdbus-1-3", "libxcb-cursor0"]


def test_nothing_missing_nothing_done(system: System, lock: IO[bytes]) -> None:
    system.lacking = {"libxcb-cursor.so.0"}
    environment.bring_packages(False, sys.executable, lock)
    assert system.commands == []


def test_a_stale_package_list_does_not_stop_the_set_up(system: System, lock: IO[bytes]) -> None:
    system.update_fails = True
    environment.bring_packages(False, None, lock)
    assert len(system.commands) == 2


def test_says_what_is_missing_still(system: System, lock: IO[bytes]) -> None:
    system.brings = False
    with pytest.raises(SetUpError, match=r"Still missing after apt-get install .*: libEGL.so.1, libdbus-1.so.3"):
        environment.bring_packages(False, None, lock)


@pytest.mark.parametrize(
    ("has_sudo", "line"),
    [
        (True, "sudo apt-get update && sudo apt-get install -y --no-install-recommends libegl1 libdbus-1-3"),
        (False, "su - -c 'apt-get update && apt-get install -y --no-install-recommends libegl1 libdbus-1-3'"),
    ],
)
def test_another_user_gets_the_one_command_to_type(
    has_sudo: bool, line: str, system: System, lock: IO[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    monkeypatch.setattr(shutil, "which", lambda name: None if name == "sudo" and not has_sudo else f"/usr/bin/{name}")
    with pytest.raises(SetUpError) as caught:
        environment.bring_packages(False, None, lock)
    assert str(caught.value).splitlines()[-1] == f"  {line}"
    assert system.commands == []


def test_another_kind_of_system_gets_the_names(
    system: System, lock: IO[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: None)
    with pytest.raises(SetUpError, match=r"Missing on this system: libEGL.so.1, libdbus-1.so.3"):
        environment.bring_packages(False, None, lock)


def test_a_python_without_ensurepip_needs_its_own_package(
    system: System, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put_on_path(tmp_path, "python", 'case "$2" in *ensurepip*) exit 1;; *) echo "$0"; echo 3; echo 12;; esac')
    system.lacking = set()
    assert environment.missing_packages(False, str(tmp_path / "python")) == {"Python's venv": "python3.12-venv"}
    assert environment.missing_packages(False, sys.executable) == {}


def test_what_is_missing_ends_with_2(
    system: System, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    (tmp_path / "pyproject.toml").touch()
    assert environment.run(tmp_path, ["-c", "pass"]) == 2
    output, said = capsys.readouterr()
    assert "Type this once" in said
    assert "Traceback" not in said
    assert output == ""
    assert not (tmp_path / ".venv").exists()


def test_letters_need_a_font(system: System, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(environment, "FONT_FOLDERS", (str(tmp_path),))
    system.lacking = set()
    assert environment.missing_packages(False) == {"a font": "fonts-dejavu-core"}
    (tmp_path / "some").mkdir()
    (tmp_path / "some" / "Letters.TTF").touch()
    assert environment.missing_packages(False) == {}
