"""What a frame of the sheet costs: python tests/benchmarks/bench_sheet.py.

Medians and least times in milliseconds, over a job of 60 legs painted into a picture of 1,000 x 700; the machine is
printed with them.
"""

from __future__ import annotations

import os
import platform
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QImage, QMouseEvent
from PySide6.QtWidgets import QApplication

from linesizer.document.commands.node import MoveNode
from linesizer.document.direction import Axis
from linesizer.document.document import Document
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Job
from linesizer.drawing.display_list import Target
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.sheet.sheet import Sheet
from linesizer.ui.theme import Theme
from tests.document.jobs import EXAMPLE
from tests.drawing.invented_jobs import long_job

LEGS, TIMES = 60, 40


def sixty_legs() -> Job:
    """Return the document tests' job with the drawing tests' long lines in it."""
    circuit = EXAMPLE.circuits[0]
    long = long_job(LEGS)
    equipment = long.equipment or (Equipment("unit", Role.UNIT), Equipment("cond", Role.CONDENSER))
    return replace(EXAMPLE, circuits=(replace(circuit, equipment=equipment, lines=long.lines),))


def median_ms(act: Callable[[int], object]) -> tuple[float, float]:
    """Return the median and the least time of an act, [ms]."""
    act(0)
    spent = []
    for turn in range(1, TIMES):
        start = time.perf_counter_ns()
        act(turn)
        spent.append((time.perf_counter_ns() - start) / 1e6)
    return statistics.median(spent), min(spent)


def main() -> None:
    app = QApplication.instance() or QApplication([])
    document = Document()
    document.recover(sixty_legs(), None)
    session = Session(document, Theme("light"))
    sheet = Sheet(session)
    sheet.resize(1000, 700)
    sheet.show()
    app.processEvents()
    picture = QImage(sheet.size(), QImage.Format.Format_ARGB32_Premultiplied)
    circuit = session.job.circuits[0]
    line = circuit.lines[0]
    middle = line.nodes[len(line.nodes) // 2].id

    def paint(_: int) -> None:
        sheet.render(picture)

    def zoomed(turn: int) -> None:
        sheet.take_sight(replace(sheet.sight, scale=24.0 + 0.01 * turn))
        sheet.render(picture)

    def rebuild(turn: int) -> None:
        # Another scale each time, and nothing to keep: the whole drawing is laid out from nothing.
        sheet.sight = replace(sheet.sight, scale=24.0 + 0.01 * turn)
        sheet.render(picture)

    def dragged(turn: int) -> None:
        # What follows a drag beside the solving: the drawing with labels that stay, and its picture.
        session._preview = MoveNode(circuit.id, line.id, middle, Axis.UP, 0.01 * (1 + turn)).apply(session.job)
        sheet.render(picture)

    def chosen(turn: int) -> None:
        session.select(Selection(circuit.id, line.id, line.legs[turn % len(line.legs)].id))
        sheet.render(picture)

    def hovered(turn: int) -> None:
        at = QPointF(120.0 + 17.0 * turn % 800.0, 140.0 + 11.0 * turn % 480.0)
        none = Qt.MouseButton.NoButton
        event = QMouseEvent(QEvent.Type.MouseMove, at, at, none, none, Qt.KeyboardModifier.NoModifier)
        sheet.mouseMoveEvent(event)

    say = sys.stdout.write
    say(f"{platform.machine()}, Python {platform.python_version()}; {sum(len(each.legs) for each in circuit.lines)}")
    say(f" legs, {len(sheet.scene().display.items)} primitives\n")
    for name, act in (
        ("paint from what was made", paint),
        ("make all anew and paint", rebuild),
        ("a notch of a zoom", zoomed),
        ("a step of a drag without its solving", dragged),
        ("select a leg and paint", chosen),
        ("find what lies under the pointer", hovered),
    ):
        middle_ms, least_ms = median_ms(act)
        say(f"{middle_ms:8.2f} ms  (least {least_ms:6.2f})  {name}\n")
    session.end_preview()
    assert Target(circuit.id, line.id, node=middle) in sheet.scene().nodes
    session.close()


if __name__ == "__main__":
    main()
