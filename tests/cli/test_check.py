"""The command ``check``: many files, one answer each, whatever state they are in."""

import io
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from linesizer import read_job, solve
from linesizer.cli import LINE_WIDTH, main
from linesizer.domain.result_rows import finding_row
from tests.cli.manners import SAMPLE, Done, well_mannered

Run = Callable[..., Done]
Process = Callable[..., "Any"]
SAMPLES = SAMPLE.parent
STOPPED = SAMPLES / "condenser-below.json"


@pytest.fixture
def bad(tmp_path: Path) -> Path:
    path = tmp_path / "bad.json"
    path.write_text("{}", encoding="utf-8")
    return path


def rows(done: Done) -> dict[str, str]:
    """The table's rows by the name of the file."""
    return {word: line for line in done.out.splitlines() for word in line.split() if word.endswith(".json")}


def test_nothing_to_stop_at_ends_with_0(linesizer: Run) -> None:
    done = linesizer("check", SAMPLE)
    assert (done.code, done.err) == (0, "")
    assert "0 with a stop" in done.out


def test_a_stop_ends_with_1(linesizer: Run) -> None:
    done = linesizer("check", SAMPLE, STOPPED)
    assert (done.code, done.err) == (1, "")
    assert rows(done)[str(STOPPED)].startswith("STOP")
    assert "liquid boils before the valve" in rows(done)[str(STOPPED)]
    assert "2 files: 1 with a stop" in done.out


def test_a_bad_file_is_one_row_and_stops_nobody(linesizer: Run, bad: Path, tmp_path: Path) -> None:
    missing = tmp_path / "none.json"
    done = linesizer("check", bad, STOPPED, missing, SAMPLE)
    assert done.code == 2, "a file that was not judged weighs more than a stop"
    found = rows(done)
    assert found[str(bad)].startswith("ERROR")
    assert "format: missing" in found[str(bad)]
    assert found[str(missing)].startswith("ERROR")
    assert found[str(STOPPED)].startswith("STOP")
    assert str(SAMPLE) in found
    assert "4 files: 2 that cannot be used, 1 with a stop" in done.out
    assert done.err.count("linesizer: ") == 2
    assert "Traceback" not in done.err


def test_a_job_that_only_solving_can_refuse_is_a_row_too(linesizer: Run, job: dict[str, Any], tmp_path: Path) -> None:
    job["circuits"][0]["conditions"][0]["bypass"] = 0.95
    path = tmp_path / "plant.json"
    path.write_text(json.dumps(job), encoding="utf-8")
    done = linesizer("check", path, SAMPLE)
    assert done.code == 2
    assert rows(done)[str(path)].startswith("ERROR")
    assert "bypass" in done.err.lower()


def test_one_file_shows_its_findings_in_either_system(linesizer: Run) -> None:
    result = solve(read_job(STOPPED))
    for system in ("si", "ip"):
        text = " ".join(linesizer("check", STOPPED, "--units", system).out.split())
        for finding in result.findings:
            assert " ".join(finding.message(system).split()) in text
    assert result.findings[0].message() not in " ".join(linesizer("check", STOPPED, SAMPLE).out.split())


def test_json_holds_every_finding_of_every_file(linesizer: Run, bad: Path) -> None:
    done = linesizer("check", SAMPLE, bad, STOPPED, "--json")
    assert done.code == 2
    answer = json.loads(done.out, parse_constant=pytest.fail)
    assert set(answer) == {"files"}
    assert [file["path"] for file in answer["files"]] == [str(SAMPLE), str(bad), str(STOPPED)]
    for file in answer["files"]:
        assert list(file) == ["path", "worst", "error", "circuits"]
    good, refused, stopped = answer["files"]
    assert (refused["worst"], refused["circuits"]) == (None, [])
    assert "format: missing" in refused["error"]
    assert (good["worst"], good["error"]) == ("note", None)
    assert stopped["worst"] == "stop"
    for file, path in ((good, SAMPLE), (stopped, STOPPED)):
        circuits = solve(read_job(path)).circuits
        assert file["circuits"] == [
            {"id": circuit.circuit.id, "findings": [finding_row(finding) for finding in circuit.findings]}
            for circuit in circuits
        ]


