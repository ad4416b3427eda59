"""The sheet: the drawing of the job in the middle of the window, and what a hand can do with it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QContextMenuEvent,
    QFocusEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QToolTip, QWidget

from linesizer.domain.route import DoubleRiser
from linesizer.drawing.display_list import Primitive, Target, TargetKind
from linesizer.errors import UserError
from linesizer.ui import theme
from linesizer.ui.gestures.gesture import Pointer
from linesizer.ui.gestures.hand import Hand
from linesizer.ui.gestures.nudge import Nudge
from linesizer.ui.gestures.starts import Start
from linesizer.ui.gestures.type_legs import TypeLegs
from linesizer.ui.gestures.zoom import zoom_by_fingers, zoom_by_wheel
from linesizer.ui.panels.notes import Prose, StaleNote
from linesizer.ui.session import Session
from linesizer.ui.sheet.canvas import Canvas
from linesizer.ui.sheet.found import found
from linesizer.ui.sheet.furniture import EDGE
from linesizer.ui.sheet.handles import Handle, HandleKind, handle_at, handles
from linesizer.ui.sheet.keys import act_on_key
from linesizer.ui.sheet.length_editor import LengthEditor
from linesizer.ui.sheet.menu import ContextMenu
from linesizer.ui.sheet.pointing import box_of, fraction_along, label_boxes, target_at
from linesizer.ui.sheet.riser_editor import RiserEditor
from linesizer.ui.sheet.targets import selection_of, target_of
from linesizer.ui.sheet.teaching import hint, lesson
from linesizer.ui.sheet.typed_line import TypedLine
from linesizer.ui.sheet.walk import stepped
from linesizer.ui.sheet.words import described

_NOTE_WIDTH = 380
WINDOW_KEYS = frozenset(Qt.Key(Qt.Key.Key_F1 + number) for number in range(35)) - {Qt.Key.Key_F2}
"""Left to the window: F1 is its manual."""

_NOTHING = "Nothing is selected; Tab walks the legs in the order of flow."


class Sheet(Canvas):
    """The central widget.

    Keys: Tab walks the legs, a direction's letter or an arrow begins to type a leg, Alt and an arrow moves what is
    selected, Ctrl and an arrow up or down changes its size, Enter its length, Delete deletes it, Shift and an arrow
    moves the paper, plus and minus zoom, F fits.
    """

    title = "Sheet"
    help_page = "sheet"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.hand = Hand(self)
        self.nudge = Nudge(self)
        self._told = ""
        self._by_hand = False
        self._handles: tuple[Handle, ...] = ()
        self._handles_of: tuple[object, ...] = ()
        self.typed_line = TypedLine(session.theme, self)
        self.typed_line.asked.connect(self._type_on)
        self.typed_line.closed.connect(self._back)
        self.editor = LengthEditor(session, self)
        self.editor.finished.connect(self._back)
        self.editor.trouble.connect(self.tell)
        self.riser_editor = RiserEditor(session, self)
        self.riser_editor.finished.connect(self._back)
        self.riser_editor.trouble.connect(self.tell)
        self.stale_note = StaleNote(session, self)
        self.lesson = Prose(session, parent=self)
        for note in (self.stale_note, self.lesson):
            note.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.grabGesture(Qt.GestureType.PinchGesture)
        self.setAccessibleName("Sheet")
        session.selected.connect(self._selected)
        session.shown.connect(self._shown)
        session.changed.connect(self._changed)
        session.solved.connect(self._say_selected)
        session.units_changed.connect(self._teach)
        session.refused.connect(self._refused)
        self._teach()
        self._say_selected()

    # What the gestures stand on

    def tell(self, words: str) -> None:
        """Say something at the foot of the sheet; empty gives the line back to the hint."""
        self._told = words
        self._teach()

    def type_from(self, text: str) -> None:
        """Go on by typing from what is selected."""
        self._type(TypeLegs.begun(self), text)

    def type_at(self, start: Start) -> None:
        """Begin to type legs from a place."""
        self._type(TypeLegs(self, start), "")

    def edit_length(self, target: Target | None) -> None:
        """Open a field for a leg's length."""
        if target is None:
            return
        it = found(self.session.shown_job, selection_of(target))
        place = self._field_place(target)
        if it.geometry is None or place is None:
            return
        self.session.select(selection_of(target))
        self.editor.open(target, it.geometry.length_m, *place)

    def edit_riser(self, target: Target, riser: DoubleRiser) -> None:
        """Open a field for the tubes of a double riser, with those that it has or might have."""
        place = self._field_place(target)
        if place is not None:
            self.session.select(selection_of(target))
            self.riser_editor.open(target, riser, *place)

    def _field_place(self, target: Target) -> tuple[float, float, float] | None:
        """Return the middle of a field for a leg, over its label where it has one, and the width that it covers."""
        box = box_of(self.scene(), target)
        if box is None:
            return None
        box = next(iter(label_boxes(self.scene(), target)), box)
        x, y = box.centre
        return x + self.sight.dx, y + self.sight.dy, box.width

    def target_at(self, at: Pointer) -> Target | None:
        """Return what lies under the pointer."""
        return target_at(self.scene(), at.spot)

    def handle_at(self, at: Pointer) -> Handle | None:
        """Return the handle under the pointer."""
        return handle_at(self.handles(), at.spot)

    def handles(self) -> tuple[Handle, ...]:
        """Return the handles of what is selected."""
        scene = self.scene()
        wanted = (scene, self.session.selection)
        if not self._handles_of or self._handles_of[0] is not scene or self._handles_of[1] != wanted[1]:
            self._handles, self._handles_of = handles(self.session, scene), wanted
        return self._handles

    def overlay(self) -> tuple[Primitive, ...]:
        """Return handles, or what the gesture under way draws."""
        if self.hand.busy:
            return self.hand.overlay()
        if self.typed_line.typing:
            return ()
        return tuple(item for handle in self.handles() for item in handle.primitives())

    def draw_from(self, start: Start) -> None:
        """Begin to draw by mouse from a place; the pointer is wherever it is."""
        at = self.mapFromGlobal(self.cursor().pos())
        self.hand.draw_from(start, self._pointer(at.x(), at.y(), Qt.KeyboardModifier.NoModifier))
        self.hand.release(self._pointer(at.x(), at.y(), Qt.KeyboardModifier.NoModifier))

    # Qt: the mouse

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Select, begin a gesture, or give the press to the one under way."""
        self.typed_line.close_field()
        at = self._at(event)
        if event.button() == Qt.MouseButton.LeftButton:
            if not self.hand.busy:
                self.tell("")
            self._by_hand = True
            self.hand.press(at)
            self._by_hand = False
        elif event.button() == Qt.MouseButton.MiddleButton:
            self.hand.press_middle(at)
        self._point(at)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Go on with a gesture, or light up what lies beneath."""
        at = self._at(event)
        self.hand.move(at)
        self._point(at)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End a drag."""
        at = self._at(event)
        if event.button() in (Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton):
            self.hand.release(at)
        self._point(at)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Edit a leg's length, or end drawing."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.hand.double(self._at(event))

    def leaveEvent(self, event: QEvent) -> None:
        """Light up nothing."""
        self.hover(None)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer."""
        self.editor.give_up()
        self.riser_editor.give_up()
        zoom_by_wheel(self, event)
        event.accept()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done to what lies under the pointer, or to what is selected."""
        if event.reason() == QContextMenuEvent.Reason.Mouse:
            if self.hand.press_right():
                return
            at = self._pointer(event.pos().x(), event.pos().y(), Qt.KeyboardModifier.NoModifier)
            target = self.target_at(at)
            self.session.select(selection_of(target))
            self.context_menu(at).popup(event.globalPos())
            return
        self.context_menu(None).popup(self.mapToGlobal(self._menu_place()))

    def context_menu(self, at: Pointer | None) -> ContextMenu:
        """Return the menu for what is selected; without a pointer a leg is meant in its middle."""
        it = found(self.session.shown_job, self.session.selection)
        fraction = 0.5
        if at is not None and it.geometry is not None and it.circuit is not None and it.line is not None:
            line = Target(it.circuit.id, it.line.id)
            fraction = fraction_along(self.scene(), line, it.geometry, at.spot)
        return ContextMenu(self, it, fraction, self.handles(), self)

    # Qt: keys and the rest

    def event(self, event: QEvent) -> bool:
        """Walk the legs with Tab, zoom with two fingers, keep own keys from the window's shortcuts."""
        kind = event.type()
        if kind == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab) and not event.modifiers() & ~(
                Qt.KeyboardModifier.ShiftModifier
            ):
                forward = event.key() == Qt.Key.Key_Tab and not event.modifiers() & Qt.KeyboardModifier.ShiftModifier
                if not self.hand.busy and self._step(forward):
                    event.accept()
                    return True
        elif kind == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            theirs = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
            if not event.modifiers() & theirs and event.key() not in WINDOW_KEYS:
                event.accept()
                return True
        elif kind == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            self._tip(event)
            return True
        elif zoom_by_fingers(self, event):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Give a key to the gesture under way, or do what it means."""
        if self.hand.key(event.key(), event.text()):
            event.accept()
        elif event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self.hand.space = True
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif self.hand.busy or not act_on_key(self, event):
            event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the paper."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self.hand.space = False
            self.unsetCursor()
        super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the focus is."""
        super().focusInEvent(event)
        self._teach()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Drop the space bar, whose release goes elsewhere now."""
        super().focusOutEvent(event)
        self.hand.space = False

    def place_children(self) -> None:
        """Put words, notes and the typed line where they belong."""
        super().place_children()
        left = round(EDGE)
        top = self.words_bottom + 3 * theme.STEP_px
        wide = max(120, min(_NOTE_WIDTH, self.width() - 2 * left))
        for note in (self.stale_note, self.lesson):
            if not note.isHidden():
                tall = note.heightForWidth(wide)
                note.setGeometry(left, top, wide, tall)
                top += tall + 2 * theme.STEP_px
        self.typed_line.place()

    # How it is made

    def _at(self, event: QMouseEvent) -> Pointer:
        return self._pointer(event.position().x(), event.position().y(), event.modifiers())

    def _pointer(self, x: float, y: float, held: Qt.KeyboardModifier) -> Pointer:
        return Pointer(x, y, self.sight.spot(x, y), bool(held & Qt.KeyboardModifier.ShiftModifier))

    def _point(self, at: Pointer) -> None:
        """Give the pointer the shape of what it can do here."""
        gesture = self.hand.gesture
        if gesture is not None:
            self.hover(None)
            self.setCursor(gesture.cursor)
            return
        if self.hand.space:
            return
        handle = self.handle_at(at)
        target = None if handle is not None else self.target_at(at)
        self.hover(target)
        if handle is not None:
            is_stretch = handle.kind is HandleKind.STRETCH
            self.setCursor(Qt.CursorShape.SizeAllCursor if is_stretch else Qt.CursorShape.CrossCursor)
        elif target is None:
            self.unsetCursor()
        elif target.kind in (TargetKind.NODE, TargetKind.PART):
            self.setCursor(Qt.CursorShape.SizeAllCursor)
        else:
            self.setCursor(Qt.CursorShape.PointingHandCursor)

    def _menu_place(self) -> QPoint:
        target = target_of(self.session.selection)
        box = None if target is None else box_of(self.scene(), target)
        if box is None:
            return QPoint(self.width() // 2, self.height() // 2)
        x, y = box.centre
        return QPoint(round(x + self.sight.dx), round(y + self.sight.dy))

    def _step(self, forward: bool) -> bool:
        chosen = stepped(self.session.shown_job, self.session.selection, forward)
        if chosen is None:
            return False
        self.session.select(chosen)
        return True

    def _type_on(self) -> None:
        self.type_from("")

    def _type(self, gesture: TypeLegs | None, text: str) -> None:
        if gesture is None:
            self.tell("There is nothing to draw from yet.")
            return
        self.hand.cancel()
        self.typed_line.open_field(gesture, text, self.sight.view)
        self.update()

    def _back(self, had_focus: bool) -> None:
        """Take the focus back from a field that has closed, unless the person has gone elsewhere."""
        if had_focus:
            self.setFocus(Qt.FocusReason.OtherFocusReason)
        self._teach()
        self.update()

    def _tip(self, event: QHelpEvent) -> None:
        at = self._pointer(event.pos().x(), event.pos().y(), Qt.KeyboardModifier.NoModifier)
        handle = self.handle_at(at)
        if handle is not None:
            words = handle.words
        else:
            target = self.target_at(at)
            words = "" if target is None else described(self.session, selection_of(target), self.cache.notes)
        if words:
            QToolTip.showText(event.globalPos(), words, self)
        else:
            QToolTip.hideText()

    def _selected(self) -> None:
        if not self.hand.busy and not self.typed_line.typing:
            self._told = ""
        target = target_of(self.session.selection)
        if target is not None and self.isVisible() and not (self._by_hand or self.hand.busy):
            self.show_target(target)
        self._teach()
        self._say_selected()
        self.update()

    def _changed(self) -> None:
        """Drop a gesture whose ground another act has changed."""
        if self.hand.busy and not self.hand.acting:
            self.hand.cancel()

    def _shown(self) -> None:
        """Forget what is no longer there, and teach anew."""
        if not self.session.previewing:
            it = found(self.session.shown_job, self.session.selection)
            if it.selection != self.session.selection and target_of(self.session.selection) is not None:
                self.session.select(it.selection)
        self._teach()

    def _teach(self) -> None:
        head, text = lesson(self.session)
        self.lesson.setVisible(bool(head))
        self.lesson.say(text, head)
        self.typed_line.say(self._told or hint(self.session))
        self.place_children()

    def _say_selected(self) -> None:
        """Tell a screen reader what is selected and its figures."""
        words = described(self.session, self.session.selection, self.cache.notes)
        head, text = lesson(self.session)
        words = words or f"{head}. {text}".strip(". ") or _NOTHING
        if words != self.accessibleDescription():
            self.setAccessibleDescription(words)
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))

    def _refused(self, error: UserError) -> None:
        self.tell(f"{error.what} {error.why} {error.remedy}")
