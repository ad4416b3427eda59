"""The session: which job and result views are shown, during drags, refusals and slow work."""

from __future__ import annotations

import threading

import pytest
from pytestqt.qtbot import QtBot

from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.node import MoveNode, SetLegLength
from linesizer.document.direction import Axis
from linesizer.domain.job import Job
from linesizer.errors import UserError
from linesizer.evaluate import solve
from linesizer.ui import worker
from linesizer.ui.selection import NOTHING, Selection
from linesizer.ui.session import Session
from tests.ui.opened import ABOVE, TALL, session_over

LONGER = SetLegLength("c1", "dis", "d3", 7.0)
MOVED = MoveNode("c1", "dis", "n3", Axis.UP, 0.5)
IMPOSSIBLE = SetLegLength("c1", "dis", "d3", -1.0)
TOO_COLD = 60.0


class Heard:
    """Counts what a session tells."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.names: list[str] = []
        self.refused: list[UserError] = []
        self.jobs: list[Job] = []
        session.shown.connect(self.on_shown)
        session.solved.connect(self.on_solved)
        session.changed.connect(self.on_changed)
        session.selected.connect(self.on_selected)
        session.units_changed.connect(self.on_units)
        session.condition_chosen.connect(self.on_condition)
        session.refused.connect(self.refused.append)

    def on_shown(self) -> None:
        self.names.append("shown")
        self.jobs.append(self.session.shown_job)

    def on_solved(self) -> None:
        self.names.append("solved")

    def on_changed(self) -> None:
        self.names.append("changed")

    def on_selected(self) -> None:
        self.names.append("selected")

    def on_units(self) -> None:
        self.names.append("units")

    def on_condition(self) -> None:
        self.names.append("condition")


@pytest.fixture
def session(qapp: object) -> Session:
    made = session_over(ABOVE)
    yield made
    made.close()


def test_a_session_begins_with_the_result_of_what_is_open(session: Session) -> None:
    assert session.current
    assert session.trouble is None
    assert session.result is not None
    assert session.result.job == session.job


def test_an_act_shows_the_new_job_and_its_result_before_it_tells_of_the_change(session: Session) -> None:
    heard = Heard(session)
    assert session.do(LONGER)
    assert heard.names == ["solved", "shown", "changed"]
    assert heard.jobs == [session.job]
    assert session.result is not None
    assert session.result.job is session.job


def test_a_preview_is_shown_and_solved_and_is_no_step(session: Session) -> None:
    before = session.job
    assert session.preview(MOVED)
    assert session.previewing
    assert session.job is before
    assert session.shown_job is not before
    assert session.result is not None
    assert session.result.job is session.shown_job
    assert session.document.undo_label is None
    session.end_preview()
    assert session.shown_job is before
    assert session.result.job is before
    assert not session.previewing


def test_a_preview_that_cannot_be_leaves_the_last_one(session: Session) -> None:
    session.preview(MOVED)
    shown = session.shown_job
    assert not session.preview(IMPOSSIBLE)
    assert session.shown_job is shown


@pytest.mark.parametrize("quiet", [True, False])
def test_a_refused_act_after_a_preview_shows_the_job_as_it_was(session: Session, quiet: bool) -> None:
    before = session.job
    session.preview(MOVED)
    heard = Heard(session)
    if quiet:
        assert not session.try_do(IMPOSSIBLE)
        assert [error.code for error in heard.refused] != []
    else:
        with pytest.raises(UserError):
            session.do(IMPOSSIBLE)
        assert heard.refused == []
    assert session.shown_job is before
    assert heard.jobs[-1] is before
    assert session.current
    assert session.result is not None
    assert session.result.job is before


def test_an_act_that_changes_nothing_ends_the_preview_too(session: Session) -> None:
    before = session.job
    session.preview(MOVED)
    heard = Heard(session)
    assert not session.do(SetLegLength("c1", "dis", "d3", 5.6))
    assert session.shown_job is before
    assert heard.jobs == [before]


def test_trouble_keeps_the_last_good_result(session: Session) -> None:
    good = session.result
    condition = session.job.circuits[0].conditions[0].id
    heard = Heard(session)
    session.do(SetConditionFields("c1", condition, (("subcooling_K", TOO_COLD),)))
    assert session.result is good
    assert not session.current
    assert session.trouble is not None
    assert "60.0 K" in session.trouble.why
    assert heard.names.count("solved") == 1
    session.document.undo()
    assert session.current
    assert session.trouble is None
    assert session.result is not good


def test_an_empty_job_has_no_result(session: Session) -> None:
    heard = Heard(session)
    session.document.new()
    assert session.result is None
    assert not session.current
    assert session.trouble is None
    assert session.shown_circuit is None
    assert session.shown_line is None
    assert session.condition == 0
    assert "solved" in heard.names


def test_a_result_that_comes_late_is_said_not_current_meanwhile(
    qtbot: QtBot, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    gate = threading.Event()

    def slow(job: Job) -> object:
        assert gate.wait(10.0)
        return solve(job)

    monkeypatch.setattr(worker, "solve", slow)
    session._worker._took_s = 1.0
    good = session.result
    heard = Heard(session)
    session.do(LONGER)
    assert not session.current
    assert session.result is good
    assert heard.names == ["solved", "shown", "changed"]
    # Gone back before it came: the late result of the longer leg never shows.
    session.document.undo()
    gate.set()
    qtbot.waitUntil(lambda: session.current)
    assert session.result is not None
    assert session.result.job == session.job
    assert session.document.redo_label is not None


def test_selection_units_and_condition_are_told_once_and_only_when_they_change(session: Session) -> None:
    heard = Heard(session)
    session.select(Selection("c1", "liq"))
    session.select(Selection("c1", "liq"))
    session.use_units("ip")
    session.use_units("ip")
    session.choose_condition(1)
    session.choose_condition(1)
    assert heard.names == ["selected", "units", "condition"]
    line = session.shown_line
    assert line is not None
    assert line.id == "liq"
    session.select(NOTHING)
    line = session.shown_line
    assert line is not None
    assert line.id == "dis"


def test_the_chosen_condition_stays_within_those_that_are_there(session: Session) -> None:
    session.choose_condition(99)
    assert session.condition == len(session.job.circuits[0].conditions) - 1


def test_gauge_pressures_count_from_the_air_at_the_site(session: Session) -> None:
    # The standard atmosphere: 101,325 Pa at the sea, ISO 2533 (from memory); the sample states its altitude.
    assert session.job.site.altitude_m >= 0.0
    assert 80_000.0 < session.atmosphere_Pa <= 101_325.0


def test_a_closed_session_listens_no_more(qapp: object) -> None:
    session = session_over(TALL)
    document = session.document
    result = session.result
    session.close()
    document.do(LONGER)
    assert session.result is result
