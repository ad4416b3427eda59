"""Paper and drawing in a widget: looking, zooming, fitting, painting from what was last made."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, QTimer
from PySide6.QtGui import QFocusEvent, QFont, QPainter, QPaintEvent, QPen, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from linesizer.document.change import Change, ChangeKind
from linesizer.drawing.display_list import (
    Box,
    Circle,
    DisplayList,
    Ink,
    Layer,
    Polygon,
    Polyline,
    Primitive,
    Target,
    TargetKind,
    Width,
)
from linesizer.drawing.fit import fit
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M, Spot, View
from linesizer.drawing.scene import Scene
from linesizer.ui import theme
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.sheet.circuit_words import CircuitWords
from linesizer.ui.sheet.drawing_cache import DrawingCache, Drawn
from linesizer.ui.sheet.furniture import EDGE, Furniture, FurniturePlace, line_marks, used_services
from linesizer.ui.sheet.painter import Kit, Picture
from linesizer.ui.sheet.pointing import box_of
from linesizer.ui.sheet.sight import Sight
from linesizer.ui.sheet.targets import target_of
from linesizer.ui.sheet.view_words import ViewWords

_HEAD, _FOOT = 58.0, 88.0
"""Room above and below the drawing that fitting leaves to the words and the axes, [px]."""

_HOVER, _GROUND = 0.45, 0.86
_NEAR_EDGE = 48.0

SETTLE_ms = 140
"""So long after the last notch of a zoom the labels are laid out anew; until then they keep their places."""


class Canvas(QWidget):
    """Shows the session's job; what a hand may do with it is the sheet's."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.sight = Sight()
        self.text_factor = self._text_factor()
        self._kit, self._stale_kit = self._new_kits()
        self.cache = DrawingCache(session, self._kit)
        self._furniture = Furniture()
        self._fit_due = True
        self._settling = QTimer(self)
        self._settling.setSingleShot(True)
        self._settling.setInterval(SETTLE_ms)
        self._settling.timeout.connect(self.update)
        self.hovered: Target | None = None
        self._focus_seen = False
        self.view_words = ViewWords(session.theme, self)
        self.view_words.wanted.connect(self.look)
        self.circuit_words = CircuitWords(session.theme, self)
        self.circuit_words.wanted.connect(self._show_circuit)
        self.setMouseTracking(True)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        for signal in (session.shown, session.solved, session.units_changed, session.condition_chosen):
            signal.connect(self.update)
        session.changed.connect(self._document_changed)
        session.theme.changed.connect(self.look_changed)

    # Looking

    def look(self, view: View) -> None:
        """Look at the route in another way, all of it in sight."""
        if view is not self.sight.view:
            self.sight = Sight(view, self.sight.scale)
            self.fit()
        self.view_words.show_view(view)

    def look_from_next_side(self) -> None:
        """Look at an elevation, or from there at the next one."""
        self.look(self.view_words.next_elevation())

    def fit(self) -> None:
        """Bring the whole drawing into sight."""
        if self.width() < 2 or not self.isVisible():
            self._fit_due = True
            return
        self._fit_due = False
        options = self.cache.options(self.sight, self.text_factor)
        found = fit(self.session.shown_job.circuits, options, self._room())
        self.take_sight(Sight(self.sight.view, found.scale, found.dx, found.dy))
        self._settling.stop()

    def full_size(self) -> None:
        """Show the drawing at 100 %, its middle where it was."""
        x, y = self.width() / 2.0, self.height() / 2.0
        self.take_sight(self.sight.zoomed(FULL_SIZE_UNITS_PER_M / self.sight.scale, x, y))

    def take_sight(self, sight: Sight) -> None:
        """Look at the drawing in another way."""
        if sight != self.sight:
            if sight.scale != self.sight.scale and sight.view is self.sight.view:
                self._settling.start()
            self.sight = sight
            self.update()

    def show_target(self, target: Target) -> None:
        """Move the paper, no farther than it needs, so that something can be seen."""
        box = box_of(self.scene(), target)
        if box is None:
            return
        room = self._room()
        sight = self.sight
        left, top, right, bottom = box.left + sight.dx, box.top + sight.dy, box.right + sight.dx, box.bottom + sight.dy
        if right < room.left + _NEAR_EDGE or left > room.right - _NEAR_EDGE:
            sight = sight.moved(room.centre[0] - (left + right) / 2.0, 0.0)
        if bottom < room.top + _NEAR_EDGE or top > room.bottom - _NEAR_EDGE:
            sight = sight.moved(0.0, room.centre[1] - (top + bottom) / 2.0)
        self.take_sight(sight)

    @property
    def settling(self) -> bool:
        """Whether a zoom is going on, so that labels wait for their last places."""
        return self._settling.isActive()

    def drawn(self) -> Drawn:
        """Return the drawing as it stands."""
        moving = self.session.previewing or self.settling
        return self.cache.drawn(self.sight, self.text_factor, keep_labels=moving)

    def scene(self) -> Scene:
        """Return the drawing as it stands, as the gestures need it."""
        return self.drawn().scene

    def spot(self, x: float, y: float) -> Spot:
        """Return the drawing's place under a place of the widget."""
        return self.sight.spot(x, y)

    def hover(self, target: Target | None) -> None:
        """Light something up, or nothing."""
        if target != self.hovered:
            self.hovered = target
            self.update()

    def overlay(self) -> tuple[Primitive, ...]:
        """Return what is drawn over the drawing and moves with it."""
        return ()

    def place_children(self) -> None:
        """Put the words at the edges where they belong."""
        self.view_words.adjustSize()
        self.view_words.move(round(EDGE) - theme.STEP_px, 3 * theme.STEP_px)
        circuits, shown = self.session.shown_job.circuits, self.session.shown_circuit
        titles = tuple((circuit.id, circuit.title) for circuit in circuits)
        self.circuit_words.show_circuits(titles, None if shown is None else shown.id)
        self.circuit_words.move(self.view_words.x(), self.view_words.geometry().bottom() + theme.STEP_px)

    @property
    def words_bottom(self) -> int:
        """Where the words at the upper left end, [px]."""
        words = self.view_words if self.circuit_words.isHidden() else self.circuit_words
        return words.geometry().bottom()

    def look_changed(self) -> None:
        """Make everything anew with other colours or fonts."""
        self.text_factor = self._text_factor()
        self._kit, self._stale_kit = self._new_kits()
        self.cache.use(self._kit)
        self._furniture.forget()
        self.place_children()
        self.update()

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
        self.place_children()
        if self._fit_due:
            self.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle in the middle."""
        super().resizeEvent(event)
        self.place_children()
        old = event.oldSize()
        if self._fit_due or not old.isValid():
            self.fit()
        else:
            self.sight = self.sight.moved((self.width() - old.width()) / 2.0, (self.height() - old.height()) / 2.0)

    def changeEvent(self, event: QEvent) -> None:
        """Paint with another font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.look_changed()
        super().changeEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus where it came by key; who has clicked knows where it is."""
        super().focusInEvent(event)
        self._focus_seen = event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show the focus no longer."""
        super().focusOutEvent(event)
        self._focus_seen = False
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint paper, drawing, what goes on over it, furniture."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(event.rect(), self.session.theme.colour(Ink.PANEL))
        sight = self.sight
        part = QRectF(event.rect()).translated(-sight.dx, -sight.dy)
        painter.translate(sight.dx, sight.dy)
        self.cache.paper(sight, self.width(), self.height()).paint(painter, part)
        drawn = self.drawn()
        if self.hovered is not None and self.hovered != target_of(self.session.selection):
            painter.setOpacity(_HOVER)
            self._paint(painter, _glow(drawn.scene, self.hovered))
            painter.setOpacity(1.0)
        drawn.picture.paint(painter, part)
        drawn.figures.paint(painter, part, None if self.session.current else self._stale_kit)
        self._paint(painter, self.overlay())
        painter.resetTransform()
        self._paint_furniture(painter)
        if self._focus_seen:
            painter.setPen(QPen(self.session.theme.colour(Ink.LIQUID), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1.0, 1.0, -1.0, -1.0))
        painter.end()

    # How it is made

    def _show_circuit(self, name: str) -> None:
        self.session.select(Selection(name))

    def _room(self) -> Box:
        right, bottom = self.width() - EDGE, self.height() - _FOOT
        return Box(EDGE, _HEAD, max(EDGE + 40.0, right), max(_HEAD + 40.0, bottom))

    def _paint(self, painter: QPainter, items: tuple[Primitive, ...]) -> None:
        if items:
            Picture(DisplayList(items, self.sight.scale, self.text_factor), self._kit).paint(painter)

    def _paint_furniture(self, painter: QPainter) -> None:
        circuits = self.session.shown_job.circuits
        words = self.view_words.geometry()
        place = FurniturePlace(
            self.width(),
            self.height(),
            words.right(),
            words.center().y(),
            self.sight.projection,
            self.session.units,
            self.text_factor,
        )
        ground = self.session.theme.colour(Ink.PANEL, _GROUND)
        own = self.drawn().bounds
        drawn = None if own is None else own.translated(self.sight.dx, self.sight.dy)
        shown = self.session.shown_circuit
        marks = line_marks(() if shown is None else (shown,), self.cache.marks)
        self._furniture.paint(painter, self._kit, ground, place, used_services(circuits), marks, drawn)

    @staticmethod
    def _text_factor() -> float:
        """Return by how much the window's letters are larger than designed."""
        return theme.font(theme.LABEL_px).pixelSize() / theme.LABEL_px

    def _new_kits(self) -> tuple[Kit, Kit]:
        """Return what the drawing is painted with, and figures that are not current: in italics, as readable."""

        def slanted(height: int, bold: bool) -> QFont:
            made = theme.font(height, bold=bold)
            made.setItalic(True)
            return made

        colour = self.session.theme.colour
        return Kit(colour, lambda height, bold: theme.font(height, bold=bold)), Kit(colour, slanted)

    def _document_changed(self, change: Change) -> None:
        """Show all of another job, and of one that has just got something to show, or another circuit."""
        begun = len(change.after.circuits) > len(change.before.circuits)
        if begun or change.kind in (ChangeKind.NEW, ChangeKind.OPENED):
            QTimer.singleShot(0, self, self.fit)


def _glow(scene: Scene, target: Target) -> tuple[Primitive, ...]:
    """Return what lies beneath something that is lit up."""
    if target.kind is TargetKind.NODE:
        at = scene.nodes.get(target)
        return () if at is None else (Circle(at, 9.0, Ink.SELECTION),)
    items: list[Primitive] = []
    for item in scene.display.items:
        if item.target != target:
            continue
        if isinstance(item, Polyline) and item.layer in (Layer.PIPE, Layer.HIDDEN_PIPE):
            items.append(Polyline(item.points, Ink.SELECTION, Width.SELECTION))
        elif isinstance(item, Polygon) and item.layer in (Layer.EQUIPMENT, Layer.SYMBOL) and _is_body(target):
            items.append(Polyline((*item.points, item.points[0]), Ink.SELECTION, Width.SELECTION))
    return tuple(items)


def _is_body(target: Target) -> bool:
    return target.kind in (TargetKind.EQUIPMENT, TargetKind.PART)
