"""Round steps of an axis."""

from __future__ import annotations

import math

import pytest

from linesizer.ui.plots.scale import padded, round_ticks, tick_text


@pytest.mark.parametrize(
    ("low", "high", "about", "ticks"),
    [
        (0.0, 10.0, 5, [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]),
        (12.17, 12.63, 5, [12.2, 12.3, 12.4, 12.5, 12.6]),
        (-3.0, 2.0, 4, [-2.0, 0.0, 2.0]),
        (0.0, 230.0, 4, [0.0, 100.0, 200.0]),
    ],
)
def test_ticks_are_round_and_inside(low: float, high: float, about: int, ticks: list[float]) -> None:
    assert round_ticks(low, high, about) == pytest.approx(ticks)


def test_no_range_has_no_ticks() -> None:
    assert round_ticks(1.0, 1.0) == []
    assert round_ticks(math.nan, 1.0) == []


@pytest.mark.parametrize(
    ("value", "step", "text"), [(12.2, 0.1, "12.2"), (0.25, 0.05, "0.25"), (20.0, 5.0, "20"), (-0.0, 1.0, "0")]
)
def test_a_tick_has_the_decimals_of_its_step(value: float, step: float, text: str) -> None:
    assert tick_text(value, step) == text


def test_a_range_has_room_and_one_of_nothing_is_opened() -> None:
    assert padded(0.0, 10.0, 0.1, 0.2) == pytest.approx((-1.0, 12.0))
    low, high = padded(5.0, 5.0, 0.0, 0.0)
    assert low < 5.0 < high
