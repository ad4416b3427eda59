"""The oil-return map as pixels, against plain arrays."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.sizing.oil_return_map import OilReturnMap
from linesizer.ui.plots.oil_return_field import Region, crossings, edges, field, middle, places, resampled


def plain(pattern: bool = False) -> OilReturnMap:
    """A map whose ratio grows with the load from 0.5 to 2.5 and whose penalty grows with it from 0 to 2 K."""
    load, head = np.linspace(10e3, 50e3, 5), np.linspace(30.0, 50.0, 3)
    ratio = np.broadcast_to(np.linspace(0.5, 2.5, 5), (3, 5)).copy()
    penalty = np.broadcast_to(np.linspace(0.0, 2.0, 5), (3, 5)).copy()
    both = np.where(ratio > 1.2, 0, 1) if pattern else None
    ratio[2, 4] = penalty[2, 4] = np.nan
    return OilReturnMap("gas", "l0", "full", load, head, ratio, penalty, ratio > 0.0, both, 1.2, 1.0)


def test_between_points_in_proportion_with_the_highest_head_above() -> None:
    values = np.array([[0.0, 10.0], [100.0, 110.0]])
    shown = resampled(values, 3, 3)
    np.testing.assert_allclose(shown, [[100.0, 105.0, 110.0], [50.0, 55.0, 60.0], [0.0, 5.0, 10.0]])


def test_regions_follow_ratio_and_penalty() -> None:
    shown = field(plain(), 1.0, 401, 21)
    row = shown.region[-1]
    expected = [(0.0, Region.STAYS), (0.24, Region.STAYS), (0.3, Region.NEAR), (0.4, Region.SAFE), (0.6, Region.DEAR)]
    for part, region in expected:
        assert row[round(part * 400)] == region, part
    assert shown.region[0, -1] == Region.BLOCKED
    assert shown.outline.any(axis=1).all()
    assert crossings(shown.ratio[-1], (1.0, 3.0)) == [(100, 1.0)]
    assert crossings(shown.penalty_K[-1], (1.0,)) == [(200, 1.0)]


def test_every_region_but_the_safe_one_is_hatched_in_its_own_way() -> None:
    shown = field(plain(), 1.0, 400, 90)
    assert not shown.hatched[shown.region == Region.SAFE].any()
    parts = {}
    for region in (Region.STAYS, Region.NEAR, Region.DEAR, Region.BLOCKED):
        inside = shown.region == region
        assert shown.hatched[inside].any()
        parts[region] = shown.hatched[inside].mean()
    assert len({round(part, 2) for part in parts.values()}) >= 3


def test_the_changeover_is_a_line() -> None:
    shown = field(plain(pattern=True), 1.0, 400, 40)
    assert (shown.changeover.sum(axis=1) == 1).all()
    assert not field(plain(), 1.0, 400, 40).changeover.any()


def test_edges_middle_and_places() -> None:
    mask = np.zeros((10, 20), dtype=np.bool_)
    mask[2:8, 5:15] = True
    assert edges(mask).sum() > 20
    at = middle(mask, 0.5)
    assert at is not None
    assert mask[at[1], at[0]]
    assert middle(np.zeros((10, 20), dtype=np.bool_), 0.5) is None
    assert places(plain(), [(10e3, 30.0), (50e3, 50.0)]) == [(0.0, 0.0), (1.0, 1.0)]
    assert places(plain(), [(30e3, 35.0)]) == [pytest.approx((0.5, 0.25))]
