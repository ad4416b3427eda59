"""The least change that would let sizes through: made, it does; and what is said of each limit."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from linesizer.checks.size_exclusions import exclusion_sentences, way_out
from linesizer.domain.job import Job
from linesizer.domain.proposal import Exclusion, SizeProposal
from linesizer.domain.route import Service
from linesizer.evaluate import propose_sizes
from tests.checks.judged import job
from tests.solver.routes import ORIGIN, chain, condition


def proposed(made: Job) -> SizeProposal:
    line = made.circuits[0].lines[0]
    found = propose_sizes(made, "c1", line.id)
    assert found is not None
    return found


def helps(found: SizeProposal) -> str:
    assert not found.fits
    said = way_out(found.exclusions)
    assert said is not None
    assert not set("{}") & set(said.text("si") + said.text("ip"))
    return said.text("si")


def test_so_much_more_of_the_least_load_brings_the_oil_up() -> None:
    """A sloping riser, which cannot be built of two tubes; oil return goes with the load at given temperatures."""
    slope = chain([ORIGIN, (14.0, 0.0, 9.0)], size=None)

    def plant(low_W: float) -> Job:
        return job(slope, conditions=[condition(), condition("low", capacity_W=low_W)])

    words = helps(proposed(plant(12e3)))
    (part,) = re.findall(r"a least load higher by about (\d+) %", words)
    # What is estimated of oil return may be off by 5 % (``sizing.limits``).
    assert not proposed(plant(12e3 * (1.0 + (float(part) - 6.0) / 100.0))).fits
    assert proposed(plant(12e3 * (1.0 + (float(part) + 6.0) / 100.0))).fits


def test_so_much_less_length_costs_what_the_limit_allows() -> None:
    def plant(length_m: float) -> Job:
        return job(chain([ORIGIN, (length_m, 0.0, 0.0)], size=None), conditions=[condition(capacity_W=300e3)])

    words = helps(proposed(plant(2500.0)))
    (part,) = re.findall(r"about (\d+) % less length", words)
    assert proposed(plant(2500.0 * (1.0 - (float(part) + 3.0) / 100.0))).fits
    assert not proposed(plant(2500.0 * (1.0 - (float(part) - 5.0) / 100.0))).fits


def test_of_two_rules_on_one_figure_the_stricter_says_how_much_is_missing() -> None:
    """Boiling asks for 0 K and the valve for 2 K; 1.5 K short of the first is 3.5 K short of the second."""
    found = way_out(
        (
            Exclusion("liquid_margin_stop_K", 40, -1.5, 0.0),
            Exclusion("liquid_margin_at_valve_K", 44, -1.5, 2.0),
            Exclusion("liquid_velocity_max_m_s", 12, None, 1.8),
        )
    )
    assert found is not None
    assert found.text("si").startswith("The least that would help: about 3.50 K more subcooling")
    # 3.5 K are 6.3 of a difference in Fahrenheit.
    assert "6.30 °F more subcooling" in found.text("ip")


def test_the_least_change_is_the_one_that_misses_its_limit_by_the_smallest_part() -> None:
    """Velocity is 11 % over its limit of 18 m/s, the penalty 30 % over 1 K."""
    both = (
        Exclusion("discharge_penalty_K", 9, 1.3, 1.0),
        Exclusion("discharge_velocity_max_m_s", 5, 20.0, 18.0),
        Exclusion("rating_temper", 3, -1e5, 0.0),
    )
    found = way_out(both)
    assert found is not None
    assert found.text("si") == "The least that would help: a limit of 20.00 m/s set by the job for velocity."
    only = way_out(both[:1])
    assert only is not None
    # 1 - 1 / 1.3 = 0.23
    assert "about 23 % less length" in only.text("si")
    weak = way_out(both[2:])
    assert weak is not None
    assert "heavier tube" in weak.text("si")


def test_a_rule_that_those_keep_which_keep_all_others_does_not_stand_in_the_way() -> None:
    """1.93 K are left where the valve asks for 2 K: they do not boil, so that rule is not what is missed."""
    exclusions = (
        Exclusion("liquid_margin_stop_K", 90, 1.93, 0.0),
        Exclusion("liquid_margin_at_valve_K", 120, 1.93, 2.0),
    )
    found = way_out(exclusions)
    assert found is not None
    assert found.text("si").startswith("The least that would help: about 0.07 K more")
    text = exclusion_sentences(exclusions).text("si")
    assert text.endswith("Boiling before the valve excludes 90.")
    assert "come to 1.93 K against 2.00 K" in text


def test_where_no_single_change_would_do_nothing_is_promised() -> None:
    exclusions = (Exclusion("discharge_penalty_K", 1200, None, 1.0), Exclusion("rating_temper", 900, None, 0.0))
    assert way_out(exclusions) is None
    assert way_out(()) is None
    # The heavier first; nothing behind what stands in the way together with another.
    assert exclusion_sentences(exclusions).text("si") == "The penalty excludes 1,200. The tube's rating excludes 900."


@pytest.mark.parametrize("service", [Service.DISCHARGE, Service.LIQUID])
def test_every_rule_that_judges_sizes_can_be_spoken_of(service: Service) -> None:
    from linesizer.catalog.practice import practice_set
    from linesizer.sizing.limits import limits

    for rule in limits(service, practice_set("general")):
        near = rule.value - 0.5 if rule.least else rule.value + 0.5
        one = Exclusion(rule.rule, 7, near, rule.value)
        for system in ("si", "ip"):
            assert " excludes 7; " in exclusion_sentences((one,)).text(system)  # type: ignore[arg-type]
            said = way_out((one,))
            assert said is not None
            assert said.text(system).startswith("The least that would help: ")  # type: ignore[arg-type]


def test_the_finding_says_what_would_help_too() -> None:
    from linesizer.evaluate import solve

    made = job(chain([ORIGIN, (2500.0, 0.0, 0.0)], size=None), conditions=[condition(capacity_W=300e3)])
    (found,) = [one for one in solve(made).findings if one.code == "no_size_fits"]
    assert helps(proposed(made)) in found.message()
    assert replace(found, remedy=None).message("ip") != found.message("si")
