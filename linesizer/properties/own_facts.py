"""What is known of an own blend beside its properties: what its owner states, and what follows from its parts."""

from __future__ import annotations

from collections.abc import Mapping

from linesizer.domain.blend import Blend
from linesizer.properties.facts import RefrigerantFacts, Sourced

ENTERED = "as entered with the blend"
STATUS = "entered"


def own_facts(
    name: str, blend: Blend, mass_fractions: Mapping[str, float], gwps: Mapping[str, tuple[Sourced[float], str]]
) -> RefrigerantFacts:
    """Return the facts of an own blend.

    Parameters
    ----------
    name : str
        What the person calls it.
    blend : Blend
        What is stated.
    mass_fractions : mapping of str to float
        Composition by mass.
    gwps : mapping of str to (Sourced, str)
        The GWP of every component with its edition.
    """
    gwp, edition = _gwp(blend, mass_fractions, gwps)
    return RefrigerantFacts(
        name=name,
        safety_group=None if blend.safety_group is None else Sourced(blend.safety_group, ENTERED, STATUS),
        mass_fractions=Sourced(dict(mass_fractions), ENTERED, STATUS),
        gwp=gwp,
        gwp_edition=edition,
        rcl_kg_m3=None if blend.rcl_kg_m3 is None else Sourced(blend.rcl_kg_m3, ENTERED, STATUS),
        rcl_ppm=None,
        practical_limit_kg_m3=None,
        tube_materials=None,
        oils=None,
    )


def _gwp(
    blend: Blend, mass_fractions: Mapping[str, float], gwps: Mapping[str, tuple[Sourced[float], str]]
) -> tuple[Sourced[float], str]:
    if blend.gwp is not None:
        return Sourced(blend.gwp, ENTERED, STATUS), ENTERED
    editions = " and ".join(dict.fromkeys(gwps[name][1] for name in mass_fractions))
    value = float(f"{sum(share * gwps[name][0].value for name, share in mass_fractions.items()):.4g}")
    return Sourced(value, f"mean of the components by mass; {editions}", "derived"), editions
