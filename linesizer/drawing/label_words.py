"""The words of the drawing's labels, in both systems of units."""

from __future__ import annotations

from linesizer.domain.route import Leg, Line
from linesizer.units import Kind, System, display, display_with_unit, feet_and_inches

NO_SIZE = "no size"


def length_words(length_m: float, system: System) -> str:
    """Return a length as the trade reads it: metres, or feet and inches to a sixteenth."""
    return feet_and_inches(length_m) if system == "ip" else display_with_unit(Kind.LENGTH, length_m, system)


def size_words(line: Line, leg: Leg, chosen: str | None = None) -> str:
    """Return the size of a leg by its trade name; ``chosen`` is what the sizing gives a leg that states none."""
    if leg.double_riser is not None:
        return f"{leg.double_riser.small} + {leg.double_riser.large}"
    return leg.size or line.default_size or chosen or NO_SIZE


def leg_words(line: Line, leg: Leg, length_m: float, system: System, chosen: str | None = None) -> tuple[str, str, str]:
    """Return a leg's label, full, without its length, and as its id alone."""
    size = size_words(line, leg, chosen)
    return (f"{leg.id}  {size}  {length_words(length_m, system)}", f"{leg.id}  {size}", leg.id)


def level_words(level_m: float, system: System) -> str:
    """Return a height above the job's own zero, signed."""
    words = feet_and_inches(level_m) if system == "ip" else display(Kind.LENGTH, level_m, system)
    return words if words.startswith("-") else f"+{words}"


def slope_words(slope: float, system: System) -> str:
    """Return a fall, 1 for a metre a metre."""
    return display_with_unit(Kind.SLOPE, slope, system)
