"""The command line as a person meets it."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from linesizer.cli import main
from tests.cli.manners import SAMPLE, Done, buffered, well_mannered


@pytest.fixture
def linesizer(capfd: pytest.CaptureFixture[str]) -> Callable[..., Done]:
    """Run a command in this process; what escapes as an exception fails the test."""

    def run(*words: object) -> Done:
        capfd.readouterr()
        code = main([str(word) for word in words])
        said = capfd.readouterr()
        return Done(code, said.out, said.err)

    return run


@pytest.fixture
def process() -> Callable[..., "subprocess.CompletedProcess[str]"]:
    """Run a command as a process of its own."""

    def run(*words: object, **options: Any) -> "subprocess.CompletedProcess[str]":
        command = [sys.executable, "-m", "linesizer", *(str(word) for word in words)]
        pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "encoding": "utf-8", "env": buffered()}
        return subprocess.run(command, **(pipes | options), timeout=60, check=False)

    return run


@pytest.fixture
def job() -> dict[str, Any]:
    """A fresh sample as a plain document, to be spoiled."""
    document: dict[str, Any] = json.loads(SAMPLE.read_text(encoding="utf-8"))
    return document


@pytest.fixture
def refused(linesizer: Callable[..., Done], tmp_path: Path) -> Callable[..., str]:
    """Give a job to ``size``, see it refused with good manners, return what was said."""

    def run(content: object) -> str:
        path = tmp_path / "plant.json"
        path.write_bytes(content if isinstance(content, bytes) else json.dumps(content).encode())
        before = os.stat(path)
        done = linesizer("size", path)
        after = os.stat(path)
        assert (after.st_mtime_ns, after.st_size, after.st_ino) == (before.st_mtime_ns, before.st_size, before.st_ino)
        assert sorted(tmp_path.iterdir()) == [path]
        return well_mannered(done)

    return run
