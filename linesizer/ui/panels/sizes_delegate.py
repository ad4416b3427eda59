"""Paints the size table: a figure with its bar beneath, and under a row the word that says whether the size fits."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.legible import SELECTED, legible
from linesizer.ui.panels.limit_bar import HEIGHT_px, draw_limit_bar
from linesizer.ui.panels.rows_view import EDGE_px, RowsView, SQUEEZE_px, cell_room
from linesizer.ui.panels.size_rows import SizeRow
from linesizer.ui.panels.sizes_model import ROW_ROLE
from linesizer.ui.theme import STEP_px

_BAR_BELOW_px = STEP_px

POINTER_px = 7
"""Width of the pointer at a size that is proposed."""

PARTLY = 0.14
"""How much of the selection's colour lies over a size that only some legs are built in."""


class SizesDelegate(QStyledItemDelegate):
    """One cell of the size table; ``stale`` where the figures are not current, ``proposal_stale`` where that is not."""

    def __init__(self, view: RowsView) -> None:
        super().__init__(view)
        self._view = view
        self.stale = False
        self.proposal_stale = False
        view.row_ground = self.ground
        view.over_row = self.words

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """Return the width of the text, and the height of a row with or without bars and words beneath."""
        letters, row = self._view.letters, index.data(ROW_ROLE)
        bold = index.column() == 0 and isinstance(row, SizeRow) and row.used
        font = letters.bold if bold else letters.figure
        height = letters.height(letters.figure) + 2 * STEP_px
        if isinstance(row, SizeRow) and row.has_figures:
            height += _BAR_BELOW_px + HEIGHT_px + 2 + letters.height(letters.label)
            if any(cell.beneath for cell in row.cells):
                height += max(0, letters.height(letters.label) - _BAR_BELOW_px - HEIGHT_px - 2)
        width = letters.width(font, str(index.data()))
        if isinstance(row, SizeRow) and index.column() > 0:
            width = max(width, letters.width(letters.label, row.cells[index.column() - 1].beneath))
        return QSize(width, height)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint one cell."""
        row = index.data(ROW_ROLE)
        if not isinstance(row, SizeRow):
            return
        letters, theme = self._view.letters, self._view.theme
        room = cell_room(option.rect, index.column(), index.model().columnCount())
        room.setTop(room.top() + STEP_px)
        room.setHeight(letters.height(letters.figure))
        lively = (row.passes or row.used) and not self.stale
        if index.column() == 0:
            painter.setFont(letters.bold if row.used else letters.figure)
            painter.setPen(self._word(row, Ink.INK if lively else Ink.QUIET))
            painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, row.size)
            return
        if not row.has_figures and index.column() < index.model().columnCount() - 3:
            return
        cell = row.cells[index.column() - 1]
        painter.setFont(letters.figure)
        ink = Ink.STOP if cell.broken and not self.stale else Ink.INK if lively else Ink.QUIET
        painter.setPen(self._word(row, ink))
        text_room = room.adjusted(-SQUEEZE_px, 0, 0, 0)
        painter.drawText(text_room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, cell.text)
        if cell.beneath:
            painter.setFont(letters.label)
            painter.setPen(self._word(row, Ink.QUIET))
            below = text_room.translated(0, letters.height(letters.figure) - 1)
            painter.drawText(below, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop, cell.beneath)
        if cell.share is not None and row.has_figures:
            top = room.bottom() + 1 + _BAR_BELOW_px
            box = QRectF(room.left(), top, room.width(), HEIGHT_px)
            draw_limit_bar(painter, box, cell.share, theme, broken=cell.broken and not self.stale, quiet=not lively)

    def ground(self, painter: QPainter, rect: QRect, index: QModelIndex) -> None:
        """Shade the row of a size in use."""
        row = index.data(ROW_ROLE)
        if isinstance(row, SizeRow) and row.used:
            painter.fillRect(rect, self._view.theme.colour(Ink.SELECTION, SELECTED if row.whole else PARTLY))

    def _word(self, row: SizeRow, ink: Ink) -> QColor:
        theme = self._view.theme
        if not row.used:
            return theme.colour(ink)
        return legible(theme, ink, Ink.SELECTION, SELECTED if row.whole else PARTLY)

    def words(self, painter: QPainter, rect: QRect, index: QModelIndex) -> None:
        """Write what the row is: in use, fits, or out and by which limit."""
        row = index.data(ROW_ROLE)
        if not isinstance(row, SizeRow):
            return
        letters = self._view.letters
        painter.setFont(letters.label)
        height = letters.height(letters.label)
        left = rect.left() + EDGE_px - self._view.horizontalScrollBar().value()
        y = rect.bottom() - STEP_px // 2 - height
        if not row.has_figures:
            left += self._view.header().sectionSize(0) - EDGE_px + STEP_px
            y = rect.top() + (rect.height() - height) // 2
        for text, ink in (
            (row.in_use, Ink.INK if not self.stale else Ink.QUIET),
            (row.verdict, Ink.QUIET if self.stale else Ink.FITS if row.passes else Ink.STOP),
        ):
            if not text:
                continue
            painter.setPen(self._word(row, ink))
            width = letters.width(letters.label, text)
            painter.drawText(QRect(left, y, width + 2, height), Qt.AlignmentFlag.AlignLeft, text)
            left += width + 3 * STEP_px
        if row.proposed:
            self._write_proposed(painter, QRect(left, y, rect.right() - left - STEP_px, height), row)

    def _write_proposed(self, painter: QPainter, room: QRect, row: SizeRow) -> None:
        """Write where the proposal uses the size, behind a pointer, as much of it as there is room for."""
        letters, ink = self._view.letters, Ink.QUIET if self.stale or self.proposal_stale else Ink.INK
        colour = self._word(row, ink)
        tip = QPointF(room.left() + POINTER_px, room.center().y() + 0.5)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        back, half = tip.x() - POINTER_px, 0.6 * POINTER_px
        painter.drawPolygon(QPolygonF([tip, QPointF(back, tip.y() - half), QPointF(back, tip.y() + half)]))
        painter.restore()
        painter.setFont(letters.bold_label)
        painter.setPen(colour)
        words = room.adjusted(POINTER_px + STEP_px, 0, 0, 0)
        text = letters.measure(letters.bold_label).elidedText(row.proposed, Qt.TextElideMode.ElideRight, words.width())
        painter.drawText(words, Qt.AlignmentFlag.AlignLeft, text)
