"""What an act costs: python tests/benchmarks/bench_document.py.

Medians over many repetitions, in microseconds; the machine is printed with them.  The job has one line of 300 legs.
"""

from __future__ import annotations

import platform
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path

from linesizer.document.autosave import Autosave
from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.draw import DrawLeg
from linesizer.document.commands.node import MoveNode
from linesizer.document.commands.size import SetLegSize
from linesizer.document.direction import Axis, Direction
from linesizer.document.document import Document
from linesizer.document.soundness import require_route, require_sound
from linesizer.errors import UserError
from linesizer.storage.job_file import canonical
from tests.document.jobs import long_chain

LEGS = 300


def median_us(act: Callable[[], object], times: int) -> float:
    """Return the median time of an act, [us]."""
    act()
    spent = []
    for _ in range(times):
        start = time.perf_counter_ns()
        act()
        spent.append((time.perf_counter_ns() - start) / 1000.0)
    return statistics.median(spent)


def _fail(error: UserError) -> None:
    raise error


def main() -> None:
    job = long_chain(LEGS)
    say = sys.stdout.write
    move = MoveNode("c1", "dis", "n150", Axis.UP, 0.25)
    moved = move.apply(job)
    size = SetLegSize("c1", "dis", ("d7",), "7/8")
    draw = DrawLeg("c1", "dis", f"n{LEGS + 1}", Direction.UP, 2.0)
    condition = SetConditionFields("c1", "full", (("capacity_W", 90000.0),))
    document = Document()
    document.recover(job, None)
    rows = [
        ("move a node: the new job alone", lambda: move.apply(job), 2000),
        ("move a node: checking the routes", lambda: require_route(job, moved, "x"), 500),
        ("move a node: checking all that changed", lambda: require_sound(job, moved, "x"), 200),
        ("move a node: preview (a frame of a drag)", lambda: document.preview(move), 500),
        ("for comparison, copying the job deeply", lambda: deepcopy(job), 20),
        ("set a leg's size: do, then undo", lambda: (document.do(size), document.undo()), 200),
        ("draw a leg: do, then undo", lambda: (document.do(draw), document.undo()), 200),
        ("change a capacity: do, then undo", lambda: (document.do(condition), document.undo()), 200),
        ("move a node: do, then undo", lambda: (document.do(move), document.undo()), 200),
        ("the job's canonical bytes", lambda: canonical(job), 100),
    ]
    say(f"{platform.machine()}, Python {platform.python_version()}; ")
    say(f"one line of {LEGS} legs, {len(canonical(job))} bytes\n")
    for name, act, times in rows:
        say(f"{median_us(act, times):10.0f} us  {name}\n")
    document.do(move)
    say(f"{median_us(lambda: (document.undo(), document.redo()), 1000) / 2:10.1f} us  undo or redo\n")
    with tempfile.TemporaryDirectory() as folder:
        autosave = Autosave(document, Path(folder), failed=_fail)
        spent = median_us(lambda: (document.undo(), document.redo()), 50) / 2
        say(f"{spent:10.0f} us  undo or redo with the journal, on the disk before it returns\n")
        autosave.close()


if __name__ == "__main__":
    main()
