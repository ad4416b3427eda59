"""What stands on a leg: its parts where the job puts them, moved apart where they would touch; arrow and letter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from linesizer.drawing.crossings import Interval

_BETWEEN_PARTS = 5.0
_AT_END = 5.0
_LEAST_FACTOR = 0.35
_STEP = 3.0


@dataclass(slots=True)
class Stretch:
    """The straight stretch of a leg on the sheet, by distance from its start; what of it is taken."""

    length: float
    low: float
    high: float
    taken: list[Interval] = field(default_factory=list)

    def take(self, low: float, high: float) -> None:
        """Reserve a part of the stretch."""
        self.taken.append((low, high))

    def find(self, size: float, wished: float, least_clear: float = 3.0) -> float | None:
        """Take and return the free middle nearest to a wished one for something ``size`` long; None if nothing fits."""
        half = size / 2.0 + least_clear
        low, high = self.low + half, self.high - half
        if high < low:
            return None
        steps = int((high - low) / _STEP) + 1
        spots = [low + i * (high - low) / steps for i in range(steps + 1)] if self.taken else []
        for at in (min(max(wished, low), high), *sorted(spots, key=lambda at: abs(at - wished))):
            if all(at + half <= a or at - half >= b for a, b in self.taken):
                self.take(at - half, at + half)
                return at
        return None


def spread_parts(stretch: Stretch, wished: Sequence[float], halves: Sequence[float]) -> tuple[list[float], float]:
    """Return where parts stand on a stretch and the factor by which their signs shrink to fit.

    Parameters
    ----------
    stretch : Stretch
        The stretch; its ``taken`` gains what the parts take.
    wished : sequence of float
        Where each part belongs, by distance from the start, growing.
    halves : sequence of float
        Half the length of each sign.
    """
    if not wished:
        return [], 1.0
    low, high = stretch.low + _AT_END, stretch.high - _AT_END
    if high - low < 6.0:
        low = high = (stretch.low + stretch.high) / 2.0
    needed = 2.0 * sum(halves) + _BETWEEN_PARTS * (len(wished) - 1)
    factor = max(_LEAST_FACTOR, min(1.0, (high - low) / needed))
    between = _BETWEEN_PARTS * factor
    places = list(wished)
    edge = low
    for i, half in enumerate(halves):
        places[i] = max(places[i], edge + half * factor)
        edge = places[i] + half * factor + between
    edge = high
    for i in range(len(places) - 1, -1, -1):
        places[i] = min(places[i], edge - halves[i] * factor)
        edge = places[i] - halves[i] * factor - between
    for place, half in zip(places, halves, strict=True):
        stretch.take(place - half * factor, place + half * factor)
    return places, factor
