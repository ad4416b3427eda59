"""The autosave journal: torn at any byte, damaged, grown large, left by a process that is gone."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

import linesizer
from linesizer.domain.job import Job
from linesizer.errors import UserError
from linesizer.storage import journal as journal_module
from linesizer.storage.job_file import canonical, parse
from linesizer.storage.journal import Journal, discard, recoverable
from linesizer.storage.journal_lock import JournalLock
from tests.storage.samples import EXAMPLE_BYTES

JOB = parse(EXAMPLE_BYTES, "example").job


def _titled(title: str) -> Job:
    return replace(JOB, info=replace(JOB.info, title=title))


def _left_behind(folder: Path, *titles: str, path: Path | None = None, clean: bool = False) -> Path:
    """Return the journal of a process that died after these acts."""
    journal = Journal.begin(folder, path=path, file_digest=None)
    for title in titles:
        journal.record(_titled(title))
    if clean:
        journal.record(JOB, unsaved=False)
    data = journal.file.read_bytes()
    journal.close()
    journal.file.write_bytes(data)
    return journal.file


def _titles(folder: Path) -> list[str]:
    return [lost.job.info.title for lost in recoverable(folder)]


def test_the_last_state_comes_back_with_whose_it_is(tmp_path: Path) -> None:
    path = tmp_path / "plant.json"
    path.write_bytes(EXAMPLE_BYTES)
    file = _left_behind(tmp_path / "j", "one", "two", path=path)
    (lost,) = recoverable(tmp_path / "j")
    assert (lost.job, lost.journal, lost.acts) == (_titled("two"), file, 2)
    assert (lost.header.path, lost.header.version, lost.header.process_id) == (path, linesizer.__version__, os.getpid())
    assert abs(lost.reached.timestamp() - file.stat().st_mtime) < 1e-3
    # It stays until somebody decides.
    assert _titles(tmp_path / "j") == ["two"]
    discard(lost)
    discard(lost)
    assert list((tmp_path / "j").iterdir()) == []


def test_torn_at_any_byte_the_last_whole_state_comes_back(tmp_path: Path) -> None:
    file = _left_behind(tmp_path, "one", "two", "three")
    data = file.read_bytes()
    ends = [
        data.index(canonical(_titled(title))) + len(canonical(_titled(title))) + 1 for title in ("one", "two", "three")
    ]
    header_end = data.index(b"state ")
    assert ends[-1] == len(data)
    # Every byte of the records' own lines and of the turns between them, and a sample of the long states inside.
    near = {at for end in (header_end, *ends) for at in range(end - 3, end + 90) if at <= len(data)}
    for length in sorted(near.union(range(header_end, len(data), 499))):
        file.write_bytes(data[:length])
        whole = [title for title, end in zip(("one", "two", "three"), ends, strict=True) if length >= end]
        assert _titles(tmp_path) == whole[-1:], length


@pytest.mark.parametrize("junk", [b"\0" * 4096, b"state 99999 abc\n{}", b"state x y\n", b"state -1 z\n", b"\n\n\n"])
def test_junk_at_the_end_hides_nothing(tmp_path: Path, junk: bytes) -> None:
    """What some file systems leave after a power cut: a block of zeros, or another file's."""
    file = _left_behind(tmp_path, "one")
    file.write_bytes(file.read_bytes() + junk)
    assert _titles(tmp_path) == ["one"]


def test_a_flipped_byte_costs_the_states_from_there_on(tmp_path: Path) -> None:
    file = _left_behind(tmp_path, "one", "two")
    data = bytearray(file.read_bytes())
    data[-20] ^= 1
    file.write_bytes(data)
    assert _titles(tmp_path) == ["one"]


def test_what_the_file_already_holds_is_not_lost(tmp_path: Path) -> None:
    path, folder = tmp_path / "plant.json", tmp_path / "j"
    # Not the canonical form, yet the same job.
    path.write_bytes(canonical(_titled("saved")).replace(b"  ", b"\t"))
    _left_behind(folder, "one", "saved", path=path)
    assert recoverable(folder) == []
    assert list(folder.iterdir()) == [], "a journal with nothing to give was left"


