"""Answers kept by identity: once for the same value, anew for an equal one, the oldest given up, any thread."""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor

from linesizer.domain.remembered import remembered


def test_the_same_value_is_asked_once_and_an_equal_one_again() -> None:
    asked: list[list[int]] = []

    @remembered(4)
    def total(values: list[int]) -> int:
        asked.append(values)
        return sum(values)

    first, equal = [1, 2], [1, 2]
    assert (total(first), total(first), total(equal)) == (3, 3, 3)
    assert len(asked) == 2
    assert total.__name__ == "total"


def test_the_oldest_is_given_up() -> None:
    asked: list[object] = []

    @remembered(2)
    def itself(value: list[int]) -> list[int]:
        asked.append(value)
        return value

    a, b, c = [1], [2], [3]
    for value in (a, b, c, c, b, a):
        assert itself(value) is value
    assert asked == [a, b, c, a]


def test_many_threads_may_ask_at_once() -> None:
    @remembered(2)
    def doubled(value: list[int]) -> int:
        return 2 * value[0]

    values = [[number] for number in range(64)]
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        with ThreadPoolExecutor(8) as pool:
            found = list(pool.map(doubled, values * 200))
    finally:
        sys.setswitchinterval(before)
    assert found == [2 * number for number in range(64)] * 200
