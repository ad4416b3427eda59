"""Parts of a panel that fold: a head that says what is inside, and the inside."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QVBoxLayout, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

_CHEVRON_px = 2 * STEP_px


class FoldHead(QAbstractButton):
    """The head of a part: a section's in capitals, an item's by its name; what it holds beside it."""

    def __init__(self, session: Session, words: str, *, section: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._section = section
        self._summary = ""
        self._lit = False
        self.letters = Lettering()
        self.setCheckable(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.name(words)

    def name(self, words: str) -> None:
        """Change the head's words."""
        if words != self.text():
            self.setText(words)
            self._tell()

    def summarise(self, summary: str) -> None:
        """Say beside the words what is inside."""
        if summary != self._summary:
            self._summary = summary
            self._tell()
            self.update()

    @property
    def summary(self) -> str:
        """What it says is inside."""
        return self._summary

    def light(self, lit: bool) -> None:
        """Show that the object behind the head is selected."""
        if lit != self._lit:
            self._lit = lit
            self.update()

    def _tell(self) -> None:
        self.setAccessibleName(", ".join(part for part in (self.text(), self._summary) if part))
        said = self.accessibleName()
        self.setToolTip(f"{said}\nClick to open or fold.")

    def sizeHint(self) -> QSize:
        """Return the height of a line."""
        letters = self.letters
        height = letters.height(letters.label if self._section else letters.figure)
        return QSize(100, height + (4 if self._section else 2) * STEP_px)

    def minimumSizeHint(self) -> QSize:
        """Return the least width."""
        return QSize(40, self.sizeHint().height())

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font of the desktop."""
        if event.type() in (QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.letters = Lettering()
            self.updateGeometry()
        super().changeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint words, summary and the sign of being open or folded."""
        painter = QPainter(self)
        theme, letters = self._session.theme, self.letters
        if self._lit:
            painter.fillRect(self.rect(), theme.colour(Ink.SELECTION, 0.25))
        words_font = letters.strong if self._section else letters.prose
        painter.setFont(words_font)
        text = self.text().upper() if self._section else self.text()
        room = QRect(0, 0, self.width() - _CHEVRON_px - 2 * STEP_px, self.height())
        wide = letters.width(words_font, text)
        middle = Qt.AlignmentFlag.AlignVCenter
        painter.setPen(theme.colour(Ink.QUIET))
        summary = self._summary if not (self._section and self.isChecked()) else ""
        shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, middle | Qt.AlignmentFlag.AlignLeft, shown)
        left = room.width() - wide - 3 * STEP_px
        if summary and left > 6 * STEP_px:
            painter.setFont(letters.prose if self._section else letters.figure)
            painter.setPen(theme.colour(Ink.QUIET if self._section else Ink.INK))
            shown = painter.fontMetrics().elidedText(summary, Qt.TextElideMode.ElideRight, left)
            painter.drawText(room, middle | Qt.AlignmentFlag.AlignRight, shown)
        self._paint_chevron(painter)
        if self.hasFocus():
            painter.setPen(QPen(theme.colour(Ink.LIQUID), 1))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _paint_chevron(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = Ink.INK if self.underMouse() or self.hasFocus() else Ink.QUIET
        painter.setPen(QPen(self._session.theme.colour(ink), 1.2))
        centre = QPointF(self.width() - _CHEVRON_px / 2 - 1, self.height() / 2)
        if self.isChecked():
            corners = (QPointF(-3.5, -2), QPointF(0, 2), QPointF(3.5, -2))
        else:
            corners = (QPointF(-2, -3.5), QPointF(2, 0), QPointF(-2, 3.5))
        painter.drawPolyline(QPolygonF([centre + corner for corner in corners]))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)


class Fold(QWidget):
    """A head over an inside that opens and folds, and is found as it was left."""

    toggled = Signal(bool)

    def __init__(
        self,
        session: Session,
        words: str,
        inside: QWidget,
        memory: PanelMemory,
        key: str,
        *,
        section: bool = True,
        first: bool = True,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._memory, self._key = memory, key
        self.head = FoldHead(session, words, section=section)
        self.inside = inside
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(inside)
        self.head.toggled.connect(self._toggled)
        self.head.setChecked(memory.is_open(key, first))
        inside.setVisible(self.head.isChecked())

    @property
    def is_open(self) -> bool:
        """Whether the inside is shown."""
        return self.head.isChecked()

    def open(self, is_open: bool = True) -> None:
        """Open or fold it."""
        self.head.setChecked(is_open)

    def _toggled(self, is_open: bool) -> None:
        self.inside.setVisible(is_open)
        self._memory.keep(self._key, is_open)
        self.toggled.emit(is_open)
