"""Builds an own blend's table while the window lives on: the work is a process of its own, a thread waits for it."""

from __future__ import annotations

import threading

from PySide6.QtCore import QObject, Signal

from linesizer.domain.blend import Blend
from linesizer.errors import UserError
from linesizer.properties.blend_building import BlendBuild
from linesizer.properties.own_blends import StoredBlend


class BlendBuilder(QObject):
    """One build at a time; its signals come on the thread of the window."""

    progressed = Signal(int, str)
    """How many stages are done, and what is being done now."""

    built = Signal(object)
    """A ``StoredBlend``."""

    failed = Signal(object)
    """A ``UserError``; that of a stopped build too."""

    _arrived = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._build: BlendBuild | None = None
        self._thread: threading.Thread | None = None
        self._arrived.connect(self._take)

    @property
    def busy(self) -> bool:
        """Whether a build is under way."""
        return self._build is not None

    def start(self, name: str, blend: Blend) -> None:
        """Begin to build; one that is under way is stopped."""
        self.close()
        self._build = BlendBuild(name, blend)
        self._thread = threading.Thread(target=self._work, args=(self._build,), daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Stop what is under way; ``failed`` says so."""
        if self._build is not None:
            self._build.stop()

    def close(self) -> None:
        """Stop what is under way, and say nothing of it any more."""
        build, thread = self._build, self._thread
        self._build = self._thread = None
        if build is not None:
            build.stop()
        if thread is not None:
            thread.join()

    def _work(self, build: BlendBuild) -> None:
        answer: StoredBlend | BaseException
        try:
            answer = build.run(self.progressed.emit)
        except Exception as error:  # noqa: BLE001  # what is a defect comes out on the thread of the window
            answer = error
        self._arrived.emit((build, answer))

    def _take(self, arrived: tuple[BlendBuild, StoredBlend | BaseException]) -> None:
        build, answer = arrived
        if build is not self._build:
            return
        self._build = None
        if isinstance(answer, UserError):
            self.failed.emit(answer)
        elif isinstance(answer, BaseException):
            raise answer
        else:
            self.built.emit(answer)
