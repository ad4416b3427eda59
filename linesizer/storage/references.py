"""What a job refers to outside itself: refrigerants, tubes, part and fitting kinds, practice sets.

The one place of this package that knows the catalogues and the property tables.
"""

from __future__ import annotations

import json
from functools import cache

from linesizer.catalog import fittings, parts, practice, tubes
from linesizer.domain.blend import Blend
from linesizer.domain.extra import Json
from linesizer.errors import UserError
from linesizer.properties import library, own_blends
from linesizer.properties.components import COMPONENTS

FREEZING_K = 273.15


@cache
def refrigerants() -> tuple[str, ...]:
    """Return the names of the shipped refrigerants."""
    return tuple(library.names())


def near_refrigerants(name: str) -> tuple[str, ...]:
    """Return the refrigerants that a person may have meant."""
    return tuple(library.near_names(name))


@cache
def components() -> tuple[str, ...]:
    """Return the names of the fluids that blends are made of."""
    return tuple(COMPONENTS)


def own_composition(name: str) -> str | None:
    """Return what a job has to state for the person's own blend of a name, None where there is no such blend."""
    found = own_blends.named(name)
    if not found:
        return None
    blend = found[0].blend
    return f'"blend": {{"basis": "{blend.basis.value}", "composition": {json.dumps(dict(blend.composition))}}}'


def has_table(refrigerant: str, blend: Blend) -> bool:
    """Tell whether an own blend's table is in the person's data folder."""
    return own_blends.table_of(refrigerant, blend) is not None


@cache
def tube_ids() -> tuple[str, ...]:
    """Return the ids of the tube catalogues."""
    return tuple(tubes.tube_ids())


@cache
def sizes(tube: str) -> tuple[str, ...]:
    """Return the sizes of one tube catalogue, smallest bore first."""
    return tuple(row.size for row in tubes.tube_catalogue(tube).sizes)


def near_sizes(tube: str, size: str) -> tuple[str, ...]:
    """Return the sizes of a tube catalogue that are nearest to a mistyped one."""
    return tubes.tube_catalogue(tube).near(size)


@cache
def part_kinds() -> tuple[str, ...]:
    """Return the kinds of part."""
    return tuple(parts.part_kinds())


@cache
def fitting_kinds() -> tuple[str, ...]:
    """Return the kinds of fitting."""
    return tuple(fittings.fitting_kinds())


@cache
def practice_sets() -> tuple[str, ...]:
    """Return the names of the practice sets."""
    return tuple(practice.practice_sets())


@cache
def rule_names(practice_set: str) -> tuple[str, ...]:
    """Return the names of the rules of one practice set."""
    return tuple(practice.rule_names(practice_set))


def refused_override(practice_set: str, rule: str, value: Json) -> tuple[str, str] | None:
    """Return why a practice set refuses a job's own value for one rule, and what it takes; None where it takes it."""
    fault = practice.override_fault(practice_set, rule, value)
    return None if fault is None else (fault.found, fault.allowed)


def refused_temperature(
    refrigerant: str, blend: Blend | None, temperature_C: float, named: str
) -> tuple[str, str] | None:
    """Return why a refrigerant cannot condense or evaporate at a temperature, and what it can; None where it can."""
    try:
        library.load(refrigerant, blend).require_saturation_temperature(temperature_C + FREEZING_K, named=named)
    except UserError as error:
        return f"{named}: {_clause(error.why)}", _clause(error.remedy)
    return None


def _clause(sentence: str) -> str:
    """Return a sentence as part of another one."""
    return sentence[:1].lower() + sentence[1:].removesuffix(".")
