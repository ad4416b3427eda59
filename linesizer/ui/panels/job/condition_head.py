"""The head of a condition's column: a click chooses the condition, F2 or a double click renames it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

_LINES = 2


class ConditionHead(QAbstractButton):
    """A condition's name over its column, in at most two lines; bold and underlined where it is the chosen one."""

    rename_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.letters = Lettering()
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def show_condition(self, title: str, chosen: bool) -> None:
        """Show a condition."""
        if title != self.text():
            self.setText(title)
            self.setToolTip(f"{title}\nClick to show this condition everywhere; F2 renames it.")
        self.setAccessibleName(f"Condition {title}" + (", chosen" if chosen else ""))
        self.setChecked(chosen)

    def nextCheckState(self) -> None:
        """Stay as it is: which condition is chosen is the session's business."""

    def height_needed(self, width: int) -> int:
        """Return the height of the name at a width, [px]."""
        letters = self.letters
        lines = _broken(self.text(), letters.measure(letters.strong), width - 2)
        return len(lines) * letters.height(letters.strong) + STEP_px

    def sizeHint(self) -> QSize:
        """Return room for one line."""
        letters = self.letters
        return QSize(letters.width(letters.strong, self.text()) + STEP_px, letters.height(letters.strong) + STEP_px)

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font of the desktop."""
        if event.type() in (QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.letters = Lettering()
        super().changeEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Rename on F2, choose on Enter as on Space."""
        if event.key() == Qt.Key.Key_F2:
            self.rename_wanted.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Rename."""
        self.rename_wanted.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the name."""
        painter = QPainter(self)
        theme, letters, chosen = self._session.theme, self.letters, self.isChecked()
        font = letters.strong if chosen else letters.prose
        painter.setFont(font)
        painter.setPen(theme.colour(Ink.INK if chosen or self.underMouse() else Ink.QUIET))
        room = self.rect().adjusted(0, 0, -2, -STEP_px)
        measure = letters.measure(font)
        written = _broken(self.text(), measure, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom, "\n".join(written))
        if chosen:
            painter.setPen(QPen(theme.colour(Ink.INK), 2))
            width = min(room.width(), max(measure.horizontalAdvance(line) for line in written))
            painter.drawLine(room.right() - width, self.height() - 2, room.right(), self.height() - 2)
        if self.hasFocus():
            painter.setPen(QPen(theme.colour(Ink.LIQUID), 1))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


def _broken(text: str, measure: QFontMetrics, width: int) -> list[str]:
    """Return a text in at most two lines of a width, with dots where it does not fit."""
    lines: list[str] = []
    for word in text.split() or [""]:
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and (len(lines) == _LINES or measure.horizontalAdvance(longer) <= width):
            lines[-1] = longer
        else:
            lines.append(word)
    return [measure.elidedText(line, Qt.TextElideMode.ElideRight, width) for line in lines]
