"""The sheet: the drawing of the job on its paper, in the middle of the window."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, QTimer
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from linesizer.drawing.display_list import Box, DisplayList, Ink
from linesizer.drawing.fit import fit
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M, View
from linesizer.ui import theme
from linesizer.ui.session import Session
from linesizer.ui.sheet.drawing_cache import DrawingCache, Drawn
from linesizer.ui.sheet.furniture import EDGE, axes, legend_row, line_marks, used_services
from linesizer.ui.sheet.painter import Kit, Picture
from linesizer.ui.sheet.sight import Sight
from linesizer.ui.sheet.view_words import ViewWords

_HEAD, _FOOT = 58.0, 74.0
"""Rooms above and below the drawing that fitting leaves to the words and the axes, [px]."""

_STALE = 0.5


class Sheet(QWidget):
    """The central widget: paper, drawing, what the result says beside each leg."""

    title = "Sheet"
    help_page = "sheet"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.sight = Sight()
        self.text_factor = 1.0
        self._kit = self._new_kit()
        self.cache = DrawingCache(session, self._kit)
        self._fit_due = True
        self.view_words = ViewWords(session.theme, self)
        self.view_words.wanted.connect(self.look)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Sheet")
        self._opened_job = session.document.path
        for signal in (session.shown, session.solved, session.selected, session.units_changed):
            signal.connect(self.update)
        session.condition_chosen.connect(self.update)
        session.changed.connect(self._changed)
        session.theme.changed.connect(self._look_changed)

    # Looking

    def look(self, view: View) -> None:
        """Look at the route in another way, all of it in sight."""
        if view is not self.sight.view:
            self.sight = Sight(view, self.sight.scale)
            self.view_words.show_view(view)
            self.fit()

    def fit(self) -> None:
        """Bring the whole drawing into sight."""
        if self.width() < 2 or not self.isVisible():
            self._fit_due = True
            return
        self._fit_due = False
        room = Box(EDGE, _HEAD, max(EDGE + 40.0, self.width() - EDGE), max(_HEAD + 40.0, self.height() - _FOOT))
        options = self.cache.options(self.sight, self.text_factor)
        found = fit(self.session.shown_job.circuits, options, room)
        self.sight = Sight(self.sight.view, found.scale, found.dx, found.dy)
        self.update()

    def full_size(self) -> None:
        """Show the drawing at 100 %, its middle where it was."""
        x, y = self.width() / 2.0, self.height() / 2.0
        self.sight = self.sight.zoomed(FULL_SIZE_UNITS_PER_M / self.sight.scale, x, y)
        self.update()

    def drawn(self) -> Drawn:
        """Return the drawing as it stands."""
        return self.cache.drawn(self.sight, self.text_factor, keep_labels=self.session.previewing)

    # Qt

    def sizeHint(self) -> QSize:
        """Return a size that shows a small job."""
        return QSize(800, 600)

    def minimumSizeHint(self) -> QSize:
        """Return the least that one can still work on."""
        return QSize(240, 180)

    def showEvent(self, event: QShowEvent) -> None:
        """Fit the drawing when the sheet is first seen."""
        super().showEvent(event)
        if self._fit_due:
            self.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle in the middle."""
        super().resizeEvent(event)
        self._arrange()
        old = event.oldSize()
        if self._fit_due or not old.isValid():
            self.fit()
        else:
            self.sight = self.sight.moved((self.width() - old.width()) / 2.0, (self.height() - old.height()) / 2.0)

    def changeEvent(self, event: QEvent) -> None:
        """Paint with another font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self._look_changed()
        super().changeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint paper, drawing, furniture."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(event.rect(), self.session.theme.colour(Ink.PANEL))
        sight = self.sight
        part = QRectF(event.rect()).translated(-sight.dx, -sight.dy)
        painter.translate(sight.dx, sight.dy)
        self.cache.paper(sight, self.width(), self.height()).paint(painter, part)
        drawn = self.drawn()
        drawn.picture.paint(painter, part)
        if not self.session.current:
            painter.setOpacity(_STALE)
        drawn.figures.paint(painter, part)
        painter.setOpacity(1.0)
        painter.resetTransform()
        self._paint_furniture(painter)
        painter.end()

    # How it is made

    def _paint_furniture(self, painter: QPainter) -> None:
        circuits = self.session.shown_job.circuits
        factor = self.text_factor
        marks = line_marks(circuits, self.cache.marks)
        middle = self.view_words.geometry().center().y()
        row, box = legend_row(used_services(circuits), marks, self.width() - EDGE, middle, factor)
        marker, marker_box = axes(self.sight.projection, self.session.units, (EDGE, self.height() - EDGE), factor)
        if box is not None and box.left < self.view_words.geometry().right() + EDGE:
            down = self.view_words.height() + 4.0
            row, box = legend_row(used_services(circuits), marks, self.width() - EDGE, middle + down, factor)
        ground = self.session.theme.colour(Ink.PANEL, 0.86)
        for each in (box, marker_box):
            if each is not None:
                grown = each.grown(4.0)
                painter.fillRect(QRectF(grown.left, grown.top, grown.width, grown.height), ground)
        Picture(DisplayList((*row, *marker), self.sight.scale, factor), self._kit).paint(painter)

    def _arrange(self) -> None:
        words = self.view_words
        words.adjustSize()
        words.move(round(EDGE) - theme.STEP_px, 12)

    def _new_kit(self) -> Kit:
        return Kit(self.session.theme.colour, lambda height, bold: theme.font(height, bold=bold))

    def _look_changed(self) -> None:
        self._kit = self._new_kit()
        self.cache.use(self._kit)
        self._arrange()
        self.update()

    def _changed(self, change: object) -> None:
        path = self.session.document.path
        if path != self._opened_job:
            self._opened_job = path
            QTimer.singleShot(0, self, self.fit)
