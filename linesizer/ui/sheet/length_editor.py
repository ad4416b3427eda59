"""A field on the drawing for the length of one leg."""

from __future__ import annotations

from linesizer.document.command import Command
from linesizer.document.commands.node import SetLegLength
from linesizer.drawing.display_list import Target
from linesizer.drawing.label_words import length_words
from linesizer.ui.sheet.leg_field import LegField
from linesizer.units import Kind, parse


class LengthEditor(LegField):
    """Takes the length of a leg."""

    what = "Length"
    tip = "Length of the leg between the centres of its bends; any unit may be typed: 3.4 m, 11'6\", 138 in"
    widest = "11 ft 6 1/2 in"

    def open(self, target: Target, length_m: float, x: float, y: float, least_width: float = 0.0) -> None:
        """Open with the length that the leg has."""
        self.open_with(target, length_words(length_m, self._session.units), x, y, least_width)

    def command(self, target: Target) -> Command | None:
        """Return the command that gives the leg the length that is entered."""
        length_m = parse(Kind.LENGTH, self.text(), self._session.units, named=f"Length of {target.leg}")
        return SetLegLength(target.circuit, str(target.line), str(target.leg), length_m)
