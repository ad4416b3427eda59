"""The questions that stop a person, each asked in one place so that a test can answer it."""

from __future__ import annotations

from datetime import datetime
from enum import Enum
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from linesizer.errors import UserError
from linesizer.properties.own_blends import OwnBlends
from linesizer.ui.dialogs.blend_progress import BuildingDialog

JOB_FILTER = "Job files (*.json);;All files (*)"


class Unsaved(Enum):
    """What to do with unsaved work."""

    SAVE = "save"
    DISCARD = "discard"
    STAY = "stay"


class OnDisk(Enum):
    """What to do about a file that someone else changed."""

    READ_AGAIN = "read again"
    KEEP_MINE = "keep mine"


class Lost(Enum):
    """What to do with the work that a crash cut off."""

    RECOVER = "recover"
    DISCARD = "discard"
    LATER = "later"


class Questions:
    """Asks a person; a test puts its own answers in the place of these methods."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def unsaved(self, title: str) -> Unsaved:
        """Ask what to do with unsaved work before it would be left."""
        box = self._box(QMessageBox.Icon.Question, f"Save the changes to {title}?")
        box.setInformativeText("Without saving they are gone.")
        buttons = QMessageBox.StandardButton
        box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
        box.setDefaultButton(buttons.Save)
        answer = box.exec()
        return {buttons.Save: Unsaved.SAVE, buttons.Discard: Unsaved.DISCARD}.get(buttons(answer), Unsaved.STAY)

    def changed_on_disk(self, path: Path, *, modified: bool) -> OnDisk:
        """Ask about a file that someone else changed."""
        box = self._box(QMessageBox.Icon.Question, f"{path.name} was changed by someone else.")
        own = "Your own unsaved changes would be gone." if modified else "Nothing of yours is lost by reading it."
        box.setInformativeText(f"Read the file again? {own}")
        again = box.addButton("Read it again", QMessageBox.ButtonRole.AcceptRole)
        box.addButton("Keep what is open", QMessageBox.ButtonRole.RejectRole)
        box.exec()
        return OnDisk.READ_AGAIN if box.clickedButton() is again else OnDisk.KEEP_MINE

    def overwrite_changed(self, path: Path) -> bool:
        """Ask whether saving may overwrite what someone else wrote."""
        box = self._box(QMessageBox.Icon.Warning, f"{path.name} was changed by someone else since you opened it.")
        box.setInformativeText("Saving here overwrites their work.")
        over = box.addButton("Overwrite it", QMessageBox.ButtonRole.DestructiveRole)
        stay = box.addButton(QMessageBox.StandardButton.Cancel)
        box.setDefaultButton(stay)
        box.exec()
        return box.clickedButton() is over

    def lost_work(self, name: str, reached: datetime, acts: int) -> Lost:
        """Ask about the work that a crash cut off."""
        box = self._box(QMessageBox.Icon.Question, f"Unsaved work on {name} was cut off.")
        count = "1 act" if acts == 1 else f"{acts} acts"
        box.setInformativeText(f"It was last kept on {reached.astimezone():%d %B %Y at %H:%M} after {count}.")
        recover = box.addButton("Bring it back", QMessageBox.ButtonRole.AcceptRole)
        discard = box.addButton("Throw it away", QMessageBox.ButtonRole.DestructiveRole)
        later = box.addButton("Ask again next time", QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(recover)
        box.setEscapeButton(later)
        box.exec()
        clicked = box.clickedButton()
        return Lost.RECOVER if clicked is recover else Lost.DISCARD if clicked is discard else Lost.LATER

    def open_path(self, folder: Path | None) -> Path | None:
        """Ask which file to open."""
        name, _ = QFileDialog.getOpenFileName(self._parent, "Open a job", str(folder or ""), JOB_FILTER)
        return Path(name) if name else None

    def save_path(self, suggestion: Path) -> Path | None:
        """Ask under which name to save; the toolkit asks before a file is replaced."""
        name, _ = QFileDialog.getSaveFileName(self._parent, "Save the job as", str(suggestion), JOB_FILTER)
        if not name:
            return None
        path = Path(name)
        return path if path.suffix else path.with_suffix(".json")

    def build(self, blends: OwnBlends) -> bool:
        """Build the tables of own blends that a job carries; False where that was stopped or cannot be."""
        dialog = BuildingDialog(blends, self._parent)
        built = dialog.exec() == BuildingDialog.DialogCode.Accepted
        error = dialog.error
        dialog.deleteLater()
        if error is not None:
            self.tell(error)
        return built

    def tell(self, error: UserError) -> None:
        """Show what cannot be done and the next step."""
        box = self._box(QMessageBox.Icon.Warning, error.what)
        box.setInformativeText(f"{error.why}\n\n{error.remedy}")
        box.exec()

    def _box(self, icon: QMessageBox.Icon, text: str) -> QMessageBox:
        box = QMessageBox(self._parent)
        box.setIcon(icon)
        box.setWindowTitle("linesizer")
        box.setText(text)
        return box
