"""Light and dark: the tokens' colours for Qt, and the fonts' sizes."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QGuiApplication, QPalette

from linesizer.drawing.display_list import Ink
from linesizer.output.palette import PALETTES, ThemeName

FIGURE_px, PROSE_px, LABEL_px, TITLE_px = 13, 12, 11, 14
"""Heights of text: figures, prose, labels, a panel's title."""

STEP_px = 4
"""Everything is spaced in steps of this."""


class Theme(QObject):
    """Which of the two looks is on, and its colours; ``changed`` when it becomes the other."""

    changed = Signal()

    def __init__(self, choice: ThemeName | None = None, parent: QObject | None = None) -> None:
        """Begin with a look of one's own choice, or with None follow the desktop."""
        super().__init__(parent)
        self._choice = choice
        self._name: ThemeName = choice or _desktop()
        self._apply()
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._desktop_changed)

    @property
    def name(self) -> ThemeName:
        """``light`` or ``dark``."""
        return self._name

    @property
    def choice(self) -> ThemeName | None:
        """The person's own choice, None for the desktop's."""
        return self._choice

    def choose(self, choice: ThemeName | None) -> None:
        """Choose a look, or with None follow the desktop again."""
        self._choice = choice
        self._become(choice or _desktop())

    def colour(self, ink: Ink, alpha: float = 1.0) -> QColor:
        """Return a token's colour, ``alpha`` 0 to 1."""
        colour = QColor(PALETTES[self._name][ink])
        colour.setAlphaF(alpha)
        return colour

    def _desktop_changed(self) -> None:
        if self._choice is None:
            self._become(_desktop())

    def _become(self, name: ThemeName) -> None:
        if name != self._name:
            self._name = name
            self._apply()
            self.changed.emit()

    def _apply(self) -> None:
        palette = QPalette()
        panel, ink, quiet, rule = (self.colour(token) for token in (Ink.PANEL, Ink.INK, Ink.QUIET, Ink.RULE))
        face = self.colour(Ink.FACE)
        for role, colour in (
            (QPalette.ColorRole.Window, panel),
            (QPalette.ColorRole.Base, panel),
            (QPalette.ColorRole.AlternateBase, face),
            (QPalette.ColorRole.Button, face),
            (QPalette.ColorRole.ToolTipBase, face),
            (QPalette.ColorRole.WindowText, ink),
            (QPalette.ColorRole.Text, ink),
            (QPalette.ColorRole.ButtonText, ink),
            (QPalette.ColorRole.ToolTipText, ink),
            (QPalette.ColorRole.PlaceholderText, quiet),
            (QPalette.ColorRole.Mid, rule),
            (QPalette.ColorRole.Midlight, rule),
            (QPalette.ColorRole.Dark, quiet),
            (QPalette.ColorRole.Light, panel),
            (QPalette.ColorRole.Link, self.colour(Ink.LIQUID)),
            (QPalette.ColorRole.Highlight, self.colour(Ink.LIQUID)),
            (QPalette.ColorRole.HighlightedText, panel),
        ):
            palette.setColor(role, colour)
        for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
            palette.setColor(QPalette.ColorGroup.Disabled, role, quiet)
        QGuiApplication.setPalette(palette)


def font(height_px: int, *, bold: bool = False) -> QFont:
    """Return the window's font at a height, with figures of one width."""
    made = QFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont))
    made.setPixelSize(height_px)
    made.setBold(bold)
    if hasattr(made, "setFeature"):
        made.setFeature(QFont.Tag("tnum"), 1)
    return made


def _desktop() -> ThemeName:
    return "dark" if QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark else "light"
