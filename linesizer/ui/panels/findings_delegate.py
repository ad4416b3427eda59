"""Paints a finding: shape and word of its level, title, sentence, place, source, and its remedy as a button."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from linesizer.domain.finding import Finding, Level
from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.finding_words import LEVEL_WORDS
from linesizer.ui.panels.findings_model import FINDING_ROLE, FOLDED_ROLE, MESSAGE_ROLE, PLACE_ROLE, SOURCE_ROLE
from linesizer.ui.panels.legible import HOVER, SELECTED, legible
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.panels.level_mark import draw_level_mark
from linesizer.ui.theme import STEP_px, Theme

_WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft
_EDGE = 4 * STEP_px
_LEVEL_INK = {Level.STOP: Ink.STOP, Level.WARN: Ink.INK, Level.NOTE: Ink.QUIET}


@dataclass(frozen=True, slots=True)
class Layout:
    """Where the pieces of one finding lie, from the row's top left; ``remedy`` is empty where there is none."""

    mark: QRect
    word: QRect
    title: QRect
    message: QRect
    place: QRect
    source: QRect
    remedy: QRect
    height: int


class FindingsDelegate(QStyledItemDelegate):
    """One finding of the list; ``stale`` where the result is not current."""

    def __init__(self, view: QListView, theme: Theme) -> None:
        super().__init__(view)
        self._view, self._theme = view, theme
        self.letters = Lettering()
        self.stale = False
        self.lit_remedy = -1

    def layout(self, index: QModelIndex | QPersistentModelIndex, width: int) -> Layout:
        """Return where everything lies in a row of a width."""
        letters, finding = self.letters, index.data(FINDING_ROLE)
        mark = letters.height(letters.strong) - 4
        left = _EDGE + mark + 2 * STEP_px
        room = max(60, width - left - _EDGE)
        word_width = letters.width(letters.label, LEVEL_WORDS[finding.level])
        y = 2 * STEP_px
        word = QRect(width - _EDGE - word_width, y, word_width + 1, letters.height(letters.strong))
        title = self._box(letters.strong, finding.title, left, y, max(60, room - word_width - 2 * STEP_px))
        y = title.bottom() + 3
        message = self._box(letters.prose, str(index.data(MESSAGE_ROLE)), left, y, room)
        y = message.bottom() + 3
        label = finding.remedy.label if finding.remedy is not None else ""
        remedy = QRect()
        beside = room
        if label:
            pill = letters.width(letters.label, label) + 6 * STEP_px
            narrow = room - pill - 2 * STEP_px < 0.5 * room
            beside = room if narrow else room - pill - 2 * STEP_px
            remedy = QRect(width - _EDGE - pill, y, pill, letters.height(letters.label) + 2 * STEP_px)
            # With large letters the remedy needs a row of its own.
            y += remedy.height() + STEP_px if narrow else 0
        where = self._box(letters.label, str(index.data(PLACE_ROLE)), left, y, beside)
        source = self._box(letters.label, str(index.data(SOURCE_ROLE)), left, where.bottom() + 1, beside)
        bottom = max(source.bottom(), remedy.bottom() if label else 0)
        at = QRect(_EDGE, 2 * STEP_px + 2, mark, mark)
        return Layout(at, word, title, message, where, source, remedy, bottom + 2 * STEP_px)

    def _box(self, font: QFont, text: str, left: int, top: int, width: int) -> QRect:
        if not text:
            return QRect(left, top, width, 0)
        height = self.letters.measure(font).boundingRect(0, 0, width, 10_000, _WRAP, text).height()
        return QRect(left, top, width, height)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """Return the height that the wrapped texts need."""
        width = self._view.viewport().width()
        if index.data(FINDING_ROLE) is None:
            return QSize(width, self.letters.height(self.letters.strong) + 4 * STEP_px)
        return QSize(width, self.layout(index, width).height)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint one finding."""
        finding = index.data(FINDING_ROLE)
        if not isinstance(finding, Finding):
            self._fold(painter, option, index)
            return
        letters, theme, rect = self.letters, self._theme, option.rect
        parts = self.layout(index, rect.width())
        ink = Ink.QUIET if self.stale else Ink.INK
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        if selected:
            painter.fillRect(rect, theme.colour(Ink.SELECTION, SELECTED))
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(rect, theme.colour(Ink.FACE, HOVER))
        at = rect.topLeft()
        draw_level_mark(painter, QRectF(parts.mark.translated(at)), finding.level, theme, quiet=self.stale)
        painter.setFont(letters.label)
        word = Ink.QUIET if self.stale else _LEVEL_INK[finding.level]
        painter.setPen(legible(theme, word) if selected else theme.colour(word))
        flags = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(parts.word.translated(at), flags, LEVEL_WORDS[finding.level])
        for font, text, box, colour in (
            (letters.strong, finding.title, parts.title, ink),
            (letters.prose, index.data(MESSAGE_ROLE), parts.message, ink),
            (letters.label, index.data(PLACE_ROLE), parts.place, Ink.QUIET),
            (letters.label, index.data(SOURCE_ROLE), parts.source, Ink.QUIET),
        ):
            painter.setFont(font)
            painter.setPen(legible(theme, colour) if selected else theme.colour(colour))
            painter.drawText(box.translated(at), _WRAP, str(text))
        if finding.remedy is not None:
            self._remedy(painter, parts.remedy.translated(at), finding.remedy.label, index.row())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.setPen(QPen(theme.colour(Ink.GRID), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if self._view.hasFocus() and index.row() == self._view.currentIndex().row():
            painter.setPen(QPen(theme.colour(Ink.LIQUID), 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect.adjusted(2, 1, -3, -2))
        painter.restore()

    def _fold(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint the row that counts the notes: a chevron, how many, and what about as far as there is room."""
        letters, theme, rect = self.letters, self._theme, option.rect
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        if selected:
            painter.fillRect(rect, theme.colour(Ink.SELECTION, SELECTED))
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(rect, theme.colour(Ink.FACE, HOVER))
        mark = letters.height(letters.strong) - 4
        middle = QPointF(rect.left() + _EDGE + mark / 2.0, rect.center().y() + 0.5)
        painter.setPen(QPen(theme.colour(Ink.QUIET), 1.5))
        reach = mark / 4.0
        if index.data(FOLDED_ROLE):
            bends = ((-0.5, -1.0), (0.5, 0.0), (-0.5, 1.0))
        else:
            bends = ((-1.0, -0.5), (0.0, 0.5), (1.0, -0.5))
        painter.drawPolyline(QPolygonF([middle + QPointF(x * reach, y * reach) for x, y in bends]))
        room = rect.adjusted(_EDGE + mark + 2 * STEP_px, 0, -_EDGE, 0)
        head = str(index.data())
        ink = Ink.QUIET if self.stale else Ink.INK
        painter.setFont(letters.strong)
        painter.setPen(legible(theme, ink) if selected else theme.colour(ink))
        painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, head)
        if index.data(FOLDED_ROLE):
            room.setLeft(room.left() + letters.width(letters.strong, head) + 2 * STEP_px)
            about = letters.measure(letters.label).elidedText(
                str(index.data(MESSAGE_ROLE)), Qt.TextElideMode.ElideRight, room.width()
            )
            painter.setFont(letters.label)
            painter.setPen(legible(theme, Ink.QUIET) if selected else theme.colour(Ink.QUIET))
            painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, about)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.setPen(QPen(theme.colour(Ink.GRID), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if self._view.hasFocus() and index.row() == self._view.currentIndex().row():
            painter.setPen(QPen(theme.colour(Ink.LIQUID), 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect.adjusted(2, 1, -3, -2))
        painter.restore()

    def _remedy(self, painter: QPainter, box: QRect, label: str, row: int) -> None:
        theme = self._theme
        painter.setBrush(theme.colour(Ink.FACE))
        painter.setPen(QPen(theme.colour(Ink.INK if row == self.lit_remedy else Ink.RULE), 1))
        radius = box.height() / 2.0
        painter.drawRoundedRect(QRectF(box).adjusted(0.5, 0.5, -0.5, -0.5), radius, radius)
        painter.setFont(self.letters.label)
        painter.setPen(legible(theme, Ink.QUIET if self.stale else Ink.INK, Ink.FACE, 1.0))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, label)

    def remedy_box(self, index: QModelIndex) -> QRect:
        """Return where a row's remedy can be hit, in the viewport; empty where there is none."""
        if not index.isValid() or index.data(FINDING_ROLE) is None:
            return QRect()
        rect = self._view.visualRect(index)
        return self.layout(index, rect.width()).remedy.translated(rect.topLeft())
