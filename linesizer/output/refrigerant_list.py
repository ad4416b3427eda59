"""The refrigerants, shipped and of a person's own, as text for a terminal and as rows for a script."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from linesizer.output.text_columns import WIDTH, table_text
from linesizer.properties.facts import RefrigerantFacts, Sourced
from linesizer.properties.summary import GLIDE_AT_K, RefrigerantSummary
from linesizer.properties.table import ByPhase
from linesizer.units import ZERO_CELSIUS_K, Kind, System, display, display_with_unit, unit_label

CAUTION = (
    "Safety groups and GWP change between editions: look them up in the edition that your code names. Flammable and "
    "toxic refrigerants, every group but A1, ask for more than a line size: charge limits, ventilation, detection, "
    "trained people."
)

OWN = "own"
"""Marks a blend of a person's own wherever refrigerants are listed."""

UNKNOWN = "?"

Row = tuple[RefrigerantSummary, RefrigerantFacts]


def refrigerant_list(refrigerants: Sequence[Row], system: System) -> str:
    """Return the refrigerants as a table with its notes.

    Parameters
    ----------
    refrigerants : sequence of (RefrigerantSummary, RefrigerantFacts)
        At least one.
    system : {"si", "ip"}
        Units of the temperatures.
    """
    editions = _numbered(summary.gwp_edition for summary, _ in refrigerants)
    methods = _numbered(_methods(summary.viscosity_method) for summary, _ in refrigerants)
    temperature, difference = unit_label(Kind.TEMPERATURE, system), unit_label(Kind.TEMPERATURE_DIFFERENCE, system)
    heads = ["name", "", "group", "GWP", "", f"saturation, {temperature}", f"glide, {difference}", "viscosity", ""]
    rows = [[*heads, "composition, % by mass"]]
    for summary, known in refrigerants:
        rows.append(
            [
                summary.name,
                " ".join(mark for mark, there in ((OWN, summary.own), ("*", summary.bridged)) if there),
                summary.safety_group or UNKNOWN,
                f"{summary.gwp:g}",
                _letter(editions[summary.gwp_edition]),
                _range(summary, system),
                display(Kind.TEMPERATURE_DIFFERENCE, _hundredths(summary.glide_K), system),
                f"within {_percent(summary.viscosity_uncertainty)}",
                str(methods[_methods(summary.viscosity_method)] + 1),
                _composition(known.mass_fractions.value),
            ]
        )
    version = " and ".join(dict.fromkeys(summary.coolprop_version for summary, _ in refrigerants))
    blocks = [
        _title(refrigerants, version),
        table_text(rows, left=(0, 1, 2, 4, 8, 9)),
        _notes(refrigerants, editions, methods, system),
        textwrap.fill(CAUTION, WIDTH),
    ]
    return "\n\n".join(blocks) + "\n"


def refrigerant_rows(refrigerants: Sequence[Row]) -> dict[str, Any]:
    """Return the refrigerants as plain values: each fact with who says it and how that was seen."""
    return {"refrigerants": [_row(summary, known) for summary, known in refrigerants]}


def _row(summary: RefrigerantSummary, known: RefrigerantFacts) -> dict[str, Any]:
    method, uncertainty = summary.viscosity_method, summary.viscosity_uncertainty
    return {
        "name": summary.name,
        "safety_group": _known(known.safety_group),
        "mass_fractions": _fact(known.mass_fractions),
        "gwp": {**_fact(known.gwp), "edition": summary.gwp_edition},
        "rcl_kg_m3": _known(known.rcl_kg_m3),
        "practical_limit_kg_m3": _known(known.practical_limit_kg_m3),
        "tube_materials": _known(known.tube_materials),
        "oils": _known(known.oils),
        "critical_C": _celsius(summary.critical_temperature_K),
        "minimum_saturation_C": _celsius(summary.minimum_saturation_temperature_K),
        "maximum_saturation_C": _celsius(summary.maximum_saturation_temperature_K),
        "glide_at_C": _celsius(GLIDE_AT_K),
        "glide_K": None if summary.glide_K is None else round(summary.glide_K, 3),
        "viscosity": {
            "liquid": {"method": method.liquid, "uncertainty": uncertainty.liquid},
            "vapour": {"method": method.vapour, "uncertainty": uncertainty.vapour},
        },
        "bridged": list(summary.bridged),
        "coolprop_version": summary.coolprop_version,
        "shipped": summary.own is None,
        "own": None if summary.own is None else summary.own.as_plain(),
    }


