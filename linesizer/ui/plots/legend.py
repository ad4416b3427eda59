"""What each stroke of a plot means, in words beside a piece of the stroke; wraps to the width."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.theme import STEP_px, Theme

_STROKE_px = 7 * STEP_px


@dataclass(frozen=True, slots=True)
class Stroke:
    """One entry: the words, the colour, its strength, and dashes of a line one pixel wide (none for a solid one)."""

    words: str
    ink: Ink
    strength: float = 1.0
    dash: tuple[float, ...] = ()

    def pen(self, theme: Theme, width: float = 1.0) -> QPen:
        """Return the pen that draws it."""
        pen = QPen(theme.colour(self.ink, self.strength), width)
        pen.setCosmetic(True)
        if self.dash:
            pen.setDashPattern(list(self.dash))
        return pen


class Legend(QWidget):
    """Entries in a row, or several where the width asks for it."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._letters = Lettering()
        self.strokes: tuple[Stroke, ...] = ()
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        theme.changed.connect(self.update)

    def show_strokes(self, strokes: tuple[Stroke, ...]) -> None:
        """Explain other strokes."""
        if strokes != self.strokes:
            self.strokes = strokes
            self.setAccessibleName("Legend: " + "; ".join(stroke.words for stroke in strokes))
            self.updateGeometry()
            self.update()

    def _places(self, width: int) -> list[QRect]:
        letters, places = self._letters, []
        row = letters.height(letters.label) + 2
        x = y = 0
        for stroke in self.strokes:
            wide = _STROKE_px + STEP_px + letters.width(letters.label, stroke.words) + 4 * STEP_px
            if x and x + wide > width:
                x, y = 0, y + row
            places.append(QRect(x, y, wide, row))
            x += wide
        return places

    def hasHeightForWidth(self) -> bool:
        """Tell the layout that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of the wrapped entries."""
        places = self._places(width)
        return places[-1].bottom() + 1 if places else self._letters.height(self._letters.label)

    def sizeHint(self) -> QSize:
        """Return the size of two rows or so."""
        return QSize(300, self.heightForWidth(max(300, self.width())))

    def minimumSizeHint(self) -> QSize:
        """Return the height that the entries need at the width that there is."""
        return QSize(80, self.heightForWidth(max(80, self.width())))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint strokes and words."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._letters.label)
        for stroke, place in zip(self.strokes, self._places(self.width()), strict=True):
            painter.setPen(stroke.pen(self._theme, 1.6))
            middle = place.center().y()
            painter.drawLine(place.left(), middle, place.left() + _STROKE_px, middle)
            painter.setPen(self._theme.colour(Ink.QUIET))
            words = place.adjusted(_STROKE_px + STEP_px, 0, 0, 0)
            painter.drawText(words, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, stroke.words)
        painter.end()
