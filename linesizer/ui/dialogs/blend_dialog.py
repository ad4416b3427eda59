"""A blend of one's own: what it is made of, its table built and checked, then used in the job."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QGridLayout,
    QLabel,
    QLineEdit,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from linesizer.domain.blend import Blend, BlendBasis
from linesizer.errors import UserError
from linesizer.properties.blend_building import STAGES
from linesizer.properties.blend_entry import own_blend, require_name
from linesizer.properties.components import COMPONENTS
from linesizer.properties.own_blends import StoredBlend
from linesizer.ui.blend_builder import BlendBuilder
from linesizer.units import Kind, System
from linesizer.units.reading import parse

NOT_KNOWN = "not known"
GROUPS = ("A1", "A2L", "A2", "A3", "B1", "B2L", "B2", "B3")
MOST_COMPONENTS = 6
FIRST_ROWS = 2

Use = Callable[[str, Blend], object]
"""Puts a built blend into the job; raises UserError where the job cannot take it."""


class BlendDialog(QDialog):
    """Asks for components with fractions and a name, builds the table, shows what came of it, and hands it over."""

    def __init__(self, use: Use, system: System, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("A blend of your own")
        self._use = use
        self._system = system
        self._built: StoredBlend | None = None
        self._builder = BlendBuilder(self)
        self._builder.progressed.connect(self._progressed)
        self._builder.built.connect(self._take)
        self._builder.failed.connect(self._failed)
        self.name = _entry("Name", "What you call it; it becomes a file's name.")
        self.basis = QComboBox()
        self.basis.setAccessibleName("Fractions by")
        for basis in BlendBasis:
            self.basis.addItem(f"by {basis.value}", basis)
        self.components: list[QComboBox] = []
        self.fractions: list[QLineEdit] = []
        self._grid = QGridLayout()
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 1)
        self.more = QPushButton("Another component")
        self.more.setAutoDefault(False)
        self.more.clicked.connect(self._add_row)
        self.sum = QLabel()
        self.sum.setAccessibleName("Sum of the fractions")
        self.group = QComboBox()
        self.group.setAccessibleName("Safety group")
        for group in (NOT_KNOWN, *GROUPS):
            self.group.addItem(group)
        self.gwp = _entry("GWP", "Global warming potential over 100 years; empty: the mean of its components by mass.")
        self.gwp.setPlaceholderText("from its components")
        self.limit = _entry("Concentration limit", "Refrigerant concentration limit (RCL); empty: not known.")
        self.limit.setPlaceholderText(NOT_KNOWN)
        self.bar = QProgressBar()
        self.bar.setRange(0, STAGES)
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName("How much is built")
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.told.setMinimumHeight(7 * self.fontMetrics().lineSpacing())
        self._buttons = QDialogButtonBox()
        role = QDialogButtonBox.ButtonRole
        self.build = self._buttons.addButton("Build", role.ActionRole)
        self.stop = self._buttons.addButton("Stop", role.ActionRole)
        self.use = self._buttons.addButton("Use it", role.ActionRole)
        close = self._buttons.addButton(QDialogButtonBox.StandardButton.Close)
        for button in (self.build, self.stop, self.use, close):
            button.setAutoDefault(False)
        self.build.clicked.connect(self._build)
        self.stop.clicked.connect(self._builder.stop)
        self.use.clicked.connect(self._hand_over)
        self._buttons.rejected.connect(self.reject)
        self._lay_out()
        for _ in range(FIRST_ROWS):
            self._add_row()
        for field in (self.name, self.gwp, self.limit):
            field.textChanged.connect(self._changed)
        for box in (self.basis, self.group):
            box.currentIndexChanged.connect(self._changed)
        self._changed()
        self.name.setFocus()

    def done(self, result: int) -> None:
        """Stop what is under way before it closes."""
        self._builder.close()
        super().done(result)

    # What is entered

    def blend(self) -> Blend:
        """Return the blend that is entered; UserError where it cannot be."""
        parts = [
            (box.currentText(), self._number(Kind.FRACTION, field))
            for box, field in zip(self.components, self.fractions, strict=True)
            if field.text().strip()
        ]
        return own_blend(
            parts,
            BlendBasis(self.basis.currentData()),
            safety_group=None if self.group.currentIndex() == 0 else self.group.currentText(),
            gwp=self._number(Kind.RATIO, self.gwp) if self.gwp.text().strip() else None,
            rcl_kg_m3=self._number(Kind.CONCENTRATION, self.limit) if self.limit.text().strip() else None,
        )

    def _number(self, kind: Kind, field: QLineEdit) -> float:
        return parse(kind, field.text(), self._system, named=field.accessibleName())

    def _total(self) -> float | None:
        try:
            return sum(self._number(Kind.FRACTION, field) for field in self.fractions if field.text().strip())
        except UserError:
            return None

    def _changed(self) -> None:
        total = self._total()
        self.sum.setText("Sum –" if total is None else f"Sum {total:.6g}")
        self._built = None
        reason = ""
        try:
            require_name(self.name.text().strip(), self.blend())
        except UserError as error:
            reason = f"{error.why} {error.remedy}"
        begun = bool(self.name.text().strip()) and any(field.text().strip() for field in self.fractions)
        self._say(reason if begun else "Enter a name, and components with their fractions: 0.5 or 50 %.")
        self.bar.setValue(0)
        self._enable(ready=not reason)

    # What is done

    def _build(self) -> None:
        self._enable(ready=False, busy=True)
        self._builder.start(self.name.text().strip(), self.blend())

    def _progressed(self, done: int, stage: str) -> None:
        self.bar.setValue(done)
        self._say(f"{stage} …")

    def _take(self, built: StoredBlend) -> None:
        self._built = built
        record, viscosity = built.record, built.table.viscosity_uncertainty
        estimated = " and ".join(" with ".join(pair.components) for pair in record.estimated)
        self.bar.setValue(STAGES)
        self._say(
            f"{built.name} is built and agrees with CoolProp. It is not a shipped refrigerant: uncertainty "
            f"{record.uncertainty_words} ({record.basis_of_uncertainty}), viscosity {100.0 * viscosity.liquid:g} % for "
            f"liquid and {100.0 * viscosity.vapour:g} % for vapour."
            + (f" How {estimated} act on each other is estimated." if estimated else "")
        )
        self._enable(ready=True)
        self.use.setFocus()

    def _failed(self, error: UserError) -> None:
        self.bar.setValue(0)
        self._say(f"{error.what} {error.why} {error.remedy}")
        self._enable(ready=True)

    def _hand_over(self) -> None:
        if self._built is None:
            return
        try:
            self._use(self._built.name, self._built.blend)
        except UserError as error:
            self._say(f"{error.what} {error.why} {error.remedy}")
            return
        self.accept()

    # How it looks

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow("Name", self.name)
        form.addRow("Fractions", self.basis)
        stated = QFormLayout()
        stated.addRow("Safety group", self.group)
        stated.addRow("GWP", self.gwp)
        stated.addRow("Concentration limit", self.limit)
        column = QVBoxLayout(self)
        column.addLayout(form)
        column.addLayout(self._grid)
        column.addLayout(stated)
        column.addWidget(self.bar)
        column.addWidget(self.told, 1)
        column.addWidget(self._buttons)
        self.resize(480, 460)

    def _add_row(self) -> None:
        number = len(self.components) + 1
        box = QComboBox()
        box.setAccessibleName(f"Component {number}")
        box.addItems(list(COMPONENTS))
        box.setCurrentIndex((number - 1) % len(COMPONENTS))
        field = _entry(f"Fraction {number}", "Its part of the whole: 0.5 or 50 %. Empty: it is left out.")
        box.currentIndexChanged.connect(self._changed)
        field.textChanged.connect(self._changed)
        self.components.append(box)
        self.fractions.append(field)
        self._grid.removeWidget(self.more)
        self._grid.removeWidget(self.sum)
        self._grid.addWidget(box, number, 0)
        self._grid.addWidget(field, number, 1)
        self._grid.addWidget(self.more, number + 1, 0)
        self._grid.addWidget(self.sum, number + 1, 1)
        before: QWidget = self.basis
        for widget in (*(each for row in zip(self.components, self.fractions, strict=True) for each in row), self.more):
            QWidget.setTabOrder(before, widget)
            before = widget
        QWidget.setTabOrder(before, self.group)
        self.more.setEnabled(number < MOST_COMPONENTS)

    def _enable(self, *, ready: bool, busy: bool = False) -> None:
        self.build.setEnabled(ready and self._built is None)
        self.stop.setEnabled(busy)
        self.use.setEnabled(self._built is not None)
        for widget in (self.name, self.basis, *self.components, *self.fractions, self.group, self.gwp, self.limit):
            widget.setEnabled(not busy)
        self.more.setEnabled(not busy and len(self.components) < MOST_COMPONENTS)

    def _say(self, text: str) -> None:
        self.told.setText(text)


def _entry(name: str, tip: str) -> QLineEdit:
    field = QLineEdit()
    field.setAccessibleName(name)
    field.setToolTip(tip)
    return field


def ask_for_blend(use: Use, system: System, parent: QWidget) -> BlendDialog:
    """Open the dialog over a window; does not wait for it."""
    dialog = BlendDialog(use, system, parent)
    dialog.open()
    return dialog
