"""What all panels over the result share: the empty state, the note on figures that are not current, the subtitle."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from linesizer.ui.panels.lettering import Lettering
from linesizer.ui.panels.notes import Prose, StaleNote, margins
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px

DRAG_PAUSE_ms = 100
"""Between two refreshes during a drag: nobody reads a table faster, and the hand gets the time."""


class Panel(QWidget):
    """A view of the session.

    ``refresh`` makes it show the session as it is; it is called when the session changes and the panel can be seen, and
    made up for when a hidden panel is shown.  Subclasses put what they show into ``body``.
    """

    title = ""
    help_page = ""

    subtitle_changed = Signal(str)
    """What the panel is about at the moment, for the title of its dock."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.letters = Lettering()
        self.subtitle = ""
        self.setAccessibleName(self.title)
        self._due = True
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(DRAG_PAUSE_ms)
        self._pause.timeout.connect(self._make_up)
        self.stale_note = StaleNote(session)
        self.stale_note.setContentsMargins(*margins())
        self._note_box = QVBoxLayout()
        self._note_box.setContentsMargins(4 * STEP_px, 0, 4 * STEP_px, 0)
        self._note_box.addWidget(self.stale_note)
        self.body = QWidget()
        self.empty = Prose(session)
        empty = QWidget()
        column = QVBoxLayout(empty)
        column.setContentsMargins(4 * STEP_px, 2 * STEP_px, 4 * STEP_px, 2 * STEP_px)
        column.addWidget(self.empty)
        column.addStretch(1)
        self._pages = QStackedWidget()
        self._pages.addWidget(empty)
        self._pages.addWidget(self.body)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(STEP_px)
        whole.addLayout(self._note_box)
        whole.addWidget(self._pages, 1)
        for signal in (session.solved, session.selected, session.units_changed, session.condition_chosen):
            signal.connect(self.refresh_if_seen)
        session.theme.changed.connect(self.theme_changed)

    def refresh(self) -> None:
        """Show the session as it is."""
        raise NotImplementedError

    def theme_changed(self) -> None:
        """Paint in the other colours."""
        self.update()

    def say_empty(self, text: str, subtitle: str = "") -> None:
        """Show a sentence in place of the body."""
        self.empty.say(text)
        self._pages.setCurrentIndex(0)
        self.set_circuit_subtitle(subtitle)

    @property
    def is_empty(self) -> bool:
        """Whether the sentence stands in place of the body."""
        return self._pages.currentIndex() == 0

    @property
    def waiting(self) -> bool:
        """Whether something that the panel shows is still being worked out on another thread."""
        return False

    def show_body(self) -> None:
        """Show the body."""
        self._pages.setCurrentIndex(1)

    def set_subtitle(self, text: str) -> None:
        """Tell the dock what the panel is about."""
        if text != self.subtitle:
            self.subtitle = text
            self.subtitle_changed.emit(text)

    def set_circuit_subtitle(self, text: str) -> None:
        """Tell the dock what the panel is about, the shown circuit first where the job has several."""
        circuit = self.session.shown_circuit
        if circuit is not None and len(self.session.shown_job.circuits) > 1:
            text = ": ".join(part for part in (circuit.title, text) if part)
        self.set_subtitle(text)

    def refresh_if_seen(self) -> None:
        """Refresh now, or when the panel is shown; during a drag, which the sheet must keep up with, now and then."""
        self._due = True
        session = self.session
        paused = session.previewing and session.trouble is None and self._pause.isActive()
        if paused or not self.isVisible():
            return
        if session.previewing and session.current:
            self._pause.start()
        self._due = False
        self.refresh()

    def _make_up(self) -> None:
        if self._due:
            self.refresh_if_seen()

    def showEvent(self, event: QShowEvent) -> None:
        """Make up for what was missed while hidden; the dock was not there when the first subtitle was told."""
        super().showEvent(event)
        if self._due:
            self._due = False
            self.refresh()
        self.subtitle_changed.emit(self.subtitle)

    def changeEvent(self, event: QEvent) -> None:
        """Measure again with another font."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange):
            self.letters = Lettering()
            self.refresh_if_seen()
        super().changeEvent(event)
