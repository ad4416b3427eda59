"""The list of findings under hands: arrow keys, Enter, the remedy by mouse or by R, copying."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QListView, QWidget

from linesizer.ui.panels.findings_delegate import FindingsDelegate
from linesizer.ui.panels.findings_model import FINDING_ROLE, FOLDED_ROLE
from linesizer.ui.theme import Theme


class FindingsView(QListView):
    """Findings below each other, each as high as its words need."""

    place_wanted = Signal(QModelIndex)
    """A finding was clicked, walked to, or Enter pressed on it."""

    entered_place = Signal(QModelIndex)
    """Enter was pressed: go to the place itself."""

    remedy_wanted = Signal(QModelIndex)
    copy_wanted = Signal(QModelIndex)
    fold_wanted = Signal()
    """The row that counts the notes was clicked, or Enter pressed on it."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setMouseTracking(True)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.delegate = FindingsDelegate(self, theme)
        self.setItemDelegate(self.delegate)
        self._pressed = QModelIndex()
        theme.changed.connect(self._repaint)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap the words anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Light the remedy under the pointer."""
        index = self.indexAt(event.position().toPoint())
        on_remedy = index.isValid() and self.delegate.remedy_box(index).contains(event.position().toPoint())
        lit = index.row() if on_remedy else -1
        if lit != self.delegate.lit_remedy:
            self.delegate.lit_remedy = lit
            self.viewport().update()
        self.viewport().setCursor(Qt.CursorShape.PointingHandCursor if index.isValid() else Qt.CursorShape.ArrowCursor)
        super().mouseMoveEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Let go of the lit remedy."""
        self.delegate.lit_remedy = -1
        self.viewport().update()
        super().leaveEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Remember where a click began."""
        self._pressed = self.indexAt(event.position().toPoint())
        super().mousePressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Carry out the remedy where a click ends on it, else go to the place."""
        super().mouseReleaseEvent(event)
        at = event.position().toPoint()
        index = self.indexAt(at)
        if event.button() is not Qt.MouseButton.LeftButton or not index.isValid() or index != self._pressed:
            return
        if index.data(FINDING_ROLE) is None:
            self.fold_wanted.emit()
            return
        (self.remedy_wanted if self.delegate.remedy_box(index).contains(at) else self.place_wanted).emit(index)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes to the place, R carries out the remedy; walking lights each place on the way."""
        index = self.currentIndex()
        if index.isValid() and index.data(FINDING_ROLE) is None and self._keyed_fold(event, index):
            event.accept()
            return
        if index.isValid() and event.matches(QKeySequence.StandardKey.Copy):
            self.copy_wanted.emit(index)
        elif index.isValid() and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.place_wanted.emit(index)
            self.entered_place.emit(index)
        elif index.isValid() and event.key() == Qt.Key.Key_R and not event.modifiers():
            if index.data(FINDING_ROLE).remedy is not None:
                self.remedy_wanted.emit(index)
        else:
            super().keyPressEvent(event)
            if self.currentIndex() != index and self.currentIndex().isValid():
                self.place_wanted.emit(self.currentIndex())
            return
        event.accept()

    def _keyed_fold(self, event: QKeyEvent, index: QModelIndex) -> bool:
        """Fold or unfold the notes: Enter and the space bar turn it, Right shows them, Left folds them away."""
        key, folded = event.key(), bool(index.data(FOLDED_ROLE))
        turning = key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)
        if turning or (key == Qt.Key.Key_Right and folded) or (key == Qt.Key.Key_Left and not folded):
            self.fold_wanted.emit()
            return True
        # There is no remedy to carry out and nothing to copy.
        return key == Qt.Key.Key_R or event.matches(QKeySequence.StandardKey.Copy)

    def remedy_place(self, index: QModelIndex) -> QPoint:
        """Return the middle of a row's remedy, in the viewport."""
        return self.delegate.remedy_box(index).center()

    def _repaint(self) -> None:
        self.viewport().update()
