"""The journal of the open document: begun with the first act, gone when nothing can be lost."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from linesizer.document.autosave import Autosave
from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.node import SetLegLength
from linesizer.document.disk import digest
from linesizer.document.document import Document
from linesizer.errors import UserError
from linesizer.storage.journal import discard, recoverable
from linesizer.storage.saving import save
from tests.document.jobs import EXAMPLE, example_document, length_m
from tests.storage.samples import EXAMPLE_BYTES

LONGER = SetLegLength("c1", "dis", "d3", 6.0)


def _failed(error: UserError) -> None:
    raise error


def _journals(folder: Path) -> list[str]:
    return sorted(path.suffix for path in folder.glob("*")) if folder.exists() else []


def test_a_journal_lives_as_long_as_there_is_unsaved_work(tmp_path: Path) -> None:
    document, folder = example_document(tmp_path), tmp_path / "journals"
    autosave = Autosave(document, folder, _failed)
    assert _journals(folder) == []
    document.do(LONGER)
    assert _journals(folder) == [".journal", ".lock"]
    document.save()
    assert _journals(folder) == []
    document.undo()
    assert _journals(folder) == [".journal", ".lock"]
    document.new()
    assert _journals(folder) == []
    document.open(tmp_path / "plant.json")
    document.do(SetLegLength("c1", "dis", "d3", 7.0))
    autosave.close()
    assert _journals(folder) == []
    document.do(LONGER)
    assert _journals(folder) == []


def test_a_living_documents_journal_is_not_offered(tmp_path: Path) -> None:
    document, folder = example_document(tmp_path), tmp_path / "journals"
    autosave = Autosave(document, folder, _failed)
    document.do(LONGER)
    assert recoverable(folder) == []
    assert _journals(folder) == [".journal", ".lock"]
    autosave.close()


def test_a_disk_that_is_full_is_told_once_and_does_not_stop_the_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document, folder = example_document(tmp_path), tmp_path / "journals"
    told: list[UserError] = []
    autosave = Autosave(document, folder, told.append)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(os, "fsync", full)
        document.do(LONGER)
        document.undo()
        document.redo()
    assert [error.code for error in told] == ["JOURNAL-01"]
    assert "No space left" in told[0].why
    assert document.undo_label == "change length of d3"
    document.undo()
    assert _journals(folder) == [".journal", ".lock"]
    with monkeypatch.context() as broken:
        broken.setattr(os, "fsync", full)
        document.redo()
    assert len(told) == 2
    autosave.close()


EDITS_FOREVER = """
import sys
from pathlib import Path
from linesizer.document.autosave import Autosave
from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.document import Document
from linesizer.errors import UserError

def failed(error: UserError) -> None:
    raise error

document = Document()
document.open(sys.argv[1])
Autosave(document, Path(sys.argv[2]), failed)
number = 0
while True:
    number += 1
    document.do(SetConditionFields("c1", "full", (("capacity_W", 1000.0 + number),)))
    sys.stdout.write(f"{number}\\n")
    sys.stdout.flush()
"""


@pytest.mark.parametrize("after_ms", [0, 3, 11, 40, 150])
def test_a_kill_loses_at_most_the_last_act(tmp_path: Path, after_ms: int) -> None:
    path, folder = tmp_path / "plant.json", tmp_path / "journals"
    path.write_bytes(EXAMPLE_BYTES)
    process = subprocess.Popen(
        [sys.executable, "-c", EDITS_FOREVER, str(path), str(folder)],
        stdout=subprocess.PIPE,
        cwd=Path(__file__).parents[2],
    )
    assert process.stdout is not None
    first = process.stdout.readline()
    assert first == b"1\n"
    time.sleep(after_ms / 1000)
    assert recoverable(folder) == [], "a living process's journal was offered"
    process.kill()
    told = first + process.stdout.read()
    process.stdout.close()
    assert process.wait() != 0
    acts = int(told.splitlines()[-1]) if told.endswith(b"\n") else int(told.splitlines()[-2])

    (lost,) = recoverable(folder)
    reached = lost.job.circuits[0].conditions[0].capacity_W - 1000.0
    # The act after the last that was reported may have reached the disk too.
    assert reached in (acts, acts + 1)
    assert (lost.header.path, lost.header.process_id) == (path, process.pid)
    assert lost.header.file_digest == digest(EXAMPLE_BYTES)
    assert path.read_bytes() == EXAMPLE_BYTES

    document = Document()
    autosave = Autosave(document, folder, _failed)
    document.recover(lost.job, lost.header.path)
    discard(lost)
    assert (document.job, document.path, document.modified) == (lost.job, path, True)
    assert document.undo_label == "recover lost work"
    # The recovered work is in a journal of its own again.
    assert len(list(folder.glob("*.journal"))) == 1
    document.undo()
    assert document.job == EXAMPLE
    document.redo()
    document.save()
    assert recoverable(folder) == []
    assert _journals(folder) == []
    autosave.close()


def test_recovering_without_the_file_goes_on_without_a_name(tmp_path: Path) -> None:
    document = example_document(tmp_path)
    document.do(LONGER)
    document.recover(EXAMPLE, tmp_path / "gone.json")
    assert (document.undo_label, document.redo_label) == ("recover lost work", None)
    assert (document.path, document.job, document.modified) == (None, EXAMPLE, True)
    save(tmp_path / "broken.json", b"{")
    document.recover(EXAMPLE, tmp_path / "broken.json")
    assert document.path is None
    document.open(tmp_path / "plant.json")
    document.recover(EXAMPLE, None)
    assert (document.path, document.undo_label) == (None, "recover lost work")


def test_recovering_what_the_file_already_holds_is_no_step(tmp_path: Path) -> None:
    (tmp_path / "plant.json").write_bytes(EXAMPLE_BYTES)
    document = Document()
    document.recover(EXAMPLE, tmp_path / "plant.json")
    assert (document.undo_label, document.modified) == (None, False)
    document.do(SetConditionFields("c1", "full", (("capacity_W", 9e4),)))
    assert length_m(document.job, "d1") == pytest.approx(2.2)
