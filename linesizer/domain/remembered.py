"""Answers that are kept for the very same frozen value, so that asking again costs nothing."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from threading import Lock
from typing import TypeVar

Value = TypeVar("Value")
Answer = TypeVar("Answer")


def remembered(most: int) -> Callable[[Callable[[Value], Answer]], Callable[[Value], Answer]]:
    """Keep a function's last answers by the identity of its one argument.

    Equal values need not be hashable, and comparing them would cost more than the answer.  The values are held as long
    as their answers, so an identity never comes to mean another one.  Any thread may ask.

    Parameters
    ----------
    most : int
        How many answers are kept; the oldest goes first.
    """

    def keep(answer: Callable[[Value], Answer]) -> Callable[[Value], Answer]:
        held: dict[int, tuple[Value, Answer]] = {}
        lock = Lock()

        @wraps(answer)
        def asked(value: Value) -> Answer:
            known = held.get(id(value))
            if known is not None and known[0] is value:
                return known[1]
            found = answer(value)
            with lock:
                while len(held) >= most:
                    held.pop(next(iter(held)))
                held[id(value)] = (value, found)
            return found

        return asked

    return keep
