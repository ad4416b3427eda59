"""Two tubes of a double riser as people type them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesizer.catalog.tubes import tube_catalogue
from linesizer.document.typed_size import USUAL_SEAL_m, double_riser_text, typed_double_riser
from linesizer.domain.route import DoubleRiser, RiserPart
from linesizer.errors import UserError
from linesizer.units import System

TUBE = "ASTM-B280-drawn"
SIZES = tube_catalogue(TUBE).size_names


@pytest.mark.parametrize(
    ("text", "units", "seal_m"),
    [
        ("7/8 + 1-3/8", "si", USUAL_SEAL_m),
        ("7/8+1-3/8", "ip", USUAL_SEAL_m),
        (" 1-3/8 + 7/8 ", "si", USUAL_SEAL_m),
        ("7/8 + 1-3/8, 400", "si", 0.4),
        ("7/8 + 1-3/8, 16", "ip", 0.4064),
        ("7/8 + 1-3/8; seal 0,4 m", "ip", 0.4),
        ("7/8 + 1-3/8, 0,4 m", "si", 0.4),
        ("7/8 + 1-3/8, 1'4\"", "si", 0.4064),
        ("7/8 + 1-3/8,", "si", USUAL_SEAL_m),
    ],
)
def test_two_sizes_and_a_seal(text: str, units: System, seal_m: float) -> None:
    riser = typed_double_riser(text, TUBE, units)
    assert riser is not None
    assert (riser.small, riser.large) == ("7/8", "1-3/8")
    assert riser.seal_m == pytest.approx(seal_m)


@pytest.mark.parametrize("text", ["7/8", "open", "", "28x1.5"])
def test_one_size_is_no_double_riser(text: str) -> None:
    assert typed_double_riser(text, TUBE, "si") is None


def test_what_is_not_typed_stays_as_it_is() -> None:
    now = DoubleRiser("5/8", "1-1/8", 0.55, small_parts=(RiserPart("long_elbow", 2),), extra=(("by", "maker"),))
    riser = typed_double_riser("3/4 + 1-3/8", TUBE, "si", now)
    assert riser == DoubleRiser("3/4", "1-3/8", 0.55, now.small_parts, None, now.extra)


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("7/8 +", "RISER-01", "two sizes with a plus"),
        ("+", "RISER-01", "two sizes with a plus"),
        ("7/8 + 1-3/8 + 2-1/8", "RISER-01", "7/8 + 1-3/8, 400 mm"),
        ("7/8 + 13/8", "TUBE-02", '"13/8" is not a size of'),
        ("7/8 + 1-3/8, deep", None, "Seal of d3"),
        ("7/8 + 1-3/8, 4 kg", None, "Seal of d3"),
    ],
)
def test_what_is_not_understood_is_named(text: str, code: str | None, words: str) -> None:
    with pytest.raises(UserError) as caught:
        typed_double_riser(text, TUBE, "si", named="d3")
    assert code in (None, caught.value.code)
    assert words in f"{caught.value.what} {caught.value.why} {caught.value.remedy}"


@given(st.sampled_from(SIZES), st.sampled_from(SIZES), st.floats(0.0, 9.0), st.sampled_from(["si", "ip"]))
def test_what_is_shown_can_be_typed(one: str, other: str, seal_m: float, units: System) -> None:
    small, large = sorted((one, other), key=SIZES.index)
    riser = DoubleRiser(small, large, seal_m)
    again = typed_double_riser(double_riser_text(riser, units), TUBE, units)
    assert again is not None
    assert (again.small, again.large) == (small, large)
    # A millimetre, or an eighth of an inch, is shown.
    assert again.seal_m == pytest.approx(seal_m, abs=0.51e-3 if units == "si" else 0.51 * 0.0254 / 8)
