"""Solving, on the spot while that is quick and on a thread of its own when it is not.

Only plain values cross: a frozen job goes in with a generation number, a result comes back with the same number, and a
result whose number is no longer the newest is dropped.
"""

from __future__ import annotations

import time
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass

from PySide6.QtCore import QObject, QTimer, Signal

from linesizer.domain.job import Job
from linesizer.domain.result import Result
from linesizer.errors import UserError
from linesizer.evaluate import solve

QUICK_S = 0.05
"""A job whose last solving took less is solved on the spot: a frame or two, and no wait for another thread."""

SHOW_BUSY_AFTER_ms = 200
"""Nobody wonders earlier."""


@dataclass(frozen=True, slots=True)
class Solved:
    """An answer: the job that was solved, and its result or what keeps it from having one."""

    generation: int
    job: Job
    result: Result | None
    trouble: UserError | None


def answer(generation: int, job: Job) -> Solved:
    """Solve a job; what the person can put right comes back as ``trouble``."""
    try:
        return Solved(generation, job, solve(job), None)
    except UserError as error:
        return Solved(generation, job, None, error)


class Worker(QObject):
    """Answers requests to solve; only the newest counts."""

    solved = Signal(object)
    """A ``Solved``, on the thread of the window."""

    busy = Signal(bool)
    """Whether the other thread has been at it for so long that a person wonders."""

    _arrived = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._generation = 0
        self._took_s = 0.0
        self._pool: ThreadPoolExecutor | None = None
        self._under_way: Future[None] | None = None
        self._waiting: tuple[int, Job] | None = None
        self._arrived.connect(self._take)
        self._busy = False
        self._wonder = QTimer(self, singleShot=True, interval=SHOW_BUSY_AFTER_ms)
        self._wonder.timeout.connect(self._say_busy)

    def request(self, job: Job) -> None:
        """Ask for a job's result; whatever was asked before no longer counts."""
        self._generation += 1
        if self._took_s < QUICK_S and self._under_way is None:
            begin = time.perf_counter()
            solved = answer(self._generation, job)
            self._took_s = time.perf_counter() - begin
            self.solved.emit(solved)
            return
        self._waiting = (self._generation, job)
        self._next()

    def drop(self) -> None:
        """Let nothing that is under way count any more."""
        self._generation += 1
        self._waiting = None

    def close(self) -> None:
        """End the thread; waits for what it is at."""
        self.drop()
        self._wonder.stop()
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None

    def _next(self) -> None:
        if self._under_way is not None or self._waiting is None:
            return
        generation, job = self._waiting
        self._waiting = None
        if self._pool is None:
            self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="solve")
        self._under_way = self._pool.submit(self._work, generation, job)
        if not self._busy and not self._wonder.isActive():
            self._wonder.start()

    def _work(self, generation: int, job: Job) -> None:
        solved: Solved | None = None
        try:
            begin = time.perf_counter()
            solved = answer(generation, job)
            self._took_s = time.perf_counter() - begin
        finally:
            # A signal from another thread is delivered on the thread of the window.
            self._arrived.emit(solved)

    def _take(self, solved: Solved | None) -> None:
        ended, self._under_way = self._under_way, None
        self._next()
        if self._under_way is None:
            self._wonder.stop()
            if self._busy:
                self._busy = False
                self.busy.emit(False)
        if solved is not None and solved.generation == self._generation:
            self.solved.emit(solved)
        if solved is None and ended is not None:
            # A fault of the program's own: it comes out where all others do.
            ended.result()

    def _say_busy(self) -> None:
        self._busy = True
        self.busy.emit(True)
