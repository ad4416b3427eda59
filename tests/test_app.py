"""What starts the window: the probe of the display, a person's preferences, noise kept away, nothing loaded in vain."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QtMsgType, qInstallMessageHandler, qWarning
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from linesizer import app
from linesizer.errors import JobFileError
from linesizer.ui.settings import preferences
from tests.ui.opened import ABOVE, OFFSCREEN, TALL
from tests.ui.windows import copy_of

pytestmark = OFFSCREEN


@pytest.fixture(autouse=True)
def _forget_the_probe() -> Iterator[None]:
    app._display_is_there.cache_clear()
    yield
    app._display_is_there.cache_clear()


def no_display(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("QT_QPA_PLATFORM", *app.DISPLAYS):
        monkeypatch.delenv(name, raising=False)


def test_offscreen_is_no_display(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    monkeypatch.setenv("DISPLAY", ":0")
    assert not app.display_is_there()


def test_linux_without_a_display_is_not_even_probed(monkeypatch: pytest.MonkeyPatch) -> None:
    no_display(monkeypatch)
    monkeypatch.setattr(app.sys, "platform", "linux")
    monkeypatch.setattr(app.subprocess, "Popen", None)
    assert not app.display_is_there()


@pytest.mark.parametrize(("program", "there"), [("pass", True), ("import os; os.abort()", False)])
def test_the_probe_decides_in_a_process_of_its_own_and_is_asked_once(
    monkeypatch: pytest.MonkeyPatch, program: str, there: bool
) -> None:
    no_display(monkeypatch)
    monkeypatch.setenv("DISPLAY", ":99")
    monkeypatch.setattr(app, "PROBE", program)
    assert app.display_is_there() is there
    monkeypatch.setattr(app, "PROBE", "pass" if not there else "import os; os.abort()")
    assert app.display_is_there() is there


def test_a_probe_that_hangs_counts_as_none_and_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    no_display(monkeypatch)
    monkeypatch.setenv("DISPLAY", ":99")
    monkeypatch.setattr(app, "PROBE", "import time; time.sleep(60)")
    monkeypatch.setattr(app, "PROBE_TIMEOUT_S", 0.2)
    assert not app.display_is_there()


def test_noise_is_dropped_and_all_else_goes_where_it_went(qapp: QApplication) -> None:
    heard: list[str] = []

    def listener(kind: QtMsgType, context: object, message: str) -> None:
        heard.append(message)

    before = qInstallMessageHandler(listener)
    try:
        with app.without_noise():
            qWarning("This plugin does not support propagateSizeHints()")
            qWarning("something that matters")
        qWarning("afterwards")
    finally:
        qInstallMessageHandler(before)
    assert heard == ["something that matters", "afterwards"]


def test_without_a_listener_what_matters_goes_to_standard_error() -> None:
    code = (
        "from linesizer import app; from PySide6.QtCore import qWarning\n"
        "with app.without_noise(): qWarning('This plugin does not support raise()'); qWarning('it matters')\n"
        "qWarning('afterwards')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert done.stderr.splitlines() == ["it matters", "afterwards"]


def test_a_window_begins_with_what_the_person_prefers_unless_told_otherwise(qtbot: QtBot, tmp_path: Path) -> None:
    app.application()
    settings = preferences(tmp_path)
    settings.setValue("look", "dark")
    settings.setValue("units", "ip")
    window = app.make_window(tmp_path, settings)
    qtbot.addWidget(window)
    assert (window.session.theme.name, window.session.units) == ("dark", "ip")
    other = app.make_window(tmp_path, settings, None, "light", "si")
    qtbot.addWidget(other)
    assert (other.session.theme.name, other.session.units) == ("light", "si")


def test_an_opened_file_is_a_recent_one_and_a_copy_is_not(qtbot: QtBot, tmp_path: Path) -> None:
    app.application()
    path = copy_of(ABOVE, tmp_path)
    window = app.make_window(tmp_path, preferences(tmp_path), path)
    qtbot.addWidget(window)
    assert window.session.document.path == path
    assert window.files.recent.shown() == (path,)
    copy = app.make_window(tmp_path, preferences(tmp_path), copy_of(TALL, tmp_path, "tall.json"), as_copy=True)
    qtbot.addWidget(copy)
    assert copy.session.document.path is None
    assert copy.files.recent.shown() == (path,)


def test_a_file_that_is_no_job_is_no_window(qtbot: QtBot, tmp_path: Path) -> None:
    app.application()
    (tmp_path / "broken.json").write_text("{")
    with pytest.raises(JobFileError):
        app.make_window(tmp_path, preferences(tmp_path), tmp_path / "broken.json")


def test_the_window_has_its_own_icon(qapp: QApplication) -> None:
    code = (
        "from linesizer import app\na = app.application()\n"
        "p = a.windowIcon().pixmap(64, 64).toImage()\n"
        "print(a.desktopFileName(), p.width(), p.pixelColor(32, 3).name(), p.pixelColor(16, 30).name())"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    name, width, paper, line = done.stdout.split()
    assert (name, width) == ("linesizer", "64")
    assert (paper, line) == ("#fcfbf8", "#d55e00")


def test_the_running_window_collects_on_its_own_thread_and_loads_nothing_in_vain(tmp_path: Path) -> None:
    code = (
        "import gc, sys\nfrom pathlib import Path\nfrom linesizer import app\n"
        "a, w = app.start(Path(sys.argv[1]))\n"
        "early = sorted(set(sys.modules) & {'pyqtgraph'})\n"
        "w.show()\na.processEvents()\n"
        "print(gc.isenabled(), early, sorted(set(sys.modules) & {'CoolProp', 'scipy', 'jsonschema', 'fluids'}))\n"
        "app.COLLECT_EVERY_ms\nw.close()"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(copy_of(ABOVE, tmp_path))],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "LINESIZER_FOLDER": str(tmp_path / "own")},
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert done.stdout.split("\n")[0] == "False [] []"
    assert gc.isenabled()
