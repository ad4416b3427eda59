"""What is proposed in the size table: marks, words, objectives, the front, and the act, with a person's hands."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from linesizer.cli import main
from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.delete import DeleteLeg
from linesizer.document.commands.job import SetSite
from linesizer.document.commands.restore import RestoreJob
from linesizer.document.commands.size import SetLineSize
from linesizer.domain.proposal import Objective
from linesizer.domain.route import DoubleRiser, Service
from linesizer.ui.panels import proposal_worker
from linesizer.ui.panels.job.word_button import WordButton
from linesizer.ui.panels.proposal_strip import OBJECTIVES, ProposalStrip
from linesizer.ui.panels.sizes_panel import SizesPanel
from tests.ui.opened import (
    ABOVE,
    BELOW,
    OFFSCREEN,
    SAMPLES,
    TALL,
    click_cell,
    double_text,
    line_of,
    select,
    session_over,
    settled,
    shown,
    troubled,
)

pytestmark = OFFSCREEN


def proposed(qtbot: QtBot, panel: SizesPanel) -> ProposalStrip:
    """Wait until result and proposal are those of the job."""
    settled(qtbot, panel.session)
    qtbot.waitUntil(lambda: not panel.proposals.stale)
    return panel.proposals


def opened(qtbot: QtBot, sample: str = ABOVE, line: str = "dis", height: int = 700) -> SizesPanel:
    session = session_over(sample)
    select(session, line)
    panel = shown(qtbot, SizesPanel(session), 460, height)
    proposed(qtbot, panel)
    return panel


def click(button: WordButton) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def choose(panel: SizesPanel, objective: Objective) -> None:
    QTest.mouseClick(panel.proposals.chooser.words[OBJECTIVES.index(objective)], Qt.MouseButton.LeftButton)


def marks(panel: SizesPanel) -> dict[str, str]:
    return {row.size: row.proposed for row in panel.model.rows if row.proposed}


def without_breaks(text: str) -> str:
    return " ".join(text.split())


# What is proposed


def test_the_rows_that_the_proposal_uses_are_marked_in_words(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    # Of whole-line sizes only 1-5/8 fits, and a lighter mixture would have to have 1-3/8 somewhere.
    assert [row.size for row in panel.model.rows if row.passes] == ["1-5/8"]
    assert marks(panel) == {"1-5/8": "proposed"}
    panel.session.do(SetLineSize("c1", "dis", "2-1/8"))
    proposed(qtbot, panel)
    assert marks(panel) == {"1-5/8": "proposed"}
    index = panel.model.index([row.size for row in panel.model.rows].index("1-5/8"), 0)
    assert str(index.data(Qt.ItemDataRole.AccessibleTextRole)).endswith("fits, proposed")


def test_a_part_of_the_line_is_named_by_the_way_that_it_runs(qtbot: QtBot) -> None:
    panel = opened(qtbot, TALL)
    proposal = panel.proposals.proposal
    assert proposal is not None
    builds = dict(proposal.chosen.sizes)
    pair = builds["d3"]
    assert isinstance(pair, DoubleRiser)
    assert builds["d2"] == builds["d4"] == builds["d5"] != pair.large
    assert pair.small == pair.large, "the case has both tubes in one row"
    # d1 and d3 climb, d2 and d4 are level, d5 falls to the condenser.
    assert marks(panel) == {
        pair.small: "proposed: both tubes of risers",
        builds["d2"]: "proposed: level, falling",
    }


@pytest.mark.parametrize("look", ["light", "dark"])
def test_a_mark_is_drawn_in_the_row_beside_its_verdict(qtbot: QtBot, look: str) -> None:
    session = session_over(ABOVE, look=look)  # type: ignore[arg-type]
    panel = shown(qtbot, SizesPanel(session), 460, 700)
    proposed(qtbot, panel)

    def painted() -> QImage:
        image: QImage = panel.view.viewport().grab().toImage()
        return image

    row = panel.view.visualRect(panel.model.index([r.size for r in panel.model.rows].index("1-5/8"), 0))
    with_mark = painted()
    panel.model.show(
        panel.model._columns,
        tuple(replace(one, proposed="") for one in panel.model.rows),
        panel.model._practice,  # type: ignore[arg-type]
        "si",
    )
    without = painted()
    area = [(x, y) for x in range(with_mark.width()) for y in range(row.top(), row.bottom())]
    changed = [(x, y) for x, y in area if with_mark.pixel(x, y) != without.pixel(x, y)]
    assert len(changed) > 60
    assert min(y for _, y in changed) > row.center().y()


def test_the_window_and_the_command_line_say_the_same_sentence(
    qtbot: QtBot, capsys: pytest.CaptureFixture[str]
) -> None:
    for sample, line in ((ABOVE, "dis"), (TALL, "dis"), (BELOW, "liq")):
        panel = opened(qtbot, sample, line)
        assert main(["size", str(SAMPLES / f"{sample}.json"), "--propose"]) == 0
        printed = without_breaks(capsys.readouterr().out)
        for sentence in panel.proposals.words.text.split(". "):
            assert sentence.rstrip(".") in printed


def test_every_figure_with_its_limit_stands_in_the_tooltip(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    tip = panel.proposals.words.toolTip()
    assert "penalty 0.91 K (at most 1.00 K)" in tip
    assert "oil return 1.63 (at least 1.20)" in tip
    panel.session.use_units("ip")
    # 1 K is 1.8 of a difference in Fahrenheit, 30.2867 kg are 66.77 lb.
    assert "(at most 1.80 °F)" in panel.proposals.words.toolTip()
    assert "66.77 lb of tube" in panel.proposals.words.text


# Using it


def test_a_click_builds_the_line_so_as_one_named_step(qtbot: QtBot) -> None:
    panel = opened(qtbot, TALL)
    session, strip = panel.session, panel.proposals
    before, proposal = session.job, strip.proposal
    assert proposal is not None
    assert strip.use.isEnabled()
    click(strip.use)
    proposed(qtbot, panel)
    for leg in line_of(session, "dis").legs:
        assert (leg.double_riser or leg.size) == dict(proposal.chosen.sizes)[leg.id]
    assert session.document.undo_label == "use the sizes proposed for dis"
    assert session.result is not None
    assert not [one for one in session.result.findings if one.line == "dis" and one.level.value == "stop"]
    assert not strip.use.isEnabled()
    assert strip.use.toolTip() == "The line is built so."
    session.document.undo()
    assert session.job is before


def test_one_size_throughout_becomes_the_lines_own(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    assert not panel.proposals.use.isEnabled(), "the sample is built so"
    panel.session.do(SetLineSize("c1", "dis", "1-3/8"))
    strip = proposed(qtbot, panel)
    strip.use.setFocus()
    QTest.keyClick(strip.use, Qt.Key.Key_Space)
    line = line_of(panel.session, "dis")
    assert (line.default_size, {leg.size for leg in line.legs}) == ("1-5/8", {None})


# By what


def test_an_objective_without_a_figure_cannot_be_chosen_and_says_why(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    words = dict(zip(OBJECTIVES, panel.proposals.chooser.words, strict=True))
    assert [one for one in OBJECTIVES if not words[one].isEnabled()] == [Objective.YEARLY_COST]
    assert "states no price of electricity" in words[Objective.YEARLY_COST].toolTip()
    panel.session.do(SetSite((("electricity_price_kWh", 0.25),)))
    proposed(qtbot, panel)
    assert words[Objective.YEARLY_COST].isEnabled()
    for name in ("full", "low"):
        panel.session.do(SetConditionFields("c1", name, (("hours_per_year", None),)))
    proposed(qtbot, panel)
    assert "No condition states its hours a year" in words[Objective.YEARLY_COST].toolTip()
    select(panel.session, "liq")
    proposed(qtbot, panel)
    assert [one for one in OBJECTIVES if words[one].isEnabled()] == [Objective.MASS, Objective.CHARGE]
    assert "costs the compressor no power" in words[Objective.POWER].toolTip()


def test_another_objective_proposes_other_sizes(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    choose(panel, Objective.POWER)
    strip = proposed(qtbot, panel)
    assert strip.proposal is not None
    least = min(one.extra_power_W for one in strip.proposal.front if one.extra_power_W is not None)
    assert strip.proposal.chosen.extra_power_W == pytest.approx(least)
    assert strip.words.text.startswith("Proposed for least power: ")
    assert f"{least / 1e3:.2f} kW of power" in strip.words.text
    assert set(marks(panel).values()) == {"proposed: risers", "proposed: level"}
    # The choice is kept for the line that has a figure for it.
    select(panel.session, "liq")
    assert proposed(qtbot, panel).words.text.startswith("Proposed for least tube: ")
    select(panel.session, "dis")
    assert proposed(qtbot, panel).words.text.startswith("Proposed for least power: ")


# What lies beside it


def test_a_choice_of_the_front_is_looked_at_and_then_used(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    strip = panel.proposals
    assert not strip.front.isVisible()
    assert strip.more.text() == "Tube against penalty (3)"
    click(strip.more)
    assert strip.front.isVisible()
    tubes = [row.combination.tube_mass_kg for row in strip.model.rows]
    penalties = [row.combination.penalty_K for row in strip.model.rows]
    assert tubes == sorted(tubes)
    assert penalties == sorted(penalties, reverse=True)
    assert [row.what for row in strip.model.rows] == ["proposed", "", ""]
    other = strip.model.rows[1].combination
    before = panel.session.job
    click_cell(strip.front, strip.model.index(1, 1))
    assert panel.session.job is before, "looking changes nothing"
    assert [row.what for row in strip.model.rows] == ["proposed", "looked at", ""]
    assert strip.words.text.startswith("Looked at: ")
    assert f"{other.tube_mass_kg:.2f} kg of tube, {other.penalty_K:.2f} K penalty" in strip.words.text
    assert set(marks(panel).values()) == {"looked at: risers", "looked at: level"}
    click(strip.use)
    settled(qtbot, panel.session)
    assert {leg.id: leg.size for leg in line_of(panel.session, "dis").legs} == dict(other.sizes)
    proposed(qtbot, panel)
    assert strip.combination is not None
    assert strip.combination.sizes == other.sizes, "what is looked at stays so with the next answer"
    # Enter on the proposed one goes back to it.
    strip.front.setFocus()
    strip.front.setCurrentIndex(strip.model.index(0, 0))
    QTest.keyClick(strip.front, Qt.Key.Key_Return)
    assert set(marks(panel).values()) == {"proposed"}


def test_where_nothing_passes_it_says_what_excludes_what_and_what_would_help(qtbot: QtBot) -> None:
    panel = opened(qtbot, BELOW, "liq")
    strip = panel.proposals
    assert strip.words.text.startswith("No sizes meet every limit. Nearest: ")
    assert "The least that would help: " in strip.words.text
    assert "more subcooling where the line begins" in strip.words.text
    assert {word.split(":")[0] for word in marks(panel).values()} == {"nearest"}
    assert (strip.use.text(), strip.more.text()) == ("Use the nearest", "What excludes what")
    assert not strip.excluded.isVisible()
    click(strip.more)
    assert strip.excluded.isVisible()
    assert not strip.front.isVisible()
    assert strip.proposal is not None
    for one in strip.proposal.exclusions:
        assert f"excludes {one.combinations:,}" in strip.excluded.text
    nearest = dict(strip.proposal.chosen.sizes)
    click(strip.use)
    assert {leg.id: leg.size for leg in line_of(panel.session, "liq").legs} == nearest


def test_what_would_help_helps(qtbot: QtBot) -> None:
    panel = opened(qtbot, BELOW, "liq")
    (words,) = re.findall(r"help: about ([\d.]+) K more subcooling", panel.proposals.words.text)
    conditions = panel.session.job.circuits[0].conditions
    # What is estimated of subcooling may be off by 0.1 K (``sizing.limits``).
    for more, start in (
        (float(words) - 0.15, "No sizes meet every limit."),
        (float(words) + 0.1, "Proposed for least"),
    ):
        for condition in conditions:
            field = ("subcooling_K", condition.subcooling_K + more)
            panel.session.do(SetConditionFields("c1", condition.id, (field,)))
        assert proposed(qtbot, panel).words.text.startswith(start)


# When it is worked


class Asked:
    """Takes the place of ``propose_sizes``: counts what it is asked."""

    def __init__(self, real: Callable[..., object]) -> None:
        self.real, self.count = real, 0

    def __call__(self, *asked: object) -> object:
        self.count += 1
        return self.real(*asked)


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Asked:
    made = Asked(proposal_worker.propose_sizes)
    monkeypatch.setattr(proposal_worker, "propose_sizes", made)
    return made


def test_nothing_is_worked_for_a_panel_that_nobody_sees(qtbot: QtBot, asked: Asked) -> None:
    session = session_over(ABOVE)
    panel = SizesPanel(session)
    session.do(SetLineSize("c1", "dis", "2-1/8"))
    settled(qtbot, session)
    qtbot.wait(150)
    assert asked.count == 0
    shown(qtbot, panel, 460, 700)
    proposed(qtbot, panel)
    assert asked.count == 1
    panel.hide()
    session.do(SetLineSize("c1", "dis", "1-5/8"))
    settled(qtbot, session)
    qtbot.wait(150)
    assert asked.count == 1


def test_a_drag_greys_it_and_asks_nothing(qtbot: QtBot, asked: Asked) -> None:
    panel = opened(qtbot)
    session, strip = panel.session, panel.proposals
    session.do(SetLineSize("c1", "dis", "2-1/8"))
    proposed(qtbot, panel)
    count, words = asked.count, strip.words.text
    for step in range(5):
        assert session.preview(SetConditionFields("c1", "low", (("condensing_C", 31.0 + step),)))
        settled(qtbot, session)
        panel.refresh()
        assert strip.stale
        assert strip.words.text == f"not current: {words}"
        assert not strip.use.isEnabled()
    assert asked.count == count
    session.end_preview()
    settled(qtbot, session)
    assert strip.words.text == words
    assert strip.use.isEnabled()
    assert asked.count == count, "the job is the one that the proposal is for"


def test_it_stays_greyed_while_the_job_cannot_be_calculated(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    words = panel.proposals.words.text
    assert panel.session.preview(SetConditionFields("c1", "full", (("condensing_C", 110.0),)))
    troubled(qtbot, panel.session)
    assert panel.proposals.words.text == f"not current: {words}"
    panel.session.end_preview()
    assert proposed(qtbot, panel).words.text == words


def test_it_stays_readable_while_legs_go_and_come(qtbot: QtBot) -> None:
    panel = opened(qtbot, TALL)
    session, strip = panel.session, panel.proposals
    click(strip.more)
    strip._worker.forget()  # the next answer comes later
    words = strip.words.text
    session.do(DeleteLeg("c1", "dis", "d5"))
    settled(qtbot, session)
    assert strip.stale
    assert strip.words.text == f"not current: {words}"
    assert "d5" not in {leg for leg, _ in proposed(qtbot, panel).combination.sizes}  # type: ignore[union-attr]
    # Another job with lines of the same names.
    session.document.open(SAMPLES / f"{ABOVE}.json")
    settled(qtbot, session)
    assert "1-5/8 throughout" in proposed(qtbot, panel).words.text


def test_a_load_that_no_size_passes_has_no_proposal_and_says_so(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    for name in ("full", "low"):
        panel.session.do(SetConditionFields("c1", name, (("capacity_W", 4e7),)))
    strip = proposed(qtbot, panel)
    assert strip.proposal is None
    assert strip.words.text == (
        "Nothing is proposed for line dis: it is not calculated by this version, or no size passes its flow."
    )
    assert not strip.use.isEnabled()
    assert not strip.more.isVisible()
    assert marks(panel) == {}


def test_switching_lines_never_shows_the_others_sizes(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    panel = opened(qtbot)
    panel.proposals._worker.forget()
    select(panel.session, "liq")
    assert panel.proposals.words.text == "The sizes for line liq are being worked out."
    assert marks(panel) == {}
    assert not panel.proposals.use.isEnabled()
    assert "1-1/8 throughout" in proposed(qtbot, panel).words.text


def test_an_answer_that_comes_late_leaves_a_panel_alone_that_shows_no_table(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    session = panel.session
    panel.proposals._worker.forget()
    session.do(SetLineSize("c1", "dis", "2-1/8"))
    settled(qtbot, session)
    asked, before = panel.proposals._asked, panel.model.rows
    circuit = session.job.circuits[0]
    bare = replace(circuit.lines[0], service=Service.SUCTION)
    session.do(RestoreJob(replace(session.job, circuits=(replace(circuit, lines=(bare, circuit.lines[1])),))))
    settled(qtbot, session)
    assert panel.is_empty
    assert asked is not None
    panel.proposals._take(asked, proposal_worker.answer(asked))
    assert panel.is_empty
    assert panel.model.rows is before
    session.document.undo()
    assert proposed(qtbot, panel).words.text.startswith("Proposed for least tube: ")
    assert not panel.is_empty


# How it looks


def test_units_switch_in_place_and_ask_nothing(qtbot: QtBot, asked: Asked) -> None:
    panel = opened(qtbot)
    click(panel.proposals.more)
    count = asked.count
    panel.session.use_units("ip")
    assert not panel.proposals.stale
    assert asked.count == count
    head = str(panel.proposals.model.headerData(0, Qt.Orientation.Horizontal))
    assert head == "tube\nlb"


def test_text_at_twice_its_size_still_fits(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    double_text(monkeypatch)
    panel = shown(qtbot, SizesPanel(session_over(TALL)), 760, 900)
    strip = proposed(qtbot, panel)
    click(strip.more)
    for widget in (strip.use, strip.more, strip.words, strip.chooser):
        assert widget.width() >= min(widget.sizeHint().width(), 300)
        assert strip.rect().contains(widget.geometry())
    assert strip.words.height() >= strip.words.heightForWidth(strip.words.width())


def test_every_control_has_a_name_and_a_tooltip(qtbot: QtBot) -> None:
    panel = opened(qtbot)
    strip = panel.proposals
    for widget in (strip.use, strip.more, *strip.chooser.words):
        assert widget.accessibleName() == widget.text()
        assert widget.toolTip()
    assert strip.front.accessibleName()
    assert strip.chooser.accessibleName() == "Propose for least"
