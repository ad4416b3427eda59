"""The words at the sheet's upper left: isometric, plan, elevation; the chosen one bold."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from linesizer.drawing.projection import View
from linesizer.ui.panels.word_chooser import WordChooser
from linesizer.ui.theme import Theme

_ELEVATIONS = (View.FROM_SOUTH, View.FROM_EAST, View.FROM_NORTH, View.FROM_WEST)
_TIPS = (
    "All three axes in true length, 30 degrees to the level (ISO 6412-2)  [I]",
    "Seen from above, north up  [P]",
)


class ViewWords(WordChooser):
    """Chooses a view; choosing the elevation once more looks from the next side."""

    wanted = Signal(object)
    """The ``View`` that the person chose."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, (("Isometric", _TIPS[0]), ("plan", _TIPS[1]), ("elevation from south", "")), parent)
        self._side = View.FROM_SOUTH
        self.setAccessibleName("View")
        self.show_view(View.ISOMETRIC)
        self.chosen.connect(self._chosen)
        self._view = View.ISOMETRIC

    def show_view(self, view: View) -> None:
        """Show which view is on."""
        self._view = view
        if view in _ELEVATIONS:
            self._side = view
        side = self._side.value.removeprefix("elevation ")
        self.name(2, self._side.value, f"Seen {side}; choose it once more to look from the next side  [V]")
        self.choose({View.ISOMETRIC: 0, View.PLAN: 1}.get(view, 2))
        self.adjustSize()

    def next_elevation(self) -> View:
        """Return the elevation that choosing it now leads to."""
        if self._view in _ELEVATIONS:
            return _ELEVATIONS[(_ELEVATIONS.index(self._side) + 1) % len(_ELEVATIONS)]
        return self._side

    def _chosen(self, index: int) -> None:
        view = (View.ISOMETRIC, View.PLAN)[index] if index < 2 else self.next_elevation()
        self.wanted.emit(view)
