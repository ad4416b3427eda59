"""What the window costs: python tests/benchmarks/bench_window.py [--display].

The time from the start of the process to the window's first paint with a sample open, and its resident memory, each in
processes of their own; then each step of a node's drag in a job of 60 legs, with results and painting, through real
mouse events.  With ``--display`` on the display there is (``xvfb-run -a`` gives one), else into memory.
"""

from __future__ import annotations

import json
import os
import platform
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "samples" / "condenser-above.json"
STARTS, STEPS = 7, 120
FIRST_PAINT_S, RESIDENT_MB, STEP_ms = 1.0, 200.0, 16.0
"""What the window promises."""

BARE = "import sys, time; from PySide6.QtWidgets import QApplication; QApplication([]); print(time.monotonic())"
"""The least that any window of this kind takes: Python, and Qt's own libraries."""


def machine() -> str:
    """Return a description of this machine."""
    model = platform.processor() or platform.machine()
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
        model = next(line.split(":", 1)[1].strip() for line in lines if line.startswith("model name"))
    except (OSError, StopIteration):
        pass
    return f"{model}, {os.cpu_count()} cores, {platform.system()}, Python {platform.python_version()}"


# In a process of its own


def paint_once() -> None:
    """Open the sample as the command does; at the first paint of the window print the time and the memory."""
    from PySide6.QtCore import QEvent, QObject, QTimer

    from linesizer import app

    shown = os.environ.get("QT_QPA_PLATFORM") == "offscreen" or app.display_is_there()
    assert shown, "no display"
    application, window = app.start(SAMPLE)
    told: list[float] = []

    class Watch(QObject):
        def eventFilter(self, watched: QObject, event: QEvent) -> bool:
            if event.type() is QEvent.Type.Paint and not told:
                # The whole window is painted in one go; what is timed is told once that is over.
                told.append(0.0)
                QTimer.singleShot(0, window, tell)
            return False

    def tell() -> None:
        told[0] = time.monotonic()
        QTimer.singleShot(500, window, finish)

    def finish() -> None:
        sys.stdout.write(json.dumps({"at": told[0], "resident_MB": resident_MB()}) + "\n")
        window.close()

    watch = Watch()
    window.sheet.installEventFilter(watch)
    window.show()
    application.exec()


