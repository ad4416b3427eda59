"""A drawing on its paper: grid, axes with north, legend beside it, for a picture or a printed page."""

from __future__ import annotations

from collections.abc import Sequence

from linesizer.domain.circuit import Circuit
from linesizer.drawing.display_list import Anchor, Box, DisplayList, Ink, Layer, Text, TextSize
from linesizer.drawing.legend import finding_entries, legend, legend_entries
from linesizer.drawing.marks import axis_marker
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.paper import paper, paper_step
from linesizer.drawing.scene import Scene

MARGIN = 32.0
_FOOT = 84.0
_GUTTER = 36.0


def furnished(scene: Scene, circuits: Sequence[Circuit], options: SceneOptions) -> tuple[DisplayList, Box]:
    """Return a scene with its grid, axes and legend, and the box of the whole sheet.

    The axes stand below the drawing and the legend to its right, so that neither can lie on it.
    """
    drawn = scene.display.bounds() or Box(0.0, 0.0, 0.0, 0.0)
    factor = options.text_factor
    entries = legend_entries(circuits) + (finding_entries() if options.marks else ())
    rows = legend(entries, (drawn.right + _GUTTER, drawn.top), factor)
    box = Box(drawn.left, drawn.top, drawn.right, drawn.bottom + _FOOT)
    if entries:
        listed = DisplayList(rows, options.scale, factor).bounds() or drawn
        box = box.joined(listed)
    box = box.grown(MARGIN)
    at = (drawn.left + 44.0, drawn.bottom + _FOOT - 14.0)
    step = Text(
        (at[0] + 62.0, at[1]),
        paper_step(options.scale, options.system).words,
        TextSize.LABEL,
        Anchor.START,
        Ink.QUIET,
        layer=Layer.FURNITURE,
    )
    furniture = DisplayList((*axis_marker(scene.projection, at), step, *rows), options.scale, factor)
    grid = paper(scene.projection, Box(box.left, box.top, drawn.right + _GUTTER / 2.0, box.bottom), options.system)
    return scene.display.joined(grid, furniture), box
