"""A choice among a few words in a row: the chosen one bold and underlined, the others quiet."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QRadioButton, QSizePolicy, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.theme import STEP_px, Theme


class Word(QRadioButton):
    """One of the words; behaves as a radio button, arrow keys and all."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._letters = Lettering()
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return room for the word in bold, so that choosing it moves nothing."""
        letters = self._letters
        return QSize(letters.width(letters.strong, self.text()) + 2 * STEP_px, letters.height(letters.strong) + 6)

    def minimumSizeHint(self) -> QSize:
        """Return the same as ``sizeHint``."""
        return self.sizeHint()

    def hitButton(self, at: QPoint) -> bool:
        """Take a click anywhere on the word."""
        return self.rect().contains(at)

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self._letters = Lettering()
            self.updateGeometry()
        super().changeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the word."""
        painter = QPainter(self)
        chosen = self.isChecked()
        painter.setFont(self._letters.strong if chosen else self._letters.prose)
        ink = Ink.INK if chosen or (self.underMouse() and self.isEnabled()) else Ink.QUIET
        painter.setPen(self._theme.colour(ink, 1.0 if self.isEnabled() else 0.55))
        painter.drawText(self.rect().adjusted(0, 0, 0, -4), Qt.AlignmentFlag.AlignCenter, self.text())
        if chosen:
            painter.setPen(QPen(self._theme.colour(Ink.INK), 2))
            y = self.height() - 2
            painter.drawLine(STEP_px, y, self.width() - STEP_px, y)
        if self.hasFocus():
            painter.setPen(QPen(self._theme.colour(Ink.LIQUID), 1))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


class WordChooser(QWidget):
    """Words in a row of which one is chosen; ``chosen`` has its index when the person chooses."""

    chosen = Signal(int)

    def __init__(self, theme: Theme, words: tuple[tuple[str, str], ...], parent: QWidget | None = None) -> None:
        """Make it of words with their tooltips."""
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(STEP_px)
        self._group = QButtonGroup(self)
        self.words: list[Word] = []
        for index, (text, tip) in enumerate(words):
            word = Word(theme, self)
            self._group.addButton(word, index)
            self.words.append(word)
            row.addWidget(word)
            self.name(index, text, tip)
        row.addStretch(1)
        self.words[0].setChecked(True)
        self._group.idClicked.connect(self.chosen)

    @property
    def index(self) -> int:
        """Which word is chosen."""
        return self._group.checkedId()

    def choose(self, index: int) -> None:
        """Choose a word; tells nobody."""
        self.words[index].setChecked(True)

    def name(self, index: int, text: str, tip: str) -> None:
        """Change what a word says."""
        word = self.words[index]
        if word.text() != text:
            word.setText(text)
            word.updateGeometry()
        word.setAccessibleName(text)
        word.setToolTip(tip)

    def allow(self, index: int, allowed: bool) -> None:
        """Let a word be chosen or not; a chosen one that may not be gives way to the first."""
        self.words[index].setEnabled(allowed)
        if not allowed and self.index == index:
            self.choose(0)
