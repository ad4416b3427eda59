"""The profile's two plots over the developed length: pressure with elevation above, saturation margin below."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.plots.legend import Stroke
from linesizer.ui.plots.profile_series import turn_words
from linesizer.ui.plots.profile_view import ASKED_DASH, ELEVATION_DASH, ProfileView, curve_stroke, strokes
from linesizer.ui.plots.scale import padded, round_ticks, tick_text
from linesizer.ui.theme import Theme
from linesizer.units import Kind, to_display, unit_label

NAMES_SHARE = 0.26
"""Part of the curves' height that is kept free above them for the names of the legs."""


class ProfilePlot(pg.GraphicsLayoutWidget):
    """The plots; hovering tells a place along the line, a click takes its leg."""

    hovered = Signal(float)
    """A place along the line, [m]; NaN when the pointer leaves."""

    taken = Signal(str)
    """The id of a leg that was clicked or entered."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._letters = Lettering()
        self._view: ProfileView | None = None
        self._cursor_m = float("nan")
        self._selected: str | None = None
        self._pressure_range = self._elevation_range = self._margin_range = (0.0, 1.0)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.ci.layout.setContentsMargins(4, 0, 8, 0)
        self.ci.layout.setVerticalSpacing(0)
        self.upper: pg.PlotItem = self.addPlot(row=0, col=0)
        self.lower: pg.PlotItem = self.addPlot(row=1, col=0)
        self.ci.layout.setRowStretchFactor(0, 3)
        self.ci.layout.setRowStretchFactor(1, 2)
        for plot in (self.upper, self.lower):
            plot.setMenuEnabled(False)
            plot.setMouseEnabled(x=False, y=False)
            plot.hideButtons()
            plot.showAxis("right")
            plot.getViewBox().setDefaultPadding(0.0)
        self.lower.setXLink(self.upper)
        self.upper.getAxis("bottom").setStyle(showValues=False)
        self.chosen = [self._band(plot) for plot in (self.upper, self.lower)]
        self.lit = [self._band(plot) for plot in (self.upper, self.lower)]
        self._bounds = [self._curve(plot) for plot in (self.upper, self.lower)]
        self._zero, self._asked = self._curve(self.lower), self._curve(self.lower)
        self._hairs = [self._curve(plot) for plot in (self.upper, self.lower)]
        self.elevation = self._curve(self.upper)
        self.pressures: list[pg.PlotCurveItem] = []
        self.margins: list[pg.PlotCurveItem] = []
        self.names: list[pg.TextItem] = []
        self.turns = pg.ScatterPlotItem(symbol="d", size=11)
        self.turns.setZValue(20)
        self.lower.addItem(self.turns)
        self.turn_texts: list[pg.TextItem] = []
        self.scene().sigMouseMoved.connect(self._moved)
        self.scene().sigMouseClicked.connect(self._clicked)
        self.dress()

    # What it is made of

    def _curve(self, plot: pg.PlotItem) -> pg.PlotCurveItem:
        curve = pg.PlotCurveItem(antialias=True)
        plot.addItem(curve, ignoreBounds=True)
        return curve

    def _band(self, plot: pg.PlotItem) -> pg.LinearRegionItem:
        band = pg.LinearRegionItem((0.0, 0.0), movable=False)
        band.setZValue(-20)
        for line in band.lines:
            line.setPen(pg.mkPen(None))
        band.hide()
        plot.addItem(band, ignoreBounds=True)
        return band

    def _text(self, plot: pg.PlotItem, anchor: tuple[float, float]) -> pg.TextItem:
        text = pg.TextItem("", anchor=anchor)
        text.setZValue(30)
        plot.addItem(text, ignoreBounds=True)
        return text

    def dress(self) -> None:
        """Take on the colours and letters of the theme."""
        theme, letters = self._theme, self._letters
        self.setBackground(theme.colour(Ink.PANEL))
        width = letters.width(letters.label, "-0000.0") + letters.height(letters.label) + 12
        for plot in (self.upper, self.lower):
            for side in ("left", "right", "bottom"):
                axis = plot.getAxis(side)
                axis.setPen(pg.mkPen(theme.colour(Ink.GRID), width=1))
                axis.setTextPen(pg.mkPen(theme.colour(Ink.QUIET)))
                axis.setTickFont(letters.label)
                axis.label.setFont(letters.label)
                axis.setStyle(tickLength=-4)
            plot.getAxis("left").setWidth(width)
            plot.getAxis("right").setWidth(width - letters.width(letters.label, "000"))
            plot.getAxis("left").setGrid(200)
        bottom = letters.height(letters.label)
        self.lower.getAxis("bottom").setHeight(2 * bottom + 10)
        self.upper.getAxis("bottom").setHeight(4)
        for bands, ink, strength in ((self.chosen, Ink.SELECTION, 0.28), (self.lit, Ink.QUIET, 0.14)):
            for band in bands:
                band.setBrush(pg.mkBrush(theme.colour(ink, strength)))
        for curve in self._bounds:
            curve.setPen(pg.mkPen(theme.colour(Ink.GRID), width=1))
        for hair in self._hairs:
            hair.setPen(pg.mkPen(theme.colour(Ink.QUIET), width=1))
        if self._view is not None:
            self._draw(self._view)

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange) and hasattr(self, "upper"):
            self._letters = Lettering()
            self.dress()

    # What it shows

    def strokes(self) -> tuple[Stroke, ...]:
        """Return the legend's entries for what is shown."""
        return () if self._view is None else strokes(self._view)

    def show_view(self, view: ProfileView, selected: str | None, *, hold: bool) -> None:
        """Show a profile; ``hold`` keeps the ranges of the axes, as in a drag, where it is still the same line."""
        before = self._view
        held = hold and before is not None and before.profile.line == view.profile.line
        self._view, self._selected = view, selected
        if not held:
            self._set_ranges(view)
        self._draw(view)

    def _set_ranges(self, view: ProfileView) -> None:
        profile = view.profile
        shown = [profile.curves[index] for index in view.conditions if profile.curves[index].passes]
        pressures = [self._pressure(view, curve.pressure_Pa) for curve in shown]
        margins = [self._margin(view, curve.margin_K) for curve in shown]
        heights = to_display(Kind.LENGTH, profile.elevation_m, view.system)
        self._elevation_range = padded(float(heights.min()), float(heights.max()), 0.08, NAMES_SHARE)
        if pressures:
            low, high = min(float(p.min()) for p in pressures), max(float(p.max()) for p in pressures)
            self._pressure_range = padded(low, high, 0.08, NAMES_SHARE)
            lows, highs = [float(m.min()) for m in margins], [float(m.max()) for m in margins]
            low, high = min(*lows, 0.0) if view.asked_K is not None else min(lows), max(highs)
            if low < 0.0:
                high = max(high, 0.0)
            if view.asked_K is not None:
                high = max(high, float(to_display(Kind.TEMPERATURE_DIFFERENCE, view.asked_K, view.system)))
            self._margin_range = padded(low, high, 0.16, 0.16)
        length = float(to_display(Kind.LENGTH, profile.length_m, view.system))
        self.upper.setXRange(0.0, length, padding=0.0)
        self.upper.setYRange(*self._pressure_range, padding=0.0)
        self.lower.setYRange(*self._margin_range, padding=0.0)

    def _pressure(self, view: ProfileView, values: np.ndarray) -> np.ndarray:
        return to_display(Kind.PRESSURE, values, view.system, atmosphere_Pa=view.atmosphere_Pa)

    def _margin(self, view: ProfileView, values: np.ndarray) -> np.ndarray:
        return to_display(Kind.TEMPERATURE_DIFFERENCE, values, view.system)

    def _height_as_pressure(self, heights: np.ndarray | float) -> np.ndarray:
        """Return where an elevation lies on the upper plot, whose own scale is that of the pressure."""
        low, high = self._elevation_range
        bottom, top = self._pressure_range
        return np.asarray(bottom + (np.asarray(heights) - low) * (top - bottom) / (high - low))

    def _draw(self, view: ProfileView) -> None:
        profile, theme = view.profile, self._theme
        x = to_display(Kind.LENGTH, profile.at_m, view.system)
        self._ticks(view)
        pressure_ends, margin_ends = self._pressure_range, self._margin_range
        for curve, (low, high) in zip(self._bounds, (pressure_ends, margin_ends), strict=True):
            curve.setData(np.repeat(x, 2), np.tile([low, high], x.size), connect="pairs")
        self._grow(len(view.conditions))
        for place, (upper, lower) in enumerate(zip(self.pressures, self.margins, strict=True)):
            shown = place < len(view.conditions) and profile.curves[view.conditions[place]].passes
            upper.setVisible(shown)
            lower.setVisible(shown)
            if shown:
                index = view.conditions[place]
                pen = curve_stroke(view, index).pen(theme)
                upper.setData(x, self._pressure(view, profile.curves[index].pressure_Pa), pen=pen)
                places = to_display(Kind.LENGTH, profile.curves[index].margin_at_m, view.system)
                lower.setData(places, self._margin(view, profile.curves[index].margin_K), pen=pen)
        heights = to_display(Kind.LENGTH, profile.elevation_m, view.system)
        self.elevation.setData(
            x, self._height_as_pressure(heights), pen=Stroke("", Ink.QUIET, dash=ELEVATION_DASH).pen(theme)
        )
        self._draw_limits(view, float(x[-1]))
        self._draw_turns(view)
        self._name_legs(view)
        self._shade()

    def _grow(self, count: int) -> None:
        while len(self.pressures) < count:
            self.pressures.append(self._curve(self.upper))
            self.margins.append(self._curve(self.lower))

    def _ticks(self, view: ProfileView) -> None:
        system = view.system
        for axis, words in (
            (self.upper.getAxis("left"), unit_label(Kind.PRESSURE, system)),
            (self.upper.getAxis("right"), unit_label(Kind.LENGTH, system)),
            (self.lower.getAxis("left"), unit_label(Kind.TEMPERATURE_DIFFERENCE, system)),
            (self.lower.getAxis("bottom"), f"developed length, {unit_label(Kind.LENGTH, system)}"),
        ):
            if axis.labelText != words:
                axis.setLabel(words)
                axis.enableAutoSIPrefix(False)
        for axis, bounds, about in (
            (self.upper.getAxis("left"), self._pressure_range, 5),
            (self.lower.getAxis("left"), self._margin_range, 4),
        ):
            ticks = round_ticks(*bounds, about)
            step = ticks[1] - ticks[0] if len(ticks) > 1 else 1.0
            axis.setTicks([[(value, tick_text(value, step)) for value in ticks], []])
        heights = round_ticks(*self._elevation_range, 4)
        step = heights[1] - heights[0] if len(heights) > 1 else 1.0
        places = self._height_as_pressure(np.array(heights)) if heights else np.array([])
        labels = [(float(at), tick_text(value, step)) for at, value in zip(places, heights, strict=True)]
        self.upper.getAxis("right").setTicks([labels, []])
        self.lower.getAxis("right").setTicks([[], []])

    def _draw_limits(self, view: ProfileView, end: float) -> None:
        ends = np.array([0.0, end])
        self._zero.setData(ends, np.zeros(2), pen=pg.mkPen(self._theme.colour(Ink.INK), width=1))
        self._zero.setVisible(view.asked_K is not None or self._margin_range[0] < 0.0)
        self._asked.setVisible(view.asked_K is not None)
        if view.asked_K is not None:
            asked = float(to_display(Kind.TEMPERATURE_DIFFERENCE, view.asked_K, view.system))
            pen = Stroke("", Ink.INK, 0.8, ASKED_DASH).pen(self._theme)
            self._asked.setData(ends, np.full(2, asked), pen=pen)

    def _draw_turns(self, view: ProfileView) -> None:
        profile, theme = view.profile, self._theme
        found = [(index, profile.curves[index].turns_m) for index in view.conditions if profile.curves[index].passes]
        marks = [(index, at) for index, at in found if at is not None]
        ink = theme.colour(Ink.QUIET if view.stale else Ink.STOP)
        spots = [{"pos": (float(to_display(Kind.LENGTH, at, view.system)), 0.0)} for _, at in marks]
        self.turns.setData(spots, brush=pg.mkBrush(ink), pen=pg.mkPen(theme.colour(Ink.PANEL), width=1))
        while len(self.turn_texts) < len(marks):
            self.turn_texts.append(self._text(self.lower, (0.0, 0.0)))
        length = float(to_display(Kind.LENGTH, profile.length_m, view.system))
        for place, text in enumerate(self.turn_texts):
            text.setVisible(place < len(marks))
            if place < len(marks):
                index, at = marks[place]
                words = turn_words(profile, profile.curves[index], view.system)
                if len(view.conditions) > 1:
                    words += f", {profile.curves[index].title}"
                text.setFont(self._letters.label)
                text.fill = pg.mkBrush(theme.colour(Ink.PANEL, 0.85))
                text.setText(words, color=ink)
                x = float(to_display(Kind.LENGTH, at, view.system))
                # Beside the marker, towards the middle, stacked on the side of the zero line that has more room.
                low, high = self._margin_range
                above = -low < high
                away = 0.15 + 1.05 * place
                text.setAnchor((1.0 if x > 0.5 * length else 0.0, 1.0 + away if above else -away))
                text.setPos(x, 0.0)

    def _name_legs(self, view: ProfileView) -> None:
        letters, profile = self._letters, view.profile
        while len(self.names) < len(profile.legs):
            self.names.append(self._text(self.upper, (0.5, 0.0)))
        width = self.upper.getViewBox().width() or float(self.width())
        for place, text in enumerate(self.names):
            if place >= len(profile.legs):
                text.hide()
                continue
            leg = profile.legs[place]
            chosen = leg.id == self._selected
            font = letters.bold if chosen else letters.label
            share = (leg.end_m - leg.begin_m) / profile.length_m
            text.setVisible(chosen or share * width > letters.width(font, leg.id) + 4)
            text.setFont(font)
            text.setText(leg.id, color=self._theme.colour(Ink.INK if chosen else Ink.QUIET))
            middle = float(to_display(Kind.LENGTH, 0.5 * (leg.begin_m + leg.end_m), view.system))
            text.setPos(middle, self._pressure_range[1])

    # Shading

    def select(self, leg: str | None) -> None:
        """Shade the selected leg."""
        self._selected = leg
        if self._view is not None:
            self._name_legs(self._view)
            self._shade()

    def light(self, at_m: float) -> None:
        """Light the leg at a place and put the hair there; NaN for none."""
        self._cursor_m = at_m
        self._shade()

    def _shade(self) -> None:
        view = self._view
        if view is None:
            return
        legs = view.profile.legs
        chosen = next((leg for leg in legs if leg.id == self._selected), None)
        lit = view.profile.leg_at(self._cursor_m) if self._cursor_m == self._cursor_m else None
        for bands, leg in ((self.chosen, chosen), (self.lit, lit if lit is not chosen else None)):
            for band in bands:
                band.setVisible(leg is not None)
                if leg is not None:
                    ends = to_display(Kind.LENGTH, [leg.begin_m, leg.end_m], view.system)
                    band.setRegion((float(ends[0]), float(ends[1])))
        x = float(to_display(Kind.LENGTH, self._cursor_m, view.system)) if lit is not None else float("nan")
        for hair, (low, high) in zip(self._hairs, (self._pressure_range, self._margin_range), strict=True):
            hair.setVisible(lit is not None)
            if lit is not None:
                hair.setData(np.array([x, x]), np.array([low, high]))

    # Hands

    def place_at(self, at: QPointF) -> float:
        """Return the place along the line at a point of the scene, [m]; NaN outside the plots."""
        if self._view is None:
            return float("nan")
        for plot in (self.upper, self.lower):
            box = plot.getViewBox()
            if box.sceneBoundingRect().contains(at):
                x = float(box.mapSceneToView(at).x())
                unit = float(to_display(Kind.LENGTH, 1.0, self._view.system))
                return min(max(0.0, x / unit), self._view.profile.length_m)
        return float("nan")

    def scene_point(self, at_m: float) -> QPointF:
        """Return a point of the scene at a place along the line, in the middle of the upper plot."""
        view = self._view
        x = at_m if view is None else float(to_display(Kind.LENGTH, at_m, view.system))
        low, high = self._pressure_range
        return self.upper.getViewBox().mapViewToScene(QPointF(x, 0.5 * (low + high)))

    def _moved(self, at: QPointF) -> None:
        self.hovered.emit(self.place_at(at))

    def _clicked(self, event: object) -> None:
        at_m = self.place_at(event.scenePos())  # type: ignore[attr-defined]  # pyqtgraph's own kind of event
        self._take(at_m)

    def _take(self, at_m: float) -> None:
        leg = self._view.profile.leg_at(at_m) if self._view is not None and at_m == at_m else None
        if leg is not None:
            self.taken.emit(leg.id)

    def leaveEvent(self, event: QEvent) -> None:
        """Let go of the lit leg."""
        self.hovered.emit(float("nan"))
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and Right walk the nodes, Enter takes the leg, Escape lets go."""
        view = self._view
        if view is None or event.key() not in (
            Qt.Key.Key_Left,
            Qt.Key.Key_Right,
            Qt.Key.Key_Return,
            Qt.Key.Key_Enter,
            Qt.Key.Key_Escape,
        ):
            super().keyPressEvent(event)
            return
        nodes, here = view.profile.at_m, self._cursor_m
        if event.key() == Qt.Key.Key_Escape:
            self.hovered.emit(float("nan"))
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._take(here)
        elif here != here:
            self.hovered.emit(float(nodes[0] if event.key() == Qt.Key.Key_Right else nodes[-1]))
        elif event.key() == Qt.Key.Key_Right:
            self.hovered.emit(float(next((at for at in nodes if at > here + 1e-9), nodes[-1])))
        else:
            self.hovered.emit(float(next((at for at in nodes[::-1] if at < here - 1e-9), nodes[0])))
        event.accept()
