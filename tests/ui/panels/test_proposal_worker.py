"""Proposing sizes: the first on a thread, quick ones on the spot, and only the newest answer counts."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot

from linesizer.document.document import Document
from linesizer.domain.job import Job
from linesizer.domain.proposal import Objective
from linesizer.errors import UserError
from linesizer.ui.panels import proposal_worker as module
from linesizer.ui.panels.proposal_worker import ProposalWorker, Wanted
from linesizer.ui.worker import QUICK_S
from tests.ui.opened import ABOVE, SAMPLES


class Sizing:
    """Takes the place of ``propose_sizes``: waits as it is told, and keeps what it was asked and on which thread."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.threads: list[threading.Thread] = []
        self.gate = threading.Event()
        self.gate.set()
        self.takes_s = 0.0
        self.error: BaseException | None = None

    def __call__(self, job: Job, circuit: str, line: str, objective: Objective) -> object:
        self.lines.append(line)
        self.threads.append(threading.current_thread())
        time.sleep(self.takes_s)
        assert self.gate.wait(10.0)
        if self.error is not None:
            raise self.error
        return f"sizes of {line}"


@pytest.fixture
def sizing(monkeypatch: pytest.MonkeyPatch) -> Sizing:
    made = Sizing()
    monkeypatch.setattr(module, "propose_sizes", made)
    return made


@pytest.fixture
def worker(qtbot: QtBot) -> Iterator[ProposalWorker]:
    made = ProposalWorker()
    yield made
    made.close()


@pytest.fixture(scope="module")
def job() -> Job:
    document = Document()
    document.open(SAMPLES / f"{ABOVE}.json")
    return document.job


def wanted(job: Job, line: str) -> Wanted:
    return Wanted(job, "c1", line, Objective.MASS)


def test_the_first_goes_to_the_thread_and_a_quick_one_after_it_is_worked_on_the_spot(
    qtbot: QtBot, worker: ProposalWorker, sizing: Sizing, job: Job
) -> None:
    with qtbot.waitSignal(worker.ready) as told:
        worker.request(wanted(job, "a"))
        assert not told.signal_triggered
    assert told.args is not None
    assert told.args[1] == "sizes of a"
    assert sizing.threads[0] is not threading.main_thread()
    answers: list[object] = []
    worker.ready.connect(lambda _, found: answers.append(found))
    worker.request(wanted(job, "a"))
    assert answers == ["sizes of a"]
    assert sizing.threads[1] is threading.main_thread()
    # What another line takes, or one with another condition, is not known.
    circuit = job.circuits[0]
    more = replace(job, circuits=(replace(circuit, conditions=circuit.conditions[:1]),))
    for other in (wanted(job, "b"), wanted(more, "a")):
        with qtbot.waitSignal(worker.ready):
            worker.request(other)
        assert sizing.threads[-1] is not threading.main_thread()


def test_after_a_slow_one_the_window_waits_for_none(
    qtbot: QtBot, worker: ProposalWorker, sizing: Sizing, job: Job
) -> None:
    sizing.takes_s = 1.5 * QUICK_S
    for line in ("a", "a"):
        with qtbot.waitSignal(worker.ready):
            begin = time.perf_counter()
            worker.request(wanted(job, line))
            assert time.perf_counter() - begin < QUICK_S
    assert threading.main_thread() not in sizing.threads


def test_only_the_newest_counts_and_what_nobody_waits_for_is_not_begun(
    qtbot: QtBot, worker: ProposalWorker, sizing: Sizing, job: Job
) -> None:
    answers: list[object] = []
    worker.ready.connect(lambda _, found: answers.append(found))
    sizing.gate.clear()
    for line in ("a", "b", "c"):
        worker.request(wanted(job, line))
    qtbot.waitUntil(lambda: sizing.lines == ["a"])
    sizing.gate.set()
    qtbot.waitUntil(lambda: bool(answers))
    qtbot.wait(30)
    assert answers == ["sizes of c"]
    assert sizing.lines == ["a", "c"]


def test_what_a_person_can_put_right_is_no_proposal(
    qtbot: QtBot, worker: ProposalWorker, sizing: Sizing, job: Job
) -> None:
    sizing.error = UserError("X-01", what="What.", why="Why.", remedy="Remedy.")
    with qtbot.waitSignal(worker.ready) as told:
        worker.request(wanted(job, "a"))
    assert told.args is not None
    assert told.args[1] is None


def test_a_fault_comes_out_where_all_others_do(qtbot: QtBot, worker: ProposalWorker, sizing: Sizing, job: Job) -> None:
    sizing.error = ZeroDivisionError("a fault of the program's own")
    with qtbot.captureExceptions() as caught:
        worker.request(wanted(job, "a"))
        qtbot.waitUntil(lambda: bool(caught))
    assert caught[0][0] is ZeroDivisionError


def test_a_window_that_goes_waits_for_the_thread_and_hears_nothing(
    qtbot: QtBot, worker: ProposalWorker, sizing: Sizing, job: Job
) -> None:
    answers: list[object] = []
    worker.ready.connect(lambda _, found: answers.append(found))
    sizing.takes_s = 0.1
    worker.request(wanted(job, "a"))
    qtbot.waitUntil(lambda: sizing.lines == ["a"])
    worker.close()
    qtbot.wait(30)
    assert answers == []
    assert not any(thread.is_alive() for thread in sizing.threads)


def test_the_same_question_is_of_the_very_same_job(job: Job) -> None:
    one = wanted(job, "dis")
    assert one.same(wanted(job, "dis"))
    assert not one.same(None)
    assert not one.same(wanted(job, "liq"))
    assert not one.same(Wanted(job, "c1", "dis", Objective.POWER))
    document = Document()
    document.open(SAMPLES / f"{ABOVE}.json")
    assert not one.same(wanted(document.job, "dis"))
