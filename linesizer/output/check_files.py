"""Many job files read, solved and judged, in this process or spread over several.

A file that cannot be used is an answer like any other, and does not stop those after it.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import signal
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import Any

from linesizer.domain.finding import Finding, Level
from linesizer.domain.result_rows import finding_row
from linesizer.errors import JobFileError, UserError
from linesizer.evaluate import solve
from linesizer.properties.own_blends import OwnBlends
from linesizer.storage.job_file import read

PARALLEL_FROM = 64
"""Fewer files are done sooner than other processes have started."""

MOST_AT_ONCE = 16
"""So many files at most go to a process in one parcel: the progress moves, and no process waits long for another."""

MOST_PROCESSES = 61
"""Windows cannot wait for more processes than that at a time."""


class Want(StrEnum):
    """What is to be kept of each file: its row of the table, its findings as well, or its part of the JSON."""

    ROW = "row"
    FINDINGS = "findings"
    JSON = "json"


@dataclass(frozen=True, slots=True)
class CheckedFile:
    """What checking one file gave; small, since a thousand of them may be held.

    ``error`` is the whole error of a file that cannot be used, ``brief`` the same in a few words, or else the title of
    its heaviest finding.  ``stops``, ``warns`` and ``notes`` count findings; ``remarks`` are those of reading the
    file, ``own`` the refrigerants that are no shipped ones.  ``findings`` and ``json_text`` are filled where they were
    wanted.
    """

    path: str
    error: str | None
    brief: str
    stops: int = 0
    warns: int = 0
    notes: int = 0
    remarks: tuple[str, ...] = ()
    own: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    json_text: str = ""

    @property
    def worst(self) -> Level | None:
        """The heaviest level found, None where there is no finding or no answer."""
        levels = ((Level.STOP, self.stops), (Level.WARN, self.warns), (Level.NOTE, self.notes))
        return next((level for level, count in levels if count), None)


def job_files(words: Sequence[Path]) -> tuple[Path, ...]:
    """Return the files that a person named; a folder stands for the ``.json`` files in it, by name.

    Raises
    ------
    UserError
        CHECK-01 if a folder holds none.
    """
    found: list[Path] = []
    for word in words:
        inside = sorted(word.glob("*.json")) if word.is_dir() else [word]
        if not inside:
            raise UserError(
                "CHECK-01",
                what=f"{word} cannot be checked.",
                why="It is a folder without a file whose name ends in .json.",
                remedy="Name the job files, or the folder that holds them.",
            )
        found += inside
    return tuple(found)


def check_files(paths: Sequence[Path], want: Want, processes: int | None = None) -> Iterator[CheckedFile]:
    """Yield what checking each file gave, in the order of the files.

    Parameters
    ----------
    paths : sequence of Path
        Job files.
    want : Want
        What to keep of each.
    processes : int, optional
        How many processes share the work; None takes as many as the machine has to offer where that is worth it.

    Raises
    ------
    UserError
        CHECK-02 if a process ends before its work is done.
    """
    if processes is None:
        processes = _offered() if len(paths) >= PARALLEL_FROM else 1
    processes = min(processes, len(paths), MOST_PROCESSES)
    if processes <= 1:
        yield from (check_file(path, want) for path in paths)
        return
    parcel = max(1, min(MOST_AT_ONCE, len(paths) // (4 * processes)))
    # Started anew, not forked: a copy of a process with threads may stand still for ever.
    pool = ProcessPoolExecutor(processes, multiprocessing.get_context("spawn"), initializer=_leave_interrupts)
    try:
        yield from pool.map(partial(check_file, want=want), paths, chunksize=parcel)
    except BrokenProcessPool as error:
        raise UserError(
            "CHECK-02",
            what="The files were not all checked.",
            why="A process that shared the work ended before it was done; the system may lack memory.",
            remedy="Run the same with --processes 1.",
        ) from error
    finally:
        pool.shutdown(cancel_futures=True)


def check_file(path: Path, want: Want) -> CheckedFile:
    """Return what one file gives; an error that a person can put right is part of the answer."""
    built: list[str] = []
    try:
        file = read(path, lambda blends: built.extend(_built(blends)))
        result = solve(file.job)
    except UserError as error:
        text = _json(str(path), None, str(error), []) if want is Want.JSON else ""
        return CheckedFile(str(path), str(error), _brief(error), json_text=text)
    findings = sorted(result.findings, key=lambda finding: -finding.level.weight)
    counts = Counter(finding.level for finding in findings)
    checked = CheckedFile(
        path=str(path),
        error=None,
        brief=findings[0].title if findings else "",
        stops=counts[Level.STOP],
        warns=counts[Level.WARN],
        notes=counts[Level.NOTE],
        remarks=(*built, *file.notes),
        own=tuple(dict.fromkeys(circuit.circuit.refrigerant for circuit in result.circuits if circuit.own is not None)),
        findings=result.findings if want is Want.FINDINGS else (),
    )
    if want is not Want.JSON:
        return checked
    circuits = [
        {"id": circuit.circuit.id, "findings": [finding_row(finding) for finding in circuit.findings]}
        for circuit in result.circuits
    ]
    return replace(checked, json_text=_json(str(path), checked.worst, None, circuits))


def _built(blends: OwnBlends) -> Iterator[str]:
    """Build the tables of own blends that the job carries and the person's data folder lacks, and say so."""
    from linesizer.properties.blend_building import build_blend

    for name, blend in blends:
        yield f"{name} is a blend of somebody's own; its table is now in {build_blend(name, blend).path.parent}"


def _brief(error: UserError) -> str:
    if isinstance(error, JobFileError) and error.problems:
        more = len(error.problems) - 1
        return str(error.problems[0]) + (f" (and {more} more)" if more else "")
    return f"{error.what} {error.why}"


def _json(path: str, worst: Level | None, error: str | None, circuits: list[dict[str, Any]]) -> str:
    row = {"path": path, "worst": None if worst is None else worst.value, "error": error, "circuits": circuits}
    return json.dumps(row, indent=2, allow_nan=False)


def _offered() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _leave_interrupts() -> None:
    """Let the process that was asked answer an interrupt, alone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
