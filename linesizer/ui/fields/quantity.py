"""A field for a quantity: shown in the units of the screen, typed in either, nudged with the arrow keys."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from linesizer.drawing.display_list import Ink
from linesizer.errors import UserError
from linesizer.storage.ranges import Range
from linesizer.ui.fields.bounds import ANYTHING, bounds_words, require_within, unit_words
from linesizer.ui.fields.commit import Commit
from linesizer.ui.fields.entry import EntryField
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px
from linesizer.units import Kind, System, display, from_display, parse, quantity, to_display

_STEPS: dict[Kind, tuple[float, float]] = {
    Kind.LENGTH: (0.1, 0.5),
    Kind.SMALL_LENGTH: (1.0, 0.125),
    Kind.ALTITUDE: (10.0, 50.0),
    Kind.VOLUME: (1.0, 0.05),
    Kind.PRESSURE: (0.5, 10.0),
    Kind.PRESSURE_DIFFERENCE: (1.0, 0.1),
    Kind.TEMPERATURE: (0.5, 1.0),
    Kind.TEMPERATURE_DIFFERENCE: (0.5, 1.0),
    Kind.CAPACITY: (1.0, 0.5),
    Kind.MASS: (0.1, 0.25),
    Kind.MASS_FLOW: (0.01, 1.0),
    Kind.DENSITY: (10.0, 1.0),
    Kind.FRACTION: (0.01, 0.01),
    Kind.RATIO: (0.05, 0.05),
    Kind.TIME_YEAR: (100.0, 100.0),
}
"""By how much an arrow key changes a value, in the displayed unit (SI, inch-pound)."""

_PAGE = 10
"""Page up and down change it by so many steps."""


class QuantityField(EntryField):
    """A quantity of one kind.

    A bare number is read in the unit that the field shows; that stays the one in which the person began to type, also
    where the screen changes its units meanwhile.  Where ``optional``, an empty entry is None, and ``default`` says
    quietly what holds then.
    """

    def __init__(
        self,
        session: Session,
        kind: Kind,
        name: str,
        commit: Commit,
        tip: str = "",
        *,
        within: Range = ANYTHING,
        optional: bool = False,
        show_unit: bool = True,
        parent: QWidget | None = None,
    ) -> None:
        self.kind = kind
        self.within = within
        self.optional = optional
        self._show_unit = show_unit
        self._default: float | str | None = None
        self._note = ""
        self._because = ""
        self._typed_in: System | None = None
        self._nudging = False
        super().__init__(session, name, commit, tip, parent)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.textChanged.connect(self._settle_units)
        self._make_room()

    # How a value reads

    @property
    def units(self) -> System:
        """The system in which a bare number is read: the screen's, or that in which the person began to type."""
        return self._typed_in or self.session.units

    def text_of(self, value: Any) -> str:
        """Return a stored value in the units of the screen."""
        if value is None:
            return ""
        return display(self.kind, value, self.session.units, atmosphere_Pa=self.session.atmosphere_Pa)

    def value_of(self, text: str) -> Any:
        """Return an entry as a stored value; ``UserError`` where it is no such quantity, or beyond its limits."""
        if not text.strip():
            if self.optional:
                return None
            raise UserError(
                "FIELD-02",
                what=f"{self.name} is empty.",
                why=f"{self.name} needs a value.",
                remedy=f"Type for example {quantity(self.kind).example}, or press Escape.",
            )
        atmosphere_Pa = self.session.atmosphere_Pa
        value = parse(self.kind, text, self.units, atmosphere_Pa=atmosphere_Pa, named=self.name)
        require_within(self.name, self.kind, value, self.within, self.units, atmosphere_Pa, self._because)
        return value

    def explanation(self) -> str:
        """Return what the quantity means, its limits, and what may be typed."""
        limits = bounds_words(self.kind, self.within, self.session.units, self.session.atmosphere_Pa)
        parts = [self.tip]
        if limits:
            parts.append(f"Allowed: {limits}{', ' if self._because else ''}{self._because}.")
        parts.append(f"Type for example {quantity(self.kind).example}.")
        return "\n".join(part for part in parts if part)

    # What it shows

    def show_default(self, default: float | str | None) -> None:
        """Say quietly what holds while the field is empty: a stored value, or words."""
        self._default = default
        self._show_default()

    def show_note(self, note: str) -> None:
        """Say something quietly before the figure."""
        if note != self._note:
            self._note = note
            self._make_room()

    def restrict(self, within: Range, because: str = "") -> None:
        """Allow another range; ``because`` says whose limits they are."""
        if (within, because) != (self.within, self._because):
            self.within, self._because = within, because
            self._describe()

    def retell(self) -> None:
        """Show the same in the units of the screen."""
        self._show_default()
        super().retell()
        self._make_room()

    def _show_default(self) -> None:
        default = self._default
        text = default if isinstance(default, str) else self.text_of(default)
        if text != self.placeholderText():
            self.setPlaceholderText(text)
            self.updateGeometry()

    # What the person does

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Nudge the value with the arrow keys."""
        notches = {
            Qt.Key.Key_Up: 1,
            Qt.Key.Key_Down: -1,
            Qt.Key.Key_PageUp: _PAGE,
            Qt.Key.Key_PageDown: -_PAGE,
        }.get(Qt.Key(event.key()), 0)
        if notches and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            self.nudge(notches)
            event.accept()
            return
        super().keyPressEvent(event)

    def nudge(self, notches: int) -> None:
        """Change the value by a sensible step, at most to its limit; steps in a row are one act."""
        try:
            value = self.value_of(self.text()) if self.edited else self._value
        except UserError as error:
            self.refuse(error)
            return
        if value is None:
            if not isinstance(self._default, int | float):
                return
            value = self._default
        units, air = self.units, self.session.atmosphere_Pa
        step = _STEPS.get(self.kind, (1.0, 1.0))[0 if units == "si" else 1]
        number = float(to_display(self.kind, value, units, atmosphere_Pa=air))
        wanted = float(from_display(self.kind, round(number + notches * step, 6), units, atmosphere_Pa=air))
        within = self.within
        wanted = min(max(wanted, within.least), within.most)
        if not within.holds(wanted):
            return
        merge = self._nudging and not self.edited
        self._nudging = self.carry_out(wanted, merge=merge)

    def show_value(self, value: Any) -> None:
        """Show a stored value; one that comes from elsewhere ends a row of nudges."""
        if not self._committing and value != self._value:
            self._nudging = False
        super().show_value(value)

    def _typed(self) -> None:
        self._nudging = False
        super()._typed()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End a row of nudges."""
        self._nudging = False
        super().focusOutEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the panel that scrolls: a value never changes by passing over it."""
        event.ignore()

    def _settle_units(self) -> None:
        before = self._typed_in
        self._typed_in = (before or self.session.units) if self.edited else None
        if self._typed_in != before:
            self._make_room()

    # How it looks

    @property
    def shown_unit(self) -> str:
        """The unit that stands behind the figure: always where there is room, else where it is not the screen's."""
        own = self._typed_in is not None and self._typed_in != self.session.units
        return unit_words(self.kind, self.units) if self._show_unit or own else ""

    def minimumSizeHint(self) -> QSize:
        """Return room for the whole figure: part of a number is another number."""
        return self.sizeHint()

    def _make_room(self) -> None:
        letters = self.letters
        unit, note = self.shown_unit, self._note
        right = letters.width(letters.figure, unit) + STEP_px if unit else 0
        left = letters.width(letters.figure, note) + STEP_px if note else 0
        self.setTextMargins(left, 0, right, 0)
        self.updateGeometry()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint unit and note quietly beside the figure."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setFont(self.letters.figure)
        painter.setPen(self.session.theme.colour(Ink.QUIET))
        # The line edit itself leaves two pixels on either side of its text.
        room = self.rect().adjusted(2, 0, -2, 0)
        middle = Qt.AlignmentFlag.AlignVCenter
        if self.shown_unit:
            painter.drawText(room, middle | Qt.AlignmentFlag.AlignRight, self.shown_unit)
        if self._note:
            figure = self.letters.width(self.letters.figure, self.text())
            end = room.right() - self.textMargins().right() - figure - 2 * STEP_px
            painter.drawText(
                QRect(room.left(), 0, end, self.height()), middle | Qt.AlignmentFlag.AlignRight, self._note
            )
        painter.end()
