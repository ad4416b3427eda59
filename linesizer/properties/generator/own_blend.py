"""The table of a blend of a person's own, built and checked as a shipped one is, with what it may be off by.

How two components act on each other comes from parameters that somebody fitted to measurements of the pair.  For a pair
of halocarbons without any, the combining rule of Lorentz and Berthelot stands in, and the table says so.  For other
pairs it does not: hydrocarbons, ammonia and carbon dioxide differ so much from halocarbons that the rule misses the
pressure of known pairs by half.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from importlib.metadata import version
from itertools import combinations

from CoolProp import CoolProp

from linesizer.domain.blend import Blend, BlendBasis
from linesizer.domain.blend_record import BlendRecord, PairRecord
from linesizer.errors import UserError
from linesizer.properties.components import COMPONENTS
from linesizer.properties.generator.build import build
from linesizer.properties.generator.checks import require_physical
from linesizer.properties.generator.equation import UntrustworthyTableError
from linesizer.properties.generator.generate import CHECKED_STATES
from linesizer.properties.generator.recipe import Recipe, blend
from linesizer.properties.generator.table_file import to_text
from linesizer.properties.generator.verify import require_accurate, verify_table
from linesizer.properties.table import RefrigerantTable

Report = Callable[[str], None]

HALOCARBONS = frozenset(("R22", "R32", "R125", "R134a", "R143a", "R152a", "R227ea", "R1234yf", "R1234ze(E)"))
ESTIMATION_RULE = "Lorentz-Berthelot"

BELOW_CRITICAL_K = (3.0, 6.0, 12.0)
"""Where the saturation lines end, tried in turn: of some mixtures CoolProp finds no equilibrium nearer to the critical
point."""

Uncertainty = tuple[float, float, float]
"""Of saturation pressure, liquid density and vapour density on the saturation lines, as fractions."""

PURE: Uncertainty = (0.005, 0.002, 0.005)
FITTED: dict[str, Uncertainty] = {
    "Lemmon-JPCRD-2004": (0.01, 0.002, 0.005),
    "Bell-JPCRD-2022": (0.01, 0.003, 0.01),
    "Bell-JPCRD-2023": (0.01, 0.003, 0.01),
    "Kunz-JCED-2012": (0.03, 0.005, 0.02),
}
"""From memory of what the papers state, rounded up; named as CoolProp names them."""
OTHER_FIT: Uncertainty = (0.05, 0.01, 0.05)
"""For every other fit; assumed, no source."""
ESTIMATED: Uncertainty = (0.17, 0.04, 0.12)
"""The most by which the rule misses any of the 31 pairs of halocarbons with fitted parameters (mixed one to one by
mole, 0 C, CoolProp 8.0.0: 16.3, 3.7 and 11.3 %), rounded up; a test computes it anew."""

_FITTED_WORDS = "what the papers on the pairs state, from memory and rounded up; the worst pair counts"
_OTHER_WORDS = "assumed for fits of this kind, without a source; the worst pair counts"
_PURE_WORDS = "assumed for reference equations of pure fluids, without a source"
_ESTIMATED_WORDS = "the most by which the same rule misses pairs of halocarbons whose parameters are fitted"


def build_own(name: str, own: Blend, today: str, report: Report) -> str:
    """Return the text of an own blend's table.

    Parameters
    ----------
    name : str
        What the person calls it.
    own : Blend
        What it is made of.
    today : str
        The date to be recorded.
    report : callable
        Told what is being done: a few words, seven times in all.

    Raises
    ------
    UserError
        PROP-11 if the composition cannot be, PROP-12 if no table can be trusted, PROP-13 if nothing is known of how two
        of the components act on each other.
    """
    recipe = blend(name, mass_fractions(own))
    pairs = pair_records(name, tuple(own_name for own_name, _ in own.composition))
    uncertainty, basis = _uncertainty(pairs)
    record = BlendRecord(own, today, _method(recipe, pairs), pairs, *uncertainty, basis)
    for below_K in BELOW_CRITICAL_K[:-1]:
        try:
            return _checked(replace(recipe, below_critical_K=below_K), record, report)
        except UntrustworthyTableError:
            continue
    return _checked(replace(recipe, below_critical_K=BELOW_CRITICAL_K[-1]), record, report)


def _checked(recipe: Recipe, record: BlendRecord, report: Report) -> str:
    try:
        data = build(recipe, report)
        data["own"] = record.as_plain()
        text = to_text(data)
        table = RefrigerantTable(json.loads(text))
        report("order and signs")
        require_physical(table)
        report("comparison with CoolProp")
        require_accurate(recipe.name, verify_table(table, recipe, CHECKED_STATES))
    except (ValueError, ArithmeticError) as error:  # what CoolProp and numpy say when they find no answer
        raise UntrustworthyTableError(recipe.name, f"CoolProp gives no answer ({error})") from error
    return text


def mass_fractions(own: Blend) -> dict[str, float]:
    """Return a blend's composition by mass; components that are not known are left for the recipe to refuse."""
    if own.basis is BlendBasis.MASS or any(name not in COMPONENTS for name, _ in own.composition):
        return dict(own.composition)
    masses = {name: share * CoolProp.PropsSI("molemass", COMPONENTS[name]) for name, share in own.composition}
    # A sum that is not 1 stays what it is, for the recipe to refuse.
    scale = sum(share for _, share in own.composition) / sum(masses.values())
    return {name: float(f"{mass * scale:.12g}") for name, mass in masses.items()}


