"""What the keys do on the sheet; the manual page of the sheet lists them."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from linesizer.document.direction import Direction
from linesizer.domain.route import Service
from linesizer.drawing.display_list import Target
from linesizer.drawing.projection import View
from linesizer.ui.circuit_acts import show_circuit
from linesizer.ui.gestures.arrows import arrow_direction
from linesizer.ui.gestures.branch import TypingGround, branch_by_typing
from linesizer.ui.gestures.delete import delete_selected
from linesizer.ui.gestures.nudge import Nudge
from linesizer.ui.gestures.pan import pan_by_key
from linesizer.ui.gestures.resize import resize
from linesizer.ui.gestures.split_leg import join_selected, split_selected
from linesizer.ui.gestures.starts import line_start
from linesizer.ui.gestures.zoom import zoom_by_key
from linesizer.ui.selection import NOTHING, Selection
from linesizer.ui.sheet.found import found
from linesizer.ui.sheet.targets import target_of

_ALT, _CTRL, _SHIFT = (
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
)
_BEGINS = {Qt.Key.Key_D: Service.DISCHARGE, Qt.Key.Key_L: Service.LIQUID}


class KeyGround(TypingGround, Protocol):
    """The sheet as the keys need it."""

    nudge: Nudge

    def width(self) -> int:
        """Return the sheet's width, [px]."""
        ...

    def height(self) -> int:
        """Return the sheet's height, [px]."""
        ...

    def fit(self) -> None:
        """Bring everything into sight."""
        ...

    def full_size(self) -> None:
        """Show it at 100 %."""
        ...

    def look(self, view: View) -> None:
        """Look in another way."""
        ...

    def look_from_next_side(self) -> None:
        """Look at an elevation, or at the next one."""
        ...

    def edit_length(self, target: Target | None) -> None:
        """Open the field for a leg's length."""
        ...


def act_on_key(ground: KeyGround, event: QKeyEvent) -> bool:
    """Do what a key means; whether it means something here."""
    key, held = event.key(), event.modifiers()
    arrow = arrow_direction(ground.sight.view, key)
    if arrow is not None:
        return _arrow(ground, key, held, arrow)
    if held & _CTRL:
        return _with_ctrl(ground, key)
    if held & _ALT:
        return False
    return _begin(ground, key) or _plain(ground, key) or _draw(ground, event.text())


def _arrow(ground: KeyGround, key: int, held: Qt.KeyboardModifier, arrow: Direction) -> bool:
    if held & _CTRL:
        if key not in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            return False
        return resize(ground, key == Qt.Key.Key_Up)
    if held & _ALT:
        return ground.nudge.by(arrow, bool(held & _SHIFT))
    if held & _SHIFT:
        return pan_by_key(ground, key)
    ground.type_from(f"{arrow.value} ")
    return True


def _with_ctrl(ground: KeyGround, key: int) -> bool:
    if key == Qt.Key.Key_0:
        ground.fit()
    elif key == Qt.Key.Key_1:
        ground.full_size()
    else:
        return zoom_by_key(ground, key, ground.width(), ground.height())
    return True


def _begin(ground: KeyGround, key: int) -> bool:
    """Begin a line that the circuit needs and does not have; D means down once something is selected to draw from."""
    service = _BEGINS.get(Qt.Key(key)) if key in _BEGINS else None
    start = None if service is None else line_start(ground.session, service)
    if start is None:
        return False
    ground.type_at(start)
    return True


def _plain(ground: KeyGround, key: int) -> bool:
    session = ground.session
    if key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
        delete_selected(ground)
    elif key == Qt.Key.Key_Escape:
        session.select(NOTHING)
        ground.tell("")
    elif key == Qt.Key.Key_F:
        ground.fit()
    elif key == Qt.Key.Key_X:
        split_selected(ground)
    elif key == Qt.Key.Key_J:
        join_selected(ground)
    elif key == Qt.Key.Key_B:
        return branch_by_typing(ground)
    elif key == Qt.Key.Key_C:
        return show_circuit(session, 1)
    elif key == Qt.Key.Key_I:
        ground.look(View.ISOMETRIC)
    elif key == Qt.Key.Key_P:
        ground.look(View.PLAN)
    elif key == Qt.Key.Key_V:
        ground.look_from_next_side()
    elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
        return _to_node(ground, key == Qt.Key.Key_End)
    elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2):
        it = found(session.shown_job, session.selection)
        if it.leg is None or it.part is not None:
            return False
        ground.edit_length(target_of(session.selection))
    else:
        return zoom_by_key(ground, key, ground.width(), ground.height())
    return True


def _to_node(ground: KeyGround, end: bool) -> bool:
    """Select the node where the selected leg begins, or ends; from a node the leg beside it, and its other node."""
    it = found(ground.session.shown_job, ground.session.selection)
    if it.circuit is None or it.line is None:
        return False
    leg = it.leg
    if it.node is not None:
        node = it.node.id
        leg = next((each for each in it.line.legs if (each.start if end else each.end) == node), None)
    if leg is None:
        return False
    ground.session.select(Selection(it.circuit.id, it.line.id, node=leg.end if end else leg.start))
    return True


def _draw(ground: KeyGround, text: str) -> bool:
    """Begin to type a leg with a direction's letter."""
    letter = text.strip().upper()
    if len(letter) != 1 or letter not in {each.value for each in Direction}:
        return False
    ground.type_from(f"{letter} ")
    return True
