"""What every command owes: plain errors, a clean standard output, no complaint when the reader leaves."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

import linesizer as package
from linesizer.storage import job_file, opening
from tests.cli.manners import SAMPLE, Done, buffered, well_mannered

Run = Callable[..., Done]
Process = Callable[..., "subprocess.CompletedProcess[str]"]

MORE = [("check", SAMPLE), ("check", SAMPLE, "--json"), ("charge", SAMPLE), ("charge", SAMPLE, "--json")]
HEAVY = {"chemicals", "CoolProp", "fluids", "numpy", "pydantic", "PySide6", "pyqtgraph", "scipy"}


# --- files that cannot be read


def test_missing_file_with_near_names(linesizer: Run, tmp_path: Path) -> None:
    (tmp_path / "ice-plant.json").touch()
    error = well_mannered(linesizer("size", tmp_path / "ice-plnt.json"))
    assert "no such file" in error
    assert "ice-plant.json" in error


def test_folder(linesizer: Run, tmp_path: Path) -> None:
    assert "a folder" in well_mannered(linesizer("size", tmp_path))


def test_path_through_a_file(linesizer: Run, tmp_path: Path) -> None:
    (tmp_path / "plant.json").touch()
    error = well_mannered(linesizer("size", tmp_path / "plant.json" / "plant.json"))
    assert str(tmp_path / "plant.json" / "plant.json") in error


def test_file_of_200_megabytes(linesizer: Run, tmp_path: Path) -> None:
    path = tmp_path / "plant.json"
    with path.open("wb") as file:
        file.truncate(200_000_000)
    error = well_mannered(linesizer("size", path))
    assert "200 MB; up to 20 MB" in error
    assert path.stat().st_size == 200_000_000


def test_file_without_permission(linesizer: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plant.json"
    path.write_bytes(SAMPLE.read_bytes())
    job_file.read(path)  # so that nothing is left to be imported while the rights are low
    with without_rights(path, monkeypatch):
        done = linesizer("size", path)
    assert "you may not read it" in well_mannered(done)
    assert path.read_bytes() == SAMPLE.read_bytes()


@contextmanager
def without_rights(path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    if sys.platform == "win32":

        def refuse(*_: object) -> None:
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(opening, "open", refuse, raising=False)
        yield
        return
    path.chmod(0)
    root = os.geteuid() == 0
    if root:  # who may read everything; so be nobody for a while
        os.seteuid(65534)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)
        path.chmod(0o600)


# --- words that are none


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("siez", SAMPLE), "'siez'"),
        (("size",), "FILE"),
        (("size", SAMPLE, "another.json"), "another.json"),
        (("size", SAMPLE, "--units", "nonsense"), "'nonsense'"),
        (("size", SAMPLE, "--units"), "--units"),
        (("size", SAMPLE, "--unit", "ip"), "--unit"),
        (("size", SAMPLE, "--nonsense"), "--nonsense"),
        (("refrigerants", "R134a"), "R134a"),
    ],
)
def test_words_that_mean_nothing(words: tuple[object, ...], said: str, linesizer: Run) -> None:
    done = linesizer(*words)
    assert done.code == 2
    assert done.out == ""
    usage, *_, last = done.err.splitlines()
    assert usage.startswith("usage: linesizer")
    assert "error: " in last
    assert said in last


@pytest.mark.parametrize("words", [(), (SAMPLE,), ("open", SAMPLE)])
def test_a_window_without_a_display_is_refused_with_the_way_out(words: tuple[object, ...], linesizer: Run) -> None:
    done = linesizer(*words)
    assert done.code == 2
    assert done.out == ""
    assert "window cannot be shown" in done.err
    assert "--picture" in done.err


@pytest.mark.parametrize("words", [(), ("size",), ("refrigerants",), ("open",)])
def test_help(words: tuple[str, ...], linesizer: Run) -> None:
    done = linesizer(*words, "--help")
    assert done.code == 0
    assert done.err == ""
    assert done.out.startswith("usage: linesizer")
    for word in {(): ["size", "refrigerants", "Exit codes"], ("size",): ["FILE", "--json", "--units"]}.get(words, []):
        assert word in done.out


def test_version(linesizer: Run) -> None:
    assert linesizer("--version") == Done(0, f"linesizer {package.__version__}\n", "")


# --- what is printed, and where it cannot be


@pytest.mark.parametrize("words", [("size", SAMPLE), ("size", SAMPLE, "--json"), ("refrigerants",), ("--help",), *MORE])
def test_reader_that_has_gone(words: tuple[object, ...], process: Process) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    done = process(*words, stdout=writer)
    os.close(writer)
    assert (done.returncode, done.stderr) == (0, "")


def test_reader_that_takes_one_line() -> None:
    command = [sys.executable, "-m", "linesizer", "size", str(SAMPLE), "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=buffered()) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        assert running.stdout.readline().strip() == b"{"
        running.stdout.close()
        assert running.stderr.read() == b""
        assert running.wait(timeout=60) == 0


def places_that_take_nothing() -> list[tuple[str, int]]:
    """A full disk where the system has one to offer, and everywhere what is open for reading only."""
    full = [("/dev/full", os.O_WRONLY)] if Path("/dev/full").exists() else []
    return [*full, (os.devnull, os.O_RDONLY)]


@pytest.mark.parametrize(("place", "flags"), places_that_take_nothing())
@pytest.mark.parametrize("words", [("size", SAMPLE), ("size", SAMPLE, "--json"), ("--help",), ("--version",), *MORE])
def test_full_disk_while_printing(words: tuple[object, ...], place: str, flags: int, process: Process) -> None:
    target = os.open(place, flags)
    done = process(*words, stdout=target)
    os.close(target)
    error = well_mannered(Done(done.returncode, "", done.stderr))
    assert "could not be written" in error
    assert "Exception ignored" not in error


def test_error_that_cannot_be_printed_still_ends_with_2(process: Process, tmp_path: Path) -> None:
    place, flags = places_that_take_nothing()[0]
    target = os.open(place, flags)
    done = process("size", tmp_path / "none.json", stderr=target)
    os.close(target)
    assert (done.returncode, done.stdout) == (2, "")


def test_terminal_without_a_degree_sign(process: Process) -> None:
    done = process("size", SAMPLE, env={**buffered(), "PYTHONIOENCODING": "ascii"})
    assert (done.returncode, done.stderr) == (0, "")
    assert "condensing, ?C" in done.stdout


def test_one_error_as_a_process_of_its_own(process: Process, tmp_path: Path) -> None:
    (tmp_path / "plant.json").write_text("{}", encoding="utf-8")
    done = process("size", tmp_path / "plant.json")
    well_mannered(Done(done.returncode, done.stdout, done.stderr))


# --- what is loaded


def loaded_by(code: str) -> set[str]:
    """Which of the heavy packages a piece of Python loads."""
    question = f"{code}\nimport sys\nprint(*sys.modules, file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", question], capture_output=True, text=True, timeout=60, check=True)
    return HEAVY.intersection(done.stderr.split())


def test_importing_the_package_loads_nothing_heavy() -> None:
    assert loaded_by("import linesizer") == set()
    assert loaded_by("import linesizer.cli") == set()


def test_the_public_door_loads_no_more_than_the_solver_needs() -> None:
    assert loaded_by("from linesizer import read_job, solve") == {"numpy", "pydantic"}


@pytest.mark.parametrize("more", [[], ["--json"], ["--units", "ip"]])
def test_size_loads_neither_coolprop_nor_scipy_nor_qt(more: list[str]) -> None:
    words = ["size", str(SAMPLE), *more]
    assert loaded_by(f"from linesizer.cli import main\nassert main({words!r}) == 0") == {"numpy", "pydantic"}


@pytest.mark.parametrize("words", MORE)
def test_check_and_charge_load_no_more(words: tuple[object, ...]) -> None:
    code = f"from linesizer.cli import main\nassert main({[str(word) for word in words]!r}) == 0"
    assert loaded_by(code) == {"numpy", "pydantic"}


def test_the_list_of_refrigerants_loads_neither_coolprop_nor_scipy_nor_qt() -> None:
    assert loaded_by("from linesizer.cli import main\nassert main(['refrigerants']) == 0") == {"numpy"}


# --- what a script gets


def test_json_is_the_result_and_nothing_else(linesizer: Run) -> None:
    done = linesizer("size", SAMPLE, "--json")
    assert (done.code, done.err) == (0, "")
    result = json.loads(done.out, parse_constant=pytest.fail)
    assert (result["format"], result["version"]) == ("remote-condenser-result", 1)
    assert result == package.solve(package.read_job(SAMPLE)).as_dict()


def test_units_change_the_table_and_not_the_json(linesizer: Run) -> None:
    si, ip = linesizer("size", SAMPLE), linesizer("size", SAMPLE, "--units", "ip")
    assert "condensing, °C" in si.out
    assert "condensing, °F" in ip.out
    # 50 °C and 30 °C are 122 °F and 86 °F.
    assert "122.0" in ip.out
    assert "86.0" in ip.out
    assert linesizer("size", SAMPLE, "--json", "--units", "ip").out == linesizer("size", SAMPLE, "--json").out
