"""What Qt warns of fails a test: a warning is planted, and the settings of the project are seen to catch it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PLANTED = """
from PySide6.QtCore import QObject, qDebug, qWarning


def test_planted(qtbot):
    {act}
"""


@pytest.mark.parametrize(
    ("act", "code"),
    [
        ("qWarning('planted')", 1),
        ("QObject().startTimer(-1)", 1),
        ("qDebug('planted')", 0),
    ],
)
def test_a_warning_of_qt_fails_its_test(tmp_path: Path, act: str, code: int) -> None:
    (tmp_path / "test_planted.py").write_text(PLANTED.format(act=act), encoding="utf-8")
    settings = ["-c", str(ROOT / "pyproject.toml"), "--rootdir", str(ROOT), "-p", "no:cacheprovider", "-q"]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *settings, str(tmp_path)],
        cwd=ROOT,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == code, done.stdout
    if code:
        assert "Qt messages with level WARNING or above emitted" in done.stdout
