"""What a person types to draw.

Lengths in inches and feet by the definition of the international inch, 25.4 mm (1959).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesizer.document.direction import Direction
from linesizer.document.typed_route import TypedRun, typed_runs
from linesizer.errors import UserError

INCH_M = 0.0254


@pytest.mark.parametrize(
    ("text", "direction", "length_m"),
    [
        ("U 4.5", Direction.UP, 4.5),
        ("n 3.4 m", Direction.NORTH, 3.4),
        ("E 11'6\"", Direction.EAST, 138 * INCH_M),
        ("138 in w", Direction.WEST, 138 * INCH_M),
        ("11 ft 6 1/2 in S", Direction.SOUTH, 138.5 * INCH_M),
        ("d 3,25", Direction.DOWN, 3.25),
        ("U4.5", Direction.UP, 4.5),
        ("4.5u", Direction.UP, 4.5),
        ("  up   2 m ", Direction.UP, 2.0),
        ("12 ft down", Direction.DOWN, 144 * INCH_M),
        ("North 500 mm", Direction.NORTH, 0.5),
        ("3 m s", Direction.SOUTH, 3.0),
    ],
)
def test_one_run(text: str, direction: Direction, length_m: float) -> None:
    (run,) = typed_runs(text, "si")
    assert run.direction is direction
    assert run.length_m == pytest.approx(length_m, rel=1e-12)


def test_a_bare_number_is_in_the_unit_on_the_screen() -> None:
    assert typed_runs("U 10", "ip")[0].length_m == pytest.approx(120 * INCH_M)
    assert typed_runs("U 10 m", "ip")[0].length_m == 10.0


def test_several_runs_in_one_go() -> None:
    assert typed_runs("U 3,4; E 6;;\n 2 n ;", "si") == (
        TypedRun(Direction.UP, 3.4),
        TypedRun(Direction.EAST, 6.0),
        TypedRun(Direction.NORTH, 2.0),
    )
    assert typed_runs("W 2.5", "si")[0].offset_m == (-2.5, 0.0, 0.0)


@given(
    direction=st.sampled_from(Direction), hundredths=st.integers(1, 100_000), behind=st.booleans(), comma=st.booleans()
)
def test_whatever_is_written_out_is_read_back(direction: Direction, hundredths: int, behind: bool, comma: bool) -> None:
    number = f"{hundredths / 100:.2f}"
    if comma:
        number = number.replace(".", ",")
    text = f"{number} m {direction.value}" if behind else f"{direction.word} {number}"
    assert typed_runs(text, "si") == (TypedRun(direction, hundredths / 100),)


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("", "DRAW-01", "Nothing was typed"),
        (" ; \n", "DRAW-01", "Nothing was typed"),
        ("U 1;" * 1001, "DRAW-01", "1000 are the most"),
        ("4.5", "DRAW-02", "names no direction"),
        ("x 4", "DRAW-02", "N, E, S, W, U, D"),
        ("southeast 3", "DRAW-02", "names no direction"),
        ("U 3 E 4", "DRAW-02", "two directions, U and E"),
        ("u 3 m e", "DRAW-02", "semicolon"),
        ("U", "DRAW-03", "no length beside up"),
        ("down", "DRAW-03", "no length beside down"),
        ("U 0", "DRAW-04", "0 m"),
        ("E -3", "DRAW-04", "the opposite direction"),
        ("U abc", "UNITS-01", "Length of the run up"),
        ("U 3 kg", "UNITS-01", "m, cm, mm, ft, in"),
        ("U 3; E", "DRAW-03", '"E"'),
    ],
)
def test_what_is_not_understood_says_what_is(text: str, code: str, words: str) -> None:
    with pytest.raises(UserError) as error:
        typed_runs(text, "si")
    assert error.value.code == code
    assert words in str(error.value)
