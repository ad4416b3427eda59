"""A flat table of figures in the tokens' look: quiet heads of two rows, thin rules, columns that share the width."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QStyleOptionViewItem, QTreeView, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.legible import HOVER
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.theme import STEP_px, Theme

GAP_px = 2 * STEP_px
"""Between two columns."""

SQUEEZE_px = 3
"""What a gap may lose where the width is short by a little; delegates may write so far into the gap at the left."""

EDGE_px = 4 * STEP_px
"""Left of the first column, in line with the titles of the docks."""

END_px = 2 * STEP_px
"""Right of the last column, where a scroll bar may stand."""


class RowsHeader(QHeaderView):
    """The heads: a name, and its unit beneath; figures' heads stand to the right as the figures do."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._theme = theme
        self.letters = Lettering()
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(8)
        self.setHighlightSections(False)
        self.setStretchLastSection(False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def lines(self, section: int) -> list[str]:
        """Return the rows of a head."""
        text = self.model().headerData(section, Qt.Orientation.Horizontal) if self.model() is not None else None
        return str(text or "").split("\n")

    def _to_the_right(self, section: int) -> bool:
        align = self.model().headerData(section, Qt.Orientation.Horizontal, Qt.ItemDataRole.TextAlignmentRole)
        return align is not None and bool(int(align) & int(Qt.AlignmentFlag.AlignRight))

    def sizeHint(self) -> QSize:
        """Return the height of the highest head."""
        rows = max((len(self.lines(section)) for section in range(self.count())), default=1)
        return QSize(super().sizeHint().width(), rows * self.letters.height(self.letters.label) + 2 * STEP_px)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Paint one head."""
        painter.save()
        painter.fillRect(rect, self._theme.colour(Ink.PANEL))
        painter.setPen(QPen(self._theme.colour(Ink.RULE), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.setFont(self.letters.label)
        painter.setPen(self._theme.colour(Ink.QUIET))
        align = self.model().headerData(section, Qt.Orientation.Horizontal, Qt.ItemDataRole.TextAlignmentRole)
        room = cell_room(rect, section, self.count()).adjusted(0, STEP_px, 0, -STEP_px)
        room.setLeft(room.left() - SQUEEZE_px if section and self._to_the_right(section) else room.left())
        flag = Qt.AlignmentFlag(align) if align is not None else Qt.AlignmentFlag.AlignLeft
        painter.drawText(room, flag | Qt.AlignmentFlag.AlignBottom, "\n".join(self.lines(section)))
        painter.restore()


def cell_room(rect: QRect, column: int, columns: int) -> QRect:
    """Return the part of a cell that its text may fill."""
    left = EDGE_px if column == 0 else GAP_px // 2
    right = END_px if column == columns - 1 else GAP_px // 2
    return rect.adjusted(left, 0, -right, 0)


class RowsView(QTreeView):
    """A flat table read row by row: arrow keys walk the rows, Enter or a click takes one.

    Widths follow from the texts; what is left over goes to the columns that ``stretch`` names, at most
    ``most_extra_px``, so that the eye need not travel across an empty page.  Subclass delegates
    paint the cells, ``row_ground`` and ``over_row`` what lies beneath and over a whole row.  ``wraps`` says that the
    height of a row follows from the width.
    """

    taken = Signal(QModelIndex)
    """A row was clicked, or Enter pressed on it."""

    def __init__(
        self,
        theme: Theme,
        stretch: tuple[int, ...] = (),
        most_extra_px: int | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.theme = theme
        self.letters = Lettering()
        self._stretch = stretch
        self._most_extra_px = most_extra_px
        self._natural: list[int] = []
        self._hovered = -1
        self._pressed = -1
        self._middle = QPersistentModelIndex()
        self.pointing = False
        self.wraps = False
        self.row_ground: Callable[[QPainter, QRect, QModelIndex], None] | None = None
        self.over_row: Callable[[QPainter, QRect, QModelIndex], None] | None = None
        self._heads = RowsHeader(theme, self)
        self.setHeader(self._heads)
        self.setRootIsDecorated(False)
        self.setItemsExpandable(False)
        self.setIndentation(0)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAllColumnsShowFocus(True)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setMouseTracking(True)
        self.setTabKeyNavigation(False)
        theme.changed.connect(self._repaint)
        self.verticalScrollBar().actionTriggered.connect(self._left_to_the_person)

    def _left_to_the_person(self) -> None:
        self._middle = QPersistentModelIndex()

    # Widths

    def setModel(self, model: QAbstractItemModel | None) -> None:
        """Show a model, and fit the columns whenever it changes."""
        super().setModel(model)
        if model is not None:
            model.modelReset.connect(self.fit)
            model.dataChanged.connect(self.fit)
            model.headerDataChanged.connect(self.fit)
        self.fit()

    def fit(self) -> None:
        """Measure the texts and share the width out."""
        model = self.model()
        if model is None:
            return
        columns, rows = model.columnCount(), model.rowCount()
        option = QStyleOptionViewItem()
        natural = []
        for column in range(columns):
            width = max(
                (self.letters.width(self.letters.label, line) for line in self._heads.lines(column)),
                default=0,
            )
            delegate = self.itemDelegateForColumn(column) or self.itemDelegate()
            for row in range(rows):
                width = max(width, delegate.sizeHint(option, model.index(row, column)).width())
            width += EDGE_px if column == 0 else GAP_px // 2
            width += END_px if column == columns - 1 else GAP_px // 2
            natural.append(width)
        if natural != self._natural:
            self._natural = natural
            self._share_width()

    def _share_width(self) -> None:
        over = self.viewport().width() - sum(self._natural)
        if self._most_extra_px is not None:
            over = min(over, self._most_extra_px)
        stretch = [column for column in self._stretch if column < len(self._natural)]
        # A little too much is taken from the gaps, so that a few pixels do not call for a scroll bar.
        squeeze = -(over // max(1, len(stretch))) if over < 0 else 0
        squeeze = squeeze if squeeze <= SQUEEZE_px else 0
        for column, width in enumerate(self._natural):
            extra = over // len(stretch) if over > 0 and column in stretch else 0
            extra -= squeeze if column in stretch else 0
            self.header().resizeSection(column, width + extra)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the new width out."""
        super().resizeEvent(event)
        self._share_width()
        self._scroll_to_the_middle()
        if self.wraps and event.size().width() != event.oldSize().width():
            self.scheduleDelayedItemsLayout()

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.letters = Lettering()
            self._heads.letters = self.letters
            self.scheduleDelayedItemsLayout()
            self.fit()
        super().changeEvent(event)

    # Scrolling

    def show_in_the_middle(self, index: QModelIndex) -> None:
        """Scroll a row to about the middle, a whole row at the top; again whenever the table gets another height."""
        self._middle = QPersistentModelIndex(index)
        self._scroll_to_the_middle()

    def _scroll_to_the_middle(self) -> None:
        index = self.model().index(self._middle.row(), 0) if self._middle.isValid() else QModelIndex()
        if not index.isValid():
            return
        self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtCenter)
        first, bar = self.visualRect(self.indexAt(QPoint(0, 0))), self.verticalScrollBar()
        bar.setValue(bar.value() + first.top())
        if self.visualRect(index).bottom() > self.viewport().height():
            bar.setValue(bar.value() + first.height())

    # Painting

    def drawRow(self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex) -> None:
        """Paint a whole row: ground, cells, what goes over them, the rule beneath."""
        rect = QRect(option.rect)
        rect.setLeft(0)
        whole = self.header().length()
        rect.setRight((whole if self._most_extra_px is not None else max(self.viewport().width(), whole)) - 1)
        painter.save()
        if self.row_ground is not None:
            self.row_ground(painter, rect, index)
        if self.pointing and index.row() == self._hovered:
            painter.fillRect(rect, self.theme.colour(Ink.FACE, HOVER))
        header, model = self.header(), self.model()
        for column in range(header.count()):
            if header.isSectionHidden(column):
                continue
            cell = QStyleOptionViewItem(option)
            cell.rect = QRect(
                header.sectionViewportPosition(column), rect.top(), header.sectionSize(column), rect.height()
            )
            at = model.index(index.row(), column)
            self.itemDelegateForIndex(at).paint(painter, cell, at)
        if self.over_row is not None:
            self.over_row(painter, rect, index)
        painter.setPen(QPen(self.theme.colour(Ink.GRID), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if self.hasFocus() and index.row() == self.currentIndex().row():
            painter.setPen(QPen(self.theme.colour(Ink.LIQUID), 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect.adjusted(2, 1, -3, -2), 3, 3)
        painter.restore()

    # Hands

    def row_at(self, at: QPoint) -> int:
        """Return the row at a point of the viewport, -1 for none."""
        return self.indexAt(at).row()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Light the row under the pointer where a click would do something."""
        row = self.row_at(event.position().toPoint())
        if row != self._hovered:
            self._hovered = row
            if self.pointing:
                shape = Qt.CursorShape.PointingHandCursor if row >= 0 else Qt.CursorShape.ArrowCursor
                self.viewport().setCursor(shape)
                self.viewport().update()
        super().mouseMoveEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Let go of the lit row."""
        self._hovered = -1
        self.viewport().update()
        super().leaveEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Remember where a click began."""
        self._pressed = self.row_at(event.position().toPoint()) if event.button() is Qt.MouseButton.LeftButton else -1
        super().mousePressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Take the row where a click ends on the row where it began."""
        super().mouseReleaseEvent(event)
        index = self.indexAt(event.position().toPoint())
        pressed, self._pressed = self._pressed, -1
        if event.button() is Qt.MouseButton.LeftButton and index.isValid() and index.row() == pressed:
            self.taken.emit(index)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the row on Enter; Tab leaves the table."""
        self._left_to_the_person()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self.taken.emit(self.currentIndex())
            event.accept()
            return
        super().keyPressEvent(event)

    def _repaint(self) -> None:
        self.viewport().update()
        self.header().viewport().update()
