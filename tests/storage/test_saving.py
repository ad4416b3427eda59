"""Saving: the whole new file or the whole old one, whatever happens in between."""

from __future__ import annotations

import dataclasses
import errno
import os
import resource
import signal
import stat
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from linesizer.domain.job import Job
from linesizer.errors import UserError
from linesizer.storage import job_file, saving
from tests.storage.rights import ordinary_person
from tests.storage.samples import EXAMPLE_BYTES


@pytest.fixture
def job() -> Job:
    job = job_file.parse(EXAMPLE_BYTES, "x").job
    return dataclasses.replace(job, info=dataclasses.replace(job.info, title="Edited"))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "plant.json"
    path.write_bytes(EXAMPLE_BYTES)
    return path


def refused(path: Path, job: Job) -> UserError:
    """Return the error of a save that fails; the old file must stand and nothing else be left."""
    before = {name: name.read_bytes() for name in path.parent.iterdir() if name.is_file()}
    with pytest.raises(UserError) as caught:
        job_file.write(path, job)
    assert {name: name.read_bytes() for name in path.parent.iterdir() if name.is_file()} == before
    return caught.value


def test_a_new_file_is_written_with_the_mode_of_the_persons_mask(tmp_path: Path, job: Job) -> None:
    path = tmp_path / "new.json"
    old = os.umask(0o027)
    try:
        job_file.write(path, job)
    finally:
        os.umask(old)
    assert path.read_bytes() == job_file.canonical(job)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [name.name for name in tmp_path.iterdir()] == ["new.json"]


def test_an_unedited_job_is_saved_as_the_bytes_that_were_read(path: Path, job: Job) -> None:
    read = job_file.read(path)
    other = path.with_name("copy.json")
    job_file.write(other, dataclasses.replace(read.job), read)
    assert other.read_bytes() == EXAMPLE_BYTES
    job_file.write(other, job, read)
    assert other.read_bytes() == job_file.canonical(job)
    job_file.write(other, read.job)
    assert other.read_bytes() == job_file.canonical(read.job)


@pytest.mark.parametrize("mode", [0o600, 0o644, 0o664])
def test_an_existing_file_keeps_its_mode(path: Path, job: Job, mode: int) -> None:
    path.chmod(mode)
    job_file.write(path, job)
    assert stat.S_IMODE(path.stat().st_mode) == mode
    assert path.read_bytes() == job_file.canonical(job)


def test_the_systems_keeper_leaves_the_file_to_its_owner(path: Path, job: Job) -> None:
    owner = os.geteuid() or 65534
    os.chown(path, owner, -1)
    job_file.write(path, job)
    assert path.stat().st_uid == owner


def test_a_link_is_written_through(path: Path, job: Job, tmp_path: Path) -> None:
    folder = tmp_path / "links"
    folder.mkdir()
    link = folder / "link.json"
    link.symlink_to("../plant.json")
    job_file.write(link, job)
    assert link.is_symlink()
    assert path.read_bytes() == job_file.canonical(job)
    assert [name.name for name in folder.iterdir()] == ["link.json"]


