"""Amounts in a summary: a figure with its unit, without the zeros behind a point."""

from __future__ import annotations

from linesizer.ui.fields.bounds import unit_words
from linesizer.units import Kind, System, display


def short(kind: Kind, value: float, units: System) -> str:
    """Return a value with its unit as it is said: ``28 L``."""
    text = display(kind, value, units)
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text} {unit_words(kind, units)}"
