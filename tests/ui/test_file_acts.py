"""Files in and out: what is asked, what is said, what is remembered, where the parts of it fail."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.job import SetJobInfo
from linesizer.document.recent_files import RecentFiles
from linesizer.errors import UserError
from linesizer.storage.job_file import read
from linesizer.ui.dialogs.questions import OnDisk, Unsaved
from linesizer.ui.file_acts import FileActs, sample_path
from linesizer.ui.session import Session
from tests.ui.opened import ABOVE, OFFSCREEN, TALL, session_over
from tests.ui.windows import Answers, copy_of

pytestmark = OFFSCREEN

TITLED = SetJobInfo((("title", "Wharf / Cold: Store"),))


class Bench:
    """File acts over a session, with their answers and what they have said."""

    def __init__(self, qtbot: QtBot, folder: Path, sample: str | None) -> None:
        self.session: Session = session_over(None)
        self.path = None if sample is None else copy_of(sample, folder)
        if self.path is not None:
            self.session.document.open(self.path)
        self.answers = Answers()
        self.files = FileActs(self.session, self.answers, folder / "own")
        self.said: list[str] = []
        self.files.said.connect(self.said.append)

    def close(self) -> None:
        self.files.close()
        self.session.close()


@pytest.fixture
def bench(qtbot: QtBot, tmp_path: Path) -> Bench:
    made = Bench(qtbot, tmp_path, ABOVE)
    yield made
    made.close()


def test_a_name_is_asked_for_where_there_is_none_and_suggested_from_the_title(bench: Bench, tmp_path: Path) -> None:
    bench.files.open_sample()
    bench.session.do(TITLED)
    assert not bench.files.save()
    assert bench.answers.suggested == Path.home() / "Wharf - Cold- Store.json"
    bench.answers.on_save = tmp_path / "kept.json"
    assert bench.files.save()
    assert read(tmp_path / "kept.json").job.info.title == "Wharf / Cold: Store"
    assert bench.said[-1] == f"Saved {tmp_path / 'kept.json'}"
    assert bench.files.recent.shown() == (tmp_path / "kept.json",)


def test_save_as_suggests_the_jobs_own_name(bench: Bench) -> None:
    bench.files.save_as()
    assert bench.answers.suggested == bench.path


def test_the_sample_is_there_and_has_no_name_of_its_own_once_open(bench: Bench) -> None:
    assert sample_path().is_file()
    assert bench.files.open_sample()
    assert bench.session.document.path is None
    assert bench.session.job == read(sample_path()).job
    assert bench.files.recent.shown() == ()


@pytest.mark.parametrize("act", ["new", "open", "open_sample"])
def test_nothing_is_left_while_the_person_would_rather_stay(bench: Bench, tmp_path: Path, act: str) -> None:
    bench.session.do(TITLED)
    bench.answers.on_unsaved = Unsaved.STAY
    bench.answers.on_open = copy_of(TALL, tmp_path, "tall.json")
    job = bench.session.job
    assert not getattr(bench.files, act)()
    assert bench.session.job is job
    bench.answers.on_unsaved = Unsaved.DISCARD
    assert getattr(bench.files, act)()
    assert bench.session.job != job


def test_open_without_a_choice_opens_nothing(bench: Bench) -> None:
    job = bench.session.job
    assert not bench.files.open()
    assert bench.session.job is job


def test_an_empty_job_is_not_saved_and_says_what_to_do(bench: Bench, tmp_path: Path) -> None:
    bench.files.new()
    bench.answers.on_save = tmp_path / "empty.json"
    assert not bench.files.save()
    assert "refrigerant" in bench.answers.told[0].remedy
    assert not (tmp_path / "empty.json").exists()


def test_a_list_of_recent_files_that_cannot_be_kept_stops_nobody(
    bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(self: RecentFiles, path: object) -> None:
        raise UserError("RECENT-01", what="The list was not kept.", why="No room.", remedy="Make room.")

    monkeypatch.setattr(RecentFiles, "add", broken)
    other = copy_of(TALL, tmp_path, "tall.json")
    assert bench.files.open(other)
    assert bench.session.document.path == other
    assert bench.said == ["The list was not kept. Make room."]
    bench.answers.on_save = tmp_path / "as.json"
    assert bench.files.save_as()
    assert (tmp_path / "as.json").is_file()


def test_a_journal_that_cannot_be_written_is_said_and_work_goes_on(bench: Bench, tmp_path: Path) -> None:
    (tmp_path / "own").write_text("a file where the folder should be")
    bench.session.do(TITLED)
    assert bench.session.document.modified
    assert len(bench.said) == 1
    assert "not kept" in bench.said[0]


def test_ones_own_save_is_no_change_by_someone_else(qtbot: QtBot, bench: Bench) -> None:
    bench.session.do(TITLED)
    assert bench.files.save()
    qtbot.wait(500)
    assert bench.answers.asked == []


def test_a_change_that_is_turned_down_is_asked_about_once_until_the_next(
    qtbot: QtBot, bench: Bench, tmp_path: Path
) -> None:
    assert bench.path is not None
    theirs = copy_of(TALL, tmp_path, "theirs").read_bytes()
    bench.answers.on_changed = OnDisk.KEEP_MINE
    bench.path.write_bytes(theirs)
    qtbot.waitUntil(lambda: len(bench.answers.asked) == 1)
    qtbot.wait(500)
    assert len(bench.answers.asked) == 1
    # A whole other file in its place, as careful editors save.
    (tmp_path / "new").write_bytes(theirs + b"\n")
    (tmp_path / "new").replace(bench.path)
    qtbot.waitUntil(lambda: len(bench.answers.asked) == 2)


def test_after_closing_nothing_is_looked_at_any_more(qtbot: QtBot, bench: Bench, tmp_path: Path) -> None:
    assert bench.path is not None
    bench.path.write_bytes(copy_of(TALL, tmp_path, "theirs").read_bytes())
    qtbot.wait(50)
    bench.files.close()
    qtbot.wait(500)
    assert bench.answers.asked == []
