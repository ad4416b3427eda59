"""Tests of what an ordinary person may not do, also where the tests run as the system's keeper."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager

NOBODY = 65534


@contextmanager
def ordinary_person() -> Iterator[None]:
    """Lay down the rights of the system's keeper, whom no mode keeps out."""
    keeper = os.geteuid() == 0
    if keeper:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if keeper:
            os.seteuid(0)
