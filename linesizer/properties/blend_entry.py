"""What a person types of a blend of their own: read, and refused before anything is built."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Sequence

from linesizer.domain.blend import NAME, NAME_WORDS, SUM_WITHIN, Blend, BlendBasis
from linesizer.errors import UserError
from linesizer.properties import library, own_blends
from linesizer.properties.components import COMPONENTS

EXAMPLE = "R32 0.5, R125 0.5"

_PART = re.compile(r"\s*(\S+?)\s*[\s:=]\s*([0-9.]+(?:[eE][+-]?\d+)?)\s*")


def read_composition(text: str) -> tuple[tuple[str, float], ...]:
    """Return components with their fractions from ``"R32 0.5, R125 0.5"``.

    Raises
    ------
    UserError
        PROP-18 if a part of the text is no component with a number.
    """
    parts = []
    for part in text.replace(";", ",").split(","):
        match = _PART.fullmatch(part)
        share = _number(match[2]) if match else None
        if match is None or share is None:
            raise _refused(
                f"“{part.strip()}” in “{text}” is no component with a fraction.", f"Write components as in “{EXAMPLE}”."
            )
        parts.append((match[1], share))
    return tuple(parts)


def component_named(word: str) -> str | None:
    """Return the component that a word means, whatever its capitals and hyphens; None for none."""
    plain = {_plain(name): name for name in COMPONENTS}
    return plain.get(_plain(word)) or plain.get(f"r{_plain(word)}")


def own_blend(
    parts: Sequence[tuple[str, float]],
    basis: BlendBasis,
    *,
    safety_group: str | None = None,
    gwp: float | None = None,
    rcl_kg_m3: float | None = None,
) -> Blend:
    """Return the blend that is made of components with fractions.

    Raises
    ------
    UserError
        PROP-18 if a component is not known or stands twice, a fraction is not above 0, they do not sum to 1, or what
        is stated beside them cannot be.
    """
    composition: dict[str, float] = {}
    for word, share in parts:
        component = component_named(word)
        if component is None:
            close = difflib.get_close_matches(word.upper(), COMPONENTS, n=2)
            raise _refused(
                f"There is no component “{word}”; there are {', '.join(COMPONENTS)}.",
                f"Did you mean {' or '.join(close)}?" if close else "Take one of these.",
            )
        if component in composition:
            raise _refused(f"{component} stands in it twice.", "Give each component one fraction.")
        if not (math.isfinite(share) and 0.0 < share <= 1.0):
            raise _refused(
                f"The fraction of {component} is {share:g}; it has to be above 0 and at most 1.",
                f"Write it as in “{EXAMPLE}”.",
            )
        composition[component] = share
    total = math.fsum(composition.values())
    if abs(total - 1.0) > SUM_WITHIN:
        raise _refused(f"The fractions sum to {total:.9g}; they have to sum to 1.", "Correct the fractions.")
    if safety_group is not None and not re.fullmatch(r"[AB](1|2L|2|3)", safety_group):
        raise _refused(f"“{safety_group}” is no safety group.", "Take one of A1, A2L, A2, A3, B1, B2L, B2, B3.")
    for value, what, least, most in ((gwp, "GWP", 0.0, 50_000.0), (rcl_kg_m3, "concentration limit", 1e-9, 10.0)):
        if value is not None and not least <= value <= most:
            raise _refused(f"A {what} of {value:g} cannot be.", f"Correct it, or leave the {what} out.")
    return Blend(tuple(composition.items()), basis, safety_group, gwp, rcl_kg_m3)


def require_name(name: str, blend: Blend, *, replace: bool = False) -> None:
    """Check the name of a new blend.

    Parameters
    ----------
    name : str
        What the person calls it.
    blend : Blend
        What it is made of.
    replace : bool
        Whether it may take the place of another composition of that name.

    Raises
    ------
    UserError
        PROP-19 if the name cannot be that of a file, is that of a shipped refrigerant, or of another own blend.
    """
    if not NAME.fullmatch(name):
        raise _name_refused(name, "The name becomes a file's name.", f"Give it {NAME_WORDS}.")
    shipped = next((known for known in library.names() if _plain(known) == _plain(name)), None)
    if shipped is not None:
        raise _name_refused(
            name, f"{shipped} is a shipped refrigerant.", f"Give your blend another name, such as {shipped}-own."
        )
    others = [one for one in own_blends.named(name) if one.blend.key != blend.key or one.name != name]
    if others and not replace:
        raise _name_refused(
            name,
            f"You have a blend {others[0].name} already: {others[0].blend.words}.",
            "Give this one another name, or replace the other (--replace on the command line).",
        )


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _plain(name: str) -> str:
    return "".join(letter for letter in name.casefold() if letter.isalnum())


def _refused(why: str, remedy: str) -> UserError:
    return UserError("PROP-18", what="The blend cannot be built.", why=why, remedy=remedy)


def _name_refused(name: str, why: str, remedy: str) -> UserError:
    return UserError("PROP-19", what=f"A blend of your own cannot be called “{name[:60]}”.", why=why, remedy=remedy)
