"""Blends of a job that have no table here yet: built one after the other, with a way to stop."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QProgressBar, QVBoxLayout, QWidget

from linesizer.errors import UserError
from linesizer.properties.blend_building import STAGES
from linesizer.properties.own_blends import OwnBlends
from linesizer.ui.blend_builder import BlendBuilder


class BuildingDialog(QDialog):
    """Builds what it is given and closes itself; ``exec`` tells whether all is there, ``error`` what kept it."""

    def __init__(self, blends: OwnBlends, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("A blend of somebody's own")
        self.error: UserError | None = None
        self._waiting = list(blends)
        self._builder = BlendBuilder(self)
        self._builder.progressed.connect(self._show)
        self._builder.built.connect(self._next)
        self._builder.failed.connect(self._failed)
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.bar = QProgressBar()
        self.bar.setRange(0, STAGES * len(blends))
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName("How much is built")
        self.stage = QLabel()
        buttons = QDialogButtonBox()
        self.stop = buttons.addButton("Stop", QDialogButtonBox.ButtonRole.RejectRole)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        for widget in (self.said, self.bar, self.stage, buttons):
            column.addWidget(widget)
        self.resize(460, self.sizeHint().height())
        self._done = 0
        QTimer.singleShot(0, self._begin)

    def reject(self) -> None:
        """Stop, and close."""
        self._builder.close()
        super().reject()

    def _begin(self) -> None:
        name, blend = self._waiting[0]
        self.said.setText(
            f"{name} ({blend.words}) is a blend of somebody's own, not a shipped refrigerant. Your data folder has no "
            "table of it yet; it is built now, which takes some seconds."
        )
        self._builder.start(name, blend)

    def _show(self, done: int, stage: str) -> None:
        self.bar.setValue(STAGES * self._done + done)
        self.stage.setText(f"{stage} …")

    def _next(self, _built: object) -> None:
        self._waiting.pop(0)
        self._done += 1
        if self._waiting:
            self._begin()
        else:
            self.accept()

    def _failed(self, error: UserError) -> None:
        self.error = error
        super().reject()