@pytest.mark.parametrize("call", ["write", "fsync", "replace", "open"])
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EDQUOT, errno.EROFS])
def test_a_full_or_broken_disk_leaves_the_old_file(
    path: Path, job: Job, monkeypatch: pytest.MonkeyPatch, call: str, code: int
) -> None:
    def failing(*_: object, **__: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(saving.os, call, failing)
    error = refused(path, job)
    assert error.code == "SAVE-02"
    assert str(path) in error.what
    assert os.strerror(code) in error.why


def test_a_disk_that_fills_in_the_middle_leaves_the_old_file(
    path: Path, job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    really = os.write
    written = 0

    def nearly_full(descriptor: int, data: memoryview) -> int:
        nonlocal written
        if written > 500:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        written += (count := really(descriptor, data[:100]))
        return count

    monkeypatch.setattr(saving.os, "write", nearly_full)
    assert "No space left" in refused(path, job).why
    assert written > 500


def test_short_writes_are_continued(path: Path, job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    really = os.write
    monkeypatch.setattr(saving.os, "write", lambda descriptor, data: really(descriptor, data[:7]))
    job_file.write(path, job)
    assert path.read_bytes() == job_file.canonical(job)


def test_a_limit_on_file_sizes_leaves_the_old_file(path: Path, job: Job) -> None:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, hard))
    try:
        error = refused(path, job)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        signal.signal(signal.SIGXFSZ, handler)
    assert os.strerror(errno.EFBIG) in error.why


def test_a_folder_that_may_not_be_written_is_refused(open_folder: Path, job: Job) -> None:
    path = open_folder / "plant.json"
    path.write_bytes(EXAMPLE_BYTES)
    path.chmod(0o666)
    path.parent.chmod(0o555)
    try:
        with ordinary_person():
            error = refused(path, job)
    finally:
        path.parent.chmod(0o755)
    assert error.code == "SAVE-02"
    assert "Permission denied" in error.why


def test_a_read_only_file_is_not_replaced_behind_its_owners_back(open_folder: Path, job: Job) -> None:
    path = open_folder / "plant.json"
    path.write_bytes(EXAMPLE_BYTES)
    path.chmod(0o444)
    path.parent.chmod(0o777)
    with ordinary_person():
        error = refused(path, job)
    assert error.code == "SAVE-04"


def test_what_is_no_ordinary_file_is_never_replaced(tmp_path: Path, job: Job) -> None:
    # A pipe stands for every device: a real one would be lost if this test ever failed in the hands of the keeper.
    assert refused(tmp_path, job).why == "It is a folder."
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    assert refused(pipe, job).why == "It is no ordinary file."
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path, job: Job) -> None:
    with pytest.raises(UserError) as caught:
        job_file.write(tmp_path / "gone" / "plant.json", job)
    assert caught.value.code == "SAVE-02"


def test_a_name_that_no_system_takes_is_refused(job: Job) -> None:
    with pytest.raises(UserError, match="null"):
        job_file.write("a\0b", job)


def test_an_interrupted_save_leaves_the_old_file(path: Path, job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(saving.os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        job_file.write(path, job)
    assert path.read_bytes() == EXAMPLE_BYTES
    assert [name.name for name in path.parent.iterdir()] == ["plant.json"]


def test_losing_power_before_the_replacement_leaves_the_old_file(path: Path) -> None:
    program = """
        import dataclasses, os, signal, sys
        from linesizer.storage import job_file, saving
        read = job_file.read(sys.argv[1])
        saving.os.replace = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
        job_file.write(sys.argv[1], dataclasses.replace(read.job, record=(1,)))
    """
    ended = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(program), str(path)], cwd=Path(__file__).parents[2], check=False
    )
    assert ended.returncode == -signal.SIGKILL
    assert path.read_bytes() == EXAMPLE_BYTES


def test_the_new_bytes_are_on_the_disk_before_they_replace_the_old(
    path: Path, job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[str] = []
    really = {name: getattr(os, name) for name in ("write", "fsync", "replace")}
    for name, call in really.items():
        monkeypatch.setattr(saving.os, name, lambda *given, name=name, call=call: (calls.append(name), call(*given))[1])
    job_file.write(path, job)
    assert calls == ["write", "fsync", "replace", "fsync"]


def test_a_job_too_large_to_be_read_again_is_not_saved(path: Path, job: Job) -> None:
    big = dataclasses.replace(job, info=dataclasses.replace(job.info, notes="x" * job_file.LARGEST_BYTES))
    assert refused(path, big).code == "SAVE-05"


def test_a_long_name_and_letters_of_every_script_are_no_trouble(tmp_path: Path, job: Job) -> None:
    for name in ("x" * 250 + ".json", "Kälte – 冷凍 ❄.json", " .json"):
        job_file.write(tmp_path / name, job)
        assert job_file.read(tmp_path / name).job == job
