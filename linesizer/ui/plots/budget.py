"""The liquid budget as a row of figures, each beside its step of a staircase from what there is to what is left."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QHelpEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.plots.budget_rows import BudgetItem, Standing, budget_words
from linesizer.ui.theme import STEP_px, Theme
from linesizer.units import Kind, System, display_with_unit

_BAR_px = 3 * STEP_px
_INKS = {Standing.SHORT: Ink.STOP, Standing.LITTLE: Ink.DECIDE, Standing.WHOLE: Ink.LIQUID, Standing.ENOUGH: Ink.LIQUID}


class BudgetStrip(QWidget):
    """One place an item; hidden while there is no budget."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._letters = Lettering()
        self.items: tuple[BudgetItem, ...] = ()
        self._asked_K = 0.0
        self._source = ""
        self._system: System = "si"
        self._stale = False
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.hide()
        theme.changed.connect(self.update)

    def show_budget(
        self, items: tuple[BudgetItem, ...], asked_K: float, source: str, system: System, *, stale: bool
    ) -> None:
        """Show other items, or with none nothing; ``source`` says who asks for how much."""
        self.items, self._asked_K, self._source, self._system, self._stale = items, asked_K, source, system, stale
        self.setVisible(bool(items))
        self.setAccessibleName(budget_words(items, asked_K, system) if items else "")
        self.updateGeometry()
        self.update()

    # Where everything lies

    def places(self, width: int) -> list[QRect]:
        """Return a place for each item, in as many rows as the width asks for."""
        letters = self._letters
        texts = [
            max(
                letters.width(letters.label, item.label(self._system)),
                letters.width(letters.figure, item.text(self._system)),
            )
            for item in self.items
        ]
        least = _BAR_px + STEP_px + max(texts, default=0) + 2 * STEP_px
        columns = max(1, min(len(texts), width // max(1, least)))
        wide, high = min(width // columns, least + 12 * STEP_px), self._row_height()
        return [
            QRect(place % columns * wide, place // columns * (high + 2 * STEP_px), wide, high)
            for place in range(len(texts))
        ]

    def _row_height(self) -> int:
        return self._letters.height(self._letters.label) + self._letters.height(self._letters.figure) + STEP_px

    def hasHeightForWidth(self) -> bool:
        """Tell the layout that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of the wrapped items."""
        places = self.places(max(1, width))
        return places[-1].bottom() + 1 if places else 0

    def sizeHint(self) -> QSize:
        """Return the size at the width that there is."""
        return QSize(300, self.heightForWidth(max(300, self.width())))

    def minimumSizeHint(self) -> QSize:
        """Return the least that shows every figure."""
        return QSize(80, self.heightForWidth(max(80, self.width())))

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self._letters = Lettering()
            self.updateGeometry()
        super().changeEvent(event)

    # Hands and painting

    def item_at(self, at: QPoint) -> BudgetItem | None:
        """Return the item at a point."""
        places = self.places(self.width())
        return next((item for item, place in zip(self.items, places, strict=True) if place.contains(at)), None)

    def tip_of(self, item: BudgetItem) -> str:
        """Return what an item means, and for what is left who asks for how much."""
        if item is not self.items[-1]:
            return item.meaning
        asked = display_with_unit(Kind.TEMPERATURE_DIFFERENCE, self._asked_K, self._system)
        return f"{item.meaning}\nThe dotted line: at least {asked}: {self._source}"

    def event(self, event: QEvent) -> bool:
        """Explain the item under the pointer."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            item = self.item_at(event.pos())
            if item is not None:
                QToolTip.showText(event.globalPos(), self.tip_of(item), self)
            else:
                QToolTip.hideText()
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the staircase and the figures."""
        painter = QPainter(self)
        low = min(0.0, *(item.to_K for item in self.items)) if self.items else 0.0
        high = max(self._asked_K, *(item.to_K for item in self.items)) if self.items else 1.0
        places = self.places(self.width())
        for number, (item, place) in enumerate(zip(self.items, places, strict=True)):
            joined = number + 1 < len(places) and places[number + 1].top() == place.top()
            self._step(painter, item, place, (low, high), joined=joined)
            self._words(painter, item, place.adjusted(_BAR_px + STEP_px + 2, 0, -STEP_px, 0))
        painter.end()

    def _step(
        self, painter: QPainter, item: BudgetItem, place: QRect, ends: tuple[float, float], *, joined: bool
    ) -> None:
        theme, (low, high) = self._theme, ends
        scale = (place.height() - 2) / max(high - low, 1e-9)
        bar = QRectF(place.left(), 0.0, _BAR_px, 0.0)
        bar.setTop(place.top() + 1 + (high - max(item.from_K, item.to_K)) * scale)
        bar.setBottom(max(bar.top() + 1.5, place.top() + 1 + (high - min(item.from_K, item.to_K)) * scale))
        zero = place.top() + 1 + high * scale
        painter.setPen(QPen(theme.colour(Ink.RULE), 1))
        painter.drawLine(QPointF(bar.left(), zero), QPointF(bar.right(), zero))
        ink = Ink.QUIET if self._stale else _INKS.get(item.standing, Ink.QUIET)
        if item.standing is Standing.GAIN:
            # A gain is hollow, so that it is not told from a loss by its place alone.
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(theme.colour(ink), 1))
            painter.drawRect(bar.adjusted(0.5, 0.5, -0.5, -0.5))
        else:
            painter.fillRect(bar, theme.colour(ink))
        if joined:
            y = place.top() + 1 + (high - item.to_K) * scale
            painter.setPen(QPen(theme.colour(Ink.QUIET, 0.5), 1, Qt.PenStyle.DotLine))
            painter.drawLine(QPointF(bar.right(), y), QPointF(place.right(), y))
        if item is self.items[-1]:
            y = place.top() + 1 + (high - self._asked_K) * scale
            painter.setPen(QPen(theme.colour(Ink.QUIET if self._stale else Ink.INK), 1.5, Qt.PenStyle.DotLine))
            painter.drawLine(QPointF(bar.left() - 3, y), QPointF(bar.right() + 3, y))

    def _words(self, painter: QPainter, item: BudgetItem, room: QRect) -> None:
        letters, theme = self._letters, self._theme
        last = item is self.items[-1]
        ground = QRect(room.left() - 1, room.top(), 0, room.height())
        ground.setWidth(
            max(
                letters.width(letters.label, item.label(self._system)),
                letters.width(letters.bold, item.text(self._system)),
            )
            + 2
        )
        painter.fillRect(ground, theme.colour(Ink.PANEL))
        painter.setFont(letters.label)
        short = item.standing is Standing.SHORT and not self._stale
        painter.setPen(theme.colour(Ink.STOP if short else Ink.QUIET))
        painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop, item.label(self._system))
        painter.setFont(letters.bold if last else letters.figure)
        painter.setPen(theme.colour(Ink.QUIET if self._stale else Ink.STOP if short else Ink.INK))
        painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom, item.text(self._system))
