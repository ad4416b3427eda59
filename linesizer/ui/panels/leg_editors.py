"""The editors of the table of legs: a line of text that shows why it was refused, and a list to choose from."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QSize, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.errors import UserError
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.theme import STEP_px, Theme
from linesizer.units import System


class Reason(QLabel):
    """Why an entry was refused, on a plate beneath its cell."""

    def __init__(self, theme: Theme, table: QWidget) -> None:
        super().__init__(table)
        self._theme, self._table = theme, table
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self.setMargin(2 * STEP_px)
        self.setAutoFillBackground(True)
        self.hide()

    def tell(self, error: UserError, editor: QWidget) -> None:
        """Show what is wrong beneath an editor, within the table."""
        self.setFont(Lettering().prose)
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.Window, self._theme.colour(Ink.FACE))
        palette.setColor(QPalette.ColorRole.WindowText, self._theme.colour(Ink.STOP))
        self.setPalette(palette)
        self.setText(f"{error.what} {error.why} {error.remedy}")
        self.setAccessibleName(self.text())
        table = self._table
        width = min(90 * STEP_px, max(120, table.width() - 4 * STEP_px))
        self.setFixedWidth(width)
        self.setFixedHeight(self.heightForWidth(width))
        at = editor.mapTo(table, QPoint(0, editor.height() + 2))
        above = editor.mapTo(table, QPoint(0, -self.height() - 2))
        y = at.y() if at.y() + self.height() <= table.height() or above.y() < 0 else above.y()
        self.move(max(0, min(at.x(), table.width() - width)), y)
        self.show()
        self.raise_()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the plate's edge round the words."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setPen(QPen(self._theme.colour(Ink.STOP), 1))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


class EntryEditor(QLineEdit):
    """Text typed into a cell; ``refused`` while what stands there cannot be taken.

    ``units`` are those on the screen when it was last typed in, which is what a bare number means.
    """

    def __init__(self, theme: Theme, units: System, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.units = units
        self.screen_units = units
        self.refused: UserError | None = None
        self.setFrame(False)
        self.setAutoFillBackground(True)
        self.textEdited.connect(self._typed)

    def refuse(self, error: UserError | None) -> None:
        """Mark the entry as one that cannot be taken, or as one that can."""
        self.refused = error
        self.setAccessibleDescription("" if error is None else f"Refused: {error.what} {error.why}")
        self.update()

    def _typed(self) -> None:
        self.units = self.screen_units
        self.refuse(None)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the text, underlined where it was refused."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setPen(QPen(self._theme.colour(Ink.STOP if self.refused is not None else Ink.LIQUID), 2))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        painter.end()


class ChoiceEditor(QComboBox):
    """A list of what a cell may be, which may be typed into too; ``refused`` while the chosen thing cannot be done.

    ``units`` are those on the screen when it opened, which is what a bare number means.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        self.begun_with = ""
        super().__init__(parent)
        self.refused: UserError | None = None
        self.begun = False
        self.taken = False
        """Whether the table has taken what stands here; a list that can be typed into tells again as it closes."""
        self.units: System = "si"
        self.setAutoFillBackground(True)
        self.setMaxVisibleItems(16)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)

    def take_typing(self, units: System) -> None:
        """Let words be typed that are not in the list."""
        self.units = units
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        # What completes itself would get in the way of a second size.
        self.setCompleter(None)  # type: ignore[arg-type]  # Qt takes none, its stubs do not
        self.editTextChanged.connect(self._typed)

    def begin_with(self, text: str) -> None:
        """Let typing begin with some words, all of them selected."""
        self.begun_with = text
        self.setEditText(text)
        line = self.lineEdit()
        if line is not None:
            line.selectAll()
        self.resize(max(self.width(), self.sizeHint().width()), self.height())

    def sizeHint(self) -> QSize:
        """Return room for the longest choice, and for what typing began with."""
        hint = super().sizeHint()
        return hint.expandedTo(QSize(self.fontMetrics().horizontalAdvance(self.begun_with) + 12 * STEP_px, 0))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave Enter to the table, which takes what is typed; the list would take it a second time."""
        if self.isEditable() and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.accept()
            return
        super().keyPressEvent(event)

    def _typed(self) -> None:
        self.refuse(None)

    def refuse(self, error: UserError | None) -> None:
        """Mark the choice as one that cannot be done, or as one that can."""
        self.refused = error
        self.setAccessibleDescription("" if error is None else f"Refused: {error.what} {error.why}")