def test_what_was_undone_to_the_saved_state_is_not_lost(tmp_path: Path) -> None:
    path, folder = tmp_path / "plant.json", tmp_path / "j"
    path.write_bytes(canonical(_titled("someone else's")))
    _left_behind(folder, "one", path=path, clean=True)
    assert recoverable(folder) == []
    assert list(folder.iterdir()) == []


def test_a_file_that_is_gone_or_broken_holds_nothing(tmp_path: Path) -> None:
    for path in (tmp_path / "gone.json", tmp_path / "broken.json", tmp_path):
        (tmp_path / "broken.json").write_bytes(b"{")
        file = _left_behind(tmp_path / "j", "one", path=path)
        assert _titles(tmp_path / "j") == ["one"]
        file.unlink()


def test_a_journal_without_acts_is_swept_away(tmp_path: Path) -> None:
    _left_behind(tmp_path)
    assert recoverable(tmp_path) == []
    assert list(tmp_path.iterdir()) == []


def test_a_state_that_cannot_be_opened_gives_way_to_the_one_before(tmp_path: Path) -> None:
    journal = Journal.begin(tmp_path, path=None, file_digest=None)
    journal.record(_titled("one"))
    journal.record(Job(()))
    data = journal.file.read_bytes()
    journal.close()
    journal.file.write_bytes(data)
    assert _titles(tmp_path) == ["one"]


def test_a_living_journal_is_left_alone(tmp_path: Path) -> None:
    journal = Journal.begin(tmp_path, path=None, file_digest=None)
    journal.record(_titled("one"))
    assert recoverable(tmp_path) == []
    journal.record(_titled("two"))
    journal.close()
    journal.close()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("data", [b"", b"linesizer-journal 1\n", b"not ours", b"linesizer-journal 2\nheader 1 x\n\n"])
def test_what_is_no_journal_is_left_where_it_is(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "a.journal").write_bytes(data)
    assert recoverable(tmp_path) == []
    assert (tmp_path / "a.journal").read_bytes() == data


def test_no_folder_holds_no_work(tmp_path: Path) -> None:
    assert recoverable(tmp_path / "none") == []


def test_latest_work_comes_first(tmp_path: Path) -> None:
    for age, title in ((30, "old"), (10, "young"), (20, "middle")):
        file = _left_behind(tmp_path, title)
        os.utime(file, (1e9 - age, 1e9 - age))
    assert _titles(tmp_path) == ["young", "middle", "old"]


def test_a_large_journal_is_made_small_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    state = len(canonical(_titled("000")))
    monkeypatch.setattr(journal_module, "LARGEST_BYTES", 10 * state)
    journal = Journal.begin(tmp_path, path=None, file_digest=None)
    sizes = []
    for number in range(100):
        journal.record(_titled(f"{number:03}"))
        sizes.append(journal.file.stat().st_size)
    assert max(sizes) <= 10 * state
    assert sizes[-1] > state
    data = journal.file.read_bytes()
    journal.close()
    journal.file.write_bytes(data)
    assert _titles(tmp_path) == ["099"]
    assert sorted(path.suffix for path in tmp_path.iterdir()) == [".journal"]


def test_one_state_larger_than_the_bound_is_kept_all_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(journal_module, "LARGEST_BYTES", 100)
    _left_behind(tmp_path, "one", "two", "three", "four", "five")
    assert _titles(tmp_path) == ["five"]


