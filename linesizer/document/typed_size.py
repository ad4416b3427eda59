"""What a person types as the size of a leg: one size, or the two tubes of a double riser, ``7/8 + 1-3/8, 400 mm``."""

from __future__ import annotations

import re
from dataclasses import replace

from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.route import DoubleRiser
from linesizer.errors import UserError
from linesizer.units import Kind, System, display_with_unit, parse

USUAL_SEAL_m = 0.3
"""The seal that a double riser begins with; its findings say when it is too low."""

ACCEPTED = "7/8 + 1-3/8, or with the height of the trap's seal 7/8 + 1-3/8, 400 mm"

# No size has a comma in it, so the first one behind the plus begins the seal, which may have a decimal comma.
_PARTS = re.compile(r"(?P<small>[^+,;]+)\+(?P<large>[^+,;]+)(?:[,;](?P<seal>.*))?", re.DOTALL)
_WORD = re.compile(r"^\s*seal\b", re.IGNORECASE)


def typed_double_riser(
    text: str, tube: str, system: System, now: DoubleRiser | None = None, *, named: str = "double riser"
) -> DoubleRiser | None:
    """Return the double riser that a person typed, None where the text is no pair of sizes.

    The smaller bore becomes the small tube, whichever stands first.  A seal that is not typed, and everything else,
    stays as it is now.

    Parameters
    ----------
    text : str
        What was typed.
    tube : str
        The catalogue that the sizes come from.
    system : {"si", "ip"}
        What a bare number means: mm, or inches.
    now : DoubleRiser, optional
        What the leg is now.
    named : str
        Whose it is, for the words of an error.

    Raises
    ------
    UserError
        RISER-01 where the pair is not understood, TUBE-02 where the catalogue has no such size, or what ``parse``
        raises for the seal.

    Examples
    --------
    >>> typed_double_riser("1-3/8 + 7/8, 40 cm", "ASTM-B280-drawn", "si")
    DoubleRiser(small='7/8', large='1-3/8', seal_m=0.4, small_parts=None, large_parts=None, extra=())
    """
    if "+" not in text:
        return None
    match = _PARTS.fullmatch(text.strip())
    if match is None:
        raise UserError(
            "RISER-01",
            what=f'The sizes of {named} are not understood: "{text.strip()}".',
            why="A double riser has two sizes with a plus between them.",
            remedy=f"Write {ACCEPTED}.",
        )
    catalogue = tube_catalogue(tube)
    first, second = (catalogue.find(match[part].strip()) for part in ("small", "large"))
    small, large = sorted((first, second), key=lambda row: row.inside_diameter_m)
    seal_m = now.seal_m if now is not None else USUAL_SEAL_m
    seal = _WORD.sub("", match["seal"] or "").strip()
    if seal:
        seal_m = parse(Kind.SEAL, seal, system, named=f"Seal of {named}")
    if now is None:
        return DoubleRiser(small.size, large.size, seal_m)
    return replace(now, small=small.size, large=large.size, seal_m=seal_m)


def double_riser_text(riser: DoubleRiser, system: System) -> str:
    """Return a double riser as it is typed: ``7/8 + 1-3/8, 400 mm``."""
    return f"{riser.small} + {riser.large}, {display_with_unit(Kind.SEAL, riser.seal_m, system)}"
