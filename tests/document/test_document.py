"""The open job: undo with names, the modified mark, what listeners hear, saving, a file that someone else changed."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

from linesizer.document.change import Change, ChangeKind
from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.job import SetJobInfo
from linesizer.document.commands.node import MoveNode, SetLegLength
from linesizer.document.direction import Axis
from linesizer.document.disk import DiskState
from linesizer.document.document import Document
from linesizer.errors import JobFileError, UserError
from linesizer.storage.job_file import canonical, parse
from tests.document.jobs import EXAMPLE, example_document, length_m
from tests.storage.samples import EXAMPLE_BYTES

LONGER = SetLegLength("c1", "dis", "d3", 6.0)
HEAVIER = SetConditionFields("c1", "full", (("capacity_W", 120000.0),))


def test_a_new_document_is_empty_unnamed_and_unmodified() -> None:
    document = Document()
    assert (document.job.circuits, document.path, document.modified) == ((), None, False)
    assert (document.undo_label, document.redo_label) == (None, None)
    assert document.undo() is False
    assert document.redo() is False


def test_undo_and_redo_are_named_after_the_act(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    opened = document.job
    assert document.do(LONGER)
    assert document.do(HEAVIER)
    both = document.job
    assert document.undo_label == "change capacity of condition full"
    assert document.undo()
    assert document.undo_label == "change length of d3"
    assert document.redo_label == "change capacity of condition full"
    assert document.undo()
    assert document.job is opened
    assert (document.undo_label, document.redo_label) == (None, "change length of d3")
    assert document.redo()
    assert document.redo()
    assert document.job is both


def test_a_new_act_forgets_what_was_undone(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    document.do(LONGER)
    document.undo()
    document.do(HEAVIER)
    assert document.redo_label is None
    assert document.redo() is False


@pytest.mark.parametrize("name", [None, "plant.json"])
def test_with_another_job_the_history_is_gone(tmp_path: Path, name: str | None) -> None:
    document = example_document(tmp_path)
    document.do(LONGER)
    document.do(HEAVIER)
    document.undo()
    if name is None:
        document.new()
    else:
        document.open(tmp_path / name)
    assert (document.undo_label, document.redo_label, document.modified) == (None, None, False)


def test_an_act_that_changes_nothing_is_no_step(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    told: list[Change] = []
    document.listen(told.append)
    same = SetConditionFields("c1", "full", (("capacity_W", 105000.0),))
    assert document.do(same) is False
    assert document.do(MoveNode("c1", "dis", "n3", Axis.UP, 0.0)) is False
    assert (document.undo_label, document.modified, told) == (None, False, [])


def test_the_modified_mark_goes_where_the_saved_state_is(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    document.do(LONGER)
    assert document.modified
    document.undo()
    assert not document.modified
    document.redo()
    document.save()
    assert not document.modified
    document.undo()
    assert document.modified
    document.do(LONGER)
    # Not the same object as the saved one, but equal to it.
    assert not document.modified


def test_undo_to_the_bottom_and_save_gives_back_the_opened_bytes(tmp_path: Path) -> None:
    path = tmp_path / "own style.json"
    written = b"\n  " + EXAMPLE_BYTES.replace(b"  ", b"\t").replace(b"105000.0", b"1.05e5") + b"\n\n"
    path.write_bytes(written)
    document = Document()
    document.open(path)
    document.do(LONGER)
    document.do(HEAVIER)
    document.save()
    assert path.read_bytes() == canonical(document.job) != written
    while document.undo():
        pass
    document.save()
    assert path.read_bytes() == written
    document.save(tmp_path / "copy.json")
    assert (tmp_path / "copy.json").read_bytes() == written


def test_a_failed_open_or_save_leaves_everything_as_it_was(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    document.do(LONGER)
    before, path = document.job, document.path
    (tmp_path / "broken.json").write_bytes(b"{")
    told: list[Change] = []
    document.listen(told.append)
    with pytest.raises(JobFileError):
        document.open(tmp_path / "broken.json")
    with pytest.raises(UserError):
        document.save(tmp_path / "no such folder" / "plant.json")
    assert (document.job, document.path, document.modified, told) == (before, path, True, [])
    assert document.undo_label == "change length of d3"
    assert path is not None
    assert path.read_bytes() == EXAMPLE_BYTES


def test_listeners_hear_every_change_with_its_kind(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    opened = document.job
    heard: list[Change] = []
    place = document.listen(heard.append)
    document.do(LONGER)
    done = document.job
    document.undo()
    document.redo()
    document.save(tmp_path / "other.json")
    document.new()
    document.open(tmp_path / "plant.json")
    place.stop()
    place.stop()
    document.open(tmp_path / "other.json")
    assert heard == [
        Change(opened, done, LONGER, ChangeKind.DONE),
        Change(done, opened, LONGER, ChangeKind.UNDONE),
        Change(opened, done, LONGER, ChangeKind.REDONE),
        Change(done, done, None, ChangeKind.SAVED),
        Change(done, Document().job, None, ChangeKind.NEW),
        Change(Document().job, opened, None, ChangeKind.OPENED),
    ]


def test_a_listener_that_fails_keeps_the_news_from_nobody(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    heard: list[str] = []

    def fail(change: Change) -> None:
        heard.append("first")
        raise ZeroDivisionError

    document.listen(fail)
    document.listen(lambda change: heard.append("second"))
    with pytest.raises(ZeroDivisionError):
        document.do(LONGER)
    assert heard == ["first", "second"]
    assert document.undo_label == "change length of d3"


@pytest.mark.parametrize("act", ["do", "undo", "redo", "new", "open", "save"])
def test_a_listener_may_not_act(tmp_path: Path, act: str) -> None:
    document = example_document(tmp_path)
    for command in (LONGER, HEAVIER, SetJobInfo((("title", "L"),))):
        document.do(command)
    document.undo()
    acts = {
        "do": lambda: document.do(SetJobInfo((("title", "M"),))),
        "undo": document.undo,
        "redo": document.redo,
        "new": document.new,
        "open": lambda: document.open(tmp_path / "plant.json"),
        "save": document.save,
    }
    states: list[object] = []

    def interfere(change: Change) -> None:
        states.append(document.job)
        acts[act]()

    place = document.listen(interfere)
    with pytest.raises(RuntimeError, match="listener acts"):
        document.undo()
    assert states == [document.job]
    place.stop()
    assert document.redo()


def test_typing_can_be_one_step(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    opened = document.job
    heard: list[ChangeKind] = []
    document.listen(lambda change: heard.append(change.kind))
    for title in ("L", "Lo", "Loft"):
        document.do(SetJobInfo((("title", title),)), merge=True)
    assert document.job.info.title == "Loft"
    assert heard == [ChangeKind.DONE, ChangeKind.MERGED, ChangeKind.MERGED]
    assert document.undo()
    assert document.job is opened


def test_steps_of_a_drag_add_up_to_one(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    before = length_m(document.job, "d3")
    for _ in range(3):
        document.do(MoveNode("c1", "dis", "n3", Axis.UP, 0.5), merge=True)
    assert length_m(document.job, "d3") == pytest.approx(before - 1.5)
    document.undo()
    assert document.job == EXAMPLE


@pytest.mark.parametrize(
    "other",
    [
        SetJobInfo((("number", "7"),)),
        SetLegLength("c1", "dis", "d2", 9.0),
        HEAVIER,
    ],
)
def test_only_the_same_act_on_the_same_object_merges(tmp_path: Path, other: SetJobInfo) -> None:
    document = example_document(tmp_path)
    first = SetJobInfo((("title", "L"),)) if isinstance(other, SetJobInfo) else LONGER
    document.do(first)
    document.do(other, merge=True)
    document.undo()
    assert document.undo_label == first.label


def test_a_merge_that_ends_where_it_began_leaves_no_step(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    opened = document.job
    document.do(SetJobInfo((("title", "L"),)))
    document.do(SetJobInfo((("title", opened.info.title),)), merge=True)
    assert document.job is opened
    assert (document.undo_label, document.modified) == (None, False)


def test_a_step_that_was_saved_or_undone_is_not_merged_into(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    document.do(SetJobInfo((("title", "L"),)))
    saved = document.job
    document.save()
    document.do(SetJobInfo((("title", "Lo"),)), merge=True)
    document.undo()
    assert document.job is saved
    document.do(SetJobInfo((("title", "Lx"),)), merge=True)
    document.undo()
    assert document.job is saved


def test_a_preview_does_nothing(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    opened = document.job
    assert length_m(document.preview(LONGER), "d3") == pytest.approx(6.0)
    assert (document.job, document.undo_label, document.modified) == (opened, None, False)
    with pytest.raises(UserError, match="no length"):
        document.preview(MoveNode("c1", "dis", "n2", Axis.UP, -2.2))


def test_a_file_changed_by_someone_else_is_not_overwritten(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    path = tmp_path / "plant.json"
    assert document.disk_state() is DiskState.SAME
    document.do(LONGER)
    path.write_bytes(EXAMPLE_BYTES.replace(b"Ice plant", b"Ice house"))
    assert document.disk_state() is DiskState.CHANGED
    with pytest.raises(UserError, match="Someone else changed the file") as error:
        document.save()
    assert error.value.code == "DOCUMENT-03"
    with pytest.raises(UserError, match="Someone else"):
        document.save(os.path.join(str(tmp_path), ".", "plant.json"))
    assert b"Ice house" in path.read_bytes()
    assert document.modified
    document.save(force=True)
    assert path.read_bytes() == canonical(document.job)
    assert document.disk_state() is DiskState.SAME
    document.undo()
    document.save()


def test_a_job_without_a_file_has_nothing_that_could_change() -> None:
    assert Document().disk_state() is DiskState.SAME
    assert Document().file_digest is None


def test_the_digest_is_that_of_the_bytes(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    assert document.file_digest == hashlib.sha256(EXAMPLE_BYTES).hexdigest()


def test_a_touched_file_with_the_same_bytes_is_the_same(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    os.utime(tmp_path / "plant.json", (0, 0))
    assert document.disk_state() is DiskState.SAME


def test_a_file_that_is_gone_is_written_again(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    (tmp_path / "plant.json").unlink()
    assert document.disk_state() is DiskState.GONE
    document.save()
    assert (tmp_path / "plant.json").read_bytes() == EXAMPLE_BYTES


def test_a_folder_in_its_place_is_a_change(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    (tmp_path / "plant.json").unlink()
    (tmp_path / "plant.json").mkdir()
    assert document.disk_state() is DiskState.CHANGED


def test_saving_needs_a_name_and_a_circuit(tmp_path: Path) -> None:
    document = Document()
    with pytest.raises(UserError) as error:
        document.save()
    assert error.value.code == "DOCUMENT-01"
    document.do(SetJobInfo((("title", "Loft"),)))
    with pytest.raises(UserError) as error:
        document.save(tmp_path / "empty.json")
    assert error.value.code == "DOCUMENT-02"
    assert not (tmp_path / "empty.json").exists()


def test_saving_under_a_name_makes_it_the_documents_own(tmp_path: Path) -> None:
    document = Document()
    document.recover(EXAMPLE, None)
    document.save(tmp_path / "a.json")
    assert document.path == tmp_path / "a.json"
    assert parse((tmp_path / "a.json").read_bytes(), "a").job == EXAMPLE
    assert not document.modified


def test_the_notes_of_a_file_stay_with_the_document(tmp_path: Path) -> None:
    path = tmp_path / "plant.json"
    path.write_bytes(EXAMPLE_BYTES.replace(b'"record": []', b'"recrod": 1, "record": []'))
    document = Document()
    document.open(path)
    assert len(document.notes) == 1
    assert "recrod" in document.notes[0]
    document.new()
    assert document.notes == ()


def test_a_file_opened_as_a_copy_has_no_name_and_stays_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "sample.json"
    path.write_bytes(EXAMPLE_BYTES)
    document = Document()
    document.open(path, as_copy=True)
    assert document.job == parse(EXAMPLE_BYTES, "sample").job
    assert (document.path, document.file_digest, document.modified) == (None, None, False)
    assert document.disk_state() is DiskState.SAME
    with pytest.raises(UserError, match="no file yet"):
        document.save()
    # Saved elsewhere untouched it is the very same bytes; the file itself is never written.
    document.save(tmp_path / "mine.json")
    assert (tmp_path / "mine.json").read_bytes() == EXAMPLE_BYTES
    document.do(LONGER)
    document.save()
    assert path.read_bytes() == EXAMPLE_BYTES
    assert (tmp_path / "mine.json").read_bytes() != EXAMPLE_BYTES
