"""The line at the sheet's foot: what is being typed, where it draws from, what is wrong with it, or a quiet hint."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QLineEdit, QWidget

from linesizer.document.direction import Direction
from linesizer.drawing.display_list import Ink
from linesizer.drawing.projection import View
from linesizer.ui.gestures.arrows import arrow_direction
from linesizer.ui.gestures.type_legs import TypeLegs
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.theme import STEP_px, Theme

_SIGN = "⏎"
_CORNER_px = 150
"""Room that a wide line leaves to the axes in the corner, where the sheet has it."""
_TIP = (
    "A direction (N, E, S, W, U, D) and a length as you write it: U 4.5, E 11'6\", 138 in W; several parted by a "
    "semicolon.  Enter draws, Escape ends."
)


class RunField(QLineEdit):
    """The field itself: arrow and page keys write a direction, Escape ends."""

    left = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.view = View.ISOMETRIC
        self.setFrame(False)
        self.setMaxLength(400)
        self.setAccessibleName("Direction and length of the next leg")
        self.setToolTip(_TIP)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Write a direction for an arrow while no length has been typed; end on Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
            return
        direction = arrow_direction(self.view, event.key())
        if direction is not None and self._only_direction():
            self.setText(f"{direction.value} ")
            return
        super().keyPressEvent(event)
        # A line edit passes Enter on, and on the sheet it means something else.
        event.accept()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End when the person turns to something else, but not to a menu or another window."""
        super().focusOutEvent(event)
        if event.reason() not in (
            Qt.FocusReason.PopupFocusReason,
            Qt.FocusReason.ActiveWindowFocusReason,
            Qt.FocusReason.MenuBarFocusReason,
        ):
            self.left.emit()

    def _only_direction(self) -> bool:
        text = self.text().strip().upper()
        return not text or text in {each.value for each in Direction}


