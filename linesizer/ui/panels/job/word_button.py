"""Quiet buttons that are only words, in a row that wraps where it has to."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.theme import STEP_px, Theme


class WordButton(QAbstractButton):
    """An act in a word or two, underlined because it can be clicked."""

    def __init__(
        self,
        theme: Theme,
        words: str,
        act: Callable[[], object],
        tip: str,
        *,
        named: str = "",
        main: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        """Make it of its words; ``named`` says more to whoever cannot see its place, ``main`` gives it a plate."""
        super().__init__(parent)
        self._main = main
        self._theme = theme
        self.letters = Lettering()
        self.setText(words)
        self.setAccessibleName(named or words)
        self.setAccessibleDescription(tip)
        self.setToolTip(tip)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.clicked.connect(act)

    def sizeHint(self) -> QSize:
        """Return room for the words."""
        letters = self.letters
        across, down = (6 * STEP_px, 4 * STEP_px) if self._main else (2 * STEP_px, 2 * STEP_px)
        return QSize(letters.width(letters.prose, self.text()) + across, letters.height(letters.prose) + down)

    def minimumSizeHint(self) -> QSize:
        """Return the same as ``sizeHint``."""
        return self.sizeHint()

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font of the desktop."""
        if event.type() in (QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.letters = Lettering()
            self.updateGeometry()
        super().changeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the words."""
        painter = QPainter(self)
        theme = self._theme
        lively = self.isEnabled() and (self._main or self.underMouse() or self.hasFocus())
        painter.setFont(self.letters.prose)
        if self._main:
            self._paint_plate(painter)
            return
        painter.setPen(theme.colour(Ink.INK if lively else Ink.QUIET, 1.0 if self.isEnabled() else 0.6))
        room = self.rect().adjusted(STEP_px, 0, -STEP_px, 0)
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, self.text())
        if self.isEnabled():
            painter.setPen(QPen(theme.colour(Ink.INK if self.underMouse() else Ink.RULE), 1))
            y = self.height() - STEP_px + 1
            painter.drawLine(room.left(), y, room.right(), y)
        if self.hasFocus():
            painter.setPen(QPen(theme.colour(Ink.LIQUID), 1))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _paint_plate(self, painter: QPainter) -> None:
        theme, inked = self._theme, self.isEnabled()
        plate = self.rect().adjusted(1, 1, -2, -2)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        edge = Ink.LIQUID if self.hasFocus() else Ink.QUIET if self.underMouse() and inked else Ink.RULE
        painter.setPen(QPen(theme.colour(edge), 1))
        painter.setBrush(theme.colour(Ink.FACE if inked else Ink.PANEL))
        painter.drawRoundedRect(plate, plate.height() / 2, plate.height() / 2)
        painter.setPen(theme.colour(Ink.INK if inked else Ink.QUIET))
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self.text())
        painter.end()


class ButtonRow(QWidget):
    """Buttons side by side, in as many lines as the width asks for."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._buttons: list[WordButton] = []
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def add(self, button: WordButton) -> WordButton:
        """Put a button behind the others."""
        button.setParent(self)
        self._buttons.append(button)
        return button

    def show_button(self, button: WordButton, shown: bool) -> None:
        """Show a button or not; the others close up."""
        if button.isHidden() is shown:
            button.setVisible(shown)
            self._arrange()
            self.updateGeometry()

    def hasHeightForWidth(self) -> bool:
        """Tell the layout that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of all lines."""
        return max((place.bottom() + 1 for place in self._places(width)), default=0)

    def sizeHint(self) -> QSize:
        """Return room for all buttons in one line."""
        width = sum(button.sizeHint().width() + STEP_px for button in self._seen)
        return QSize(width, self.heightForWidth(max(width, self.width())))

    def minimumSizeHint(self) -> QSize:
        """Return room for the widest button."""
        widest = max((button.sizeHint().width() for button in self._seen), default=0)
        return QSize(widest, self.heightForWidth(max(self.width(), widest)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the buttons."""
        super().resizeEvent(event)
        self._arrange()

    @property
    def _seen(self) -> list[WordButton]:
        return [button for button in self._buttons if not button.isHidden()]

    def _arrange(self) -> None:
        for button, place in zip(self._seen, self._places(self.width()), strict=True):
            button.setGeometry(place)

    def _places(self, width: int) -> list[QRect]:
        # The words, not their edges, stand flush with the rows above.
        places, x, y = [], -STEP_px, 0
        for button in self._seen:
            size = button.sizeHint()
            if x > 0 and x + size.width() > width:
                x, y = -STEP_px, y + size.height()
            places.append(QRect(x, y, size.width(), size.height()))
            x += size.width() + STEP_px
        return places
