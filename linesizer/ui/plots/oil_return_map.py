"""The oil-return map on screen: filled contours over cooling and condensing temperature, the safe region outlined."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QHelpEvent, QImage, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from linesizer.domain.condition import Condition
from linesizer.drawing.display_list import Ink
from linesizer.sizing.oil_return_map import OilReturnMap
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.plots.oil_return_field import LEVELS, PENALTIES_K, Field, Region, crossings, field, middle, places
from linesizer.ui.plots.scale import round_ticks, tick_text
from linesizer.ui.theme import STEP_px, Theme
from linesizer.units import Kind, System, display_with_unit, to_display, unit_label

WORDS = {
    Region.SAFE: "safe",
    Region.STAYS: "oil stays",
    Region.NEAR: "little reserve",
    Region.DEAR: "penalty too high",
    Region.BLOCKED: "flow does not pass",
}
NAMES_UP = {Region.SAFE: 0.5, Region.STAYS: 0.66, Region.NEAR: 0.42, Region.DEAR: 0.6, Region.BLOCKED: 0.5}
"""How far up in its region a name stands, so that those of neighbours do not meet."""

BAND_STRENGTH = 0.055
"""Each level that the ratio reaches deepens the ground by so much."""

MARK_px = 4


class OilReturnMapPlot(QWidget):
    """Draws one map; hovering reads it."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._letters = Lettering()
        self._map: OilReturnMap | None = None
        self._conditions: tuple[Condition, ...] = ()
        self._stop = 1.0
        self._system: System = "si"
        self._stale = False
        self._field: Field | None = None
        self._image: QImage | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(220, 140)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Oil-return map")
        theme.changed.connect(self._forget)

    def sizeHint(self) -> QSize:
        """Return room for a map that can be read."""
        return QSize(560, 280)

    @property
    def map(self) -> OilReturnMap | None:
        """The map that is shown."""
        return self._map

    def show_map(
        self,
        found: OilReturnMap,
        conditions: tuple[Condition, ...],
        stop_ratio: float,
        system: System,
        *,
        stale: bool,
    ) -> None:
        """Show a map with the job's own conditions on it."""
        if (found, conditions, stop_ratio, system, stale) == (
            self._map if self._map is found else None,
            self._conditions,
            self._stop,
            self._system,
            self._stale,
        ):
            return
        self._map, self._conditions, self._stop = found, conditions, stop_ratio
        self._system, self._stale = system, stale
        self.setAccessibleDescription(self.description())
        self._forget()

    def description(self) -> str:
        """Return in words what the map shows."""
        found = self._map
        if found is None:
            return ""
        words = [f"Riser {found.leg} of line {found.line}; everything else as at {self._title(found.base)}."]
        for condition in self._conditions:
            words.append(f"{condition.title}: {WORDS[self._region_at(condition)]}.")
        if found.pattern is not None:
            words.append("The dashed line is the changeover of the double riser.")
        return " ".join(words)

    def reading(self, load_W: float, head_C: float) -> str:
        """Return what the map says of a point."""
        found = self._map
        if found is None:
            return ""
        column = int(np.abs(found.capacity_W - load_W).argmin())
        row = int(np.abs(found.condensing_C - head_C).argmin())
        place = (
            f"{display_with_unit(Kind.CAPACITY, load_W, self._system)} at "
            f"{display_with_unit(Kind.TEMPERATURE, head_C, self._system)} condensing"
        )
        ratio, penalty = float(found.ratio[row, column]), float(found.penalty_K[row, column])
        if not np.isfinite(ratio):
            return f"{place}: {WORDS[Region.BLOCKED]}."
        shown = display_with_unit(Kind.TEMPERATURE_DIFFERENCE, penalty, self._system)
        tubes = ""
        if found.pattern is not None:
            tubes = ("; both tubes flow", "; the small tube alone", "; the seal is blown out")[
                int(found.pattern[row, column])
            ]
        region = WORDS[_region(ratio, penalty, found, self._stop)]
        return f"{place}: {region}. {ratio:.2f} times the least flow; penalty {shown}{tubes}."

    # Where things stand

    def plot_rect(self) -> QRect:
        """Return the map's rectangle inside the widget."""
        letters = self._letters
        line = letters.height(letters.label)
        left = letters.width(letters.label, "-000.0") + 2 * STEP_px
        return self.rect().adjusted(left, line + STEP_px, -3 * STEP_px, -(2 * line + 2 * STEP_px))

    def mark_places(self) -> list[QPointF]:
        """Return where the job's conditions are marked."""
        if self._map is None:
            return []
        room = QRectF(self.plot_rect())
        points = [(condition.capacity_W, condition.condensing_C) for condition in self._conditions]
        return [
            QPointF(room.left() + part * room.width(), room.bottom() - up * room.height())
            for part, up in places(self._map, points)
        ]

    def _title(self, name: str) -> str:
        return next((c.title for c in self._conditions if c.id == name), name)

    def _region_at(self, condition: Condition) -> Region:
        found = self._map
        if found is None:
            return Region.BLOCKED
        row = int(np.abs(found.condensing_C - condition.condensing_C).argmin())
        column = int(np.abs(found.capacity_W - condition.capacity_W).argmin())
        return _region(float(found.ratio[row, column]), float(found.penalty_K[row, column]), found, self._stop)

    # Painting

    def _forget(self) -> None:
        self._field = self._image = None
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange):
            self._letters = Lettering()
            self._forget()

    def event(self, event: QEvent) -> bool:
        """Read the map under the pointer."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip and self._map is not None:
            self._tell(event.pos(), event.globalPos())
            return True
        return super().event(event)

    def _tell(self, at: QPoint, globally: QPoint) -> None:
        room, found = self.plot_rect(), self._map
        if found is None or not room.contains(at):
            QToolTip.hideText()
            return
        along = (at.x() - room.left()) / max(1, room.width())
        up = (room.bottom() - at.y()) / max(1, room.height())
        load = float(found.capacity_W[0] + along * (found.capacity_W[-1] - found.capacity_W[0]))
        head = float(found.condensing_C[0] + up * (found.condensing_C[-1] - found.condensing_C[0]))
        QToolTip.showText(globally, self.reading(load, head), self)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the map."""
        found, room = self._map, self.plot_rect()
        if found is None or room.width() < 20 or room.height() < 20:
            return
        if self._field is None or self._image is None or self._image.size() != room.size():
            self._field = field(found, self._stop, room.width(), room.height())
            self._image = self._painted(self._field)
        painter = QPainter(self)
        painter.drawImage(room.topLeft(), self._image)
        painter.setPen(QPen(self._theme.colour(Ink.GRID), 1))
        painter.drawRect(room.adjusted(0, 0, -1, -1))
        self._axes(painter, room, found)
        self._levels(painter, room, self._field)
        self._names(painter, room, self._field)
        self._marks(painter)
        painter.end()

    def _painted(self, shown: Field) -> QImage:
        """Return bands, hatching and outlines as an image."""
        theme = self._theme
        panel, deep = _rgb(theme.colour(Ink.PANEL)), _rgb(theme.colour(Ink.QUIET if self._stale else Ink.LIQUID))
        strength = (BAND_STRENGTH * shown.band)[..., None]
        colours = panel * (1.0 - strength) + deep * strength
        strokes = np.array([Ink.QUIET, Ink.STOP, Ink.DECIDE, Ink.DECIDE, Ink.QUIET])
        for region in Region:
            ink = Ink.QUIET if self._stale else strokes[int(region)]
            colours[shown.hatched & (shown.region == region)] = _rgb(theme.colour(Ink(ink)))
        rows, columns = np.indices(shown.region.shape)
        ink_colour = _rgb(theme.colour(Ink.INK))
        colours[shown.penalties & (rows % 4 < 2)] = _rgb(theme.colour(Ink.QUIET))
        colours[_thick(shown.changeover) & ((rows + columns) % 10 < 6)] = ink_colour
        colours[_thick(shown.outline)] = _rgb(theme.colour(Ink.QUIET if self._stale else Ink.FITS))
        height, width = shown.region.shape
        pixels = np.empty((height, width, 4), dtype=np.uint8)
        pixels[..., :3] = colours[..., ::-1].round().astype(np.uint8)
        pixels[..., 3] = 255
        return QImage(pixels.tobytes(), width, height, 4 * width, QImage.Format.Format_RGB32).copy()

    def _axes(self, painter: QPainter, room: QRect, found: OilReturnMap) -> None:
        letters = self._letters
        painter.setFont(letters.label)
        painter.setPen(self._theme.colour(Ink.QUIET))
        line = letters.height(letters.label)

        def load(value: float) -> float:
            return float(to_display(Kind.CAPACITY, value, self._system))

        def head(value: float) -> float:
            return float(to_display(Kind.TEMPERATURE, value, self._system))

        def ticks(low: float, high: float, say: Callable[[float, str], None]) -> None:
            steps = round_ticks(low, high, 5)
            for value in steps:
                say(value, tick_text(value, steps[1] - steps[0] if len(steps) > 1 else 1.0))

        low, high = load(float(found.capacity_W[0])), load(float(found.capacity_W[-1]))

        def below(value: float, text: str) -> None:
            x = room.left() + (value - low) / (high - low) * room.width()
            painter.drawLine(QPointF(x, room.bottom()), QPointF(x, room.bottom() + STEP_px))
            box = QRectF(x - 40, room.bottom() + STEP_px, 80, line)
            painter.drawText(box, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop, text)

        ticks(low, high, below)
        bottom, top = head(float(found.condensing_C[0])), head(float(found.condensing_C[-1]))

        def beside(value: float, text: str) -> None:
            y = room.bottom() - (value - bottom) / (top - bottom) * room.height()
            painter.drawLine(QPointF(room.left() - STEP_px, y), QPointF(room.left(), y))
            box = QRectF(0, y - line / 2, room.left() - STEP_px - 2, line)
            painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, text)

        ticks(bottom, top, beside)
        under = QRectF(room.left(), room.bottom() + STEP_px + line, room.width(), line)
        cooling = f"cooling, {unit_label(Kind.CAPACITY, self._system)}"
        painter.drawText(under, Qt.AlignmentFlag.AlignHCenter, cooling)
        above = QRectF(0, 0, self.width(), line)
        painter.drawText(above, Qt.AlignmentFlag.AlignLeft, f"condensing, {unit_label(Kind.TEMPERATURE, self._system)}")

    def _levels(self, painter: QPainter, room: QRect, shown: Field) -> None:
        """Write the ratios along the lower edge where their bands begin, the penalties along the upper one."""
        letters = self._letters
        painter.setFont(letters.label)
        high = letters.height(letters.label)
        found = [
            (column, room.bottom() - high - 2, f"{level:g} ×") for column, level in crossings(shown.ratio[-1], LEVELS)
        ]
        for column, level in crossings(shown.penalty_K[0], PENALTIES_K):
            text = display_with_unit(Kind.TEMPERATURE_DIFFERENCE, level, self._system)
            found.append((column, room.top() + 3, text))
        for column, top, text in found:
            wide = letters.width(letters.label, text) + STEP_px
            box = QRectF(min(room.left() + column + 2.0, room.right() - wide - 2.0), top, wide, high)
            painter.fillRect(box, self._theme.colour(Ink.PANEL, 0.7))
            painter.setPen(self._theme.colour(Ink.QUIET))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    def _names(self, painter: QPainter, room: QRect, shown: Field) -> None:
        """Write into each region what it is, so that no colour has to."""
        letters = self._letters
        painter.setFont(letters.strong)
        for region in Region:
            at = middle(shown.region == region, NAMES_UP[region])
            if at is None:
                continue
            wide, high = letters.width(letters.strong, WORDS[region]) + 2 * STEP_px, letters.height(letters.strong)
            box = QRectF(room.left() + at[0] - wide / 2, room.top() + at[1] - high / 2, wide, high)
            box.moveLeft(min(max(box.left(), room.left() + 1.0), room.right() - wide))
            box.moveTop(min(max(box.top(), room.top() + 1.0), room.bottom() - high))
            painter.fillRect(box, self._theme.colour(Ink.PANEL, 0.85))
            painter.setPen(self._theme.colour(Ink.QUIET if self._stale else Ink.INK))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, WORDS[region])

    def _marks(self, painter: QPainter) -> None:
        """Mark the job's conditions: a filled disc where all is in order, an open square where not."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._letters.label)
        ink, panel = self._theme.colour(Ink.INK), self._theme.colour(Ink.PANEL)
        for condition, at in zip(self._conditions, self.mark_places(), strict=True):
            box = QRectF(at.x() - MARK_px, at.y() - MARK_px, 2 * MARK_px, 2 * MARK_px)
            painter.setPen(QPen(ink, 1.5))
            if self._region_at(condition) is Region.SAFE:
                painter.setBrush(ink)
                painter.drawEllipse(box)
            else:
                painter.setBrush(panel)
                painter.drawRect(box)
            wide = self._letters.width(self._letters.label, condition.title) + STEP_px
            high = self._letters.height(self._letters.label)
            words = QRectF(at.x() + 2 * MARK_px, at.y() - high, wide, high)
            if words.right() > self.width():
                words.moveRight(at.x() - 2 * MARK_px)
            painter.fillRect(words, self._theme.colour(Ink.PANEL, 0.7))
            painter.drawText(words, Qt.AlignmentFlag.AlignCenter, condition.title)


def _region(ratio: float, penalty_K: float, found: OilReturnMap, stop_ratio: float) -> Region:
    if not (np.isfinite(ratio) and np.isfinite(penalty_K)):
        return Region.BLOCKED
    if ratio < stop_ratio:
        return Region.STAYS
    if ratio < found.margin_ratio:
        return Region.NEAR
    return Region.DEAR if penalty_K > found.limit_K else Region.SAFE


def _thick(mask: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Return a line two pixels wide from one of a single pixel."""
    wide = mask.copy()
    wide[1:] |= mask[:-1]
    wide[:, 1:] |= mask[:, :-1]
    return wide


def _rgb(colour: QColor) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.array([colour.red(), colour.green(), colour.blue()], dtype=np.float64)