class TypedLine(QWidget):
    """A pill at the bottom of the sheet."""

    closed = Signal(bool)
    """Typing has ended; whether the focus was in the field."""

    asked = Signal()
    """The person has clicked the hint."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._sheet = parent
        self._letters = Lettering()
        self._gesture: TypeLegs | None = None
        self._hint = ""
        self.field = RunField(self)
        self.field.hide()
        self.field.textEdited.connect(self._edited)
        self.field.textChanged.connect(self._changed)
        self.field.returnPressed.connect(self._entered)
        self.field.left.connect(self.close_field)
        self.setAccessibleName("Draw by typing")
        theme.changed.connect(self._recolour)
        self._recolour()
        self.hide()

    @property
    def typing(self) -> bool:
        """Whether the field is open."""
        return self._gesture is not None

    @property
    def error(self) -> str:
        """What is wrong with the last entry, empty for nothing."""
        trouble = self._gesture.trouble if self._gesture is not None else None
        return "" if trouble is None else f"{trouble.what} {trouble.why} {trouble.remedy}"

    @property
    def words(self) -> str:
        """Everything that it says beside the field."""
        if self._gesture is None:
            return self._hint
        return self.error or self._gesture.words

    def say(self, hint: str) -> None:
        """Show a hint while nothing is typed; empty hides the line."""
        self._hint = hint
        self._refresh()

    def open_field(self, gesture: TypeLegs, text: str, view: View) -> None:
        """Begin to type."""
        self._gesture = gesture
        self.field.view = view
        self.field.setText(text)
        self.field.show()
        self._refresh()
        self.field.setFocus(Qt.FocusReason.OtherFocusReason)
        self.field.end(False)

    def close_field(self) -> None:
        """End typing; what was not entered is dropped."""
        gesture, self._gesture = self._gesture, None
        had_focus = self.field.hasFocus()
        if gesture is not None:
            gesture.cancel()
            self.field.clear()
            self.field.hide()
            self._refresh()
            self.closed.emit(had_focus)

    def sizeHint(self) -> QSize:
        """Return room for field and words, as far as the sheet has it."""
        letters = self._letters
        edge = _CORNER_px if self._sheet.width() > 2 * _CORNER_px + 320 else 4 * STEP_px
        most = max(160, self._sheet.width() - 2 * edge)
        words = letters.width(letters.prose, self.words)
        wide = words + 9 * STEP_px
        if self._gesture is not None:
            wide += self._field_width() + 6 * STEP_px
        wide = min(wide, most)
        return QSize(wide, self._words_height(wide) + 4 * STEP_px)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Open the field where the hint is clicked."""
        if self._gesture is None:
            self.asked.emit()

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self._letters = Lettering()
            self._refresh()
        super().changeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the pill and the words."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        wrong = bool(self.error)
        edge = Ink.STOP if wrong else Ink.QUIET if self._gesture is not None else Ink.RULE
        painter.setPen(QPen(self._theme.colour(edge), 1.2))
        painter.setBrush(self._theme.colour(Ink.PANEL))
        box = QRectF(self.rect()).adjusted(0.8, 0.8, -0.8, -0.8)
        painter.drawRoundedRect(box, 4 * STEP_px, 4 * STEP_px)
        letters = self._letters
        if self._gesture is not None:
            painter.setFont(letters.figure)
            painter.setPen(self._theme.colour(Ink.QUIET))
            sign = QRect(self.field.geometry().right(), 0, 5 * STEP_px, self.height())
            painter.drawText(sign, Qt.AlignmentFlag.AlignCenter, _SIGN)
        painter.setFont(letters.prose)
        painter.setPen(self._theme.colour(Ink.STOP if wrong else Ink.QUIET))
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap
        side = Qt.AlignmentFlag.AlignRight if self._gesture is not None and not wrong else Qt.AlignmentFlag.AlignLeft
        painter.drawText(self._words_box(self.width()), flags | side, self.words)
        painter.end()

    # How it is made

    def _field_width(self) -> int:
        letters = self._letters
        usual, now = (letters.width(letters.figure, text) for text in ("U 11 ft 6 1/2 in  ", self.field.text()))
        return max(usual, now)

    def _words_box(self, wide: int) -> QRect:
        left = 4 * STEP_px
        if self._gesture is not None:
            left += self._field_width() + 6 * STEP_px
        return QRect(left, 2 * STEP_px, max(40, wide - left - 4 * STEP_px), max(8, self.height() - 4 * STEP_px))

    def _words_height(self, wide: int) -> int:
        letters = self._letters
        room = QRect(0, 0, self._words_box(wide).width(), 10_000)
        wrapped = letters.measure(letters.prose).boundingRect(room, Qt.TextFlag.TextWordWrap, self.words).height()
        return max(wrapped, letters.height(letters.figure) + 2)

    def _refresh(self) -> None:
        self.setVisible(self._gesture is not None or bool(self._hint))
        self.setAccessibleDescription(self.words)
        self.setCursor(Qt.CursorShape.IBeamCursor if self._gesture is None else Qt.CursorShape.ArrowCursor)
        size = self.sizeHint()
        left = (self._sheet.width() - size.width()) // 2
        self.setGeometry(left, self._sheet.height() - size.height() - 3 * STEP_px, size.width(), size.height())
        self.field.setFont(self._letters.figure)
        tall = self._letters.height(self._letters.figure) + 4
        self.field.setGeometry(3 * STEP_px, (self.height() - tall) // 2, self._field_width() + 2 * STEP_px, tall)
        self.update()

    def place(self) -> None:
        """Find the place again; the sheet has another size."""
        self._refresh()

    def _edited(self, text: str) -> None:
        if self._gesture is not None:
            self._gesture.show(text)

    def _changed(self, text: str) -> None:
        if self._gesture is not None:
            if self._gesture.trouble is not None:
                self._gesture.trouble = None
            self._refresh()

    def _entered(self) -> None:
        gesture = self._gesture
        if gesture is None:
            return
        if not self.field.text().strip():
            self.close_field()
        elif gesture.enter(self.field.text()):
            self.field.clear()
            if gesture.ended:
                self.close_field()
            self._refresh()
        else:
            self._refresh()

    def _recolour(self) -> None:
        palette = QPalette(self.palette())
        ground, ink = self._theme.colour(Ink.PANEL), self._theme.colour(Ink.INK)
        palette.setColor(QPalette.ColorRole.Base, ground)
        palette.setColor(QPalette.ColorRole.Text, ink)
        self.field.setPalette(palette)
        self.update()
