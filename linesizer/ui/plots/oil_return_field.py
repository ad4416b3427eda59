"""The oil-return map as pixels: filled contours, hatching, outlines; no Qt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from linesizer.sizing.oil_return_map import OilReturnMap

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

LEVELS = (0.5, 0.75, 1.0, 1.2, 1.5, 2.0, 3.0)
"""Ratios at which one filled band ends and the next begins."""


PENALTIES_K = (0.25, 0.5, 1.0, 2.0, 4.0)
"""Penalties along which a line is drawn."""


class Region(IntEnum):
    """What holds at a place of the map; each has a hatching of its own."""

    SAFE = 0
    STAYS = 1
    NEAR = 2
    DEAR = 3
    BLOCKED = 4


@dataclass(frozen=True, slots=True)
class Field:
    """A map at every pixel, rows from the top (highest head) down; all arrays are (height, width).

    ``band`` counts the levels that the ratio has reached; ``outline`` marks the edge of the safe region, ``penalties``
    the lines of equal penalty, ``changeover`` where a double riser goes from one pattern to another, ``hatched`` the
    strokes of the regions that are not safe.
    """

    ratio: FloatArray
    penalty_K: FloatArray
    band: NDArray[np.intp]
    region: NDArray[np.intp]
    outline: BoolArray
    penalties: BoolArray
    changeover: BoolArray
    hatched: BoolArray


def field(found: OilReturnMap, stop_ratio: float, width: int, height: int) -> Field:
    """Return a map resampled to pixels, between its points in proportion."""
    ratio, penalty = resampled(found.ratio, width, height), resampled(found.penalty_K, width, height)
    region = np.full(ratio.shape, int(Region.SAFE), dtype=np.intp)
    region[penalty > found.limit_K] = Region.DEAR
    region[ratio < found.margin_ratio] = Region.NEAR
    region[ratio < stop_ratio] = Region.STAYS
    region[~np.isfinite(ratio) | ~np.isfinite(penalty)] = Region.BLOCKED
    changeover = np.zeros(ratio.shape, dtype=np.bool_)
    if found.pattern is not None:
        rows = np.linspace(found.pattern.shape[0] - 1, 0, height).round().astype(np.intp)
        columns = np.linspace(0, found.pattern.shape[1] - 1, width).round().astype(np.intp)
        changeover = edges(found.pattern[np.ix_(rows, columns)])
    return Field(
        ratio=ratio,
        penalty_K=penalty,
        band=np.searchsorted(LEVELS, np.nan_to_num(ratio, nan=0.0), side="right"),
        region=region,
        outline=_outline(region == Region.SAFE),
        penalties=edges(np.searchsorted(PENALTIES_K, np.nan_to_num(penalty, nan=-1.0), side="right")),
        changeover=changeover,
        hatched=_hatching(region),
    )


def resampled(values: FloatArray, width: int, height: int) -> FloatArray:
    """Return (heads, loads) values at every pixel, the last head in the first row."""
    heads, loads = values.shape
    y, x = np.linspace(heads - 1, 0, height), np.linspace(0, loads - 1, width)
    row, column = np.minimum(y.astype(np.intp), heads - 2), np.minimum(x.astype(np.intp), loads - 2)
    down, along = (y - row)[:, None], (x - column)[None, :]
    upper = values[row][:, column] * (1.0 - along) + values[row][:, column + 1] * along
    lower = values[row + 1][:, column] * (1.0 - along) + values[row + 1][:, column + 1] * along
    return np.asarray(upper * (1.0 - down) + lower * down)


def edges(values: NDArray[np.generic]) -> BoolArray:
    """Return where a pixel differs from the one to its right or below."""
    found = np.zeros(values.shape, dtype=np.bool_)
    found[:, :-1] |= values[:, :-1] != values[:, 1:]
    found[:-1] |= values[:-1] != values[1:]
    return found


def _outline(mask: BoolArray) -> BoolArray:
    """Return the edge of a region, where it meets the frame too."""
    found = edges(mask)
    found[[0, -1]] |= mask[[0, -1]]
    found[:, [0, -1]] |= mask[:, [0, -1]]
    return found


def _hatching(region: NDArray[np.intp]) -> BoolArray:
    """Return strokes that tell the regions without colour: slanted, dotted, upright, crossed."""
    y, x = np.indices(region.shape)
    slanted = (x + y) % 9 == 0
    return np.asarray(
        ((region == Region.STAYS) & slanted)
        | ((region == Region.NEAR) & (x % 7 == 0) & (y % 7 == 0))
        | ((region == Region.DEAR) & (x % 9 == 0))
        | ((region == Region.BLOCKED) & (slanted | ((x - y) % 9 == 0)))
    )


def middle(mask: BoolArray, up: float) -> tuple[int, int] | None:
    """Return a pixel (column, row) inside a region, part ``up`` of the way up where it is wide; None if too small."""
    if mask.sum() < 0.015 * mask.size:
        return None
    widths = mask.sum(axis=1)
    wide = np.flatnonzero(widths >= 0.6 * widths.max())
    row = int(wide[round((1.0 - up) * (len(wide) - 1))])
    columns = np.flatnonzero(mask[row])
    return int(columns[len(columns) // 2]), row


def crossings(values: FloatArray, levels: Sequence[float]) -> list[tuple[int, float]]:
    """Return where a row of pixels first passes each level that it passes, as (column, level)."""
    found = []
    for level in levels:
        above = values >= level
        passed = np.flatnonzero(above[1:] & ~above[:-1])
        if len(passed):
            found.append((int(passed[0]) + 1, level))
    return found


def places(found: OilReturnMap, points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return where (load, head) points stand, as parts of the map's width and height from its lower left corner."""
    low_W, high_W = float(found.capacity_W[0]), float(found.capacity_W[-1])
    low_C, high_C = float(found.condensing_C[0]), float(found.condensing_C[-1])
    return [((load - low_W) / (high_W - low_W), (head - low_C) / (high_C - low_C)) for load, head in points]
