"""A circuit's refrigerant and, where it is a blend of somebody's own, what that is made of."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pydantic import ValidationError

from linesizer.domain.blend import NAME, NAME_WORDS, SUM_WITHIN, Blend
from linesizer.domain.extra import Json
from linesizer.storage import references
from linesizer.storage.models import BlendModel
from linesizer.storage.places import Fault, Place, number_at, object_at, quoted, text_at
from linesizer.storage.reading import blend_from
from linesizer.storage.wording import choice


def refrigerant_faults(circuit: dict[str, Json], place: Place) -> Iterator[Fault]:
    """Yield what is wrong with the name of a circuit's refrigerant and with its blend."""
    name = text_at(circuit, "refrigerant")
    if circuit.get("blend") is None:
        if name is not None and name not in references.refrigerants():
            yield Fault((*place, "refrigerant"), *_not_shipped(name))
        return
    if name is not None and name in references.refrigerants():
        found = f"{quoted(name)} is a shipped refrigerant, and the circuit states a blend of its own"
        yield Fault((*place, "refrigerant"), found, "another name for the blend; or no blend, to take the shipped one")
    elif name is not None and not NAME.fullmatch(name):
        yield Fault((*place, "refrigerant"), f"{quoted(name)} as the name of an own blend", NAME_WORDS)
    yield from _composition_faults(object_at(circuit, "blend"), (*place, "blend", "composition"))


def circuit_blend(circuit: dict[str, Json]) -> Blend | None:
    """Return the blend that a circuit states, None where it states none or one that cannot be."""
    stated = circuit.get("blend")
    if stated is None or any(_composition_faults(object_at(circuit, "blend"), ())):
        return None
    try:
        return blend_from(BlendModel.model_validate(stated))
    except ValidationError:
        return None


def _not_shipped(name: str) -> tuple[str, str]:
    found, allowed = choice(
        "refrigerant", name, references.refrigerants(), "refrigerants", references.near_refrigerants(name)
    )
    own = references.own_composition(name)
    if own is not None:
        allowed += f"; or, for your own blend of that name, beside it {own}"
    return found, allowed


def _composition_faults(blend: dict[str, Json], place: Place) -> Iterator[Fault]:
    shares = object_at(blend, "composition")
    sound = bool(shares)
    for component in shares:
        share = number_at(shares, component)
        sound &= share is not None and 0.0 < share <= 1.0
        if component not in references.components():
            yield Fault(
                (*place, component), *choice("component", component, references.components(), "components of blends")
            )
    if not sound:
        return  # the models report it
    total = math.fsum(number_at(shares, component) or 0.0 for component in shares)
    if abs(total - 1.0) > SUM_WITHIN:
        yield Fault(place, f"the fractions sum to {total:.9g}", "1, such as 0.5 and 0.5")
