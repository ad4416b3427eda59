"""The line across the top: which job this is, whether it is saved, and the two systems of units."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from linesizer.drawing.display_list import Ink
from linesizer.ui.session import Session
from linesizer.ui.theme import FIGURE_px, PROSE_px, STEP_px, font
from linesizer.units import System

UNIT_WORDS: tuple[tuple[System, str, str], ...] = (
    ("si", "SI", "Show metres, kilograms, bar and degrees Celsius"),
    ("ip", "inch-pound", "Show feet, pounds, psi and degrees Fahrenheit"),
)


class Header(QWidget):
    """Title, number and revision, saved or not, calculating or not; the units' switch at the right."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._title, self._about, self._state = QLabel(), QLabel(), QLabel()
        self._title.setFont(font(FIGURE_px + 2, bold=True))
        self._about.setFont(font(PROSE_px))
        self._state.setFont(font(PROSE_px))
        for label, name in ((self._title, "Job"), (self._about, "About the job"), (self._state, "State of the job")):
            label.setAccessibleName(name)
            label.setTextFormat(Qt.TextFormat.PlainText)
        row = QHBoxLayout(self)
        row.setContentsMargins(4 * STEP_px, 2 * STEP_px, 4 * STEP_px, 2 * STEP_px)
        row.setSpacing(3 * STEP_px)
        for label in (self._title, self._about, self._state):
            row.addWidget(label)
        row.addStretch(1)
        self._units = QButtonGroup(self)
        self._units.setExclusive(True)
        self._buttons: dict[System, QPushButton] = {}
        for system, word, tip in UNIT_WORDS:
            button = QPushButton(word)
            button.setCheckable(True)
            button.setFlat(True)
            button.setFont(font(PROSE_px))
            button.setAccessibleName(f"Units: {word}")
            button.setToolTip(tip)
            button.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
            self._units.addButton(button)
            self._buttons[system] = button
            row.addWidget(button)
        self._units.buttonClicked.connect(self._chosen)
        session.shown.connect(self.refresh)
        session.changed.connect(self.refresh)
        session.solved.connect(self.refresh)
        session.busy.connect(self._busy)
        session.units_changed.connect(self.refresh)
        session.theme.changed.connect(self._dress)
        self._working = False
        self._dressed: System | None = None
        self.refresh()
        self._dress()

    def refresh(self) -> None:
        """Show the session as it is."""
        job = self._session.shown_job
        info = job.info
        self._title.setText(info.title or "Untitled job")
        about = ["remote condenser lines"]
        about += [text for text in (info.number, f"rev {info.revision}" if info.revision else "") if text]
        self._about.setText("   ".join(about))
        states = ["not saved" if self._session.document.modified else "saved" if self._session.document.path else ""]
        if self._working:
            states.append("calculating")
        elif self._session.trouble is not None:
            states.append("figures not current")
        self._state.setText("   ".join(state for state in states if state))
        if self._dressed is not None and self._dressed != self._session.units:
            self._dress()

    def _dress(self) -> None:
        """Colour the words; a style sheet costs too much for every step of a drag."""
        self._dressed = self._session.units
        quiet, ink = (self._session.theme.colour(token).name() for token in (Ink.QUIET, Ink.INK))
        face, panel = (self._session.theme.colour(token).name() for token in (Ink.FACE, Ink.PANEL))
        self._about.setStyleSheet(f"color: {quiet}")
        self._state.setStyleSheet(f"color: {quiet}")
        for system, button in self._buttons.items():
            chosen = system == self._session.units
            button.setChecked(chosen)
            ground, text = (ink, panel) if chosen else (face, ink)
            button.setStyleSheet(
                f"QPushButton {{ background: {ground}; color: {text}; border: 1px solid {ground}; border-radius: 10px;"
                f" padding: {STEP_px}px {4 * STEP_px}px; }}"
                f"QPushButton:focus {{ border: 1px solid {self._session.theme.colour(Ink.LIQUID).name()}; }}"
            )

    def _chosen(self) -> None:
        for system, button in self._buttons.items():
            if button.isChecked():
                self._session.use_units(system)

    def _busy(self, working: bool) -> None:
        self._working = working
        self.refresh()