def test_a_job_without_a_finding_has_no_worst(linesizer: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("linesizer.evaluate.findings", lambda view: ())
    (file,) = json.loads(linesizer("check", SAMPLE, "--json").out)["files"]
    assert (file["worst"], file["error"]) == (None, None)
    assert "1 else" in linesizer("check", SAMPLE).out


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_several_processes_say_what_one_says(more: list[str], process: Process, bad: Path) -> None:
    files = [SAMPLE, bad, STOPPED, SAMPLES / "tall-riser-part-load.json"] * 2
    alone = process("check", *files, *more, "--processes", 1)
    shared = process("check", *files, *more, "--processes", 2)
    assert (alone.returncode, shared.returncode) == (2, 2)
    assert shared.stdout == alone.stdout
    assert shared.stderr == alone.stderr
    assert alone.stdout.count("condenser-below.json") == 2


def test_many_files_are_shared_without_being_asked(linesizer: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    from linesizer.output import check_files

    asked: list[int] = []

    class Pool(check_files.ProcessPoolExecutor):
        def __init__(self, processes: int, *more: Any, **options: Any) -> None:
            asked.append(processes)
            super().__init__(processes, *more, **options)

    monkeypatch.setattr(check_files, "ProcessPoolExecutor", Pool)
    monkeypatch.setattr(check_files, "_offered", lambda: 2)
    monkeypatch.setattr(check_files, "PARALLEL_FROM", 4)
    assert linesizer("check", *[SAMPLE] * 3).code == 0
    assert asked == []
    assert linesizer("check", *[SAMPLE] * 4).code == 0
    assert asked == [2]


def test_a_process_that_ends_early_is_told(linesizer: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    from linesizer.output import check_files

    monkeypatch.setattr(check_files, "_leave_interrupts", _end)
    error = well_mannered(linesizer("check", SAMPLE, STOPPED, "--processes", 2))
    assert "not all checked" in error
    assert "--processes 1" in error


def _end() -> None:
    os._exit(1)  # as a system that lacks memory would end it, without a word


def test_a_folder_stands_for_the_jobs_in_it(linesizer: Run, tmp_path: Path) -> None:
    done = linesizer("check", SAMPLES)
    assert sorted(rows(done)) == sorted(str(path) for path in SAMPLES.glob("*.json"))
    error = well_mannered(linesizer("check", tmp_path))
    assert str(tmp_path) in error
    assert ".json" in error


@pytest.mark.parametrize("word", ["0", "-1", "two", "1.5"])
def test_a_number_of_processes_that_is_none(word: str, linesizer: Run) -> None:
    done = linesizer("check", SAMPLE, f"--processes={word}")
    assert (done.code, done.out) == (2, "")
    assert repr(word) in done.err


def test_remarks_name_their_file(linesizer: Run, job: dict[str, Any], tmp_path: Path) -> None:
    job["circuits"][0]["refrigerantt"] = "R22"
    path = tmp_path / "plant.json"
    path.write_text(json.dumps(job), encoding="utf-8")
    assert f"linesizer: {path}: circuits[0].refrigerantt: unknown key" in linesizer("check", path, SAMPLE).err
    assert "linesizer: circuits[0].refrigerantt: unknown key" in linesizer("check", path).err


def test_a_bar_moves_on_a_terminal_and_never_in_the_output(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr(sys, "stderr", shown := Terminal())
    assert main(["check", *[str(SAMPLE)] * 4]) == 0
    assert f"[{'#' * 5}{'.' * 15}] 1 of 4" in shown.getvalue()
    assert f"[{'#' * 20}] 4 of 4" in shown.getvalue()
    assert shown.getvalue().endswith(f"\r{' ' * LINE_WIDTH}\r")
    assert " of 4" not in capsys.readouterr().out