def test_half_a_record_of_a_full_disk_does_not_hide_the_next(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = Journal.begin(tmp_path, path=None, file_digest=None)
    journal.record(_titled("one"))
    real = os.write
    written = []

    def short(descriptor: int, data: bytes) -> int:
        if written:
            raise OSError(28, "No space left on device")
        written.append(real(descriptor, bytes(data[:100])))
        return 100

    with monkeypatch.context() as broken:
        broken.setattr(os, "write", short)
        with pytest.raises(UserError, match="No space left") as error:
            journal.record(_titled("two"))
    assert error.value.code == "JOURNAL-01"
    journal.record(_titled("three"))
    data = journal.file.read_bytes()
    journal.close()
    journal.file.write_bytes(data)
    (lost,) = recoverable(tmp_path)
    assert (lost.job.info.title, lost.acts) == ("three", 2)


def test_a_failed_shrinking_keeps_the_large_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    state = len(canonical(_titled("one")))
    monkeypatch.setattr(journal_module, "LARGEST_BYTES", 4 * state)
    journal = Journal.begin(tmp_path, path=None, file_digest=None)
    for title in ("one", "two", "three"):
        journal.record(_titled(title))

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(os, "replace", full)
        with pytest.raises(UserError, match="No space left"):
            journal.record(_titled("four"))
    data = journal.file.read_bytes()
    journal.record(_titled("five"))
    after = journal.file.read_bytes()
    journal.close()
    for kept, title in ((data, "three"), (after, "five")):
        journal.file.write_bytes(kept)
        assert _titles(tmp_path) == [title]


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(UserError) as error:
        Journal.begin(tmp_path / "file" / "j", path=None, file_digest=None)
    assert error.value.code == "JOURNAL-01"
    assert str(tmp_path / "file") in error.value.what


def test_a_begin_that_fails_leaves_no_lock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UserError, match="No space left"):
        Journal.begin(tmp_path, path=None, file_digest=None)
    assert list(tmp_path.iterdir()) == []


def _free_descriptors() -> list[int]:
    """Return the numbers that the next files to be opened would get: a file left open is missing among them."""
    taken = [os.open(os.devnull, os.O_RDONLY) for _ in range(8)]
    for descriptor in taken:
        os.close(descriptor)
    return taken


def test_an_ended_journal_holds_no_file_open(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(journal_module, "LARGEST_BYTES", 100)
    before = _free_descriptors()
    journal = Journal.begin(tmp_path, path=None, file_digest=None)
    for number in range(6):
        journal.record(_titled(str(number)))
    journal.close()
    assert _free_descriptors() == before


def test_each_act_is_on_the_disk_before_the_next(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = Journal.begin(tmp_path, path=None, file_digest=None)
    on_disk: list[int] = []
    real = os.fsync

    def watched(descriptor: int) -> None:
        real(descriptor)
        on_disk.append(os.fstat(descriptor).st_size)

    monkeypatch.setattr(os, "fsync", watched)
    for number in range(3):
        journal.record(_titled(str(number)))
        assert len(on_disk) == number + 1
        assert on_disk[-1] == journal.file.stat().st_size
    journal.close()


def test_a_lock_is_held_by_one(tmp_path: Path) -> None:
    path = tmp_path / "a.lock"
    lock = JournalLock.take(path)
    assert lock is not None
    before = _free_descriptors()
    assert JournalLock.take(path) is None
    assert _free_descriptors() == before
    lock.release()
    lock.release()
    assert not path.exists()
    again = JournalLock.take(path)
    assert again is not None
    again.release()


HOLD = """
import sys
from pathlib import Path
from linesizer.storage.journal import Journal
from linesizer.storage.job_file import parse
journal = Journal.begin(Path(sys.argv[1]), path=None, file_digest=None)
journal.record(parse(sys.stdin.buffer.read(), "job").job)
sys.stdout.write("ready\\n")
sys.stdout.flush()
sys.stdin.close()
import time
time.sleep(60)
"""


def test_the_system_lets_go_of_a_killed_programs_lock(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=Path(__file__).parents[2],
    )
    assert process.stdin is not None
    assert process.stdout is not None
    process.stdin.write(canonical(_titled("theirs")))
    process.stdin.close()
    assert process.stdout.readline() == b"ready\n"
    assert recoverable(tmp_path) == []
    process.kill()
    process.wait()
    process.stdout.close()
    (lost,) = recoverable(tmp_path)
    assert (lost.job.info.title, lost.header.process_id) == ("theirs", process.pid)


def test_what_a_kill_left_half_made_is_swept_away_when_old(tmp_path: Path) -> None:
    old = [tmp_path / ".linesizer-00.tmp", tmp_path / "gone.lock"]
    young = [tmp_path / ".linesizer-11.tmp", tmp_path / "new.lock"]
    for path in (*old, *young):
        path.touch()
    for path in old:
        os.utime(path, (1e9, 1e9))
    recoverable(tmp_path)
    assert sorted(tmp_path.iterdir()) == sorted(young)
