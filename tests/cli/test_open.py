"""``linesizer open``: the window as a picture, and what is said where no window can be shown."""

from __future__ import annotations

import os
import struct
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtGui import QImage, QPalette
from PySide6.QtWidgets import QApplication

from linesizer.cli import main
from linesizer.drawing.display_list import Ink
from linesizer.output.palette import PALETTES
from tests.cli.manners import Done, well_mannered

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.json"))
NO_DISPLAY = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")


@pytest.fixture(autouse=True)
def _own_look(qapp: QApplication) -> Iterator[None]:
    """Put the application's look back."""
    platform, palette, font = os.environ.get("QT_QPA_PLATFORM"), QPalette(qapp.palette()), qapp.font()
    yield
    qapp.setPalette(palette)
    qapp.setFont(font)
    if platform is not None:
        os.environ["QT_QPA_PLATFORM"] = platform


def colours(path: Path) -> Counter[int]:
    """Return how often each colour occurs at every third place."""
    picture = QImage(str(path)).convertToFormat(QImage.Format.Format_RGB32)
    return Counter(
        picture.pixel(x, y) & 0xFFFFFF for x in range(0, picture.width(), 3) for y in range(0, picture.height(), 3)
    )


@pytest.mark.parametrize("units", ["si", "ip"])
@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_in_both_looks_and_units(
    linesizer: Callable[..., Done], tmp_path: Path, sample: Path, theme: str, units: str
) -> None:
    picture = tmp_path / "window.png"
    done = linesizer("open", sample, "--picture", picture, "--theme", theme, "--units", units)
    assert done == Done(0, "", "")
    data = picture.read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", data[16:24]) == (1600, 1000)
    found = colours(picture)
    palette = {ink: int(value[1:], 16) for ink, value in PALETTES[theme].items()}  # type: ignore[index]  # a look's name
    total = found.total()
    # Mostly paper; some of everything that a job with two lines has; blended edges of letters make many colours.
    assert found.most_common(1)[0][0] == palette[Ink.PANEL]
    assert 0.02 < 1.0 - found[palette[Ink.PANEL]] / total < 0.5
    assert len(found) > 150
    for ink in (Ink.INK, Ink.QUIET, Ink.GRID, Ink.DISCHARGE, Ink.LIQUID):
        assert found[palette[ink]] > 20, ink


def test_units_and_look_make_other_pictures(linesizer: Callable[..., Done], tmp_path: Path) -> None:
    pictures = set()
    for theme, units in (("light", "si"), ("light", "ip"), ("dark", "si")):
        picture = tmp_path / f"{theme}-{units}.png"
        assert linesizer("open", SAMPLES[0], "--picture", picture, "--theme", theme, "--units", units).code == 0
        pictures.add(picture.read_bytes())
    assert len(pictures) == 3


def test_the_same_picture_twice_is_the_same(linesizer: Callable[..., Done], tmp_path: Path) -> None:
    first, second = tmp_path / "1.png", tmp_path / "2.png"
    for picture in (first, second):
        assert linesizer("open", SAMPLES[0], "--picture", picture).code == 0
    assert QImage(str(first)) == QImage(str(second))


def test_an_empty_job_has_a_picture_too(linesizer: Callable[..., Done], tmp_path: Path) -> None:
    done = linesizer("open", "--picture", tmp_path / "empty.png")
    assert done.code == 0
    assert len(colours(tmp_path / "empty.png")) > 50


def test_a_picture_that_cannot_be_written(linesizer: Callable[..., Done], tmp_path: Path) -> None:
    said = well_mannered(linesizer("open", SAMPLES[0], "--picture", tmp_path / "no folder" / "window.png"))
    assert "no folder" in said


def test_a_job_that_cannot_be_read(linesizer: Callable[..., Done], tmp_path: Path) -> None:
    (tmp_path / "broken.json").write_text("{")
    said = well_mannered(linesizer("open", tmp_path / "broken.json", "--picture", tmp_path / "window.png"))
    assert "broken.json" in said
    assert not (tmp_path / "window.png").exists()


def test_a_picture_leaves_preferences_and_recent_files_alone(
    linesizer: Callable[..., Done], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LINESIZER_FOLDER", str(tmp_path / "own"))
    assert linesizer("open", SAMPLES[0], "--picture", tmp_path / "window.png").code == 0
    assert not (tmp_path / "own").exists()


def without_display() -> dict[str, str]:
    return {name: value for name, value in os.environ.items() if name not in NO_DISPLAY}


def test_without_a_display_the_window_says_what_else_there_is(
    process: Callable[..., subprocess.CompletedProcess[str]],
) -> None:
    done = process("open", SAMPLES[0], env=without_display())
    said = well_mannered(Done(done.returncode, done.stdout, done.stderr))
    assert "--picture" in said
    assert "linesizer size" in said


def test_otherwise_prints_the_table_and_draws_the_picture(
    process: Callable[..., subprocess.CompletedProcess[str]],
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    picture = tmp_path / "window.png"
    done = process("open", SAMPLES[0], "--otherwise", picture, "--units", "ip", env=without_display())
    assert done.returncode == 0
    assert main(["size", str(SAMPLES[0]), "--units", "ip"]) == 0
    assert done.stdout == capsys.readouterr().out
    assert len(colours(picture)) > 150
    lines = done.stderr.splitlines()
    assert len(lines) == 2
    assert "no display" in lines[0]
    assert lines[1] == f"linesizer: the picture is {picture}"


def test_a_display_on_which_qt_does_not_start_counts_as_none(
    process: Callable[..., subprocess.CompletedProcess[str]],
) -> None:
    # No server listens at this number: Qt ends its process without an exception there.
    done = process("open", SAMPLES[0], env={**without_display(), "DISPLAY": ":4711"})
    assert "The window cannot be shown" in well_mannered(Done(done.returncode, done.stdout, done.stderr))


def test_a_folder_of_ones_own_that_cannot_be_used(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    start = (
        "import sys; from linesizer import app; from linesizer.errors import UserError\n"
        "try: app.start(None)\n"
        "except UserError as error: sys.exit(error.code + ' ' + error.what)"
    )
    done = subprocess.run(
        [sys.executable, "-c", start],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "LINESIZER_FOLDER": str(tmp_path / "file" / "own")},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr.startswith("FOLDER-01 ")
    assert str(tmp_path / "file" / "own") in done.stderr


def test_the_folder_is_looked_at_by_the_command_itself(
    linesizer: Callable[..., Done], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from linesizer import app

    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("LINESIZER_FOLDER", str(tmp_path / "file"))
    monkeypatch.setattr(app, "display_is_there", lambda: True)
    assert "LINESIZER_FOLDER" in well_mannered(linesizer("open", SAMPLES[0]))


def test_a_copy_is_passed_on(linesizer: Callable[..., Done], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from linesizer import app

    asked: list[object] = []

    def shown(path: Path, theme: object, units: object, *, as_copy: bool) -> int:
        asked.append((path, theme, units, as_copy))
        return 0

    monkeypatch.setattr(app, "open_window", shown)
    assert linesizer(SAMPLES[0]).code == 0
    assert linesizer("open", SAMPLES[0], "--copy", "--theme", "dark", "--units", "ip").code == 0
    assert asked == [(SAMPLES[0], None, None, False), (SAMPLES[0], "dark", "ip", True)]
