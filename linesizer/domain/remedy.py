"""Remedies as data: what would cure a finding, for the document to carry out as one step."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from linesizer.domain.route import DoubleRiser


@dataclass(frozen=True, slots=True)
class UseSize:
    """Build these legs of a line in another size."""

    line: str
    legs: tuple[str, ...]
    size: str

    @property
    def label(self) -> str:
        """What the button says."""
        return f"Use {self.size}"


@dataclass(frozen=True, slots=True)
class AskForSubcooling:
    """State so much subcooling at a condition; whether the plant can give it is for a person to say."""

    condition: str
    subcooling_K: float

    @property
    def label(self) -> str:
        """What the button says."""
        return "Set this subcooling"


@dataclass(frozen=True, slots=True)
class UseDoubleRiser:
    """Build a leg as a double riser of two sizes with a seal of some height."""

    line: str
    leg: str
    riser: DoubleRiser

    @property
    def label(self) -> str:
        """What the button says."""
        return f"Use {self.riser.small} + {self.riser.large}"


Remedy: TypeAlias = UseSize | AskForSubcooling | UseDoubleRiser
