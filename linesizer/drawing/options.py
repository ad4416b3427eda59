"""How a job is drawn: view, scale, units, what is selected, what the labels say beside the route's own figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from linesizer.domain.finding import Level
from linesizer.drawing.display_list import Target
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M, View
from linesizer.units import System


@dataclass(frozen=True, slots=True)
class LegNotes:
    """What a leg's label says beside its id, size and length.

    ``second`` is the label's second row in plain words (``"1.2 kPa"``); ``size`` the size that the sizing chose for a
    leg that states none.
    """

    second: str = ""
    size: str | None = None


@dataclass(frozen=True, slots=True)
class SceneOptions:
    """How a job is drawn.

    ``notes`` belong to legs by target; ``marks`` is the weightiest finding of a leg or of a piece of equipment;
    ``selection`` may name lines, legs, nodes, parts and equipment.  ``scale`` is in sheet units a metre.

    ``circuit`` is the one that is shown in full; the others are drawn quietly, without labels but the names of their
    equipment.  None shows all in full.
    """

    view: View = View.ISOMETRIC
    scale: float = FULL_SIZE_UNITS_PER_M
    system: System = "si"
    text_factor: float = 1.0
    notes: Mapping[Target, LegNotes] = field(default_factory=dict)
    marks: Mapping[Target, Level] = field(default_factory=dict)
    selection: frozenset[Target] = frozenset()
    circuit: str | None = None

    def quiet(self, circuit: str) -> bool:
        """Tell whether a circuit is drawn quietly."""
        return self.circuit is not None and circuit != self.circuit
