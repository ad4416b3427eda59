"""What every test stands on: Qt draws into memory, or with ``--display`` onto a screen."""

from __future__ import annotations

import gc
import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

# Before any test imports Qt.
if not os.environ.get("QT_QPA_PLATFORM"):
    os.environ["QT_QPA_PLATFORM"] = "offscreen"

_SCREEN = "1920x1200x24"


@pytest.fixture(autouse=True)
def collector_on_this_thread(request: pytest.FixtureRequest) -> Iterator[None]:
    """Keep the garbage collector from other threads while windows live, as the window does (app.py says why)."""
    if "qtbot" not in request.fixturenames:
        yield
        return
    gc.disable()
    yield
    gc.enable()


@pytest.fixture(autouse=True)
def own_data_folder(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep what is made for a person, blends of their own above all, in an empty folder, and return it."""
    folder = tmp_path_factory.mktemp("data")
    monkeypatch.setenv("LINESIZER_DATA", str(folder))
    return folder


def pytest_addoption(parser: pytest.Parser) -> None:
    """Take ``--display``."""
    parser.addoption(
        "--display",
        action="store_true",
        help="run the windows on the display; where there is none, on one in memory of their own (Xvfb)",
    )


def pytest_configure(config: pytest.Config) -> None:
    """Choose the platform, and start a display where one is wanted and there is none."""
    if not config.getoption("--display"):
        return
    os.environ.pop("QT_QPA_PLATFORM", None)
    if os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"):
        return
    server = shutil.which("Xvfb")
    if server is None:
        raise pytest.UsageError("There is no display and no Xvfb. On Debian: apt-get install xvfb libxcb-cursor0")
    read, write = os.pipe()
    command = [server, "-displayfd", str(write), "-screen", "0", _SCREEN, "-nolisten", "tcp"]
    process = subprocess.Popen(command, pass_fds=(write,), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    os.close(write)
    with os.fdopen(read) as pipe:
        number = pipe.readline().strip()  # it writes the number once it listens
    if not number:
        raise pytest.UsageError(f"{server} did not start.")
    os.environ["DISPLAY"] = f":{number}"
    config.add_cleanup(lambda: _stop(process))


def _stop(process: subprocess.Popen[bytes]) -> None:
    process.terminate()
    process.wait()
