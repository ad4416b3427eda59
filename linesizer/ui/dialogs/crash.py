"""When the program itself fails: the work is in the journal, and here is a text to pass on."""

from __future__ import annotations

import platform
import sys
import traceback
from types import TracebackType

from PySide6.QtCore import Qt, qVersion
from PySide6.QtWidgets import QApplication, QDialog, QDialogButtonBox, QLabel, QPlainTextEdit, QVBoxLayout, QWidget

from linesizer import __version__


def crash_log(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> str:
    """Return a text that tells a developer what happened and where."""
    head = (
        f"linesizer {__version__}, Python {platform.python_version()}, Qt {qVersion()}, {platform.system()} "
        f"{platform.release()}, {sys.platform}\n\n"
    )
    return head + "".join(traceback.format_exception(kind, error, trace))


MOST_FAULTS = 20
"""A fault that comes back with every paint is shown so often and no more."""


class CrashDialog(QDialog):
    """Says that the work is kept and shows the log to copy; faults that follow are added to it."""

    def __init__(self, log: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._faults = 1
        self.setWindowTitle("Something went wrong")
        self.resize(720, 420)
        said = QLabel(
            "The program met a fault of its own. Your work up to the last act is kept and will be offered at the next "
            "start; save it under another name now if you can. The text below tells a developer what happened."
        )
        said.setWordWrap(True)
        self.log = QPlainTextEdit(log)
        self.log.setReadOnly(True)
        self.log.setAccessibleName("Log of the fault")
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        self.copy = buttons.addButton("Copy the log", QDialogButtonBox.ButtonRole.ActionRole)
        self.copy.clicked.connect(self._copy)
        buttons.rejected.connect(self.close)
        column = QVBoxLayout(self)
        column.addWidget(said)
        column.addWidget(self.log, 1)
        column.addWidget(buttons)

    def add(self, log: str) -> None:
        """Add another fault to the log."""
        self._faults += 1
        if self._faults <= MOST_FAULTS:
            self.log.appendPlainText(f"\n{log}")

    def _copy(self) -> None:
        QApplication.clipboard().setText(self.log.toPlainText())
