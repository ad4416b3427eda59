"""The list of recent files."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from linesizer.document.recent_files import MOST, RecentFiles
from linesizer.errors import UserError


def _files(folder: Path, count: int) -> list[Path]:
    paths = [folder / f"job {number}.json" for number in range(count)]
    for path in paths:
        path.touch()
    return paths


def test_newest_first_each_once_at_most_ten(tmp_path: Path) -> None:
    recent = RecentFiles(tmp_path / "new folder")
    assert recent.shown() == ()
    files = _files(tmp_path, 12)
    for path in files:
        recent.add(path)
    recent.add(files[5])
    shown = RecentFiles(tmp_path / "new folder").shown()
    assert len(shown) == MOST
    assert shown == (files[5], *(path for path in reversed(files[2:]) if path != files[5]))


def test_a_missing_file_is_not_shown_until_it_is_back(tmp_path: Path) -> None:
    recent = RecentFiles(tmp_path)
    one, two = _files(tmp_path, 2)
    recent.add(one)
    recent.add(two)
    two.unlink()
    assert recent.shown() == (one,)
    two.touch()
    assert recent.shown() == (two, one)


def test_a_relative_path_is_kept_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _files(tmp_path, 1)
    monkeypatch.chdir(tmp_path)
    RecentFiles(tmp_path).add("job 0.json")
    monkeypatch.chdir("/")
    assert RecentFiles(tmp_path).shown() == (tmp_path / "job 0.json",)


@pytest.mark.parametrize(
    "held", [b"", b"{", b"[1, 2]", b'{"files": 3}', b'{"files": [1, null]}', b"\xff", b"[" * 100_000]
)
def test_a_list_that_cannot_be_read_is_empty_and_is_written_anew(tmp_path: Path, held: bytes) -> None:
    recent = RecentFiles(tmp_path)
    (tmp_path / "recent-files.json").write_bytes(held)
    assert recent.shown() == ()
    (one,) = _files(tmp_path, 1)
    recent.add(one)
    assert recent.shown() == (one,)
    recent.clear()
    assert recent.shown() == ()


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(UserError) as error:
        RecentFiles(tmp_path / "file" / "folder").add(tmp_path)
    assert error.value.code == "RECENT-01"


def test_a_failed_write_keeps_the_old_list(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    recent = RecentFiles(tmp_path)
    one, two = _files(tmp_path, 2)
    recent.add(one)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UserError, match="No space left"):
        recent.add(two)
    assert recent.shown() == (one,)
