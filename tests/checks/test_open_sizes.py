"""What is said of legs without a size: what was taken, what excludes what, what would help."""

from __future__ import annotations

from linesizer.checks.open_sizes import sizes_text
from linesizer.document.remedies import remedy_command
from linesizer.domain.proposal import Combination
from linesizer.domain.remedy import UseSizes
from linesizer.domain.route import DoubleRiser, Service
from linesizer.evaluate import solve
from tests.checks.judged import TOO_MUCH, findings, job, messages
from tests.solver.routes import ORIGIN, Point, chain, condition

UP: list[Point] = [ORIGIN, (6.0, 0.0, 0.0), (6.0, 0.0, 7.0), (16.0, 0.0, 7.0)]
RISER: list[Point] = [ORIGIN, (0.0, 0.0, 9.0)]
CODES = ("sized", "no_size_fits", "no_size_passes", "not_calculated")


def test_what_was_taken_can_be_put_into_the_job() -> None:
    made = job(chain(UP, size=[None, None, "1-3/8"]))
    (found,) = findings(made, *CODES)
    assert (found.code, found.level, found.line) == ("sized", "note", "gas")
    proposal = solve(made).circuits[0].lines[0].proposal
    assert proposal is not None
    assert found.remedy == UseSizes("gas", proposal.chosen.sizes)
    assert found.value == proposal.chosen.tube_mass_kg
    assert "the sizes of 2 legs of line gas" in found.message()
    assert sizes_text(proposal.chosen) in found.message()
    assert messages(found)[0] != messages(found)[1]
    after = remedy_command("c1", found.remedy).apply(made)
    assert [leg.size for leg in after.circuits[0].lines[0].legs] == [*dict(proposal.chosen.sizes).values(), "1-3/8"]
    assert findings(after, *CODES) == ()
    before, now = solve(made).circuits[0].charge, solve(after).circuits[0].charge
    assert before.total_kg == now.total_kg


def test_one_leg_is_named() -> None:
    (found,) = findings(job(chain(UP, size=["1-3/8", None, "1-3/8"])), "sized")
    assert "leaves the size of l1 of line gas open" in found.message()


def test_what_alone_stands_in_the_way_comes_first_with_what_would_help() -> None:
    made = job(chain(RISER, size=None), conditions=[condition(), condition("low", capacity_W=6e3)])
    made_stricter = job(
        chain(RISER, size=None),
        conditions=[condition(), condition("low", capacity_W=6e3)],
        overrides={"discharge_penalty_K": 0.05},
    )
    assert [found.code for found in findings(made, *CODES)] == ["sized"], "a double riser does"
    (found,) = findings(made_stricter, *CODES)
    assert (found.code, found.level) == ("no_size_fits", "warn")
    text = found.message()
    assert "none of 104 combinations meets every limit" in text, "13 sizes and 91 pairs"
    proposal = solve(made_stricter).circuits[0].lines[0].proposal
    assert proposal is not None
    places = [text.index(f"excludes {one.combinations}") for one in proposal.exclusions]
    alone = [place for place, one in zip(places, proposal.exclusions, strict=True) if one.nearest is not None]
    assert alone
    assert max(alone) < min(place for place in places if place not in alone)
    assert "against 1.20: a least load that is so much higher would help" in text


def test_a_penalty_that_is_too_dear_is_told_by_how_much() -> None:
    made = job(chain([ORIGIN, (900.0, 0.0, 0.0)], size=None), conditions=[condition(capacity_W=300e3)])
    (found,) = findings(made, *CODES)
    assert " K against 1.00 K: a shorter line or fewer bends and parts would help" in found.message()
    assert " °F against 1.80 °F" in found.message("ip")


def test_a_tube_that_is_too_weak_is_told_what_would_do() -> None:
    made = job(chain(UP[:2], size=None), maximum_pressure_Pa=1.5e7)
    (found,) = findings(made, *CODES)
    assert found.code == "no_size_fits"
    assert "heavier tube" in found.message()


def test_subcooling_that_is_short_is_told_how_much() -> None:
    line = chain([ORIGIN, (0.0, 0.0, 25.0)], Service.LIQUID, size=None)
    (found,) = findings(job(line), *CODES)
    assert found.code == "no_size_fits"
    assert "more subcooling would help, or less lift" in found.message()


def test_a_load_that_no_size_passes_stops() -> None:
    (found,) = findings(job(chain(UP, size=None), conditions=[TOO_MUCH]), *CODES)
    assert (found.code, found.level, found.line) == ("no_size_passes", "stop", "gas")


def test_sizes_in_words() -> None:
    sizes = (("l0", "7/8"), ("l1", DoubleRiser("5/8", "7/8", 0.3)), ("l2", "7/8"))
    assert sizes_text(Combination(sizes, 0.5, 3.0, 0.2, 9.0)) == "7/8 (l0, l2) and double riser 5/8 + 7/8 (l1)"
