"""What a person types into a field, as a stored value: ``3.4``, ``11'6"``, ``350 psi``, ``41 F``, ``3,4 m``."""

from __future__ import annotations

import math
import re
import unicodedata
from functools import cache

from linesizer.errors import UserError
from linesizer.units.factors import STANDARD_ATMOSPHERE_Pa
from linesizer.units.kinds import Kind, Quantity, System, Unit, quantity

LONGEST_ENTRY = 60

_SIGNS = str.maketrans(
    {
        "\N{MINUS SIGN}": "-",
        "\N{EN DASH}": "-",
        "\N{NON-BREAKING HYPHEN}": "-",
        "\N{FRACTION SLASH}": "/",
        "\N{PRIME}": "'",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{LEFT SINGLE QUOTATION MARK}": "'",
        "\N{ACUTE ACCENT}": "'",
        "\N{DOUBLE PRIME}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{LEFT DOUBLE QUOTATION MARK}": '"',
        "\N{MASCULINE ORDINAL INDICATOR}": "°",
        "\N{RING ABOVE}": "°",
    }
)
_NUMBER = re.compile(
    r"(?P<whole>\d+)(?:\s+|\s*-\s*)(?P<part>\d+)\s*/\s*(?P<of>\d+)"
    r"|(?P<numerator>\d+)\s*/\s*(?P<denominator>\d+)"
    r"|(?P<decimal>(?:\d[\d.,]*|[.,]\d+)(?:[eE][+-]?\d+(?![\d.,]))?)"
)
_RATIO = re.compile(r"(?P<rise>\d+(?:[.,]\d+)?)\s*(?::|\bin\b|/)\s*(?P<run>\d+(?:[.,]\d+)?)")
_GROUPED = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d*)?|\d{1,3}(?:\.\d{3}){2,}|\d{1,3}(?:\.\d{3})+,\d*")
_AMBIGUOUS = re.compile(r"[1-9]\d{0,2},\d{3}")


class _NotUnderstoodError(Exception):
    """Why an entry cannot be read, in words that follow the entry."""


def parse(
    kind: Kind, text: str, system: System, *, atmosphere_Pa: float = STANDARD_ATMOSPHERE_Pa, named: str = ""
) -> float:
    r"""Return what a person typed as a stored value.

    A bare number is in the displayed unit of ``system``; any unit of the kind may stand behind it.  Fractions of an
    inch, feet and inches, a decimal comma, typographic primes and minus signs are understood.  A pressure without "a"
    or "abs" is a gauge pressure.

    Parameters
    ----------
    kind : Kind
        What the field measures.
    text : str
        The entry, at most 60 characters.
    system : {"si", "ip"}
        The system on the screen.
    atmosphere_Pa : float
        Air pressure at the site, [Pa]; only a gauge pressure needs it.
    named : str
        What the field is, for the error's words: ``"Length of leg d1"``.

    Returns
    -------
    float
        The value in the kind's stored unit, finite.

    Raises
    ------
    UserError
        If the entry is not understood, has two readings, or is a value that cannot be.

    Examples
    --------
    >>> round(parse(Kind.LENGTH, "11'6\"", "si"), 6)
    3.5052
    >>> parse(Kind.TEMPERATURE, "41 F", "si")
    5.0
    """
    known = quantity(kind)
    try:
        value = _read(kind, known, text, system, atmosphere_Pa)
        if not math.isfinite(value):
            raise _NotUnderstoodError("is too large")
        # A hair of rounding may lie below, as when zero absolute is typed as a gauge pressure.
        if value < known.least - 1e-6:
            raise _NotUnderstoodError(f"is below {known.least:g} {known.stored}, less than which there is none")
    except _NotUnderstoodError as reason:
        label = known.unit(system).label
        units = ", ".join(unit.label for unit in known.units if unit.label)
        alone = f"a number alone is in {label}" if label else "a number alone is enough"
        raise UserError(
            "UNITS-01",
            what=f'{named or kind.capitalize()}: "{text[:LONGEST_ENTRY]}" {reason}.',
            why=f"It takes a number with one of these units: {units}; {alone}." if units else "It takes a number.",
            remedy=f"Type for example {known.example}.",
        ) from None
    return max(value, known.least)


def _read(kind: Kind, known: Quantity, text: str, system: System, atmosphere_Pa: float) -> float:
    if len(text) > LONGEST_ENTRY:
        raise _NotUnderstoodError("is too long")
    rest = _plain(text)
    if not rest:
        raise _NotUnderstoodError("holds no number")
    sign = -1.0 if rest.startswith("-") else 1.0
    rest = rest.lstrip("+-").lstrip() if rest[0] in "+-" and rest[1:2] not in "+-" else rest
    if kind is Kind.SLOPE and (ratio := _slope_ratio(rest, system)) is not None:
        return sign * ratio
    terms = _terms(rest, known.adds_up)
    if len(terms) == 1:
        number, word = terms[0]
        unit = known.unit(system) if not word else _unit(kind, word)
        shift = unit.offset + (atmosphere_Pa if unit.gauge else 0.0)
        return sign * number * unit.factor + shift
    return sign * _sum(kind, terms)


