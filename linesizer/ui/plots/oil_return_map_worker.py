"""Working the oil-return map: on the spot while that is quick, on a thread of its own for long routes."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor

from PySide6.QtCore import QObject, Signal

from linesizer.catalog.practice import practice_set
from linesizer.domain.result import CircuitResult, Result
from linesizer.errors import UserError
from linesizer.sizing.oil_return_map import OilReturnMap, oil_return_map

SLOW_S = 0.1
"""Half of what may hold the window up: a map whose last one took longer goes to the thread."""

LONG_LEGS = 100
"""A first map of so many legs goes to the thread unasked."""


class MapWorker(QObject):
    """Answers requests for maps; only the newest counts."""

    ready = Signal(object, object)
    """The circuit's result that was asked for, and its ``OilReturnMap`` or None, on the thread of the window."""

    _arrived = Signal(int, object, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._generation = 0
        self._took_s = 0.0
        self._pool: ThreadPoolExecutor | None = None
        self._arrived.connect(self._take)

    def request(self, result: Result, circuit: CircuitResult) -> None:
        """Ask for a circuit's map; whatever was asked before no longer counts."""
        self._generation += 1
        legs = sum(len(line.line.legs) for line in circuit.lines)
        if self._took_s < SLOW_S and legs < LONG_LEGS:
            self.ready.emit(circuit, self._worked(result, circuit))
            return
        if self._pool is None:
            self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="oil-return-map")
        self._pool.submit(self._work, self._generation, result, circuit)

    def close(self) -> None:
        """End the thread; waits for what it is at."""
        self._generation += 1
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None

    def _worked(self, result: Result, circuit: CircuitResult) -> OilReturnMap | None:
        begin = time.perf_counter()
        choice = result.job.practice
        try:
            found = oil_return_map(circuit, result.job.site, practice_set(choice.set, choice.overrides))
        except UserError:
            # Some heads of the map cannot be; the rows of the panel say all that the job asks for.
            found = None
        self._took_s = time.perf_counter() - begin
        return found

    def _work(self, generation: int, result: Result, circuit: CircuitResult) -> None:
        if generation == self._generation:
            found = self._worked(result, circuit)
            self._arrived.emit(generation, circuit, found)

    def _take(self, generation: int, circuit: CircuitResult, found: OilReturnMap | None) -> None:
        if generation == self._generation:
            self.ready.emit(circuit, found)
