"""A window that draws legs until it is killed: ``python -m tests.journeys.killed_window FILE``.

It prints the number of legs after each act that is done, so that the one who kills it knows what was reached.
"""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtTest import QTest

from linesizer import app
from linesizer.ui.main_window import MainWindow
from tests.journeys.hands import ALT, K, press, type_text


class Drawer:
    """Draws by typing, one leg at every turn of the event loop."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self._turn = 0
        press(window, K.Key_0, ALT)
        for _ in self._legs():
            press(window, K.Key_Tab)

    def act(self) -> None:
        """Draw one leg more and say how many there are."""
        type_text(self._window, ("U 0.25", "E 0.25")[self._turn % 2])
        press(self._window, K.Key_Return)
        press(self._window, K.Key_Escape)
        self._turn += 1
        sys.stdout.write(f"{len(self._legs())}\n")
        sys.stdout.flush()

    def _legs(self) -> tuple[object, ...]:
        return self._window.session.job.circuits[0].lines[0].legs


def main() -> int:
    application, window = app.start(Path(sys.argv[1]))
    window.show()
    window.activateWindow()
    QTest.qWaitForWindowActive(window)
    drawer = Drawer(window)
    timer = QTimer(window)
    timer.timeout.connect(drawer.act)
    timer.start(5)
    return int(application.exec())


if __name__ == "__main__":
    sys.exit(main())
