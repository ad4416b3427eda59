"""A dock with a quiet title: the panel's name in bold, what it shows at the moment beside it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QDockWidget, QMainWindow, QSizePolicy, QVBoxLayout, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.theme import PROSE_px, STEP_px, Theme, TITLE_px, font


class DockTitle(QWidget):
    """The line above a panel; drags its dock because it leaves the mouse to it."""

    def __init__(self, theme: Theme, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._title, self._subtitle = title, ""
        self._named_elsewhere = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(title)
        theme.changed.connect(self.update)

    def set_subtitle(self, text: str) -> None:
        """Show what the panel is about at the moment."""
        if text != self._subtitle:
            self._subtitle = text
            self.setToolTip(text)
            self.updateGeometry()
            self.update()

    def set_named_elsewhere(self, named: bool) -> None:
        """Leave the name out where a tab already bears it."""
        if named != self._named_elsewhere:
            self._named_elsewhere = named
            self.updateGeometry()
            self.update()

    def sizeHint(self) -> QSize:
        """Return the height of one line of a title, or nothing where there is nothing to say."""
        if self._named_elsewhere and not self._subtitle:
            return QSize(0, 0)
        return QSize(80, QFontMetrics(font(TITLE_px, bold=True)).height() + 4 * STEP_px)

    def minimumSizeHint(self) -> QSize:
        """Return the same as ``sizeHint``."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint name and subtitle."""
        painter = QPainter(self)
        x, middle = 4 * STEP_px, self.rect()
        if not self._named_elsewhere:
            painter.setFont(font(TITLE_px, bold=True))
            painter.setPen(self._theme.colour(Ink.INK))
            name = middle.adjusted(x, 0, 0, 0)
            painter.drawText(name, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, self._title)
            x += painter.fontMetrics().horizontalAdvance(self._title) + 3 * STEP_px
        painter.setFont(font(PROSE_px))
        painter.setPen(self._theme.colour(Ink.QUIET))
        room = middle.adjusted(x, 0, -2 * STEP_px, 0)
        text = painter.fontMetrics().elidedText(self._subtitle, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)
        painter.end()


class _Place(QWidget):
    """Holds a panel, and its room while the panel is hidden.

    Qt only moves a dock that lies behind other tabs out of sight; its panel would take the focus there, and follow
    every change.
    """

    def __init__(self, panel: QWidget) -> None:
        super().__init__()
        self._panel = panel
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(panel)
        panel.hide()

    def sizeHint(self) -> QSize:
        """Return the panel's."""
        return self._panel.sizeHint()

    def minimumSizeHint(self) -> QSize:
        """Return the panel's."""
        return self._panel.minimumSizeHint()


class PanelDock(QDockWidget):
    """One panel of the main window."""

    def __init__(self, theme: Theme, panel: QWidget, name: str, title: str, parent: QMainWindow) -> None:
        super().__init__(title, parent)
        self.setObjectName(name)
        self.setAccessibleName(title)
        self.panel = panel
        self.setWidget(_Place(panel))
        self._bar = DockTitle(theme, title, self)
        self.setTitleBarWidget(self._bar)
        self.setFeatures(
            QDockWidget.DockWidgetFeature.DockWidgetClosable
            | QDockWidget.DockWidgetFeature.DockWidgetMovable
            | QDockWidget.DockWidgetFeature.DockWidgetFloatable
        )
        subtitle = getattr(panel, "subtitle_changed", None)
        if subtitle is not None:
            subtitle.connect(self._bar.set_subtitle)
        self.visibilityChanged.connect(panel.setVisible)
        self.dockLocationChanged.connect(self._look_for_tabs)
        self.topLevelChanged.connect(self._look_for_tabs)

    def event(self, event: QEvent) -> bool:
        """Notice when the dock comes into or out of a group of tabs."""
        if event.type() in (QEvent.Type.Show, QEvent.Type.Resize, QEvent.Type.Move, QEvent.Type.ZOrderChange):
            self._look_for_tabs()
        return super().event(event)

    def go_to(self) -> None:
        """Show the panel, before the other tabs, and bring the keyboard to it."""
        self.show()
        self.raise_()
        self.panel.show()
        widget: QWidget | None = self.panel
        while widget is not None and not (
            _takes_keys(widget) and (widget is self.panel or self.panel.isAncestorOf(widget))
        ):
            widget = widget.nextInFocusChain()
            if widget is self.panel:
                return
        if widget is not None:
            widget.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _look_for_tabs(self) -> None:
        window = self.parent()
        tabbed = isinstance(window, QMainWindow) and not self.isFloating() and bool(window.tabifiedDockWidgets(self))
        self._bar.set_named_elsewhere(tabbed)


def _takes_keys(widget: QWidget) -> bool:
    return bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus) and widget.isEnabled() and widget.isVisible()
