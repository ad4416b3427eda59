"""Fittings against the published constants, and against handbook equivalent lengths."""

from __future__ import annotations

import math

import pytest
from fluids.fittings import Darby, Hooper

from linesizer.catalog.fittings import (
    LossMethod,
    double_riser_bends,
    fitting_kind,
    fitting_kinds,
    fitting_loss_coefficients,
    loss_coefficients,
    loss_rows,
)
from linesizer.catalog.practice import practice_set
from linesizer.errors import UserError

JOB_FILE_KINDS = {"elbow_90_long", "elbow_45", "trap", "loop", "none"}


@pytest.mark.parametrize("row", loss_rows())
@pytest.mark.parametrize("method", LossMethod)
def test_constants_are_those_of_the_source_table(row: str, method: LossMethod) -> None:
    coefficients = loss_coefficients(row, method)
    # The source tables as the fluids library carries them, by printed name.
    constants = (Darby if method is LossMethod.THREE_K else Hooper)[coefficients.published_row]
    assert (coefficients.k1, coefficients.ki, coefficients.kd)[: len(constants)] == constants
    assert method is LossMethod.THREE_K or coefficients.kd == 1.0
    assert coefficients.bore_exponent == (0.3 if method is LossMethod.THREE_K else 1.0)
    assert coefficients.source
    assert coefficients.status == "read"


def test_the_kinds_of_the_job_file_are_there() -> None:
    assert set(fitting_kinds()) >= JOB_FILE_KINDS
    for kind in fitting_kinds():
        fitting = fitting_kind(kind)
        assert fitting.label
        assert all(row in loss_rows() for row, _ in fitting.rows)


def test_compositions_are_those_of_the_job_file() -> None:
    trap, loop, none, reducer = (fitting_kind(kind) for kind in ("trap", "loop", "none", "reducer"))
    assert (trap.rows, trap.tube_bores) == ((("elbow_90_long", 3),), 6.0)
    assert loop.rows == (("elbow_90_long", 4),)
    assert loop.rise_rule is not None
    assert practice_set("general").value(loop.rise_rule) > 0
    assert (none.rows, none.size_change, reducer.size_change) == ((), False, True)
    assert double_riser_bends("small") == (("tee_branch", 1), ("elbow_90_long", 2))
    assert double_riser_bends("large") == (("trap", 1), ("elbow_90_long", 1))
    (coefficients, count), *rest = fitting_loss_coefficients("trap")
    assert (coefficients.row, count, rest) == ("elbow_90_long", 3, [])


# Equivalent feet of tube by size in inches, ASHRAE Handbook - Refrigeration, fitting and valve losses (from memory).
EQUIVALENT_FEET = {
    "elbow_90_long": {0.75: 1.4, 1.25: 2.3, 2.0: 3.3, 3.0: 5.0},
    "globe_valve": {0.75: 22.0, 1.25: 38.0, 2.0: 55.0, 3.0: 84.0},
    "angle_valve": {0.75: 9.0, 1.25: 15.0, 2.0: 24.0, 3.0: 35.0},
}


@pytest.mark.parametrize("row", EQUIVALENT_FEET)
def test_losses_agree_with_handbook_equivalent_lengths(row: str) -> None:
    """The handbook prints one length for all materials and flows, so its own friction factor is not known.

    It lies between that of drawn copper at Re 500,000 (0.0134, Moody chart) and that of fully rough steel; the
    handbook's lengths themselves are good to about 35 percent.  Tees stand apart: Darby's rows give about two thirds of
    the handbook's lengths, so there is nothing to agree with.
    """
    coefficients = loss_coefficients(row)
    for size_in, feet in EQUIVALENT_FEET[row].items():
        loss = coefficients.ki * (1 + coefficients.kd / size_in**coefficients.bore_exponent)
        fully_rough = 0.25 / math.log10(4.5e-5 / (size_in * 0.0254) / 3.7) ** 2
        longest, shortest = (loss * size_in / 12 / friction for friction in (0.0134, fully_rough))
        assert shortest / 1.35 <= feet <= longest * 1.35, (size_in, shortest, longest, feet)


def test_an_unknown_fitting_names_the_near_ones() -> None:
    with pytest.raises(UserError) as caught:
        fitting_kind("elbow_90")
    assert caught.value.code == "FITTING-01"
    assert "elbow_90_long" in caught.value.remedy
    assert "trap" not in caught.value.remedy
