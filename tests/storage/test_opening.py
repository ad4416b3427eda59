"""Paths that give no bytes: each one plain reason."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from linesizer.errors import JobFileError, Problem
from linesizer.storage import job_file
from tests.storage.rights import ordinary_person
from tests.storage.samples import EXAMPLE_BYTES


def problem_with(path: Path) -> Problem:
    with pytest.raises(JobFileError) as caught:
        job_file.read(path)
    assert caught.value.code == "JOB-01"
    (problem,) = caught.value.problems
    assert problem.path == "file"
    return problem


def test_a_missing_file_gets_near_names_of_its_folder(tmp_path: Path) -> None:
    (tmp_path / "ice-plant.json").write_bytes(EXAMPLE_BYTES)
    (tmp_path / "bakery.json").write_bytes(EXAMPLE_BYTES)
    (tmp_path / "notes.txt").write_text("nothing")
    problem = problem_with(tmp_path / "iceplant.json")
    assert problem.found == f'no such file in the folder "{tmp_path}"'
    assert problem.allowed == "near names there: ice-plant.json"


def test_a_missing_file_among_others_gets_the_jobs_that_are_there(tmp_path: Path) -> None:
    assert problem_with(tmp_path / "x.json").allowed == "a job file; none stands there"
    (tmp_path / "ice-plant.json").write_bytes(EXAMPLE_BYTES)
    assert "ice-plant.json" in problem_with(tmp_path / "school.json").allowed


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    assert problem_with(tmp_path / "gone" / "x.json").found == f'there is no folder "{tmp_path / "gone"}"'


def test_a_link_to_nothing_is_said_to_be_one(tmp_path: Path) -> None:
    link = tmp_path / "link.json"
    link.symlink_to(tmp_path / "gone.json")
    assert "gone.json" in problem_with(link).found
    assert problem_with(link).found.startswith("a link to")


def test_a_folder_is_said_to_be_one(tmp_path: Path) -> None:
    assert problem_with(tmp_path).found == "a folder"


def test_a_file_of_200_megabytes_is_refused_by_its_size_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "big.json"
    with open(path, "wb") as file:
        file.truncate(200_000_000)
    monkeypatch.setattr("builtins.open", lambda *_: pytest.fail("the file was opened"))
    problem = problem_with(path)
    assert problem.found == "200 MB"
    assert problem.allowed.startswith("up to 20 MB")


def test_the_largest_size_is_still_read(tmp_path: Path) -> None:
    path = tmp_path / "padded.json"
    path.write_bytes(EXAMPLE_BYTES + b" " * (job_file.LARGEST_BYTES - len(EXAMPLE_BYTES)))
    assert job_file.read(path).job.info.title == "Ice plant, loft condenser"
    path.write_bytes(EXAMPLE_BYTES + b" " * (job_file.LARGEST_BYTES - len(EXAMPLE_BYTES) + 1))
    assert problem_with(path).allowed.startswith("up to 20 MB")


def test_a_pipe_is_read_no_further_than_a_file(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)

    def pour(data: bytes) -> threading.Thread:
        def run() -> None:
            with open(pipe, "wb") as file:
                try:
                    while data:
                        file.write(data)
                        if data is EXAMPLE_BYTES:
                            return
                except BrokenPipeError:
                    return

        thread = threading.Thread(target=run)
        thread.start()
        return thread

    thread = pour(EXAMPLE_BYTES)
    assert job_file.read(pipe).raw == EXAMPLE_BYTES
    thread.join()
    thread = pour(b" " * 1_000_000)
    assert problem_with(pipe).found == "more than 20 MB"
    thread.join()


def test_an_endless_device_is_left(tmp_path: Path) -> None:
    assert problem_with(Path("/dev/zero")).found == "more than 20 MB"


def test_a_file_that_may_not_be_read_is_said_to_be_one(open_folder: Path) -> None:
    path = open_folder / "closed.json"
    path.write_bytes(EXAMPLE_BYTES)
    path.chmod(0)
    with ordinary_person():
        problem = problem_with(path)
    assert problem.found == "you may not read it"


def test_a_name_that_no_system_takes_is_refused(tmp_path: Path) -> None:
    assert "null" in problem_with(Path("a\0b")).found
    assert problem_with(tmp_path / ("x" * 5000)).found


def test_a_device_that_fails_is_one_problem(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "x.json"
    path.write_bytes(EXAMPLE_BYTES)

    def broken(*_: object) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr("builtins.open", broken)
    assert problem_with(path).found == "the system cannot read it (Input/output error)"
