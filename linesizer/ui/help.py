"""The manual: one page a panel, shipped as Markdown, shown in a window of its own."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from linesizer.domain.resources import resource

FOLDER = "manual"


def manual_text(page: str) -> str:
    """Return a page of the manual; the one on the window where there is none of that name."""
    path = resource(FOLDER, f"{page}.md")
    if not path.is_file():
        path = resource(FOLDER, "window.md")
    return path.read_text(encoding="utf-8")


def show_help(parent: QWidget, page: str) -> QDialog:
    """Show a page of the manual beside the window; does not stop the person."""
    dialog = QDialog(parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setWindowTitle("Manual")
    dialog.resize(640, 720)
    text = QTextBrowser()
    text.setOpenExternalLinks(False)
    text.setSearchPaths([str(resource(FOLDER))])
    text.setAccessibleName("Manual page")
    text.setMarkdown(manual_text(page))
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    buttons.rejected.connect(dialog.close)
    column = QVBoxLayout(dialog)
    column.addWidget(text)
    column.addWidget(buttons)
    dialog.show()
    return dialog