def resident_MB() -> float:
    """Return the memory that is resident now, or the most that ever was where the system does not tell."""
    try:
        status = Path("/proc/self/status").read_text(encoding="utf-8")
        return int(status.split("VmRSS:")[1].split()[0]) / 1024.0
    except (OSError, IndexError):
        import resource

        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def drag_once() -> None:
    """Drag a node of the long line to and fro, and print what each step took, [ms]."""
    import tempfile

    from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
    from PySide6.QtGui import QMouseEvent
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    from linesizer import app
    from linesizer.drawing.display_list import Target
    from linesizer.ui.sheet.pointing import target_at
    from tests.benchmarks.bench_sheet import sixty_legs

    with tempfile.TemporaryDirectory() as folder:
        os.environ["LINESIZER_FOLDER"] = folder
        application, window = app.start(None, "light", "si")
        window.session.document.recover(sixty_legs(), None)
        window.resize(1600, 1000)
        window.show()
        window.activateWindow()
        QTest.qWaitForWindowActive(window)
        QTest.qWait(400)
        sheet, session = window.sheet, window.session
        circuit = session.job.circuits[0]
        line = circuit.lines[0]

        def place(name: str) -> QPoint:
            x, y = sheet.scene().nodes[Target(circuit.id, line.id, node=name)]
            return QPoint(round(x + sheet.sight.dx), round(y + sheet.sight.dy))

        inner = [each.id for each in line.nodes[len(line.nodes) // 2 : -1]]
        free = next(
            name
            for name in inner
            if target_at(sheet.scene(), sheet.sight.spot(place(name).x(), place(name).y()))
            == Target(circuit.id, line.id, node=name)
        )
        start = place(free)
        left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        QTest.mousePress(sheet, left, none, start)
        spent, changed, current = [], [], 0
        for step in range(STEPS):
            at = start + QPoint(0, -12 - 2 * (step % 24))
            event = QMouseEvent(
                QEvent.Type.MouseMove, QPointF(at), QPointF(sheet.mapToGlobal(at)), Qt.MouseButton.NoButton, left, none
            )
            before = session.shown_job
            begin = time.perf_counter_ns()
            QApplication.sendEvent(sheet, event)
            application.processEvents()  # paints
            spent.append((time.perf_counter_ns() - begin) / 1e6)
            if session.shown_job is not before:
                changed.append(spent[-1])
            current += session.current
        assert session.previewing
        QTest.mouseRelease(sheet, left, none, start)
        begin = time.perf_counter_ns()
        application.processEvents()
        released = (time.perf_counter_ns() - begin) / 1e6
        legs = sum(len(each.legs) for each in circuit.lines)
        answer = {"legs": legs, "spent_ms": spent, "changed_ms": changed, "current": current, "released_ms": released}
        sys.stdout.write(json.dumps(answer) + "\n")
        session.document.new()
        window.close()


# From outside


def child(act: str, environment: dict[str, str]) -> tuple[float, dict[str, object]]:
    """Run one measurement in a process of its own; return when it was started and what it told."""
    begin = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks.bench_window", act],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return begin, json.loads(done.stdout.splitlines()[-1])


def main() -> None:
    import tempfile

    display = "--display" in sys.argv
    say = sys.stdout.write
    with tempfile.TemporaryDirectory() as folder:
        # Warm means that Python has compiled the program before, as it has on any second start.
        cache = str(Path(folder) / "compiled")
        environment = {**os.environ, "LINESIZER_FOLDER": folder, "PYTHONPYCACHEPREFIX": cache}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        environment.pop("QT_QPA_PLATFORM", None)
        if not display:
            environment["QT_QPA_PLATFORM"] = "offscreen"
        say(f"{machine()}; {'on a display' if display else 'into memory'}\n")
        child("paint", environment)
        first, bare, resident = [], [], []
        for _ in range(STARTS):
            begin, told = child("paint", environment)
            first.append(float(str(told["at"])) - begin)
            resident.append(float(str(told["resident_MB"])))
            begin = time.monotonic()
            out = subprocess.run(
                [sys.executable, "-c", BARE], env=environment, capture_output=True, text=True, check=True
            )
            bare.append(float(out.stdout) - begin)
        middle = statistics.median(first)
        say(f"{middle:8.2f} s   first paint with a sample open, warm, median of {STARTS} (asked {FIRST_PAINT_S:g} s)\n")
        say(f"{min(first):8.2f} s   the fastest of them\n")
        say(f"{middle / statistics.median(bare):8.1f}     times an empty application of Qt's\n")
        say(f"{statistics.median(resident):8.0f} MB  resident half a second later (asked {RESIDENT_MB:g} MB)\n")
        _, told = child("drag", environment)
        say(
            f"drag of a node, {told['legs']} legs, every move of the mouse solved and painted (asked {STEP_ms:g} ms):\n"
        )
        for words, spent in (("all moves", told["spent_ms"]), ("those that change the job", told["changed_ms"])):
            steps = sorted(spent)  # type: ignore[call-overload]  # a list of numbers
            most = steps[int(0.95 * len(steps))]
            say(f"{statistics.median(steps):8.1f} ms  median of {words}: {len(steps)}; 95 % below {most:.1f} ms\n")
        say(f"{100.0 * float(str(told['current'])) / STEPS:8.0f} %   of the moves painted with their own results\n")
        say(f"{told['released_ms']:8.1f} ms  to lay the labels out once it is let go\n")


if __name__ == "__main__":
    {"paint": paint_once, "drag": drag_once}.get(sys.argv[1] if len(sys.argv) > 1 else "", main)()
