"""From leg to leg in the order of flow, line after line."""

from __future__ import annotations

from linesizer.domain.branches import reading_order
from linesizer.domain.geometry import route_problems
from linesizer.domain.job import Job
from linesizer.domain.route import Line
from linesizer.ui.selection import Selection


def legs_in_order(line: Line) -> tuple[str, ...]:
    """Return the legs of a line in the order of flow, branch after branch.

    Those of a route that is not sound stand in the order of the job.
    """
    if route_problems(line):
        return tuple(leg.id for leg in line.legs)
    return reading_order(line)


def stepped(job: Job, selection: Selection, forward: bool) -> Selection | None:
    """Return the next leg, or the one before; None beyond the last or the first, where the focus goes on elsewhere."""
    every = [
        Selection(circuit.id, line.id, leg)
        for circuit in job.circuits
        for line in circuit.lines
        for leg in legs_in_order(line)
    ]
    if not every:
        return None
    leg = Selection(selection.circuit, selection.line, selection.leg)
    if leg in every:
        place = every.index(leg) + (1 if forward else -1)
    else:
        own = [i for i, each in enumerate(every) if (each.circuit, each.line) == (selection.circuit, selection.line)]
        place = (own[0] if own else 0) if forward else (own[-1] if own else len(every) - 1)
    return every[place] if 0 <= place < len(every) else None


def neighbour(line: Line, leg: str) -> str | None:
    """Return the leg before a leg, else the one behind it; None for the only one."""
    order = legs_in_order(line)
    if leg not in order or len(order) < 2:
        return None
    place = order.index(leg)
    return order[place - 1] if place > 0 else order[1]
