"""A field for yes or no."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.errors import UserError
from linesizer.ui.fields.commit import Commit, short_reason, weakly
from linesizer.ui.fields.mark import draw_mark
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px


class SwitchField(QAbstractButton):
    """A stored yes or no with its word beside it; Space or a click changes it."""

    reason_changed = Signal(str)
    """Why it cannot be changed; empty once nothing is wrong."""

    def __init__(
        self,
        session: Session,
        name: str,
        commit: Commit,
        tip: str = "",
        words: tuple[str, str] = ("no", "yes"),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.session = session
        self.name = name
        self.letters = Lettering()
        self.reason = ""
        self.refused = False
        self._commit = weakly(commit)
        self._tip = tip
        self._words = words
        self.setCheckable(True)
        self.setAccessibleName(name)
        self.setToolTip(tip)
        self.setAccessibleDescription(tip)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.clicked.connect(self._clicked)
        self.show_value(False)

    @property
    def value(self) -> bool:
        """What is shown; that is what is stored."""
        return self.isChecked()

    def show_value(self, value: bool) -> None:
        """Show the stored value."""
        self.setChecked(value)
        self.setText(self._words[1 if value else 0])
        self._mark("")

    def show_trouble(self, reason: str) -> None:
        """Mark the stored value itself with what the calculation says of it; empty takes the mark away."""
        self._mark(reason)

    def restore(self) -> None:
        """Nothing is ever half switched."""

    def retell(self) -> None:
        """Nothing here depends on the units."""

    def release(self) -> None:
        """Nothing is ever half switched."""

    def sizeHint(self) -> QSize:
        """Return room for the longer word and the switch."""
        letters = self.letters
        width = max(letters.width(letters.figure, word) for word in self._words)
        return QSize(width + self._switch_width() + 3 * STEP_px, letters.height(letters.figure) + 2 * STEP_px)

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
        """Paint the word and a switch that lies to its side."""
        painter = QPainter(self)
        theme, on = self.session.theme, self.isChecked()
        width = self._switch_width()
        height = width / 2
        box = QRectF(self.width() - width - 2, (self.height() - height) / 2, width, height)
        painter.setFont(self.letters.figure)
        painter.setPen(theme.colour(Ink.INK))
        room = self.rect().adjusted(0, 0, -width - 2 * STEP_px, 0)
        painter.drawText(room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, self.text())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(theme.colour(Ink.INK if on else Ink.QUIET), 1.2))
        painter.setBrush(theme.colour(Ink.INK) if on else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box.adjusted(1, 1, -1, -1), height / 2, height / 2)
        painter.setBrush(theme.colour(Ink.PANEL if on else Ink.QUIET))
        painter.setPen(Qt.PenStyle.NoPen)
        dot = height - 6
        left = box.right() - dot - 3 if on else box.left() + 3
        painter.drawEllipse(QRectF(left, box.top() + 3, dot, dot))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        if self.hasFocus() or self.underMouse() or self.reason:
            draw_mark(painter, self, theme, self.rect(), refused=bool(self.reason))
        painter.end()

    def _switch_width(self) -> int:
        return 2 * (self.letters.height(self.letters.figure) - 2)

    def _clicked(self) -> None:
        wanted = self.isChecked()
        try:
            self._commit(wanted, False)
        except UserError as error:
            self.setChecked(not wanted)
            self._mark(short_reason(error))
            return
        self.show_value(wanted)

    def _mark(self, reason: str) -> None:
        if reason != self.reason:
            self.reason = reason
            tip = "\n\n".join(part for part in (reason, self._tip) if part)
            self.setToolTip(tip)
            self.setAccessibleDescription(tip)
            self.reason_changed.emit(reason)
            self.update()
