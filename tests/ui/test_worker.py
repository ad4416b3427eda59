"""The worker: quick jobs on the spot, slow ones on a thread of their own, and only the newest answer counts."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot

from linesizer.document.document import Document
from linesizer.domain.job import Job
from linesizer.errors import UserError
from linesizer.ui import worker as module
from linesizer.ui.worker import QUICK_S, SHOW_BUSY_AFTER_ms, Solved, Worker
from tests.ui.opened import ABOVE, SAMPLES

Solving = Callable[[Job], object]


class Solver:
    """Takes the place of ``solve``: waits as it is told, and keeps what it was asked and on which thread."""

    def __init__(self) -> None:
        self.jobs: list[Job] = []
        self.threads: list[threading.Thread] = []
        self.gate = threading.Event()
        self.gate.set()
        self.takes_s = 0.0
        self.error: BaseException | None = None

    def __call__(self, job: Job) -> object:
        self.jobs.append(job)
        self.threads.append(threading.current_thread())
        time.sleep(self.takes_s)
        assert self.gate.wait(10.0)
        if self.error is not None:
            raise self.error
        return f"result of {job.info.title}"


@pytest.fixture
def solver(monkeypatch: pytest.MonkeyPatch) -> Solver:
    made = Solver()
    monkeypatch.setattr(module, "solve", made)
    return made


@pytest.fixture
def worker(qapp: object, solver: Solver) -> Iterator[Worker]:
    made = Worker()
    yield made
    solver.gate.set()
    made.close()


def job(title: str) -> Job:
    document = Document()
    document.open(SAMPLES / f"{ABOVE}.json")
    return replace(document.job, info=replace(document.job.info, title=title))


def heard(worker: Worker) -> tuple[list[Solved], list[bool]]:
    solved: list[Solved] = []
    busy: list[bool] = []
    worker.solved.connect(solved.append)
    worker.busy.connect(busy.append)
    return solved, busy


def slow(worker: Worker, solver: Solver) -> None:
    """Let the worker meet a job that takes long, so that the next ones go to the other thread."""
    solver.takes_s = 1.5 * QUICK_S
    worker.request(job("slow"))
    solver.takes_s = 0.0


def test_the_first_and_quick_jobs_are_solved_on_the_spot(worker: Worker, solver: Solver) -> None:
    solved, busy = heard(worker)
    for title in ("one", "two"):
        worker.request(job(title))
    assert [each.result for each in solved] == ["result of one", "result of two"]
    assert [each.generation for each in solved] == [1, 2]
    assert solver.threads == [threading.current_thread()] * 2
    assert busy == []


def test_after_a_slow_job_the_next_goes_to_another_thread(qtbot: QtBot, worker: Worker, solver: Solver) -> None:
    slow(worker, solver)
    solved, _ = heard(worker)
    answered_on: list[threading.Thread] = []
    worker.solved.connect(lambda _: answered_on.append(threading.current_thread()))
    worker.request(job("next"))
    assert solved == []
    qtbot.waitUntil(lambda: len(solved) == 1)
    assert solver.threads[-1] is not threading.current_thread()
    assert answered_on == [threading.current_thread()]
    assert solved[0].result == "result of next"
    # That one was quick, so the one after it is solved on the spot again.
    worker.request(job("quick again"))
    assert solver.threads[-1] is threading.current_thread()


def test_only_the_newest_of_many_requests_is_answered(qtbot: QtBot, worker: Worker, solver: Solver) -> None:
    slow(worker, solver)
    solved, _ = heard(worker)
    solver.gate.clear()
    for title in ("a", "b", "c", "d"):
        worker.request(job(title))
    solver.gate.set()
    qtbot.waitUntil(lambda: len(solved) == 1)
    qtbot.wait(50)
    assert [(each.result, each.generation) for each in solved] == [("result of d", 5)]
    # What was asked and outdated before its turn is not even begun.
    assert [each.info.title for each in solver.jobs] == ["slow", "a", "d"]


def test_what_is_dropped_is_not_answered(qtbot: QtBot, worker: Worker, solver: Solver) -> None:
    slow(worker, solver)
    solved, _ = heard(worker)
    solver.gate.clear()
    worker.request(job("a"))
    worker.drop()
    solver.gate.set()
    qtbot.wait(80)
    assert solved == []


def test_busy_is_said_only_when_it_takes_long_and_once(qtbot: QtBot, worker: Worker, solver: Solver) -> None:
    slow(worker, solver)
    solved, busy = heard(worker)
    worker.request(job("quick"))
    qtbot.waitUntil(lambda: len(solved) == 1)
    qtbot.wait(SHOW_BUSY_AFTER_ms + 50)
    assert busy == []
    slow(worker, solver)
    solver.gate.clear()
    asked = time.monotonic()
    worker.request(job("a"))
    qtbot.waitUntil(lambda: busy == [True])
    assert time.monotonic() - asked >= 0.9 * SHOW_BUSY_AFTER_ms / 1000.0
    worker.request(job("b"))
    qtbot.wait(SHOW_BUSY_AFTER_ms + 50)
    solver.gate.set()
    qtbot.waitUntil(lambda: busy == [True, False])
    assert solved[-1].result == "result of b"


def test_what_a_person_can_put_right_comes_back_as_trouble(qtbot: QtBot, worker: Worker, solver: Solver) -> None:
    solved, _ = heard(worker)
    error = UserError("TEST-01", what="It cannot be.", why="It is planted.", remedy="Take it out.")
    solver.error = error
    worker.request(job("a"))
    slow(worker, solver)
    worker.request(job("b"))
    qtbot.waitUntil(lambda: len(solved) == 3)
    assert [(each.result, each.trouble) for each in solved] == [(None, error)] * 3


def test_a_fault_of_the_program_comes_out_and_the_worker_goes_on(qtbot: QtBot, worker: Worker, solver: Solver) -> None:
    slow(worker, solver)
    solved, _ = heard(worker)
    solver.error = ZeroDivisionError("planted")
    with qtbot.captureExceptions() as faults:
        worker.request(job("a"))
        qtbot.waitUntil(lambda: len(faults) == 1)
    assert faults[0][0] is ZeroDivisionError
    solver.error = None
    worker.request(job("b"))
    qtbot.waitUntil(lambda: len(solved) == 1)
    assert solved[0].result == "result of b"


def test_closing_ends_the_thread(qtbot: QtBot, worker: Worker, solver: Solver) -> None:
    before = set(threading.enumerate())
    slow(worker, solver)
    solved, busy = heard(worker)
    worker.request(job("a"))
    assert set(threading.enumerate()) > before
    worker.close()
    assert set(threading.enumerate()) == before
    qtbot.wait(SHOW_BUSY_AFTER_ms + 50)
    assert (solved, busy) == ([], [])
