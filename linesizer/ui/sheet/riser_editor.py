"""A field on the drawing for the two tubes of a double riser and the seal of its trap."""

from __future__ import annotations

from linesizer.document.command import Command
from linesizer.document.commands.size import SetDoubleRiser, SetLegSize
from linesizer.document.typed_size import ACCEPTED, double_riser_text, typed_double_riser
from linesizer.domain.route import DoubleRiser
from linesizer.drawing.display_list import Target
from linesizer.ui.gestures.resize import tube_of
from linesizer.ui.sheet.found import found
from linesizer.ui.sheet.leg_field import LegField
from linesizer.ui.sheet.targets import selection_of


class RiserEditor(LegField):
    """Takes two sizes and a seal; one size alone makes the leg a single tube."""

    what = "Double riser"
    tip = (
        f"Small and large tube, and the height that oil can stand in the large one's trap: {ACCEPTED}. The deeper the "
        "trap, the higher the load that the small tube can carry alone; the findings say how deep it has to be. One "
        "size alone makes it a single tube."
    )
    widest = "1-1/8 + 2-1/8, 1000 mm, more"

    def open(self, target: Target, riser: DoubleRiser, x: float, y: float, least_width: float = 0.0) -> None:
        """Open with the double riser that the leg is, or might be."""
        self.open_with(target, double_riser_text(riser, self._session.units), x, y, least_width)

    def command(self, target: Target) -> Command | None:
        """Return the command that builds the leg as is entered."""
        it = found(self._session.shown_job, selection_of(target))
        if it.leg is None:
            return None
        text = self.text().strip()
        now, units = it.leg.double_riser, self._session.units
        riser = typed_double_riser(text, tube_of(it), units, now, named=f"double riser {target.leg}")
        if riser is None:
            return SetLegSize(target.circuit, str(target.line), (it.leg.id,), text or None)
        return SetDoubleRiser(target.circuit, str(target.line), it.leg.id, riser)