def _sum(kind: Kind, terms: list[tuple[float, str]]) -> float:
    """Return terms such as feet and inches added up; a last term without a unit is in the next smaller one."""
    total, before = 0.0, math.inf
    for place, (number, word) in enumerate(terms):
        if word:
            unit = _unit(kind, word)
        elif place == len(terms) - 1 and _unit(kind, terms[place - 1][1]).label == "ft":
            unit = _unit(kind, "in")
        else:
            raise _NotUnderstoodError("has a number without a unit beside one with a unit")
        if unit.factor >= before:
            raise _NotUnderstoodError("does not run from the larger unit to the smaller")
        total += number * unit.factor
        before = unit.factor
    return total


def _terms(rest: str, adds_up: bool) -> list[tuple[float, str]]:
    """Return the numbers of an entry with the unit words behind them."""
    terms: list[tuple[float, str]] = []
    while rest:
        match = _NUMBER.match(rest)
        if match is None:
            raise _NotUnderstoodError("does not start with a number" if not terms else "is not understood")
        rest = rest[match.end() :].lstrip()
        if adds_up:
            # Units that add up have no digit in them, so the next digit starts the next term.
            word = re.match(r"[^\d.,+-]*", rest)
            length = word.end() if word is not None else 0
            unit, rest = rest[:length], rest[length:]
            # 11'-6": the hyphen ties inches to feet.  11', 6": so does the comma.
            rest = re.sub(r"^\s*[-,]\s*(?=\d)", "", rest) if unit.strip() else rest
        else:
            unit, rest = rest, ""
        terms.append((_number(match), plain_unit(unit)))
    return terms


def _number(match: re.Match[str]) -> float:
    if match["decimal"] is not None:
        return _decimal(match["decimal"])
    top, bottom = (match["part"], match["of"]) if match["of"] else (match["numerator"], match["denominator"])
    if int(bottom) == 0:
        raise _NotUnderstoodError("divides by zero")
    return float(match["whole"] or 0) + int(top) / int(bottom)


def _decimal(token: str) -> float:
    """Return a decimal number with a point or a comma; two readings of one number are refused."""
    mantissa, mark, exponent = token.lower().partition("e")
    if _AMBIGUOUS.fullmatch(mantissa):
        whole, _, part = mantissa.partition(",")
        raise _NotUnderstoodError(f"has two readings: write {whole}{part}, or {whole}.{part} with a point")
    if mantissa.count(",") + mantissa.count(".") > 1:
        if not _GROUPED.fullmatch(mantissa):
            raise _NotUnderstoodError("has a number with too many points or commas")
        last = max(mantissa.rfind(","), mantissa.rfind("."))
        if mantissa.count(mantissa[last]) > 1:
            mantissa = mantissa.replace(",", "").replace(".", "")
        else:
            mantissa = re.sub("[.,]", "", mantissa[:last]) + "." + mantissa[last + 1 :]
    return float(mantissa.replace(",", ".") + mark + exponent)


def _slope_ratio(rest: str, system: System) -> float | None:
    """Return a slope written as 1:200 or 1 in 200; 1/200 too where the screen's unit is not inches a foot."""
    match = _RATIO.fullmatch(rest)
    if match is None or ("/" in rest and system == "ip"):
        return None
    run = _decimal(match["run"])
    if run == 0.0:
        raise _NotUnderstoodError("divides by zero")
    return _decimal(match["rise"]) / run


def _plain(text: str) -> str:
    """Return an entry in plain characters: hyphens for minus signs, straight primes, digits for vulgar fractions."""
    # A space keeps 6 and one half from becoming 61/2, and a superscript from becoming a digit of the number before it.
    spaced = "".join(f" {char}" if unicodedata.category(char) == "No" else char for char in text.translate(_SIGNS))
    plain = unicodedata.normalize("NFKC", spaced).translate(_SIGNS)
    # A dot behind a letter abbreviates: 11 ft. 6 in.
    return re.sub(r"(?<=[^\W\d])\.", "", plain).replace("''", '"').strip()


def plain_unit(word: str) -> str:
    """Return a unit's word in one spelling: small letters, no spaces, dots, brackets or degree signs."""
    plain = unicodedata.normalize("NFKC", word).lower().replace("degrees", "").replace("deg", "").replace(" per ", "/")
    return re.sub(r"[\s.·⋅*^°()]", "", plain)


@cache
def _words(kind: Kind) -> dict[str, Unit]:
    known = quantity(kind)
    words = {plain_unit(unit.label): unit for unit in known.units}
    for unit in known.units:
        for word in unit.words:
            words.setdefault(plain_unit(word), unit)
    return words


def _unit(kind: Kind, word: str) -> Unit:
    unit = _words(kind).get(word)
    if unit is None:
        raise _NotUnderstoodError(f'has the unit "{word}", which is not one of a {kind}' if word else "lacks a unit")
    return unit
