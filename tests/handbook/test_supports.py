"""The count of supports, worked by hand.

Spacing: MSS SP-58 in the form that mechanical codes repeat (from memory): copper to 1-1/8 in every 1.8 m, 1-3/8 in to
2-1/8 in every 2.4 m, risers every 3 m; a support within 0.3 m of an elbow and of a part.

A 1-1/8 in line runs 6.0 m level with a ball valve in the middle, then rises 4.0 m.
Level: supports at 0.3 m, 3.0 m (the valve) and 5.7 m; both gaps are 2.7 m, more than 1.8, so one more in each: 5.
Riser: at 0.3 m and 3.7 m; the gap of 3.4 m is more than 3.0, so one more: 3.  Together 8.
"""

from __future__ import annotations

from linesizer.catalog.practice import practice_set
from linesizer.domain.part import Part
from linesizer.solver.supports import SupportCount, supports
from tests.solver.routes import chain


def test_the_line_by_hand() -> None:
    line = chain(
        [(0.0, 0.0, 0.0), (6.0, 0.0, 0.0), (6.0, 0.0, 4.0)], size="1-1/8", parts={0: [Part("v", "ball_valve", 0.5)]}
    )
    assert supports(line, practice_set("general")) == (SupportCount("ASTM-B280-drawn", "1-1/8", 8),)
