"""How findings name several things, and parts."""

from __future__ import annotations

from collections.abc import Sequence

from linesizer.catalog.parts import part_kind
from linesizer.domain.part import Part


def listed(names: Sequence[str]) -> str:
    """Return names as a sentence has them: ``a``, ``a and b``, ``a, b and c``."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def named_part(part: Part) -> str:
    """Return a part as a person knows it: ``ball valve p1``."""
    return f"{part_kind(part.kind).label.lower()} {part.id}"
