"""A field for a number without a unit, or in a unit of its own that no other system has."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QWidget

from linesizer.storage.ranges import Range
from linesizer.ui.fields.bounds import ANYTHING
from linesizer.ui.fields.commit import Commit
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.session import Session
from linesizer.units import Kind


class NumberField(QuantityField):
    """A plain number, shown with as many digits as it has; ``unit`` stands behind it as it is."""

    def __init__(
        self,
        session: Session,
        name: str,
        commit: Commit,
        tip: str = "",
        *,
        within: Range = ANYTHING,
        optional: bool = False,
        unit: str = "",
        parent: QWidget | None = None,
    ) -> None:
        self._unit = unit
        super().__init__(session, Kind.RATIO, name, commit, tip, within=within, optional=optional, parent=parent)

    def text_of(self, value: Any) -> str:
        """Return the number with the digits it has, at most six."""
        return "" if value is None else f"{value:.6g}"

    @property
    def shown_unit(self) -> str:
        """The unit of its own."""
        return self._unit
