"""The table of legs under hands: cells by arrow keys, entries by typing, copy, paste, delete."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QItemSelection, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemDelegate, QFrame, QTableView, QWidget

from linesizer.ui.panels.leg_editors import ChoiceEditor, EntryEditor
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.panels.rows_view import EDGE_px, END_px, GAP_px, RowsHeader
from linesizer.ui.theme import STEP_px, Theme


class LegsView(QTableView):
    """Cells that are walked one by one; rows that are selected whole, for copying."""

    copy_wanted = Signal()
    paste_wanted = Signal()
    delete_wanted = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.letters = Lettering()
        self._natural: list[int] = []
        self._heads = RowsHeader(theme, self)
        self.setHorizontalHeader(self._heads)
        self.verticalHeader().hide()
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setWordWrap(False)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QTableView.SelectionMode.ExtendedSelection)
        self.setVerticalScrollMode(QTableView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QTableView.ScrollMode.ScrollPerPixel)
        self.setEditTriggers(
            QTableView.EditTrigger.DoubleClicked
            | QTableView.EditTrigger.EditKeyPressed
            | QTableView.EditTrigger.AnyKeyPressed
        )
        self.selected_rows: frozenset[int] = frozenset()
        self.setTabKeyNavigation(False)
        theme.changed.connect(self._repaint)

    def fit(self) -> None:
        """Give each column the width of its widest text, and the rows their height."""
        model = self.model()
        if model is None:
            return
        letters = self.letters
        columns, rows, natural = model.columnCount(), model.rowCount(), []
        for column in range(columns):
            width = max((letters.width(letters.label, line) for line in self._heads.lines(column)), default=0)
            texts = {str(model.data(model.index(row, column))) for row in range(rows)}
            longest = max(map(len, texts), default=0)
            # Measuring costs more than counting letters, and one that is shorter by three is never the wider one.
            near = (text for text in texts if len(text) >= longest - 2)
            width = max(width, *(letters.width(letters.figure, text) for text in near), 0)
            width += EDGE_px if column == 0 else GAP_px // 2
            width += END_px if column == columns - 1 else GAP_px // 2
            # Widths only grow, a little at a time, so that figures do not make the table dance in a drag.
            held = self._natural[column] if column < len(self._natural) else 0
            natural.append(width if width > held or width < held - 6 * STEP_px else held)
        if natural != self._natural:
            self._natural = natural
            for column, width in enumerate(natural):
                self.setColumnWidth(column, width)
        self.verticalHeader().setDefaultSectionSize(self.letters.height(self.letters.figure) + 3 * STEP_px)
        self.verticalHeader().setMinimumSectionSize(8)

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.letters = Lettering()
            self._heads.letters = self.letters
            self._natural = []
            self.fit()
        super().changeEvent(event)

    def selectionChanged(self, selected: QItemSelection, deselected: QItemSelection) -> None:
        """Keep the selected rows at hand for painting: asking the selection for each cell takes too long."""
        super().selectionChanged(selected, deselected)
        self.selected_rows = frozenset(index.row() for index in self.selectionModel().selectedRows())

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Close an editor, but keep one open whose entry was refused until it is put right or given up."""
        given_up = hint == QAbstractItemDelegate.EndEditHint.RevertModelCache
        if isinstance(editor, EntryEditor | ChoiceEditor) and editor.refused is not None and not given_up:
            editor.setFocus()
            return
        super().closeEditor(editor, hint)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy, paste, delete; Enter edits the cell."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy_wanted.emit()
        elif event.matches(QKeySequence.StandardKey.Paste):
            self.paste_wanted.emit()
        elif event.matches(QKeySequence.StandardKey.Delete):
            self.delete_wanted.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.state() != QTableView.State.EditingState:
            index = self.currentIndex()
            if index.isValid() and index.flags() & Qt.ItemFlag.ItemIsEditable:
                self.edit(index)
        elif event.modifiers() & Qt.KeyboardModifier.ControlModifier and event.key() == Qt.Key.Key_Z:
            # Undo belongs to the window.
            event.ignore()
            return
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def _repaint(self) -> None:
        self.viewport().update()
        self._heads.viewport().update()