def _title(refrigerants: Sequence[Row], version: str) -> str:
    own = sum(summary.own is not None for summary, _ in refrigerants)
    shipped = f"Refrigerants whose properties are shipped (tables made with CoolProp {version})"
    blends = f"{own} blend{'s' if own != 1 else ''} of your own, not shipped"
    if own == len(refrigerants):
        return f"{blends[:1].upper()}{blends[1:]} (tables made with CoolProp {version})"
    return f"{shipped}, and {blends}" if own else shipped


def _own_notes(summary: RefrigerantSummary) -> list[tuple[str, str]]:
    record = summary.own
    if record is None:
        return []
    return [
        (
            OWN,
            f"{summary.name}: {record.blend.words}, not a shipped refrigerant; table built on {record.built} by the "
            f"{record.method}",
        ),
        ("", f"uncertainty {record.uncertainty_words} ({record.basis_of_uncertainty})"),
    ]


def _known(fact: Sourced[Any] | None) -> dict[str, Any] | None:
    return None if fact is None else _fact(fact)


def _fact(fact: Sourced[Any]) -> dict[str, Any]:
    value = dict(fact.value) if isinstance(fact.value, Mapping) else fact.value
    return {"value": value, "source": fact.source, "status": fact.status, "note": fact.note}


def _notes(refrigerants: Sequence[Row], editions: Mapping[str, int], methods: Mapping[str, int], system: System) -> str:
    stated = [known.safety_group for _, known in refrigerants]
    groups = dict.fromkeys(f"{fact.source} ({fact.status})" for fact in stated if fact is not None)
    if None in stated:
        groups["? not known"] = None
    at = display_with_unit(Kind.TEMPERATURE, _celsius(GLIDE_AT_K), system)
    notes = [("group", "; ".join(groups))]
    notes += [(f"GWP {_letter(n)}", f"{edition} ({_seen(refrigerants, edition)})") for edition, n in editions.items()]
    notes.append(("glide", f"dew less bubble temperature at the pressure of a dew point of {at}"))
    notes += [(f"viscosity {number + 1}", method) for method, number in methods.items()]
    bridged: dict[str, list[str]] = {}
    for summary, _ in refrigerants:
        places: dict[str, list[str]] = {}
        for text in summary.bridged:
            place, _, reason = text.partition(", where ")
            places.setdefault(reason, []).append(place)
        for reason, here in places.items():
            bridged.setdefault(reason, []).append(f"{summary.name}: {', '.join(here)}")
    for reason, lines in bridged.items():
        notes.append(("*", f"where {reason}:" if reason else "bridged:"))
        notes += [("", line) for line in lines]
    notes += [note for summary, _ in refrigerants for note in _own_notes(summary)]
    width = max(len(name) for name, _ in notes) + 2
    return "\n".join(
        textwrap.fill(f"{name:{width}}{text}", WIDTH, subsequent_indent=" " * width, break_long_words=False)
        for name, text in notes
    )


def _seen(refrigerants: Sequence[Row], edition: str) -> str:
    """Return how the GWP of one edition were seen."""
    return ", ".join(dict.fromkeys(known.gwp.status for row, known in refrigerants if row.gwp_edition == edition))


def _composition(mass_fractions: Mapping[str, float]) -> str:
    """Return a blend as the trade writes it, ``R32/125 50/50``; empty for a pure refrigerant."""
    if len(mass_fractions) == 1:
        return ""
    first, *others = mass_fractions
    names = "/".join([first, *(name.removeprefix("R") for name in others)])
    return f"{names} {'/'.join(f'{100.0 * share:.4g}' for share in mass_fractions.values())}"


def _methods(method: ByPhase[str]) -> str:
    if method.liquid == method.vapour:
        return method.liquid
    return f"liquid: {method.liquid}; vapour: {method.vapour}"


def _percent(uncertainty: ByPhase[float]) -> str:
    figures = dict.fromkeys((f"{100.0 * uncertainty.liquid:.3g}", f"{100.0 * uncertainty.vapour:.3g}"))
    return f"{'/'.join(figures)} %"


def _range(summary: RefrigerantSummary, system: System) -> str:
    low, high = (
        display(Kind.TEMPERATURE, _celsius(limit), system)
        for limit in (summary.minimum_saturation_temperature_K, summary.maximum_saturation_temperature_K)
    )
    return f"{low} to {high}"


def _hundredths(difference_K: float | None) -> float | None:
    """Return a glide without what is only the tables' own error at a pure refrigerant."""
    return None if difference_K is None else round(difference_K, 2)


def _celsius(temperature_K: float) -> float:
    return round(temperature_K - ZERO_CELSIUS_K, 3)


def _numbered(texts: Iterable[str]) -> dict[str, int]:
    return {text: number for number, text in enumerate(dict.fromkeys(texts))}


def _letter(number: int) -> str:
    return chr(ord("a") + number)
