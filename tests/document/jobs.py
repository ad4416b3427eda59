"""The jobs that these tests act on, and how an act on one is watched."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from linesizer.document.command import Command
from linesizer.document.document import Document
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import route_problems
from linesizer.domain.job import Job
from linesizer.domain.route import Leg, Line, LineEnd, Node, Point, Service
from linesizer.errors import UserError
from linesizer.storage.job_file import canonical, parse
from tests.storage.samples import EXAMPLE_BYTES

EXAMPLE: Job = parse(EXAMPLE_BYTES, "example").job
"""The format's own example: discharge line ``dis`` goes up d1, east d2, up d3, north d4 through n1 to n5."""

CIRCUIT = "c1"
LINE = "dis"


def example_document(folder: Path) -> Document:
    """Return a document with the example open from a file of its own."""
    path = folder / "plant.json"
    path.write_bytes(EXAMPLE_BYTES)
    document = Document()
    document.open(path)
    return document


def acted(command: Command, job: Job = EXAMPLE) -> Job:
    """Return the job after a command, done by a document, having seen that it can be saved, undone and done again."""
    document = Document()
    document.recover(job, None)
    held = document.job
    before = canonical(held)
    assert document.do(command), "the command changed nothing"
    after = document.job
    assert canonical(held) == before, "the command changed the old job"
    assert parse(canonical(after), "after").job == after
    assert not any(route_problems(line) for circuit in after.circuits for line in circuit.lines)
    assert document.undo_label == command.label
    document.undo()
    assert document.job is held
    document.redo()
    assert document.job is after
    return after


def refused(command: Command, job: Job = EXAMPLE) -> UserError:
    """Return the error with which a document refuses a command, having seen that nothing changed."""
    document = Document()
    document.recover(job, None)
    held, before = document.job, canonical(document.job)
    told: list[object] = []
    document.listen(told.append)
    with pytest.raises(UserError) as error:
        document.do(command)
    assert document.job is held
    assert canonical(held) == before
    assert document.undo_label == "recover lost work"
    assert not told
    return error.value


def circuit_in(job: Job) -> Circuit:
    """Return the first circuit."""
    return job.circuits[0]


def line_in(job: Job, name: str = LINE) -> Line:
    """Return a line of the first circuit."""
    return next(line for line in job.circuits[0].lines if line.id == name)


def leg_in(job: Job, name: str, line: str = LINE) -> Leg:
    """Return a leg of a line of the first circuit."""
    return next(leg for leg in line_in(job, line).legs if leg.id == name)


def places(job: Job, line: str = LINE) -> dict[str, Point]:
    """Return where the nodes of a line are."""
    return {node.id: node.at_m for node in line_in(job, line).nodes}


def length_m(job: Job, leg: str, line: str = LINE) -> float:
    """Return the length of a leg."""
    found, where = leg_in(job, leg, line), places(job, line)
    return math.dist(where[found.start], where[found.end])


def with_lines(*lines: Line) -> Job:
    """Return the example with other lines."""
    return replace(EXAMPLE, circuits=(replace(EXAMPLE.circuits[0], lines=lines),))


def route(name: str, service: Service, nodes: dict[str, Point], *legs: tuple[str, str, str], **more: object) -> Line:
    """Return a plain line: nodes by name, legs as (id, from, to)."""
    return Line(
        name,
        service,
        tuple(Node(node, at) for node, at in nodes.items()),
        tuple(Leg(leg, start, end) for leg, start, end in legs),
        **more,  # type: ignore[arg-type]
    )


def branching() -> Job:
    """Return a job whose discharge line climbs from the unit, then spreads to the west and to the east."""
    line = route(
        "dis",
        Service.DISCHARGE,
        {
            "n1": (0.0, 0.0, 0.0),
            "n2": (0.0, 0.0, 5.0),
            "n3": (4.0, 0.0, 5.0),
            "n4": (-3.0, 0.0, 5.0),
            "n5": (4.0, 2.0, 5.0),
        },
        ("d1", "n1", "n2"),
        ("d2", "n2", "n3"),
        ("d3", "n2", "n4"),
        ("d4", "n3", "n5"),
        ends=(LineEnd("n1", "unit", "discharge"), LineEnd("n5", "cond")),
    )
    return with_lines(line)


def long_chain(legs: int) -> Job:
    """Return a job whose one line has so many legs, in the square zigzag of a real route."""
    steps = [(2.0, 0.0, 0.0), (0.0, 0.0, 1.5), (0.0, 3.0, 0.0), (0.0, 0.0, 0.5)]
    at, nodes, chain = (0.0, 0.0, 0.0), [Node("n1", (0.0, 0.0, 0.0))], []
    for index in range(legs):
        step = steps[index % 4]
        at = (at[0] + step[0], at[1] + step[1], at[2] + step[2])
        nodes.append(Node(f"n{index + 2}", at))
        chain.append(Leg(f"d{index + 1}", f"n{index + 1}", f"n{index + 2}", size="1-5/8"))
    return with_lines(Line("dis", Service.DISCHARGE, tuple(nodes), tuple(chain)))
