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
class UseSizes:
    """Build legs of a line each from a size or a double riser of its own, as the sizing proposes."""

    line: str
    sizes: tuple[tuple[str, str | DoubleRiser], ...]

    @property
    def label(self) -> str:
        """What the button says."""
        return "Use these sizes"


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


@dataclass(frozen=True, slots=True)
class AddPart:
    """Put a part on a leg; ``at`` is the fraction of the leg's length from its start."""

    line: str
    leg: str
    kind: str
    at: float

    @property
    def label(self) -> str:
        """What the button says."""
        return f"Add a {self.kind.replace('_', ' ')} to {self.leg}"


@dataclass(frozen=True, slots=True)
class PutFitting:
    """Put a fitting at a node; None takes away what stands there, so that the route's own bend remains."""

    line: str
    node: str
    kind: str | None

    @property
    def label(self) -> str:
        """What the button says."""
        if self.kind is None:
            return f"Use a plain bend at {self.node}"
        return f"Put a {self.kind.replace('_', ' ')} at {self.node}"


@dataclass(frozen=True, slots=True)
class GiveFall:
    """Let legs that are drawn level fall in the direction of flow, [m/m]."""

    line: str
    legs: tuple[str, ...]
    fall: float

    @property
    def label(self) -> str:
        """What the button says."""
        return f"Let {self.legs[0] if len(self.legs) == 1 else 'these legs'} fall"


Remedy: TypeAlias = UseSize | UseSizes | AskForSubcooling | UseDoubleRiser | AddPart | PutFitting | GiveFall
