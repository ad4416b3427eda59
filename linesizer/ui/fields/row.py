"""A field with its words before it, and beneath it the reason why what stands in it cannot be used."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QEvent, QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

_WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft
_GAP_px = 3 * STEP_px


class _Marked(Protocol):
    reason: str


class FieldRow(QWidget):
    """Words at the left, the field at the right; one below the other where the panel is too narrow for both."""

    def __init__(self, session: Session, words: str, field: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.words = words
        self.field = field
        self.letters = Lettering()
        field.setParent(self)
        field.reason_changed.connect(self._reason_changed)  # type: ignore[attr-defined]  # every field has it
        self.setFocusProxy(field)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def reason(self) -> str:
        """Why what stands in the field cannot be used."""
        marked: _Marked = self.field  # type: ignore[assignment]  # every field has it
        return marked.reason

    def hasHeightForWidth(self) -> bool:
        """Tell the layout that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of field, words and reason."""
        return self._places(width)[2]

    def sizeHint(self) -> QSize:
        """Return room for words and field side by side."""
        width = self.letters.width(self.letters.prose, self.words) + _GAP_px + self.field.sizeHint().width()
        return QSize(width, self.heightForWidth(max(width, self.width())))

    def minimumSizeHint(self) -> QSize:
        """Return the least width, and the height that the width at hand needs."""
        return QSize(self.field.minimumSizeHint().width(), self.heightForWidth(max(self.width(), 80)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the field."""
        super().resizeEvent(event)
        self._arrange()

    def event(self, event: QEvent) -> bool:
        """Place the field again when it asks for another size."""
        if event.type() is QEvent.Type.LayoutRequest:
            self._arrange()
            self.updateGeometry()
        return super().event(event)

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font of the desktop."""
        if event.type() in (QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.letters = Lettering()
            self._arrange()
            self.updateGeometry()
        super().changeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the words and the reason."""
        words, field, _ = self._places(self.width())
        painter = QPainter(self)
        theme = self._session.theme
        painter.setFont(self.letters.prose)
        painter.setPen(theme.colour(Ink.QUIET))
        beside = words.height() == field.height() and words.top() == field.top()
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter if beside else _WRAP, self.words)
        if self.reason:
            painter.setFont(self.letters.label)
            painter.setPen(theme.colour(Ink.STOP))
            top = field.bottom() + STEP_px // 2
            painter.drawText(QRect(0, top, self.width(), self.height() - top), _WRAP, self.reason)
        painter.end()

    def _places(self, width: int) -> tuple[QRect, QRect, int]:
        """Return where words and field lie, and the height of all."""
        letters, wanted = self.letters, self.field.sizeHint()
        height = wanted.height()
        own = letters.width(letters.prose, self.words)
        least = min(wanted.width(), max(self.field.minimumSizeHint().width(), width // 3))
        if own + _GAP_px + least <= width:
            words = QRect(0, 0, own + 1, height)
            field = QRect(own + _GAP_px, 0, width - own - _GAP_px, height)
        else:
            measure = letters.measure(letters.prose)
            above = measure.boundingRect(QRect(0, 0, max(width, 1), 10_000), _WRAP, self.words).height()
            words = QRect(0, STEP_px // 2, width, above)
            field = QRect(0, words.bottom() + 1, width, height)
        total = field.bottom() + 1
        if self.reason:
            measure = letters.measure(letters.label)
            total += measure.boundingRect(QRect(0, 0, max(width, 1), 10_000), _WRAP, self.reason).height() + STEP_px
        return words, field, total

    def _arrange(self) -> None:
        field = self._places(self.width())[1]
        if self.field.geometry() != field:
            self.field.setGeometry(field)
            self.update()

    def _reason_changed(self, reason: str) -> None:
        self.updateGeometry()
        self._arrange()
        self.update()
