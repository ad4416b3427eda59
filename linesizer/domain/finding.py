"""A finding: what is wrong or worth knowing, where, by how much, and who says so."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from linesizer.domain.remedy import Remedy
from linesizer.units import Kind, System, display, display_with_unit, quantity


class Level(StrEnum):
    """How much a finding weighs: do not build it so, a person must decide, or good to know."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"

    @property
    def weight(self) -> int:
        """3 for a stop, 2 for a warning, 1 for a note."""
        return {Level.STOP: 3, Level.WARN: 2, Level.NOTE: 1}[self]


@dataclass(frozen=True, slots=True)
class Figure:
    """A number inside a finding's words: stored value with what it measures."""

    kind: Kind
    value: float
    bare: bool = False
    """Whether the words show it without its unit."""

    def text(self, system: System) -> str:
        """Return the figure as a person reads it."""
        return (display if self.bare else display_with_unit)(self.kind, self.value, system)


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding at one place, at its worst condition.

    ``words`` are sentences with a ``{name}`` for each of ``figures``, a number or a name; ``value`` and ``limit`` are
    in the stored unit of ``kind``. ``line``, ``leg`` and ``condition`` are ids, None where the finding is about more
    than one.
    """

    code: str
    level: Level
    title: str
    words: str
    circuit: str
    line: str | None = None
    leg: str | None = None
    condition: str | None = None
    kind: Kind | None = None
    value: float | None = None
    limit: float | None = None
    rule: str = ""
    source: str = ""
    figures: tuple[tuple[str, Figure | str], ...] = ()
    remedy: Remedy | None = None

    def message(self, system: System = "si") -> str:
        """Return the finding's sentence in one system of units."""
        return self.words.format_map(
            {name: figure if isinstance(figure, str) else figure.text(system) for name, figure in self.figures}
        )

    @property
    def unit(self) -> str:
        """Unit of ``value`` and ``limit``, empty for a pure number."""
        return "" if self.kind is None else quantity(self.kind).stored
