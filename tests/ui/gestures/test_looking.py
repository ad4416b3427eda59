"""Zoom keeps what lies under the pointer; the paper goes with the hand and comes back on Escape."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QNativeGestureEvent, QPointingDevice, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QGestureEvent, QPinchGesture
from pytestqt.qtbot import QtBot

from linesizer.ui.gestures.zoom import zoom_by_fingers
from linesizer.ui.sheet.sheet import Sheet
from tests.ui.on_sheet import LEFT, NO_KEY, SHIFT, drag, key, let_go, move_to, node_pos, pull_out, sheet_over
from tests.ui.opened import OFFSCREEN

pytestmark = OFFSCREEN


def turn(
    sheet: Sheet, at: QPoint, notches: int, held: Qt.KeyboardModifier = NO_KEY, pixels: QPoint | None = None
) -> None:
    place = QPointF(at)
    event = QWheelEvent(
        place,
        QPointF(sheet.mapToGlobal(at)),
        pixels or QPoint(),
        QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton,
        held,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(sheet, event)


@pytest.mark.parametrize("held", [NO_KEY, Qt.KeyboardModifier.ControlModifier])
def test_the_wheel_zooms_about_the_pointer(qtbot: QtBot, held: Qt.KeyboardModifier) -> None:
    sheet = sheet_over(qtbot)
    at = node_pos(sheet, "n3")
    turn(sheet, at, 2, held)
    assert sheet.sight.scale == pytest.approx(40.0 * 1.44)
    # The node is where it was, to the pixel and the shift of its line beside another.
    assert (node_pos(sheet, "n3") - at).manhattanLength() <= 16
    turn(sheet, at, -2, held)
    assert sheet.sight.scale == pytest.approx(40.0)
    assert node_pos(sheet, "n3") == at


def test_a_touch_pads_pixels_zoom_smoothly(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    turn(sheet, QPoint(500, 380), 0, pixels=QPoint(0, 30))
    assert sheet.sight.scale == pytest.approx(40.0 * 1.2**0.5)


def test_the_zoom_stops_at_its_ends(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    turn(sheet, QPoint(500, 380), 60)
    assert sheet.sight.scale == 160.0
    still = sheet.sight
    turn(sheet, QPoint(100, 100), 1)
    assert sheet.sight == still
    turn(sheet, QPoint(500, 380), -90)
    assert sheet.sight.scale == 2.0


def test_shift_and_the_wheel_moves_sideways(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.sight
    turn(sheet, QPoint(500, 380), 1, SHIFT)
    assert (sheet.sight.scale, sheet.sight.dy) == (before.scale, before.dy)
    assert sheet.sight.dx == before.dx + 120.0


def test_two_fingers_on_a_pad_zoom_about_them(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    at = QPointF(300.0, 300.0)
    spot = sheet.sight.spot(at.x(), at.y())
    event = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture,
        QPointingDevice.primaryPointingDevice(),
        2,
        at,
        at,
        QPointF(sheet.mapToGlobal(at.toPoint())),
        0.25,
        QPointF(),
    )
    QApplication.sendEvent(sheet, event)
    assert sheet.sight.scale == pytest.approx(50.0)
    assert sheet.sight.spot(at.x(), at.y()) == pytest.approx((1.25 * spot[0], 1.25 * spot[1]))


def test_a_pinch_on_a_screen_zooms_about_its_middle(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.move(40, 30)
    at = QPointF(300.0, 200.0)
    spot = sheet.sight.spot(at.x(), at.y())
    pinch = QPinchGesture()
    pinch.setScaleFactor(1.5)
    pinch.setCenterPoint(sheet.mapToGlobal(at))
    assert zoom_by_fingers(sheet, QGestureEvent([pinch]))
    assert sheet.sight.scale == pytest.approx(60.0)
    assert sheet.sight.spot(at.x(), at.y()) == pytest.approx((1.5 * spot[0], 1.5 * spot[1]))
    assert not zoom_by_fingers(sheet, QEvent(QEvent.Type.Show))


@pytest.mark.parametrize("how", ["middle", "space", "empty"])
def test_the_paper_goes_with_the_hand(qtbot: QtBot, how: str) -> None:
    sheet = sheet_over(qtbot)
    before, job = sheet.sight, sheet.session.job
    start, by = (QPoint(900, 300), QPoint(-70, 40)) if how == "empty" else (node_pos(sheet, "n3"), QPoint(-70, 40))
    if how == "middle":
        QTest.mousePress(sheet, Qt.MouseButton.MiddleButton, pos=start)
        move_to(sheet, start + by, button=Qt.MouseButton.MiddleButton)
        QTest.mouseRelease(sheet, Qt.MouseButton.MiddleButton, pos=start + by)
    else:
        if how == "space":
            QTest.keyPress(sheet, Qt.Key.Key_Space)
        drag(sheet, start, by)
        QTest.keyRelease(sheet, Qt.Key.Key_Space)
    assert (sheet.sight.dx - before.dx, sheet.sight.dy - before.dy) == (-70.0, 40.0)
    assert sheet.session.job is job
    assert not sheet.hand.busy
    assert not sheet.hand.space


def test_escape_puts_the_paper_back(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.sight
    pull_out(sheet, QPoint(900, 300), QPoint(-70, 40))
    assert sheet.sight != before
    key(sheet, Qt.Key.Key_Escape)
    assert sheet.sight == before
    let_go(sheet, QPoint(830, 340))


def test_a_click_on_empty_paper_clears_the_selection(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    key(sheet, Qt.Key.Key_Tab)
    assert sheet.session.selection.leg is not None
    QTest.mouseClick(sheet, LEFT, pos=QPoint(900, 300))
    assert sheet.session.selection.leg is None
