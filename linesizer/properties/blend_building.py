"""Builds the table of a blend of a person's own in a process of its own, which alone loads CoolProp."""

from __future__ import annotations

import contextlib
import datetime
import json
import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from linesizer.domain.blend import Blend
from linesizer.errors import UserError
from linesizer.properties import own_blends
from linesizer.properties.own_blends import StoredBlend

MODULE = "linesizer.properties.generator.blend_process"
STAGES = 8
"""CoolProp is loaded, then what the building process tells of."""
LOADING = "CoolProp is loaded"

Report = Callable[[int, str], None]
"""Told how many of ``STAGES`` are done, and what is being done now."""


class BuildStoppedError(UserError):
    """A build that was stopped by the person; nothing was kept."""

    def __init__(self, name: str) -> None:
        super().__init__(
            "PROP-15",
            what=f"The building of {name} was stopped.",
            why="Nothing was kept of it.",
            remedy="Build it again whenever you like.",
        )
        self._name = name

    def __reduce__(self) -> tuple[type[BuildStoppedError], tuple[str]]:
        """Come back whole from another process."""
        return type(self), (self._name,)


class BlendBuild:
    """One table being built; ``run`` on any thread, ``stop`` from any other."""

    def __init__(self, name: str, blend: Blend) -> None:
        self._name = name
        self._blend = blend
        self._process: subprocess.Popen[str] | None = None
        self._stopped = False
        self._lock = threading.Lock()

    def run(self, report: Report) -> StoredBlend:
        """Build the table and keep it.

        Raises
        ------
        UserError
            PROP-11 to PROP-13 if the blend cannot be, PROP-14 if the folder cannot be written, PROP-15 if it was
            stopped, PROP-16 if CoolProp is missing, PROP-17 if the process ended without an answer.
        """
        try:
            own_blends.folder().mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise own_blends.unwritable(error) from error
        try:
            answer = self._asked(report)
        finally:
            self._end()
        if self._stopped:
            raise BuildStoppedError(self._name)
        if answer is None:
            raise UserError(
                "PROP-17",
                what=f"No table of {self._name} was written.",
                why="The process that builds it ended without an answer; the system may lack memory.",
                remedy="Close other programs and build it again.",
            )
        if "error" in answer:
            row = answer["error"]
            raise UserError(row["code"], what=row["what"], why=row["why"], remedy=row["remedy"])
        return own_blends.keep(self._name, self._blend, answer["table"])

    def stop(self) -> None:
        """End the build; ``run`` then raises ``BuildStoppedError``."""
        with self._lock:
            self._stopped = True
            if self._process is not None:
                self._process.kill()

    def _asked(self, report: Report) -> dict[str, Any] | None:
        process = self._start()
        assert process.stdin is not None
        assert process.stdout is not None
        done = 0
        report(done, LOADING)
        with contextlib.suppress(OSError):  # it is gone already: then there is no answer either
            process.stdin.write(json.dumps(self._request()) + "\n")
            process.stdin.flush()
        for line in process.stdout:
            row = _row(line)
            if row is None:
                continue
            if "stage" not in row:
                return row
            done += 1
            report(min(done, STAGES - 1), str(row["stage"]))
        return None

    def _request(self) -> dict[str, Any]:
        blend = self._blend
        return {
            "name": self._name,
            "basis": blend.basis.value,
            "composition": dict(blend.composition),
            "safety_group": blend.safety_group,
            "gwp": blend.gwp,
            "rcl_kg_m3": blend.rcl_kg_m3,
            "today": datetime.date.today().isoformat(),
        }

    def _start(self) -> subprocess.Popen[str]:
        root = str(Path(__file__).resolve().parents[2])
        others = os.environ.get("PYTHONPATH")
        with self._lock:
            if self._stopped:
                raise BuildStoppedError(self._name)
            self._process = subprocess.Popen(
                [sys.executable, "-m", MODULE],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                encoding="utf-8",
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),  # no terminal flashes up on Windows
                env={
                    **os.environ,
                    "PYTHONPATH": os.pathsep.join([root, others]) if others else root,
                    "PYTHONIOENCODING": "utf-8",
                },
            )
            return self._process

    def _end(self) -> None:
        process = self._process
        if process is None:
            return
        if process.poll() is None:
            process.kill()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()
        process.wait()


def build_blend(name: str, blend: Blend, report: Report = lambda _done, _stage: None) -> StoredBlend:
    """Build and keep the table of a blend; errors as ``BlendBuild.run``."""
    return BlendBuild(name, blend).run(report)


def _row(line: str) -> dict[str, Any] | None:
    try:
        row = json.loads(line)
    except ValueError:  # a library that prints
        return None
    return row if isinstance(row, dict) else None
