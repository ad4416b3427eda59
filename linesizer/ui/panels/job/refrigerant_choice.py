"""The refrigerants that a job may take: those that are shipped, and the person's own blends."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

from linesizer.domain.blend import Blend
from linesizer.domain.circuit import Circuit
from linesizer.properties import library, own_blends
from linesizer.ui.fields.choice import GAP, Choice

OWN = "own blend"


class OwnRefrigerant(NamedTuple):
    """An own blend as a value to choose: its name, and the key of its composition."""

    name: str
    key: str


Chosen: TypeAlias = str | OwnRefrigerant
"""The name of a shipped refrigerant, or an own blend."""


def refrigerant_choices(circuit: Circuit | None = None) -> tuple[Choice, ...]:
    """Return every shipped refrigerant with its safety group and warming potential, then own blends, marked.

    A blend that the circuit carries is among them also where the person's folder has it no more.
    """
    own = {OwnRefrigerant(one.name, one.blend.key): one.blend for one in own_blends.stored()}
    if circuit is not None and circuit.blend is not None:
        own[OwnRefrigerant(circuit.refrigerant, circuit.blend.key)] = circuit.blend
    shipped = (library.facts(name) for name in library.names())
    return (
        *(
            Choice(
                facts.name,
                facts.name,
                f"{facts.safety_group.value if facts.safety_group else '?'}{GAP}GWP {facts.gwp.value:,.0f}",
            )
            for facts in shipped
        ),
        *(Choice(value, value.name, f"{OWN}{GAP}{blend.words}") for value, blend in own.items()),
    )


def named_refrigerant(circuit: Circuit) -> str:
    """Return the name of a circuit's refrigerant, marked where it is an own blend."""
    return circuit.refrigerant if circuit.blend is None else f"{circuit.refrigerant} ({OWN})"


def chosen_refrigerant(refrigerant: str | None, blend: Blend | None) -> Chosen | None:
    """Return the value that stands for a refrigerant among the choices."""
    return refrigerant if refrigerant is None or blend is None else OwnRefrigerant(refrigerant, blend.key)


def name_and_blend(chosen: Chosen | None, circuit: Circuit | None = None) -> tuple[str | None, Blend | None]:
    """Return a refrigerant's name, and what it is made of where it is an own blend."""
    if not isinstance(chosen, OwnRefrigerant):
        return chosen, None
    for one in own_blends.named(chosen.name):
        if (one.name, one.blend.key) == chosen:
            return one.name, one.blend
    return chosen.name, None if circuit is None else circuit.blend


def refrigerant_tip(name: str, blend: Blend | None = None) -> str:
    """Return what is known about a refrigerant, with who says so."""
    facts = library.facts(name, blend)
    gwp = f"GWP {facts.gwp.value:,.0f} over 100 years ({facts.gwp_edition})"
    group = f"{facts.safety_group.value} ({facts.safety_group.source})" if facts.safety_group else "not known"
    head = f"What circulates; everything is calculated from its properties.\n{name}: "
    own = library.load(name, blend).own
    if own is not None:
        return (
            f"{head}a blend of your own, {own.blend.words}, not a shipped refrigerant. Table built on {own.built}; "
            f"uncertainty {own.uncertainty_words}. Safety group {group}, {gwp}."
        )
    oils = f", oils in use with it: {', '.join(facts.oils.value)}" if facts.oils else ""
    return f"{head}safety group {group}, {gwp}{oils}."
