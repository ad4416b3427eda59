"""Whatever a person does, in any order: the job stays sound and can be saved, and undo leads back to the first byte."""

from __future__ import annotations

from collections import Counter

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from linesizer.document.document import Document
from linesizer.domain.geometry import route_problems
from linesizer.domain.job import Job
from linesizer.errors import UserError
from linesizer.storage.job_file import canonical, parse
from tests.document.jobs import EXAMPLE, branching
from tests.document.random_commands import commands
from tests.storage.strategies import jobs

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


def _watched(data: st.DataObject, first: Job, acts: int) -> Counter[str]:
    document = Document()
    document.recover(first, None)
    opened, opened_bytes = document.job, canonical(document.job)
    done: Counter[str] = Counter()
    reached = [document.job]
    refusals: list[UserError] = []
    for _ in range(acts):
        before = document.job
        command = data.draw(commands(before))
        assert command.label[0].islower()
        assert command.label == command.label.strip()
        try:
            changed = document.do(command)
        except UserError as error:
            refusals.append(error)
            assert document.job is before
            continue
        after = document.job
        assert changed == (after is not before)
        if changed:
            done[type(command).__name__] += 1
            reached.append(after)
            assert not [found for circuit in after.circuits for line in circuit.lines for found in route_problems(line)]
            assert parse(canonical(after), "after").job == after
    for job in reversed(reached[:-1]):
        assert document.undo()
        assert document.job is job
    assert document.job is opened
    assert canonical(document.job) == opened_bytes
    for job in reached[1:]:
        assert document.redo()
        assert document.job is job
    assert all(error.what and error.why and error.remedy for error in refusals)
    return done


@SLOW
@given(data=st.data())
def test_any_acts_on_any_job(data: st.DataObject) -> None:
    _watched(data, data.draw(jobs()), acts=6)


@SLOW
@given(data=st.data())
def test_any_acts_on_a_real_job(data: st.DataObject) -> None:
    _watched(data, data.draw(st.sampled_from([EXAMPLE, branching()])), acts=12)
