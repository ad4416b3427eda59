"""A new job: empty, with three things to fill in, and sound as soon as they are."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from linesizer.document.document import Document
from linesizer.document.new_job import Answers, Needed, new_job, start
from linesizer.errors import UserError
from linesizer.evaluate import solve
from linesizer.storage.job_file import canonical, parse

FILLED = Answers("R134a", 60000.0, 2.0, 45.0, 6.0, 5.0, (0.0, 0.0, 1.0), (4.0, 3.0, 8.0))


def test_a_new_job_has_no_number_that_nobody_stated() -> None:
    job = new_job()
    assert job.circuits == ()
    assert solve(job).circuits == ()


def test_it_asks_for_three_things() -> None:
    assert Answers().missing == (Needed.REFRIGERANT, Needed.DUTY, Needed.PLACES)
    assert FILLED.missing == ()
    assert replace(FILLED, subcooling_K=None).missing == (Needed.DUTY,)
    assert replace(FILLED, condenser_at_m=None).missing == (Needed.PLACES,)
    assert all(need.question.endswith("?") for need in Needed)


@pytest.mark.parametrize("field", [field.name for field in fields(Answers) if field.name != "blend"])
def test_it_waits_for_each_of_them(field: str) -> None:
    with pytest.raises(UserError) as error:
        start(replace(FILLED, **{field: None}))
    assert error.value.code == "NEW-01"
    assert error.value.why.count("?") == 1


def test_the_answers_make_a_sound_job_that_can_be_solved_and_undone() -> None:
    document = Document()
    assert document.do(start(FILLED))
    (circuit,) = document.job.circuits
    condition = circuit.conditions[0]
    assert (circuit.refrigerant, circuit.heat_exchange) == ("R134a", True)
    assert (condition.capacity_W, condition.evaporating_C, condition.condensing_C) == (60000.0, 2.0, 45.0)
    assert (condition.superheat_K, condition.subcooling_K) == (6.0, 5.0)
    assert [item.at_m for item in circuit.equipment] == [(0.0, 0.0, 1.0), (4.0, 3.0, 8.0)]
    assert parse(canonical(document.job), "new").job == document.job
    assert len(solve(document.job).circuits) == 1
    document.undo()
    assert document.job.circuits == ()
    assert not document.modified


def test_an_answer_out_of_range_is_refused_by_name() -> None:
    with pytest.raises(UserError, match="Condensing temperature") as error:
        Document().do(start(replace(FILLED, condensing_C=140.0)))
    assert error.value.what == "Cannot start a circuit with R134a."
