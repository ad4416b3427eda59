"""What a refrigerant is made of, as input to the generator."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from linesizer.domain.blend import NAME, NAME_WORDS, SUM_WITHIN
from linesizer.errors import UserError
from linesizer.properties.components import COMPONENTS

Equation = Literal["pure", "pseudo-pure", "mixture"]


BELOW_CRITICAL_K = 3.0


@dataclass(frozen=True, slots=True)
class Recipe:
    """One refrigerant to be tabulated.

    ``mass_fractions`` sum to 1; ``equation`` says which of CoolProp's equations is used: that of a pure fluid, one
    fitted to the blend as if it were one fluid, or the Helmholtz mixture model; ``vapour_span_K`` is how far above
    the dew point the vapour table reaches, ``below_critical_K`` how far below the critical point saturation ends.
    """

    name: str
    equation: Equation
    mass_fractions: tuple[tuple[str, float], ...]
    vapour_span_K: float = 120.0
    below_critical_K: float = BELOW_CRITICAL_K


def _pure(name: str, vapour_span_K: float = 120.0) -> Recipe:
    return Recipe(name, "pure", ((name, 1.0),), vapour_span_K)


def blend(name: str, mass_fractions: Mapping[str, float]) -> Recipe:
    """Return the recipe of a blend, by mass fractions.

    Raises
    ------
    UserError
        PROP-11 if the name cannot be that of a file, a component is not known, a share is not above 0, or the shares
        do not sum to 1 within 1e-6.
    """
    if not NAME.fullmatch(name):
        raise UserError(
            "PROP-11",
            what=f"The blend {name[:60]!r} cannot be tabulated.",
            why="Its name becomes a file's name.",
            remedy=f"Give it a name of {NAME_WORDS}.",
        )
    for component, share in mass_fractions.items():
        if component not in COMPONENTS:
            raise UserError(
                "PROP-11",
                what=f"The blend {name} cannot be tabulated.",
                why=f"Its component {component} is not one of {', '.join(COMPONENTS)}.",
                remedy="Correct the component's name, or leave it out.",
            )
        if not 0.0 < share <= 1.0:
            raise UserError(
                "PROP-11",
                what=f"The blend {name} cannot be tabulated.",
                why=f"The mass fraction of {component} is {share:g}; it has to be above 0 and at most 1.",
                remedy="Correct the mass fraction, or leave the component out.",
            )
    total = sum(mass_fractions.values())
    if not abs(total - 1.0) <= SUM_WITHIN:
        raise UserError(
            "PROP-11",
            what=f"The blend {name} cannot be tabulated.",
            why=f"Its mass fractions sum to {total:g}; they have to sum to 1.",
            remedy="Correct the mass fractions.",
        )
    if len(mass_fractions) == 1:
        return Recipe(name, "pure", tuple(mass_fractions.items()))
    return Recipe(name, "mixture", tuple(mass_fractions.items()))


def _pseudo_pure(name: str, mass_fractions: Mapping[str, float]) -> Recipe:
    return Recipe(name, "pseudo-pure", tuple(mass_fractions.items()))


_ALL = (
    _pure("R22"),
    _pure("R134a"),
    _pseudo_pure("R404A", {"R125": 0.44, "R143a": 0.52, "R134a": 0.04}),
    blend("R407A", {"R32": 0.20, "R125": 0.40, "R134a": 0.40}),
    _pseudo_pure("R407C", {"R32": 0.23, "R125": 0.25, "R134a": 0.52}),
    blend("R407F", {"R32": 0.30, "R125": 0.30, "R134a": 0.40}),
    _pseudo_pure("R410A", {"R32": 0.50, "R125": 0.50}),
    _pseudo_pure("R507A", {"R125": 0.50, "R143a": 0.50}),
    _pure("R32"),
    _pure("R1234yf"),
    _pure("R1234ze(E)"),
    blend("R513A", {"R1234yf": 0.56, "R134a": 0.44}),
    blend("R515B", {"R1234ze(E)": 0.911, "R227ea": 0.089}),
    blend("R450A", {"R134a": 0.42, "R1234ze(E)": 0.58}),
    blend("R448A", {"R32": 0.26, "R125": 0.26, "R134a": 0.21, "R1234yf": 0.20, "R1234ze(E)": 0.07}),
    blend("R449A", {"R32": 0.243, "R125": 0.247, "R134a": 0.257, "R1234yf": 0.253}),
    blend("R452A", {"R32": 0.11, "R125": 0.59, "R1234yf": 0.30}),
    blend("R452B", {"R32": 0.67, "R125": 0.07, "R1234yf": 0.26}),
    blend("R454A", {"R32": 0.35, "R1234yf": 0.65}),
    blend("R454B", {"R32": 0.689, "R1234yf": 0.311}),
    blend("R454C", {"R32": 0.215, "R1234yf": 0.785}),
    blend("R455A", {"R744": 0.03, "R32": 0.215, "R1234yf": 0.755}),
    _pure("R290"),
    _pure("R1270"),
    _pure("R600a"),
    _pure("R717", vapour_span_K=200.0),
    _pure("R744"),
)

RECIPES: Mapping[str, Recipe] = {recipe.name: recipe for recipe in _ALL}
"""The shipped refrigerants; compositions by mass as in ANSI/ASHRAE 34 (from memory; equal to CoolProp's predefined
mixtures to six digits, and R515B as given by its makers)."""
