"""The circuits of a job by name beneath the views' words: the shown one bold, a click shows another."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from linesizer.ui.panels.word_chooser import WordChooser
from linesizer.ui.theme import Theme

_TIP = "Show this circuit in every panel; the others are drawn quietly  [C, Ctrl+Page Down]"


class CircuitWords(QWidget):
    """One word a circuit; hidden while there is only one."""

    wanted = Signal(str)
    """The id of the circuit that the person chose."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._ids: tuple[str, ...] = ()
        self.chooser: WordChooser | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self.hide()

    def show_circuits(self, circuits: tuple[tuple[str, str], ...], shown: str | None) -> None:
        """Show circuits as pairs of id and title, one of them as the shown one."""
        ids = tuple(name for name, _ in circuits)
        if len(ids) < 2:
            self.hide()
            return
        if ids != self._ids or self.chooser is None:
            self._ids = ids
            if self.chooser is not None:
                self._column.removeWidget(self.chooser)
                self.chooser.hide()
                self.chooser.deleteLater()
            self.chooser = WordChooser(self._theme, tuple((title, _TIP) for _, title in circuits), self)
            self.chooser.setAccessibleName("Circuit on the sheet")
            self.chooser.chosen.connect(self._chosen)
            self._column.addWidget(self.chooser)
        for index, (_, title) in enumerate(circuits):
            self.chooser.name(index, title, _TIP)
        if shown in ids:
            self.chooser.choose(ids.index(shown))
        self.show()
        self.adjustSize()

    def _chosen(self, index: int) -> None:
        self.wanted.emit(self._ids[index])
