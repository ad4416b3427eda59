"""A sheet with a hand on it: where things lie, drags and clicks with real events."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from linesizer.domain.geometry import LegGeometry
from linesizer.domain.route import Line, Point
from linesizer.drawing.display_list import Layer, Polyline, Target
from linesizer.drawing.projection import Spot
from linesizer.output.palette import ThemeName
from linesizer.ui.selection import Selection
from linesizer.ui.sheet.found import found
from linesizer.ui.sheet.sheet import Sheet
from linesizer.units import System
from tests.ui.opened import ABOVE, line_of, session_over, shown

C = "c1"
LEFT = Qt.MouseButton.LeftButton
NO_KEY, SHIFT, CTRL, ALT = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
)


def sheet_over(
    qtbot: QtBot,
    sample: str | None = ABOVE,
    units: System = "si",
    look: ThemeName = "light",
    scale: float | None = 40.0,
) -> Sheet:
    """Show a sheet of 1,000 x 760 over a sample, at full size unless another scale is asked for; None fits it."""
    sheet = shown(qtbot, Sheet(session_over(sample, units, look)), 1000, 760)
    sheet.activateWindow()
    sheet.setFocus()
    qtbot.waitUntil(sheet.hasFocus)
    if scale is not None:
        sheet.take_sight(sheet.sight.zoomed(scale / sheet.sight.scale, 500.0, 360.0))
        settle(qtbot, sheet)
    return sheet


def settle(qtbot: QtBot, sheet: Sheet) -> None:
    """Wait until the labels have been laid out after a zoom."""
    qtbot.waitUntil(lambda: not sheet.settling)
    QApplication.processEvents()


def leg(name: str, line: str = "dis") -> Target:
    return Target(C, line, name)


def node(name: str, line: str = "dis") -> Target:
    return Target(C, line, node=name)


def pos(sheet: Sheet, spot: Spot) -> QPoint:
    """Return the widget's place of a place of the drawing."""
    return QPoint(round(spot[0] + sheet.sight.dx), round(spot[1] + sheet.sight.dy))


def node_pos(sheet: Sheet, name: str, line: str = "dis") -> QPoint:
    return pos(sheet, sheet.scene().nodes[node(name, line)])


def leg_pos(sheet: Sheet, name: str, line: str = "dis", share: float = 0.5) -> QPoint:
    """Return a place on a leg's pipe."""
    geometry = geometry_of(sheet, name, line)
    dx, dy = sheet.scene().shifts[Target(C, line)]
    at = tuple(a + share * (b - a) for a, b in zip(geometry.start_m, geometry.end_m, strict=True))
    x, y = sheet.sight.projection.spot((at[0], at[1], at[2]))
    return pos(sheet, (x + dx, y + dy))


def geometry_of(sheet: Sheet, name: str, line: str = "dis") -> LegGeometry:
    geometry = found(sheet.session.shown_job, Selection(C, line, name)).geometry
    assert geometry is not None
    return geometry


def places(sheet: Sheet, line: str = "dis") -> dict[str, Point]:
    """Return where the nodes of a line are in the document, [m]."""
    return {each.id: each.at_m for each in line_of(sheet.session, line).nodes}


def shown_line(sheet: Sheet, name: str = "dis") -> Line:
    """Return a line as it is shown, a preview's during a drag."""
    return next(each for each in sheet.session.shown_job.circuits[0].lines if each.id == name)


def way(sheet: Sheet, direction: Point, length_m: float) -> QPoint:
    """Return a run in space as a step on the widget."""
    x, y = sheet.sight.projection.vector(direction)
    scale = sheet.sight.scale
    return QPoint(round(x * length_m * scale), round(y * length_m * scale))


def pull_out(widget: QWidget, start: QPoint, by: QPoint, held: Qt.KeyboardModifier = NO_KEY) -> None:
    """Press the left button and move, without letting go."""
    QTest.mousePress(widget, LEFT, held, start)
    for part in (0.2, 0.6, 1.0):
        move_to(widget, start + QPoint(round(by.x() * part), round(by.y() * part)), held, LEFT)


def move_to(
    widget: QWidget,
    at: QPoint,
    held: Qt.KeyboardModifier = NO_KEY,
    button: Qt.MouseButton = Qt.MouseButton.NoButton,
) -> None:
    """Move the pointer; QTest's own move carries no keys."""
    place, everywhere = QPointF(at), QPointF(widget.mapToGlobal(at))
    event = QMouseEvent(QEvent.Type.MouseMove, place, everywhere, Qt.MouseButton.NoButton, button, held)
    QApplication.sendEvent(widget, event)


def let_go(widget: QWidget, at: QPoint, held: Qt.KeyboardModifier = NO_KEY) -> None:
    QTest.mouseRelease(widget, LEFT, held, at)


def drag(widget: QWidget, start: QPoint, by: QPoint, held: Qt.KeyboardModifier = NO_KEY) -> None:
    """Press, move, let go."""
    pull_out(widget, start, by, held)
    let_go(widget, start + by, held)


def key(sheet: Sheet, which: Qt.Key, held: Qt.KeyboardModifier = NO_KEY) -> None:
    """Press a key where the focus is meant to be."""
    QTest.keyClick(sheet, which, held)


def type_run(sheet: Sheet, text: str) -> None:
    """Type into the line at the foot, and enter it."""
    QTest.keyClicks(sheet.typed_line.field, text)
    QTest.keyClick(sheet.typed_line.field, Qt.Key.Key_Return)


def pipe_of(sheet: Sheet, target: Target) -> Polyline:
    """Return the first stroke of a leg's pipe."""
    return next(
        item
        for item in sheet.scene().display.items
        if isinstance(item, Polyline) and item.target == target and item.layer in (Layer.PIPE, Layer.HIDDEN_PIPE)
    )
