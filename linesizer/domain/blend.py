"""A blend of a person's own: what it is made of, as a job carries it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from linesizer.domain.extra import Extra

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9()_-]{0,39}")
"""A blend's name becomes part of a file's name."""

NAME_WORDS = "up to 40 letters, digits, hyphens, underscores and brackets, a letter or digit first"

SUM_WITHIN = 1e-6
"""The fractions of a composition sum to 1 this closely."""


class BlendBasis(StrEnum):
    """What the fractions of a composition count."""

    MASS = "mass"
    MOLE = "mole"


@dataclass(frozen=True, slots=True)
class Blend:
    """The composition of a blend, and what its owner states about it; None is not known.

    ``composition`` holds components with their fractions, which sum to 1.  ``gwp`` is the global warming potential
    over 100 years, [kg CO2 / kg]; ``rcl_kg_m3`` the refrigerant concentration limit, [kg/m3].
    """

    composition: tuple[tuple[str, float], ...]
    basis: BlendBasis = BlendBasis.MASS
    safety_group: str | None = None
    gwp: float | None = None
    rcl_kg_m3: float | None = None
    extra: Extra = ()

    @property
    def key(self) -> str:
        """Twelve signs that stand for the composition: the same whatever the order of the components."""
        return _key(self.basis.value, self.composition)

    @property
    def words(self) -> str:
        """The composition as the trade writes it: ``R32/125 50/50 by mass``."""
        first, *others = (name for name, _ in self.composition)
        names = "/".join([first, *(name.removeprefix("R") for name in others)])
        return f"{names} {'/'.join(f'{100.0 * share:.6g}' for _, share in self.composition)} by {self.basis.value}"


@cache
def _key(basis: str, composition: tuple[tuple[str, float], ...]) -> str:
    import hashlib  # a few milliseconds that only own blends cost

    text = ",".join([basis, *(f"{name}={float(share)!r}" for name, share in sorted(composition))])
    return hashlib.sha256(text.encode()).hexdigest()[:12]
