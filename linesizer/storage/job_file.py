"""The job file: read with everything that is wrong listed at once, and written whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from pydantic import ValidationError

from linesizer.domain.extra import Json
from linesizer.domain.job import Job
from linesizer.domain.route import Line
from linesizer.errors import JobFileError, Problem, UserError
from linesizer.properties.own_blends import OwnBlends, UnbuiltBlendsError
from linesizer.storage import migrations, references
from linesizer.storage.canonical import canonical
from linesizer.storage.consistency import faults_between
from linesizer.storage.models import FORMAT, VERSION, JobModel, LineModel, Model
from linesizer.storage.opening import LARGEST_BYTES, file_bytes
from linesizer.storage.places import (
    KINDS,
    MOST_FAULTS,
    WHOLE_FILE,
    Fault,
    Place,
    order_in_file,
    path_text,
    quoted,
    shown,
)
from linesizer.storage.plain import NotPlainError, loose_faults, plain_value
from linesizer.storage.reading import job_from, line_from
from linesizer.storage.saving import save
from linesizer.storage.shape import shape, unknown_keys
from linesizer.storage.wording import faults_from, near
from linesizer.storage.writing import plain

__all__ = [
    "FORMAT",
    "LARGEST_BYTES",
    "VERSION",
    "JobFile",
    "canonical",
    "parse",
    "problems",
    "read",
    "read_job",
    "unbuilt",
    "write",
]

MOST_ITEMS = 50_000
"""So many legs, conditions and the like may stand in one file; checking more would only exhaust the memory."""

MOST_NOTES = 100
"""So many unknown keys are noted one by one."""


@dataclass(frozen=True, slots=True)
class JobFile:
    """A job as it was read: from where, the job, the very bytes, and what the person should know about them."""

    path: Path
    job: Job
    raw: bytes
    notes: tuple[str, ...] = ()


def read(path: str | os.PathLike[str], build: Callable[[OwnBlends], None] | None = None) -> JobFile:
    """Read a job file.

    Parameters
    ----------
    path : path-like
        The file.
    build : callable, optional
        Builds the tables of the job's own blends that the person's data folder lacks.

    Raises
    ------
    JobFileError
        With everything that is wrong, each with its JSON path.
    UnbuiltBlendsError
        If such a table is missing and nobody builds it.
    """
    name = Path(path)
    data = file_bytes(name)
    file = parse(data, str(name))
    missing = unbuilt(file.job)
    if not missing:
        return file
    if build is None:
        raise UnbuiltBlendsError(missing)
    build(missing)
    # Only now can the conditions be held against the blends' tables.
    return parse(data, str(name))


def unbuilt(job: Job) -> OwnBlends:
    """Return the own blends of a job that have no table here, by name and composition."""
    stated = {
        (circuit.refrigerant, circuit.blend.key): circuit.blend for circuit in job.circuits if circuit.blend is not None
    }
    return tuple((name, blend) for (name, _), blend in stated.items() if not references.has_table(name, blend))


def read_job(path: str | os.PathLike[str]) -> Job:
    """Return the job that a file holds; errors as ``read``."""
    return read(path).job


def parse(data: bytes, name: str) -> JobFile:
    """Return the job that bytes hold; ``name`` is what errors call them.

    Own blends need not have a table; conditions are then not held against it.

    Raises
    ------
    JobFileError
        With everything that is wrong, each with its JSON path.
    """
    try:
        value, faults = plain_value(data)
    except NotPlainError as error:
        raise _refused("JOB-02", name, None, [error.fault]) from error
    foreign = _foreign(value)
    if foreign is not None:
        raise _refused("JOB-03", name, value, [foreign])
    assert isinstance(value, dict)
    document = migrations.migrated(value, to=VERSION)
    # Without so many commas there cannot be so many items, and counting them is saved.
    crowded = _crowded(document) if data.count(b",") >= MOST_ITEMS else None
    if crowded is not None:
        raise _refused("JOB-04", name, document, [*faults, crowded])
    strangers = list(unknown_keys(document))
    faults += _faults_of_free_values(document, (place for place, _ in strangers))
    model, more = _checked(document)
    faults += more
    job = None
    if model is not None and not faults:
        # Whole lines are at hand already; the same ones serve the checks between objects.
        job = job_from(model)
        lines: dict[Place, Line] = {
            ("circuits", c, "lines", n): line
            for c, circuit in enumerate(job.circuits)
            for n, line in enumerate(circuit.lines)
        }
        faults += islice(faults_between(document, lambda place, _: lines[place]), MOST_FAULTS + 1)
    else:
        faults += islice(faults_between(document, _sound_line), MOST_FAULTS + 1)
    if faults or job is None:
        raise _refused("JOB-04", name, document, faults)
    return JobFile(Path(name), job, data, _notes(strangers))


def problems(job: Job) -> tuple[Problem, ...]:
    """Return what would be wrong with a job if it were saved and opened again: what an edit may not leave behind."""
    document = plain(job)
    _, faults = _checked(document)
    return _problems(document, [*faults, *faults_between(document, _sound_line)])


def write(path: str | os.PathLike[str], job: Job, unedited: JobFile | None = None) -> None:
    """Save a job; a job that equals the ``unedited`` one as it was read is saved as the bytes that were read.

    Raises
    ------
    UserError
        Nothing was saved, and what stood there before stands there still.
    """
    name = Path(path)
    data = unedited.raw if unedited is not None and unedited.job == job else canonical(job)
    if len(data) > LARGEST_BYTES:
        raise UserError(
            "SAVE-05",
            what=f"{name} was not saved.",
            why=f"It needs {len(data) / 1e6:.0f} MB; a file of more than {LARGEST_BYTES / 1e6:.0f} MB is not read.",
            remedy="Split the job in two.",
        )
    save(name, data)


_FREE_PLACES: tuple[Place, ...] = (
    ("practice", "overrides"),
    ("record",),
    ("review", "comments"),
    ("review", "waivers"),
    ("review", "disposition"),
)


def _foreign(value: Json) -> Fault | None:
    """Return why a JSON value is no job of a version that can be read."""
    if not isinstance(value, dict):
        return Fault((), f"{shown(value)} in JSON, not a job", "an object { } with format, version and circuits")
    found = value.get("format")
    if found != FORMAT:
        words = "missing" if "format" not in value else shown(found)
        return Fault(("format",), words, f"{quoted(FORMAT)}; this is not a job file")
    version = value.get("version")
    allowed = f"a whole number from 1 to {VERSION}"
    if "version" not in value:
        return Fault(("version",), "missing", allowed)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        return Fault(("version",), shown(version), allowed)
    if version > VERSION:
        newer = f"up to version {VERSION}; the file was written by a newer program, which is needed to open it"
        return Fault(("version",), f"version {shown(version)}", newer)
    return None


_OTHER_GROUPS = (
    *("site", "practice", "nodes", "ends", "fittings", "connections", "overrides"),
    *("maker_limits", "discharge_sizes", "liquid_sizes"),
)


def _crowded(document: dict[str, Json]) -> Fault | None:
    """Return a fault where the lists hold more items than any job."""
    count, waiting = 0, [document]
    while waiting:
        item = waiting.pop()
        for key in (*KINDS, *_OTHER_GROUPS):
            below = item.get(key)
            if isinstance(below, list):
                count += len(below)
                waiting.extend(one for one in below if isinstance(one, dict))
            elif isinstance(below, dict):
                count += len(below)
                waiting.append(below)
        if count > MOST_ITEMS:
            return Fault((), f"more than {MOST_ITEMS} legs, nodes, conditions and the like", f"up to {MOST_ITEMS}")
    return None


def _checked(document: dict[str, Json]) -> tuple[JobModel | None, list[Fault]]:
    try:
        return JobModel.model_validate(document), []
    except ValidationError as error:
        return None, faults_from(error, document)


def _sound_line(_place: Place, line: dict[str, Json]) -> Line | None:
    try:
        return line_from(LineModel.model_validate(line))
    except ValidationError:
        return None


def _faults_of_free_values(document: dict[str, Json], strangers: Iterable[Place]) -> list[Fault]:
    """Return what is wrong in values that no model looks into: unknown keys, overrides, record and review."""
    faults = []
    for place in (*_FREE_PLACES, *strangers):
        value: Json = document
        for step in place:
            if isinstance(value, dict):
                value = value.get(str(step))
            elif isinstance(value, list) and isinstance(step, int):
                value = value[step]
        faults += loose_faults(value, place)
    return faults


def _notes(strangers: list[tuple[Place, type[Model]]]) -> tuple[str, ...]:
    """Return a note for each unknown key, the first of its kind of place standing for all."""
    grouped: dict[tuple[str, ...], list[tuple[Place, type[Model]]]] = {}
    for place, model in strangers:
        grouped.setdefault(tuple(step for step in place if isinstance(step, str)), []).append((place, model))
    notes = []
    for same in islice(grouped.values(), MOST_NOTES):
        place, model = same[0]
        more = f" (and {len(same) - 1} more like it)" if len(same) > 1 else ""
        close = near(str(place[-1]), tuple(shape(model).fields), most=1, likeness=0.7)
        hint = f"; did you mean {close[0]}?" if close else ""
        notes.append(f"{path_text(place)}{more}: unknown key, kept as it is and not used{hint}")
    if len(grouped) > MOST_NOTES:
        notes.append(f"{len(grouped) - MOST_NOTES} more unknown keys, kept as they are and not used")
    return tuple(notes)


def _problems(document: Json, faults: list[Fault]) -> tuple[Problem, ...]:
    first: dict[Place, Fault] = {}
    for fault in faults:
        first.setdefault(fault.place, fault)
    ordered = sorted(first.values(), key=lambda fault: order_in_file(document, fault.place))
    listed = tuple(Problem(path_text(fault.place), fault.found, fault.allowed) for fault in ordered[:MOST_FAULTS])
    if len(ordered) > MOST_FAULTS:
        listed += (Problem(WHOLE_FILE, "more is wrong than is listed here", "mend these first and open it again"),)
    return listed


def _refused(code: str, name: str, document: Json, faults: list[Fault]) -> JobFileError:
    remedy = "Put right what is listed, then open the file again."
    return JobFileError(code, name=name, problems=_problems(document, faults), remedy=remedy)
