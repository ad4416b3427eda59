"""Round steps for an axis."""

from __future__ import annotations

import math


def padded(low: float, high: float, below: float, above: float) -> tuple[float, float]:
    """Return a range with room below and above, as parts of its span; a range of nothing is opened."""
    span = high - low
    if span <= 1e-9 * max(1.0, abs(high)):
        low, span = low - 0.5, 1.0
    return low - below * span, low + (1.0 + above) * span


def round_ticks(low: float, high: float, about: int = 4) -> list[float]:
    """Return round numbers between two bounds, about as many as asked for, in steps of 1, 2 or 5."""
    if not (math.isfinite(low) and math.isfinite(high)) or high <= low:
        return []
    rough = (high - low) / max(1, about)
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(factor * power for factor in (1.0, 2.0, 5.0, 10.0) if factor * power >= rough * (1.0 - 1e-9))
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [number * step for number in range(first, last + 1)]


def tick_text(value: float, step: float) -> str:
    """Return a tick's number with the decimals that its step needs."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9)) if step > 0 else 0
    return f"{value + 0.0:.{decimals}f}"
