"""Killed in the middle of an edit, the program loses the last act at most, and offers the rest at its next start."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from linesizer.storage.journal import recoverable
from linesizer.ui.dialogs.questions import Lost
from linesizer.ui.settings import FOLDER_VARIABLE
from tests.journeys.hands import CTRL, K, press, settled
from tests.ui.opened import ABOVE, OFFSCREEN, line_of
from tests.ui.windows import copy_of, window_over

pytestmark = OFFSCREEN

ROOT = Path(__file__).parents[2]


def killed(path: Path, folder: Path, acts: int) -> int:
    """Let a window of its own process draw, kill it after some acts; return the legs of the last act it told of."""
    command = [sys.executable, "-m", "tests.journeys.killed_window", str(path)]
    environment = {**os.environ, FOLDER_VARIABLE: str(folder)}
    with subprocess.Popen(
        command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        told = [process.stdout.readline() for _ in range(acts)]
        process.kill()
        told += process.stdout.read().splitlines()
        assert told[0].strip(), process.stderr.read() if process.stderr else ""
    return int([line for line in told if line.strip()][-1])


@pytest.mark.parametrize("acts", [1, 7, 20])
def test_what_was_drawn_is_offered_and_brought_back(qtbot: QtBot, tmp_path: Path, acts: int) -> None:
    path, folder = copy_of(ABOVE, tmp_path), tmp_path / "own"
    opened = path.read_bytes()
    legs = killed(path, folder, acts)
    assert legs >= 4 + acts
    assert path.read_bytes() == opened
    (lost,) = recoverable(folder)
    # The last act told of is there; one more may have been kept and not told.
    assert len(lost.job.circuits[0].lines[0].legs) in (legs, legs + 1)

    # The next start, without a file.
    window, answers = window_over(qtbot, tmp_path, None)
    window.files.offer_lost_work()
    assert answers.asked == [f"lost {path.name} {lost.acts}"]
    assert window.session.job.circuits == ()
    answers.on_lost = Lost.RECOVER
    window.files.offer_lost_work()
    settled(qtbot, window)
    assert window.session.job == lost.job
    assert window.session.document.path == path
    assert window.isWindowModified()
    # Kept anew, in a journal of the new window; the old one is done with.
    assert len(list(folder.glob("*.journal"))) == 1
    press(window, K.Key_Z, CTRL)
    assert len(line_of(window.session, "dis").legs) == 4
    press(window, K.Key_S, CTRL)
    assert path.read_bytes() == opened


def test_thrown_away_is_gone_and_later_is_asked_again(qtbot: QtBot, tmp_path: Path) -> None:
    path, folder = copy_of(ABOVE, tmp_path), tmp_path / "own"
    killed(path, folder, 2)
    window, answers = window_over(qtbot, tmp_path, path)
    window.files.offer_lost_work()
    assert len(recoverable(folder)) == 1
    answers.on_lost = Lost.DISCARD
    window.files.offer_lost_work()
    assert recoverable(folder) == []
    assert not window.isWindowModified()
    window.files.offer_lost_work()
    assert len(answers.asked) == 2
