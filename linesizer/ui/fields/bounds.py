"""The limits of an entry in words, in the units of the screen."""

from __future__ import annotations

import math

from linesizer.errors import UserError
from linesizer.storage.ranges import Range
from linesizer.units import Kind, System, display, unit_label

ANYTHING = Range()

_RAISED = str.maketrans({"2": "²", "3": "³"})


def unit_words(kind: Kind, system: System) -> str:
    """Return the displayed unit as it is printed: with raised figures."""
    label = unit_label(kind, system)
    return "".join(c.translate(_RAISED) if i and label[i - 1].isalpha() else c for i, c in enumerate(label))


def bounds_words(kind: Kind, within: Range, system: System, atmosphere_Pa: float) -> str:
    """Return what an entry may be: ``0 to 100 K``, ``above 0 kW, at most 100000 kW``; empty where there is no limit."""
    unit = unit_words(kind, system)

    def figure(value: float) -> str:
        text = display(kind, value, system, atmosphere_Pa=atmosphere_Pa)
        return text.rstrip("0").rstrip(".") if "." in text else text

    least, most = math.isfinite(within.least), math.isfinite(within.most)
    if least and most and not within.open_least and not within.open_most:
        return f"{figure(within.least)} to {figure(within.most)} {unit}".rstrip()
    parts = []
    if least:
        parts.append(f"{'above' if within.open_least else 'at least'} {figure(within.least)} {unit}".rstrip())
    if most:
        parts.append(f"{'below' if within.open_most else 'at most'} {figure(within.most)} {unit}".rstrip())
    return ", ".join(parts)


def require_within(
    name: str, kind: Kind, value: float, within: Range, system: System, atmosphere_Pa: float, because: str = ""
) -> None:
    """Check an entry against its limits; ``because`` says whose they are.

    Raises
    ------
    UserError
        FIELD-01, in the units of the screen.
    """
    if not within.holds(value):
        unit = unit_words(kind, system)
        shown = f"{display(kind, value, system, atmosphere_Pa=atmosphere_Pa)} {unit}".rstrip()
        allowed = bounds_words(kind, within, system, atmosphere_Pa)
        raise UserError(
            "FIELD-01",
            what=f"{name} cannot be {shown}.",
            why=f"{shown} is outside what is allowed: {allowed}{', ' if because else ''}{because}.",
            remedy=f"Enter {allowed}.",
        )