def pair_records(name: str, components: tuple[str, ...]) -> tuple[PairRecord, ...]:
    """Return whence the parameters of each pair are; where there are none, give this process's CoolProp an estimate.

    Raises
    ------
    UserError
        PROP-13 if a pair has none and may not be estimated.
    """
    records = []
    for first, second in combinations(components, 2):
        identities = [CoolProp.get_fluid_param_string(COMPONENTS[component], "CAS") for component in (first, second)]
        source = _source(*identities) or _source(*reversed(identities))
        if source is None:
            if not {first, second} <= HALOCARBONS:
                raise _unlike(name, first, second)
            CoolProp.apply_simple_mixing_rule(*identities, ESTIMATION_RULE)  # type: ignore[call-arg]  # its stub is wrong
        words = source or f"estimated by the rule of {ESTIMATION_RULE.replace('-', ' and ')}"
        records.append(PairRecord((first, second), words, source is None))
    return tuple(records)


def _source(first: str, second: str) -> str | None:
    try:
        return str(CoolProp.get_mixture_binary_pair_data(first, second, "BibTeX"))
    except ValueError:  # CoolProp's word for a pair that it does not know, or knows the other way round
        return None


def _uncertainty(pairs: tuple[PairRecord, ...]) -> tuple[Uncertainty, str]:
    found = [ESTIMATED if pair.estimated else FITTED.get(pair.source, OTHER_FIT) for pair in pairs] or [PURE]
    worst = max(row[0] for row in found), max(row[1] for row in found), max(row[2] for row in found)
    if not pairs:
        return worst, _PURE_WORDS
    if ESTIMATED in found:
        return worst, _ESTIMATED_WORDS
    return worst, _OTHER_WORDS if OTHER_FIT in found else _FITTED_WORDS


def _method(recipe: Recipe, pairs: tuple[PairRecord, ...]) -> str:
    if recipe.equation == "pure":
        return f"reference equation of the pure fluid in CoolProp {version('CoolProp')}"
    return (
        f"Helmholtz mixture model of CoolProp {version('CoolProp')}, parameters of the pairs: "
        f"{'; '.join(pair.words for pair in pairs)}"
    )


def _unlike(name: str, first: str, second: str) -> UserError:
    return UserError(
        "PROP-13",
        what=f"No table of {name} was written.",
        why=f"CoolProp has no parameters for {first} with {second}, and for such unlike fluids an estimate would be "
        "off by half in pressure.",
        remedy=f"Leave {first} or {second} out, or take a blend whose pairs are known.",
    )
