"""The job file's range of a single number, for whoever asks for it before the file is written: the window's fields."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, get_args

import annotated_types
from pydantic.fields import FieldInfo

from linesizer.storage import models


@dataclass(frozen=True, slots=True)
class Range:
    """What a number may be, in its stored unit; an open end is not allowed itself."""

    least: float = -math.inf
    most: float = math.inf
    open_least: bool = False
    open_most: bool = False

    def holds(self, value: float) -> bool:
        """Tell whether a value lies within."""
        above = value > self.least if self.open_least else value >= self.least
        below = value < self.most if self.open_most else value <= self.most
        return above and below


_MODELS: dict[str, type[models.Model]] = {
    "circuit": models.CircuitModel,
    "compressor": models.CompressorModel,
    "condition": models.ConditionModel,
    "double_riser": models.DoubleRiserModel,
    "equipment": models.EquipmentModel,
    "head_pressure_control": models.HeadPressureControlModel,
    "leg": models.LegModel,
    "line": models.LineModel,
    "maker_limits": models.MakerLimitsModel,
    "part": models.PartModel,
    "room": models.RoomModel,
    "site": models.SiteModel,
}


@cache
def range_of(owner: str, key: str) -> Range:
    """Return the range of one key of one kind of object, unbounded where the file sets none.

    ``owner`` is a word such as ``condition``; a key that the object does not have, or a word that is none, is a defect
    of the caller (KeyError).  A point's range is that of each coordinate.
    """
    field = _MODELS[owner].model_fields[key]
    found = Range()
    for bound in (*field.metadata, *_within(field.annotation)):
        if isinstance(bound, annotated_types.Ge):
            found = Range(_number(bound.ge), found.most, False, found.open_most)
        elif isinstance(bound, annotated_types.Gt):
            found = Range(_number(bound.gt), found.most, True, found.open_most)
        elif isinstance(bound, annotated_types.Le):
            found = Range(found.least, _number(bound.le), found.open_least, False)
        elif isinstance(bound, annotated_types.Lt):
            found = Range(found.least, _number(bound.lt), found.open_least, True)
    return found


def _number(bound: Any) -> float:
    return float(bound)


def _within(annotation: Any) -> Iterator[Any]:
    """Yield the bounds inside a union with null, an alias or a tuple."""
    for part in get_args(annotation):
        if isinstance(part, FieldInfo):
            yield from part.metadata
        elif isinstance(part, annotated_types.BaseMetadata):
            yield part
        else:
            yield from _within(part)
