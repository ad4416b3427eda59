"""Proposing sizes: on the spot while that is quick, on a thread of its own when it is not; only the newest counts."""

from __future__ import annotations

import math
import time
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from linesizer.domain.job import Job
from linesizer.domain.proposal import Objective, SizeProposal
from linesizer.errors import UserError
from linesizer.evaluate import propose_sizes
from linesizer.ui.worker import QUICK_S


@dataclass(frozen=True, slots=True, eq=False)
class Wanted:
    """What is asked for: sizes for a line of a job by an objective."""

    job: Job
    circuit: str
    line: str
    objective: Objective

    def same(self, other: Wanted | None) -> bool:
        """Tell whether another question is the same one, of the very same job."""
        if other is None or self.job is not other.job:
            return False
        return (self.circuit, self.line, self.objective) == (other.circuit, other.line, other.objective)


def answer(wanted: Wanted) -> SizeProposal | None:
    """Return what is proposed; None where nothing can be, which the findings of the job explain."""
    try:
        return propose_sizes(wanted.job, wanted.circuit, wanted.line, wanted.objective)
    except UserError:
        return None


class ProposalWorker(QObject):
    """Answers requests for proposals."""

    ready = Signal(object, object)
    """The ``Wanted`` that was asked, and its ``SizeProposal`` or None, on the thread of the window."""

    _arrived = Signal(int, object, object, bool)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._generation = 0
        self._took_s: dict[tuple[object, ...], float] = {}
        self._pool: ThreadPoolExecutor | None = None
        self._under_way: dict[int, Future[None]] = {}
        self._arrived.connect(self._take)

    def quick(self, wanted: Wanted) -> bool:
        """Tell whether the last one of the kind was so quick that this is worked on the spot; the first never is."""
        return self._took_s.get(_kind(wanted), math.inf) < QUICK_S

    def forget(self) -> None:
        """Forget how long any took: the next one goes to the thread."""
        self._took_s.clear()

    def request(self, wanted: Wanted) -> None:
        """Ask for a proposal; whatever was asked before no longer counts."""
        self._generation += 1
        if self.quick(wanted):
            self.ready.emit(wanted, self._worked(wanted))
            return
        if self._pool is None:
            self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="proposal")
        self._under_way[self._generation] = self._pool.submit(self._work, self._generation, wanted)

    def drop(self) -> None:
        """Let nothing that is under way count any more."""
        self._generation += 1

    def close(self) -> None:
        """End the thread; waits for what it is at."""
        self.drop()
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None

    def _worked(self, wanted: Wanted) -> SizeProposal | None:
        begin = time.perf_counter()
        found = answer(wanted)
        self._took_s[_kind(wanted)] = time.perf_counter() - begin
        return found

    def _work(self, generation: int, wanted: Wanted) -> None:
        found: SizeProposal | None = None
        done = False
        try:
            if generation == self._generation:
                found = self._worked(wanted)
            done = True
        finally:
            # A signal from another thread is delivered on the thread of the window.
            self._arrived.emit(generation, wanted, found, done)

    def _take(self, generation: int, wanted: Wanted, found: SizeProposal | None, done: bool) -> None:
        ended = self._under_way.pop(generation, None)
        if not done and ended is not None:
            # A fault of the program's own: it comes out where all others do.
            ended.result()
        elif generation == self._generation:
            self.ready.emit(wanted, found)


def _kind(wanted: Wanted) -> tuple[object, ...]:
    """Return what the time depends on: the line, how many legs it has, how many conditions and condensers there are."""
    circuit = next((one for one in wanted.job.circuits if one.id == wanted.circuit), None)
    if circuit is None:
        return (wanted.circuit, wanted.line)
    legs = sum(len(line.legs) for line in circuit.lines if line.id == wanted.line)
    return (wanted.circuit, wanted.line, legs, len(circuit.conditions), len(circuit.equipment))
