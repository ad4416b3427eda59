"""Long lines, and what goes beyond the limits that the unit's maker gives."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.catalog.size_words import outside_diameter_m, same_connection
from linesizer.domain.equipment import Equipment, MakerLimits, Role
from linesizer.domain.finding import Finding, Level
from linesizer.domain.job import Job
from linesizer.domain.route import DoubleRiser, Line, Service
from linesizer.evaluate import solve
from tests.checks.judged import findings, job, messages, tied
from tests.solver.routes import chain

MAKER = ("maker_length", "maker_lift", "maker_drop", "maker_charge", "maker_connection")


def straight(length_m: float, service: Service = Service.DISCHARGE, **changes: Any) -> Line:
    """Return a line without a fitting, whose equivalent length is its own."""
    return chain([(0.0, 0.0, 0.0), (length_m, 0.0, 0.0)], service, **changes)


def plant(*lines: Line, unit_m: tuple[float, float, float] = (0.0, 0.0, 0.0), **limits: Any) -> Job:
    unit = Equipment(
        "unit", Role.UNIT, name="Hall unit", at_m=unit_m, operating_kg=4.0, maker_limits=MakerLimits(**limits)
    )
    condenser = Equipment("cond", Role.CONDENSER, at_m=(5.0, 0.0, 3.0), operating_kg=2.0)
    return job(*lines, equipment=(unit, condenser))


def beyond(*lines: Line, **limits: Any) -> tuple[Finding, ...]:
    return findings(plant(*lines, **limits), *MAKER)


# --- without a maker's limit


@pytest.mark.parametrize(("length_m", "long"), [(59.999, False), (60.0, False), (60.001, True)])
def test_a_long_line_just_below_at_and_just_above(length_m: float, long: bool) -> None:
    found = findings(job(straight(length_m, size="2-1/8")), "long_line")
    assert [(finding.level, finding.line) for finding in found] == ([(Level.NOTE, "gas")] if long else [])


def test_fittings_count_with_their_equivalent_length() -> None:
    bent = chain([(0.0, 0.0, 0.0), (30.0, 0.0, 0.0), (30.0, 29.5, 0.0)], size="2-1/8")
    (found,) = findings(job(bent), "long_line")
    assert found.value is not None
    assert found.value > 60.0
    si, ip = messages(found)
    assert si.startswith("Discharge line gas is 6")
    assert "Above 196.85 ft most unit makers" in ip


def test_a_line_that_is_not_calculated_goes_by_its_tube() -> None:
    assert len(findings(job(straight(61.0, size=None)), "long_line")) == 1
    assert len(findings(job(straight(61.0, Service.SUCTION)), "long_line")) == 1


def test_an_override_changes_the_verdict() -> None:
    made = job(straight(61.0, size="2-1/8"), overrides={"equivalent_length_note_m": 80.0})
    assert findings(made, "long_line") == ()


# --- the maker's own


@pytest.mark.parametrize(("length_m", "over"), [(39.999, False), (40.0, False), (40.001, True)])
def test_the_makers_length(length_m: float, over: bool) -> None:
    found = beyond(straight(length_m, size="2-1/8"), length_m=40.0)
    assert [(finding.code, finding.level, finding.line) for finding in found] == (
        [("maker_length", Level.WARN, "gas")] if over else []
    )
    if over:
        assert found[0].source == "the unit maker's figure as entered in the job"
        assert "the maker of Hall unit allows 40.00 m" in found[0].message("si")
        assert "the maker of Hall unit allows 131.23 ft" in found[0].message("ip")


def test_the_makers_length_takes_the_place_of_the_customary_one() -> None:
    assert findings(plant(straight(61.0, size="2-1/8"), length_m=70.0), "long_line", *MAKER) == ()
    assert [f.code for f in findings(plant(straight(61.0, size="2-1/8"), lift_m=9.0), "long_line", *MAKER)] == [
        "long_line"
    ]


def up(rise_m: float) -> Line:
    line = chain([(0.0, 0.0, 0.0), (3.0, 0.0, 0.0), (3.0, 0.0, rise_m)], size="1-5/8")
    return tied(line, n0="unit:discharge", n2="cond")


@pytest.mark.parametrize(("rise_m", "over"), [(11.999, False), (12.0, False), (12.001, True)])
def test_the_makers_lift(rise_m: float, over: bool) -> None:
    found = beyond(up(rise_m), lift_m=12.0, drop_m=3.0)
    assert [(finding.code, finding.level, finding.limit) for finding in found] == (
        [("maker_lift", Level.WARN, 12.0)] if over else []
    )


@pytest.mark.parametrize(("rise_m", "over"), [(-2.999, False), (-3.0, False), (-3.001, True)])
def test_the_makers_drop(rise_m: float, over: bool) -> None:
    found = beyond(up(rise_m), lift_m=0.0, drop_m=3.0)
    assert [(finding.code, finding.value) for finding in found] == (
        [("maker_drop", pytest.approx(3.001))] if over else []
    )


def test_the_liquid_line_tells_the_height_too() -> None:
    line = chain([(0.0, 0.0, 9.0), (0.0, 0.0, 1.0), (2.0, 0.0, 1.0)], Service.LIQUID, size="7/8")
    (found,) = beyond(tied(line, n0="cond:outlet", n2="unit:liquid"), lift_m=7.0)
    assert found.value == pytest.approx(8.0)


def test_without_a_line_the_places_of_the_equipment_tell_it() -> None:
    (found,) = beyond(lift_m=2.5)
    assert found.value == pytest.approx(3.0)
    assert "The condenser stands 3.00 m above Hall unit" in found.message()


def test_the_makers_charge() -> None:
    line = straight(20.0, Service.LIQUID, size="7/8")
    total = solve(plant(line)).circuits[0].charge.total_kg
    assert total is not None
    assert beyond(line, charge_kg=total) == ()
    (found,) = beyond(line, charge_kg=total - 0.001)
    assert (found.code, found.level, found.value) == ("maker_charge", Level.WARN, pytest.approx(total))
    assert "kg in all at full" in found.message("si")
    assert "lb in all at full" in found.message("ip")


@pytest.mark.parametrize(
    ("sizes", "named"),
    [(("1-3/8", "1-5/8"), None), (("1-5/8",), "Leg l0 of line gas is 1-3/8"), (("42x1.5",), "Leg l0"), ((), None)],
)
def test_the_makers_sizes(sizes: tuple[str, ...], named: str | None) -> None:
    found = beyond(straight(10.0, size="1-3/8"), discharge_sizes=sizes, liquid_sizes=("1/2",))
    if named is None:
        assert found == ()
    else:
        assert (found[0].code, found[0].leg, found[0].level) == ("maker_connection", "l0", Level.WARN)
        assert found[0].message().startswith(named)
        assert f"permits {sizes[0]} for it" in found[0].message()


def test_the_sizes_of_several_legs_are_one_finding() -> None:
    line = chain([(0.0, 0.0, 0.0), (9.0, 0.0, 0.0), (9.0, 0.0, 4.0), (9.0, 3.0, 4.0)], size=["1-3/8", "1-1/8", "1-5/8"])
    (found,) = beyond(line, discharge_sizes=("1-3/8",))
    assert found.message().startswith("Legs l1 and l2 of line gas are 1-1/8 and 1-5/8; the maker")
    liquid = straight(9.0, Service.LIQUID, size="7/8")
    assert [finding.line for finding in beyond(liquid, liquid_sizes=("5/8",))] == ["liquid"]


@pytest.mark.parametrize(
    ("small", "large", "permitted", "as_wide_as"),
    [
        ("7/8", "1-1/8", ("1-3/8",), None),
        ("7/8", "1-1/8", ("35x1.5", "1-3/8"), None),
        ("7/8", "1-1/8", ("7/8", "1-1/8"), "1-3/8"),
        ("1-1/8", "2-1/8", ("2-1/8", "1-5/8"), "2-5/8"),
        ("1-3/8", "1-3/8", ("1-3/8",), "2-1/8"),
    ],
)
def test_a_double_riser_counts_as_the_tube_as_wide_as_both(
    small: str, large: str, permitted: tuple[str, ...], as_wide_as: str | None
) -> None:
    """Bores of ASTM B280 drawn tube, outside diameter less two walls: 22.2 - 2 x 1.14 = 19.9 mm (7/8), 26.0 (1-1/8),
    32.1 (1-3/8), 38.2 (1-5/8), 50.4 (2-1/8), 62.6 mm (2-5/8).  7/8 and 1-1/8 have the area of one of 32.8 mm, which is
    1-3/8; 1-1/8 and 2-1/8 of 56.7 mm: 62.6 is 1.104 times that, and that 1.125 times 50.4; two of 1-3/8 of 45.4 mm,
    1.19 times 38.2, of which 50.4 is 1.11 times.
    """
    line = chain([(0.0, 0.0, 0.0), (0.0, 0.0, 4.0)])
    twins = replace(line.legs[0], size=None, double_riser=DoubleRiser(small, large, 0.3))
    found = beyond(replace(line, legs=(twins,), default_size="7/8"), discharge_sizes=permitted)
    if as_wide_as is None:
        assert found == ()
    else:
        (one,) = found
        assert (one.code, one.leg, one.level) == ("maker_connection", "l0", Level.WARN)
        assert one.message().startswith(
            f"Double riser l0 of line gas is {small} + {large}, together as wide as {as_wide_as}; "
            f"the maker of Hall unit permits {permitted[0]}"
        )


def test_single_legs_and_double_risers_are_two_findings() -> None:
    line = chain([(0.0, 0.0, 0.0), (3.0, 0.0, 0.0), (3.0, 0.0, 4.0)], size="2-1/8")
    twins = replace(line.legs[1], size=None, double_riser=DoubleRiser("7/8", "1-1/8", 0.3))
    found = beyond(replace(line, legs=(line.legs[0], twins)), discharge_sizes=("1-1/8",))
    assert [finding.leg for finding in found] == ["l0", "l1"]
    assert found[0].message().startswith("Leg l0 of line gas is 2-1/8; the maker")


def test_limits_of_something_that_is_no_unit_mean_nothing() -> None:
    made = job(
        straight(50.0, size="2-1/8"),
        equipment=(Equipment("cond", Role.CONDENSER, maker_limits=MakerLimits(length_m=10.0, charge_kg=0.0)),),
    )
    assert findings(made, *MAKER) == ()


# --- what a size's word means


@pytest.mark.parametrize(
    ("one", "other", "tube", "same"),
    [
        ("7/8", "7/8", "ASTM-B280-drawn", True),
        ("28x1", "28x1.5", "EN-12735-1", True),
        ("7/8", "22x1", "ASTM-B280-drawn", False),
        ("1-3/8", "35x1.5", "ASTM-B280-drawn", True),
        ("1-1/4", "1-3/8", "ASTM-B280-drawn", False),
        ("flare", "flare", "ASTM-B280-drawn", True),
        ("flare", "7/8", "ASTM-B280-drawn", False),
    ],
)
def test_which_words_join(one: str, other: str, tube: str, same: bool) -> None:
    assert same_connection(one, other, tube) is same


def test_a_word_means_what_the_lines_metal_makes_of_it() -> None:
    """Copper is keyed by outside diameter (ASTM B280, read), steel by nominal size: 1/2 is 21.3 mm (ASME B36.10M)."""
    assert outside_diameter_m("1/2", "ASTM-B280-drawn") == pytest.approx(0.5 * 0.0254)
    assert outside_diameter_m("1/2", "ASME-B36.10-40") == pytest.approx(0.0213)
    assert outside_diameter_m("flare", "ASTM-B280-drawn") is None
