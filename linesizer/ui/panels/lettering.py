"""The fonts of a panel and their measures, made once and shared by everything that it paints."""

from __future__ import annotations

from PySide6.QtGui import QFont, QFontMetrics

from linesizer.ui import theme


class Lettering:
    """Fonts by what they letter; made again when the desktop's font changes."""

    __slots__ = ("_metrics", "bold", "bold_label", "figure", "label", "prose", "strong", "title")

    def __init__(self) -> None:
        self.figure: QFont = theme.font(theme.FIGURE_px)
        self.bold: QFont = theme.font(theme.FIGURE_px, bold=True)
        self.prose: QFont = theme.font(theme.PROSE_px)
        self.strong: QFont = theme.font(theme.PROSE_px, bold=True)
        self.label: QFont = theme.font(theme.LABEL_px)
        self.bold_label: QFont = theme.font(theme.LABEL_px, bold=True)
        self.title: QFont = theme.font(theme.TITLE_px, bold=True)
        self._metrics: dict[int, QFontMetrics] = {}

    def measure(self, font: QFont) -> QFontMetrics:
        """Return the measures of one of these fonts."""
        found = self._metrics.get(id(font))
        if found is None:
            found = self._metrics[id(font)] = QFontMetrics(font)
        return found

    def width(self, font: QFont, text: str) -> int:
        """Return how wide a text is in one of these fonts, [px]."""
        return self.measure(font).horizontalAdvance(text)

    def height(self, font: QFont) -> int:
        """Return how high a row of one of these fonts is, [px]."""
        return self.measure(font).height()
