"""How the sheet looks at the drawing: view, scale and what lies at the widget's corner; pure maths."""

from __future__ import annotations

from dataclasses import dataclass, replace

from linesizer.drawing.fit import LEAST_SCALE, MOST_SCALE
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M, Projection, Spot, View


@dataclass(frozen=True, slots=True)
class Sight:
    """One way of looking; the sheet's place (x, y) lies at (x + dx, y + dy) of the widget, [px]."""

    view: View = View.ISOMETRIC
    scale: float = FULL_SIZE_UNITS_PER_M
    dx: float = 0.0
    dy: float = 0.0

    @property
    def projection(self) -> Projection:
        """From the world to the sheet."""
        return Projection(self.view, self.scale)

    @property
    def zoom(self) -> float:
        """1 at full size."""
        return self.scale / FULL_SIZE_UNITS_PER_M

    def spot(self, x: float, y: float) -> Spot:
        """Return the sheet's place under a place of the widget."""
        return (x - self.dx, y - self.dy)

    def moved(self, dx: float, dy: float) -> Sight:
        """Return the sight with the drawing moved."""
        return replace(self, dx=self.dx + dx, dy=self.dy + dy)

    def zoomed(self, factor: float, x: float, y: float) -> Sight:
        """Return the sight enlarged about a place of the widget, within what the drawing allows."""
        scale = min(max(self.scale * factor, LEAST_SCALE), MOST_SCALE)
        by = scale / self.scale
        return replace(self, scale=scale, dx=x - (x - self.dx) * by, dy=y - (y - self.dy) * by)
