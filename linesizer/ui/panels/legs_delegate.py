"""Paints the cells of the table of legs and edits them; an entry that cannot be taken keeps its editor open."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem, QWidget

from linesizer.document.command import Command
from linesizer.drawing.display_list import Ink
from linesizer.errors import UserError
from linesizer.ui.panels.leg_columns import COLUMNS, Column
from linesizer.ui.panels.leg_editors import ChoiceEditor, EntryEditor, Reason
from linesizer.ui.panels.leg_edits import (
    TEXT_COLUMNS,
    choices,
    chosen_command,
    chosen_value,
    size_command,
    size_entry,
    typed_command,
)
from linesizer.ui.panels.leg_entries import LegEntry
from linesizer.ui.panels.legible import SELECTED, legible
from linesizer.ui.panels.legs_model import LegsModel
from linesizer.ui.panels.legs_view import LegsView
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.panels.rows_view import cell_room
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

AnyIndex = QModelIndex | QPersistentModelIndex
LIVE = (Column.VELOCITY, Column.DROP, Column.OIL_RETURN, Column.CHARGE)


class LegsDelegate(QStyledItemDelegate):
    """One cell of the table of legs; ``stale`` where the live figures are not current."""

    def __init__(self, session: Session, view: LegsView, model: LegsModel, do: Callable[[Command], bool]) -> None:
        super().__init__(view)
        self._session, self._view, self._model, self._do = session, view, model, do
        self.letters = Lettering()
        self.reason = Reason(session.theme, view.viewport())
        self.stale = False

    # Painting

    def sizeHint(self, option: QStyleOptionViewItem, index: AnyIndex) -> QSize:
        """Return the size of the text."""
        letters = self.letters
        width = letters.width(letters.figure, str(index.data()))
        return QSize(width, letters.height(letters.figure) + 3 * STEP_px)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Paint one cell."""
        entry, shown, theme = self._model.entries[index.row()], COLUMNS[index.column()], self._session.theme
        rect, chosen = option.rect, self._chosen(entry)
        painter.save()
        # The style has painted a selected row in its own colour already.
        painter.fillRect(rect, theme.colour(Ink.PANEL))
        ground: tuple[Ink, float] | None = None
        if chosen:
            ground = (Ink.SELECTION, SELECTED)
        elif index.row() in self._view.selected_rows:
            ground = (Ink.FACE, 1.0)
        if ground is not None:
            painter.fillRect(rect, theme.colour(*ground))
        quiet = not shown.entered(entry) or shown.column in (Column.LINE, Column.FROM, Column.TO)
        quiet = quiet or (shown.column in LIVE and self.stale)
        strong = shown.column is Column.LEG
        painter.setFont(self.letters.bold if strong and chosen else self.letters.figure)
        ink = Ink.QUIET if quiet else Ink.INK
        painter.setPen(theme.colour(ink) if ground is None else legible(theme, ink, *ground))
        room = cell_room(rect, index.column(), len(COLUMNS))
        align = Qt.AlignmentFlag.AlignRight if shown.figure else Qt.AlignmentFlag.AlignLeft
        painter.drawText(room, align | Qt.AlignmentFlag.AlignVCenter, self._model.text(entry, shown))
        painter.setPen(QPen(theme.colour(Ink.QUIET if entry.last else Ink.GRID), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if self._view.hasFocus() and index == self._view.currentIndex():
            painter.setPen(QPen(theme.colour(Ink.LIQUID), 1.5))
            painter.drawRect(rect.adjusted(1, 1, -2, -2))
        painter.restore()

    def _chosen(self, entry: LegEntry) -> bool:
        selection = self._session.selection
        return (selection.circuit, selection.line, selection.leg) == (entry.circuit, entry.line.id, entry.leg.id)

    # Editing

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: AnyIndex) -> QWidget:
        """Return a line of text or a list, as the column asks."""
        entry, column = self._model.entries[index.row()], COLUMNS[index.column()].column
        editor: QWidget
        if column in TEXT_COLUMNS:
            editor = EntryEditor(self._session.theme, self._session.units, parent)
            if COLUMNS[index.column()].figure:
                editor.setAlignment(Qt.AlignmentFlag.AlignRight)
        else:
            editor = ChoiceEditor(parent)
            for choice in choices(column, entry, self._session.shown_job):
                editor.addItem(choice.label, choice.value)
            if column is Column.SIZE:
                editor.take_typing(self._session.units)
            editor.activated.connect(self._activated)
        editor.setFont(self.letters.figure)
        editor.setAccessibleName(f"{column.value} of leg {entry.leg.id}")
        editor.setToolTip(COLUMNS[index.column()].meaning)
        return editor

    def setEditorData(self, editor: QWidget, index: AnyIndex) -> None:
        """Show what the cell holds, but never over what a person is typing."""
        entry, column = self._model.entries[index.row()], COLUMNS[index.column()].column
        if isinstance(editor, EntryEditor):
            editor.screen_units = self._session.units
            if not editor.isModified() and editor.refused is None:
                editor.units = self._session.units
                editor.setText(str(index.data()))
                editor.selectAll()
        elif isinstance(editor, ChoiceEditor) and not editor.begun:
            editor.begun = True
            editor.setCurrentIndex(max(0, editor.findData(chosen_value(column, entry))))
            if column is Column.SIZE:
                editor.begin_with(size_entry(entry, self._session.units))

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: AnyIndex) -> None:
        """Carry out what was entered; where that cannot be, mark the editor and say why."""
        if not isinstance(editor, EntryEditor | ChoiceEditor) or index.row() >= len(self._model.entries):
            return
        entry, column = self._model.entries[index.row()], COLUMNS[index.column()].column
        try:
            command = self._command(editor, entry, column)
            if command is not None:
                self._do(command)
        except UserError as error:
            editor.refuse(error)
            self.reason.tell(error, editor)
            return
        editor.refuse(None)
        if isinstance(editor, ChoiceEditor):
            editor.taken = True
        self.reason.hide()

    def _command(self, editor: EntryEditor | ChoiceEditor, entry: LegEntry, column: Column) -> Command | None:
        if isinstance(editor, EntryEditor):
            # What is shown is rounded: a cell that nobody typed into says nothing new.
            if not editor.isModified():
                return None
            return typed_command(column, entry, editor.text(), editor.units)
        if column is Column.SIZE:
            # What is shown of a seal is rounded: a cell that nobody changed says nothing new.
            text = editor.currentText()
            return None if text == editor.begun_with else size_command(entry, text, editor.units)
        if editor.currentData() == chosen_value(column, entry):
            return None
        return chosen_command(column, entry, editor.currentData())

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Give the editor the cell, and a list the width of its words."""
        rect = QRect(option.rect)
        if isinstance(editor, ChoiceEditor):
            rect.setWidth(max(rect.width(), editor.sizeHint().width()))
        else:
            rect.setWidth(max(rect.width(), 24 * STEP_px))
        editor.setGeometry(rect)

    def destroyEditor(self, editor: QWidget, index: AnyIndex) -> None:
        """Let the reason go with its editor."""
        self.reason.hide()
        super().destroyEditor(editor, index)

    def _activated(self) -> None:
        editor = self.sender()
        if isinstance(editor, ChoiceEditor) and not editor.taken:
            self.commitData.emit(editor)
            self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)
