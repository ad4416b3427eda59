"""What this program is, what it leans on, and what it does not do for you."""

from __future__ import annotations

from importlib import metadata

from PySide6.QtCore import Qt, qVersion
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from linesizer import __version__

LIBRARIES = (
    ("Qt and PySide6", "PySide6_Essentials", "LGPL-3.0; the libraries may be replaced by your own builds"),
    ("NumPy", "numpy", "BSD-3-Clause"),
    ("SciPy", "scipy", "BSD-3-Clause; only to make refrigerant tables"),
    ("CoolProp", "CoolProp", "MIT; only to make refrigerant tables"),
    ("pydantic", "pydantic", "MIT"),
    ("pyqtgraph", "pyqtgraph", "MIT"),
)

CAUTION = (
    "An aid to planning by people of the trade. It does not replace the local codes, the makers' instructions or a "
    "licensed person's judgement, and nothing in it says that a plant complies with any rule. Refrigerant under "
    "pressure, nitrogen, brazing, electricity, hot pipes, flammable and toxic refrigerants can injure and kill."
)


def about_text() -> str:
    """Return the text of the box as HTML."""
    rows = "".join(f"<li>{name} {_version(package)}: {licence}</li>" for name, package, licence in LIBRARIES)
    return (
        f"<h3>linesizer {__version__}</h3>"
        "<p>Refrigerant lines between an indoor unit and a remote condenser.</p>"
        f"<p>{CAUTION}</p>"
        f"<p>It stands on (running on Qt {qVersion()}):</p><ul>{rows}</ul>"
        "<p>Refrigerant data are tables made from CoolProp's reference equations; every rule, tube and loss names its "
        "source where it is used. Colours are adapted from the palette that Okabe and Ito published.</p>"
    )


def show_about(parent: QWidget) -> QDialog:
    """Show the box; does not stop the person."""
    dialog = QDialog(parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setWindowTitle("About linesizer")
    dialog.resize(560, 480)
    text = QTextBrowser()
    text.setAccessibleName("About linesizer")
    text.setHtml(about_text())
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    buttons.rejected.connect(dialog.close)
    column = QVBoxLayout(dialog)
    column.addWidget(text)
    column.addWidget(buttons)
    dialog.show()
    return dialog


def _version(package: str) -> str:
    try:
        return metadata.version(package)
    except metadata.PackageNotFoundError:
        return ""
