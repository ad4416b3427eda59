"""What no command may leave behind: a route that is no route, a reference into nothing, a number that no file may hold.

One gate for all commands.  It looks at what changed alone, which structure sharing shows by identity: of a circuit of
ten lines with one node moved, that one line.  The rules themselves are those of the job file (``storage``), so that
whatever passes here can be saved and opened again.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from linesizer.document.command import Command
from linesizer.document.fields import field_words
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import route_problems
from linesizer.domain.job import Job, PracticeChoice, Review, Site
from linesizer.domain.route import Line
from linesizer.errors import Problem, UserError
from linesizer.storage.job_file import problems
from linesizer.storage.places import owner, place_below
from linesizer.storage.writing import plain

FARTHEST_M = 10_000.0
"""The job file's own bound on a coordinate, repeated for the drag, where the file's whole check would cost too much."""


def carried_out(command: Command, job: Job, *, checked: Callable[[Job, Job, str], None] | None = None) -> Job:
    """Return the job after a command.

    Parameters
    ----------
    command : Command
        The act.
    job : Job
        A sound job, which stays as it is.
    checked : callable, optional
        The check of (before, after, label); ``require_sound`` unless given.

    Raises
    ------
    UserError
        The act makes no sense, or would leave something behind that is not sound.
    """
    after = command.apply(job)
    if after is not job:
        (checked or require_sound)(job, after, command.label)
    return after


def require_route(before: Job, after: Job, label: str) -> None:
    """Check the routes that changed, no more: what a drag can break, cheap enough for every frame.

    Raises
    ------
    UserError
        With the first thing wrong.
    """
    for _, line in changed_lines(before, after):
        for node in line.nodes:
            if not all(math.isfinite(at) and abs(at) <= FARTHEST_M for at in node.at_m):
                raise _refused(
                    label,
                    f'node "{node.id}" of line "{line.id}" would lie {max(map(abs, node.at_m)):.6g} m away.',
                    f"Stay within {FARTHEST_M:g} m of the origin.",
                )
        found = route_problems(line)
        if found:
            raise _refused(label, f'on line "{line.id}", {found[0].found}.', f"{_sentence(found[0].allowed)}.")


def require_sound(before: Job, after: Job, label: str) -> None:
    """Check everything that changed: routes, references, ranges.

    Raises
    ------
    UserError
        With the first thing wrong, and how many more there are.
    """
    require_route(before, after, label)
    part = changed_part(before, after)
    # An empty job is how a new one begins; a command may leave it empty, but not make one empty.
    empty = not before.circuits and not after.circuits
    found = [problem for problem in problems(part) if not (empty and problem.path == "circuits")]
    if found:
        first = found[0]
        more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
        # The file says null where a person leaves a field empty.
        allowed = first.allowed.replace(", or null", ", or leave it empty")
        raise _refused(label, f"{_said(part, first)}{more}.", f"Allowed: {allowed}.")


def changed_lines(before: Job, after: Job) -> list[tuple[Circuit, Line]]:
    """Return the lines of the later job that are not those of the earlier one, with their circuits."""
    if before.circuits is after.circuits:
        return []
    known = {id(line) for circuit in before.circuits for line in circuit.lines}
    return [(circuit, line) for circuit in after.circuits for line in circuit.lines if id(line) not in known]


def changed_part(before: Job, after: Job) -> Job:
    """Return the later job without what cannot have come to harm: the inside of lines and circuits that did not change.

    Lines and circuits keep their places in the lists, so that a problem's path holds for the whole job too.  Where the
    site or the practice set changed, everything is kept that may refer to it.
    """
    if before.site is not after.site:
        return after
    known_circuits = {id(circuit) for circuit in before.circuits}
    circuits = tuple(
        replace(circuit, equipment=(), lines=(), charge_condition=None)
        if id(circuit) in known_circuits
        else _changed_circuit(circuit, _counterpart(before, circuit))
        for circuit in after.circuits
    )
    return Job(
        circuits,
        after.info,
        Site(rooms=after.site.rooms),
        after.practice if after.practice is not before.practice else PracticeChoice(),
        after.record if after.record is not before.record else (),
        after.review if after.review is not before.review else Review(),
    )


def _counterpart(job: Job, circuit: Circuit) -> Circuit | None:
    return next((other for other in job.circuits if other.id == circuit.id), None)


def _changed_circuit(circuit: Circuit, before: Circuit | None) -> Circuit:
    if before is None or [item.id for item in before.equipment] != [item.id for item in circuit.equipment]:
        return circuit
    known = {line.id: line for line in before.lines}
    return replace(circuit, lines=tuple(_changed_line(line, known.get(line.id)) for line in circuit.lines))


def _changed_line(line: Line, before: Line | None) -> Line:
    if before is None:
        return line
    if before is line:
        return replace(line, nodes=(), legs=(), ends=(), fittings=(), default_size=None)
    if (
        before.legs is line.legs
        and before.ends is line.ends
        and before.fittings is line.fittings
        and before.tube == line.tube
        and before.default_size == line.default_size
    ):
        # Only nodes moved: legs and ties refer to them by name.
        return replace(line, legs=(), ends=(), fittings=())
    return line


def _refused(label: str, why: str, remedy: str) -> UserError:
    return UserError("EDIT-01", what=f"Cannot {label}.", why=_sentence(why), remedy=remedy)


def _said(job: Job, problem: Problem) -> str:
    """Return what is wrong as a person would say it: whose value, which one, what was found."""
    place = place_below((), problem.path)
    named = owner(plain(job), place)
    keys = [str(step) for step in place if isinstance(step, str)]
    words = field_words(keys[-1] if keys else problem.path)
    whose = words if named is None else f"{named}, {words}"
    return f"{whose}: {problem.found.removesuffix(f' for {named}')}"


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
