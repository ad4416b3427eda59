"""What is proposed, in words: by way of the legs, with the figure that it was chosen by, against which limit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.catalog.practice import practice_set
from linesizer.domain.job import Job, Site
from linesizer.domain.proposal import Combination, Exclusion, Objective, SizeProposal
from linesizer.domain.route import DoubleRiser, Line, Point, Service
from linesizer.evaluate import propose_sizes
from linesizer.output.proposal_table import MOST_ROWS, proposal_text, shown_front
from linesizer.output.proposal_words import (
    broken_words,
    builds_words,
    figures_words,
    proposal_sentence,
    size_marks,
    why_no_figure,
)
from tests.checks.judged import job
from tests.solver.condensers import parallel_job
from tests.solver.routes import ORIGIN, chain, condition

PRACTICE = practice_set("general")
# Level, up, level, down.
HUMP: list[Point] = [ORIGIN, (6.0, 0.0, 0.0), (6.0, 0.0, 5.0), (15.0, 0.0, 5.0), (15.0, 0.0, 3.0)]
LINE = chain(HUMP)
LEGS = ("l0", "l1", "l2", "l3")


def combination(*builds: str | DoubleRiser, legs: tuple[str, ...] = LEGS, **figures: Any) -> Combination:
    own = {"penalty_K": 0.93, "tube_mass_kg": 48.2, "charge_kg": 1.5, "velocity_m_s": 9.7, **figures}
    return Combination(tuple(zip(legs, builds, strict=True)), **own)


def proposal(chosen: Combination, objective: Objective = Objective.MASS, **changes: Any) -> SizeProposal:
    best = tuple((one, chosen) for one in Objective if chosen.figure(one) is not None)
    return replace(SizeProposal("gas", objective, True, chosen, best, (chosen,), LEGS, 30), **changes)


def builds(*sizes: str | DoubleRiser, line: Line = LINE, legs: tuple[str, ...] = LEGS) -> str:
    return builds_words(line, combination(*sizes, legs=legs), PRACTICE, "si")


# Builds


def test_one_size_for_all_is_throughout() -> None:
    assert builds("1-3/8", "1-3/8", "1-3/8", "1-3/8") == "1-3/8 throughout"


def test_sizes_are_named_by_the_way_of_their_legs_in_the_order_of_flow() -> None:
    assert builds("1-3/8", "1-1/8", "1-3/8", "1-3/8") == "1-3/8 level runs and falling legs, 1-1/8 risers"
    assert builds("1-3/8", "1-1/8", "1-3/8", "7/8") == "1-3/8 level runs, 1-1/8 risers, 7/8 falling legs"


def test_a_way_in_two_sizes_is_named_by_its_legs() -> None:
    assert builds("1-3/8", "1-1/8", "1-5/8", "1-5/8") == "1-3/8 (l0), 1-1/8 risers, 1-5/8 (l2, l3)"


def test_a_part_of_the_line_is_named_by_its_legs() -> None:
    assert builds("1-1/8", "1-1/8", legs=("l1", "l3")) == "1-1/8 (l1, l3)"


def test_a_double_riser_is_said_with_its_seal_in_both_systems() -> None:
    found = combination("1-3/8", DoubleRiser("3/4", "1-3/8", 0.5), "1-3/8", "1-3/8")
    words = "1-3/8 level runs and falling legs, 3/4 + 1-3/8 double risers"
    assert builds_words(LINE, found, PRACTICE, "si") == f"{words} with a seal of 500 mm at l1"
    # 500 mm are 19.685 in, nearer to 19.625 than to 19.75.
    assert builds_words(LINE, found, PRACTICE, "ip") == f"{words} with a seal of 19 5/8 in at l1"
    assert builds_words(LINE, found, PRACTICE, "si", seals=False) == words


def test_the_marks_of_the_rows() -> None:
    whole = combination("1-3/8", "1-3/8", "1-3/8", "1-3/8")
    assert size_marks(LINE, whole, PRACTICE) == {"1-3/8": ""}
    mixed = combination("1-3/8", DoubleRiser("3/4", "1-3/8", 0.5), "1-3/8", "1-1/8")
    assert size_marks(LINE, mixed, PRACTICE) == {
        "1-3/8": "level, large tube of risers",
        "3/4": "small tube of risers",
        "1-1/8": "falling",
    }
    # The size of a leg of another tube is a word of another catalogue.
    other = replace(LINE, legs=(replace(LINE.legs[0], tube="EN-12735-1"), *LINE.legs[1:]))
    assert size_marks(other, combination("35x1.2", "1-3/8", "1-3/8", "1-3/8"), PRACTICE) == {
        "1-3/8": "risers, level, falling"
    }


# Sentences


@pytest.mark.parametrize(
    ("objective", "aim"),
    [
        (Objective.MASS, "least tube: 1-3/8 throughout; 48.20 kg of tube, 0.93 K penalty."),
        (Objective.CHARGE, "least charge: 1-3/8 throughout; 1.50 kg of refrigerant, 0.93 K penalty."),
        (Objective.POWER, "least power: 1-3/8 throughout; 0.58 kW of power, 0.93 K penalty."),
        (Objective.YEARLY_COST, "least yearly cost: 1-3/8 throughout; 1,234 a year, 0.93 K penalty."),
    ],
)
def test_the_sentence_has_the_figure_that_it_was_chosen_by(objective: Objective, aim: str) -> None:
    chosen = combination(*["1-3/8"] * 4, extra_power_W=580.0, yearly_cost=1234.4)
    assert proposal_sentence(LINE, proposal(chosen, objective), PRACTICE, "si") == f"Proposed for {aim}"


def test_inch_pound_sentence() -> None:
    chosen = combination(*["1-3/8"] * 4)
    # 48.2 kg / 0.45359237 = 106.26 lb; 0.93 K x 1.8 = 1.67.
    assert proposal_sentence(LINE, proposal(chosen), PRACTICE, "ip").endswith("106.26 lb of tube, 1.67 °F penalty.")


def test_without_a_figure_for_the_aim_it_was_chosen_by_its_tube() -> None:
    words = proposal_sentence(LINE, proposal(combination(*["1-3/8"] * 4), Objective.POWER), PRACTICE, "si")
    assert words.startswith("Proposed for least tube: ")


@pytest.mark.parametrize(("seal_m", "deep"), [(0.999, False), (1.0, False), (1.001, True)])
def test_a_seal_that_is_too_deep_to_be_built_is_told(seal_m: float, deep: bool) -> None:
    chosen = combination("1-3/8", DoubleRiser("3/4", "1-3/8", seal_m), "1-3/8", "1-3/8")
    words = proposal_sentence(LINE, proposal(chosen), PRACTICE, "si")
    assert words.endswith("A seal that deep is seldom built: weigh it against the choices with a lower one.") is deep


def test_what_comes_nearest_is_told_by_what_it_breaks() -> None:
    near = combination(*["1-3/8"] * 4, penalty_K=1.21, oil_return_ratio=1.1, velocity_m_s=9.0)
    words = proposal_sentence(LINE, proposal(near, fits=False, best=(), front=()), PRACTICE, "si")
    assert words == (
        "No sizes meet every limit. Nearest: 1-3/8 throughout; out by penalty 1.21 K (at most 1.00 K) and oil return "
        "1.10 (at least 1.20)."
    )
    weak = combination(*["1-3/8"] * 4, oil_return_ratio=1.3)
    words = proposal_sentence(LINE, proposal(weak, fits=False, best=(), front=()), PRACTICE, "si")
    assert words.endswith("; out by the rating of its tube.")


@pytest.mark.parametrize(("ratio", "broken"), [(1.199, 1), (1.2, 0), (1.201, 0)])
def test_a_figure_at_its_limit_keeps_it(ratio: float, broken: int) -> None:
    found = combination(*["1-3/8"] * 4, oil_return_ratio=ratio, penalty_K=1.0)
    assert len(broken_words(Service.DISCHARGE, found, PRACTICE, "si")) == broken


def test_figures_stand_against_the_strictest_limit_of_their_own() -> None:
    words = figures_words(LINE, combination(*["1-3/8"] * 4, oil_return_ratio=1.3), PRACTICE, "si")
    assert words == [
        "tube 48.20 kg",
        "penalty 0.93 K (at most 1.00 K)",
        "oil return 1.30 (at least 1.20)",
        "velocity 9.70 m/s (at most 18.00 m/s)",
        "charge 1.50 kg",
    ]
    liquid = figures_words(
        chain(HUMP, Service.LIQUID), combination(*["7/8"] * 4, outlet_subcooling_K=5.0), PRACTICE, "si"
    )
    assert "subcooling left 5.00 K (at least 2.00 K)" in liquid


def test_why_an_aim_has_no_figure() -> None:
    def gap(objective: Objective, line: Line, made: Job, site: Site) -> str | None:
        return why_no_figure(objective, line, made.circuits[0], site)

    made = job(LINE, conditions=[condition()])
    priced = replace(made.site, electricity_price_kWh=0.2)
    with_hours = job(LINE, conditions=[condition(hours_per_year=2000.0), condition("low")])
    assert gap(Objective.MASS, LINE, made, made.site) is None
    assert gap(Objective.POWER, LINE, made, made.site) is None
    assert "hours a year" in str(gap(Objective.YEARLY_COST, LINE, made, priced))
    assert "price of electricity" in str(gap(Objective.YEARLY_COST, LINE, with_hours, made.site))
    assert gap(Objective.YEARLY_COST, LINE, with_hours, priced) is None
    for objective in (Objective.POWER, Objective.YEARLY_COST):
        assert "liquid line" in str(gap(objective, chain(HUMP, Service.LIQUID), with_hours, priced))


# On a terminal


def printed(found: SizeProposal | None, line: Line = LINE) -> str:
    made = job(line)
    return proposal_text(found, line, made.circuits[0], made.site, PRACTICE, "si")


def front(count: int) -> tuple[Combination, ...]:
    return tuple(combination(*["1-3/8"] * 4, tube_mass_kg=40.0 + n, penalty_K=0.9 - 0.02 * n) for n in range(count))


def test_a_line_without_a_proposal_says_so() -> None:
    assert printed(None).startswith("Nothing is proposed for line gas: ")


def test_a_long_front_is_thinned_out_but_keeps_its_ends_and_what_was_chosen() -> None:
    many = tuple(replace(one, sizes=((f"l{n}", "7/8"),)) for n, one in enumerate(front(30)))
    rows = shown_front(replace(proposal(many[1]), front=many))
    assert MOST_ROWS <= len(rows) <= MOST_ROWS + 1
    assert {many[0], many[1], many[-1]} <= set(rows)
    assert list(rows) == sorted(rows, key=lambda one: one.tube_mass_kg)
    few = front(MOST_ROWS)
    assert shown_front(replace(proposal(few[0]), front=few)) == few


def test_the_front_is_a_table_that_marks_what_was_chosen() -> None:
    rows = (combination(*["1-1/8"] * 4, tube_mass_kg=30.0, penalty_K=0.99), combination(*["1-3/8"] * 4))
    text = printed(replace(proposal(rows[0]), front=rows))
    assert "better than the others in one of both; < least tube" in text
    lines = text.splitlines()
    at = next(index for index, line in enumerate(lines) if line.split()[:2] == ["tube,", "kg"])
    assert lines[at + 1].split() == ["<", "30.00", "0.99", "9.70", "1.50", "1-1/8", "throughout"]
    assert lines[at + 2].split() == ["48.20", "0.93", "9.70", "1.50", "1-3/8", "throughout"]
    assert "Tube against penalty" not in printed(proposal(rows[0])), "one alone is no choice"


def test_what_excludes_what_and_what_would_help_are_printed() -> None:
    near = combination(*["1-3/8"] * 4, penalty_K=1.25)
    exclusions = (Exclusion("discharge_penalty_K", 24, 1.25, 1.0), Exclusion("oil_return_margin_ratio", 7, None, 1.2))
    text = " ".join(printed(proposal(near, fits=False, best=(), front=(), exclusions=exclusions)).split())
    assert "The penalty excludes 24; those that keep every other limit come to 1.25 K against 1.00 K" in text
    assert "The oil-return reserve excludes 7." in text
    # 1 - 1 / 1.25 = 0.2
    assert "The least that would help: a line with about 20 % less length" in text


def test_an_aim_without_a_figure_is_told_before_the_sentence() -> None:
    line = chain(HUMP, Service.LIQUID)
    text = printed(proposal(combination(*["7/8"] * 4, outlet_subcooling_K=5.0), Objective.POWER), line)
    assert text.startswith("Least power has no figure here. The drop of a liquid line costs the compressor no power")


@pytest.mark.parametrize("which", ["gas", "liquid"])
def test_a_line_that_branches_has_its_words_and_every_size_its_mark(which: str) -> None:
    made = parallel_job()
    line = next(one for one in made.circuits[0].lines if one.id == which)
    found = propose_sizes(made, "c1", which)
    assert found is not None
    assert found.fits
    text = proposal_text(found, line, made.circuits[0], made.site, PRACTICE, "si")
    assert text.startswith("Proposed for least tube: ")
    sizes = {build for _, build in found.chosen.sizes}
    sentence = proposal_sentence(line, found, PRACTICE, "si")
    assert all(str(size) in sentence for size in sizes)
    assert set(size_marks(line, found.chosen, PRACTICE)) == sizes
