"""Whole windows over copies of the samples, with questions that answer themselves, for tests and journeys."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

from pytestqt.qtbot import QtBot

from linesizer import app
from linesizer.app import ThemeName
from linesizer.errors import UserError
from linesizer.properties.blend_building import build_blend
from linesizer.properties.own_blends import OwnBlends
from linesizer.ui.dialogs.questions import Lost, OnDisk, Questions, Unsaved
from linesizer.ui.main_window import MainWindow
from linesizer.ui.settings import preferences
from linesizer.units import System
from tests.ui.opened import SAMPLES


class Answers(Questions):
    """Answers every question as it is told beforehand, and keeps what was asked."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self.told: list[UserError] = []
        self.on_unsaved = Unsaved.DISCARD
        self.on_changed = OnDisk.KEEP_MINE
        self.on_overwrite = False
        self.on_build = False
        self.on_lost = Lost.LATER
        self.on_open: Path | None = None
        self.on_save: Path | None = None
        self.suggested: Path | None = None

    def unsaved(self, title: str) -> Unsaved:
        self.asked.append(f"unsaved {title}")
        return self.on_unsaved

    def changed_on_disk(self, path: Path, *, modified: bool) -> OnDisk:
        self.asked.append(f"changed {path.name} {'modified' if modified else 'unmodified'}")
        return self.on_changed

    def overwrite_changed(self, path: Path) -> bool:
        self.asked.append(f"overwrite {path.name}")
        return self.on_overwrite

    def lost_work(self, name: str, reached: datetime, acts: int) -> Lost:
        self.asked.append(f"lost {name} {acts}")
        return self.on_lost

    def open_path(self, folder: Path | None) -> Path | None:
        self.asked.append("open")
        return self.on_open

    def save_path(self, suggestion: Path) -> Path | None:
        self.asked.append("save as")
        self.suggested = suggestion
        return self.on_save

    def build(self, blends: OwnBlends) -> bool:
        self.asked.append(f"build {' '.join(name for name, _ in blends)}")
        if self.on_build:
            for name, blend in blends:
                build_blend(name, blend)
        return self.on_build

    def tell(self, error: UserError) -> None:
        self.told.append(error)


def copy_of(sample: str, folder: Path, name: str = "job.json") -> Path:
    """Return a copy of a sample, to be written over."""
    path = folder / name
    shutil.copyfile(SAMPLES / f"{sample}.json", path)
    path.chmod(0o644)
    return path


def window_over(
    qtbot: QtBot,
    folder: Path,
    path: Path | None,
    theme: ThemeName | None = "light",
    units: System | None = "si",
    *,
    shown: bool = True,
) -> tuple[MainWindow, Answers]:
    """Make a window over a file, or with None over an empty job, that remembers in ``folder/own``."""
    app.application()
    own = folder / "own"
    own.mkdir(exist_ok=True)
    window = app.make_window(own, preferences(own), path, theme, units)
    answers = Answers()
    window.files.questions = answers
    qtbot.addWidget(window, before_close_func=_let_go)
    if shown:
        show(qtbot, window)
    return window, answers


def show(qtbot: QtBot, window: MainWindow) -> None:
    """Show a window and wait until keys reach it."""
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()


def _let_go(window: MainWindow) -> None:
    window.files.questions = Answers()
