"""Where everything lies in the table of conditions, for one width."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFont

from linesizer.ui.panels.job.condition_rows import DERIVED, DerivedRow, StatedRow
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.theme import STEP_px
from linesizer.units import System

WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft


@dataclass(frozen=True, slots=True)
class Line:
    """Where one row lies: its label, the top of its cells, what is wrong in it and where that stands."""

    row: StatedRow | DerivedRow
    label: QRect
    top: int
    reason: str
    below: QRect


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole layout, [px]: cells begin at ``left``, are ``cell`` wide and ``row`` high, heads ``head``."""

    lines: tuple[Line, ...]
    left: int
    cell: int
    row: int
    head: int
    stale: QRect
    height: int
    scrolls: bool


@dataclass(frozen=True, slots=True)
class Content:
    """What has to find its place.

    ``figures`` are the derived figures of all columns, none of which may be cut; ``reasons`` belong to stated rows by
    key; ``head_height`` returns the height of the highest head at a width.
    """

    rows: tuple[StatedRow, ...]
    columns: int
    figures: Sequence[str]
    reasons: dict[str, str]
    stale: str
    head_height: Callable[[int], int]
    bar_height: int
    units: System


def laid_out(content: Content, width: int, letters: Lettering) -> Plan:
    """Return the layout: labels beside their cells where two columns have room, above them where not."""
    rows: list[StatedRow | DerivedRow] = [*content.rows, *DERIVED]
    units, count = content.units, max(1, content.columns)
    label = max(letters.width(letters.prose, row.label(units)) for row in rows) + STEP_px
    least = max(letters.width(letters.figure, text) for text in ("000.00", *content.figures)) + 2 * STEP_px
    stacked = width - label < least * min(count, 2)
    left = 0 if stacked else label
    room = max(1, width - left)
    cell = max(least, room // count)
    row_height = letters.height(letters.figure) + 6
    label_height = letters.height(letters.prose)
    head = content.head_height(cell)
    y = head + STEP_px
    lines, stale = [], QRect()
    for row in rows:
        if row is DERIVED[0]:
            y += 2 * STEP_px
            if content.stale:
                stale = QRect(0, y, width, _wrapped(letters, letters.strong, content.stale, width))
                y += stale.height() + STEP_px
        if stacked:
            place = QRect(0, y, width, label_height)
            y += label_height
        else:
            place = QRect(0, y, label, row_height)
        reason = content.reasons.get(row.key, "") if isinstance(row, StatedRow) else ""
        below = QRect()
        top, y = y, y + row_height
        if reason:
            below = QRect(0, y + 1, width, _wrapped(letters, letters.label, reason, width))
            y += below.height() + STEP_px
        lines.append(Line(row, place, top, reason, below))
    scrolls = cell * count > room
    if scrolls:
        y += content.bar_height + STEP_px
    return Plan(tuple(lines), left, cell, row_height, head, stale, y, scrolls)


def _wrapped(letters: Lettering, font: QFont, text: str, width: int) -> int:
    return letters.measure(font).boundingRect(0, 0, max(1, width), 10_000, WRAP, text).height()
