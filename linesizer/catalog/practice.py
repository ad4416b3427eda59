"""Practice sets: the rules that judge a job, one value and one source a rule, each of which a job may override.

A rule is a number, a range, a table of bands, or a text where practice names a method instead of a value; what a method
needs in numbers stands in rules of its own.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from typing import Any, TypeAlias

from linesizer.domain.extra import Json
from linesizer.domain.finding import Level
from linesizer.domain.resources import resource
from linesizer.errors import UserError

Bands: TypeAlias = tuple[tuple[float, float], ...]
"""Pairs of an upper bound and the value up to it, in ascending order; the last bound may be infinite."""

RuleValue: TypeAlias = float | str | tuple[float, float] | Bands


class RuleKind(StrEnum):
    """What form a rule's value has."""

    NUMBER = "number"
    RANGE = "range"
    BANDS = "bands"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class PracticeRule:
    """One rule of a practice set.

    ``value`` is in the unit that ``unit`` names and the name's ending repeats, ``value_ip`` as the trade rounds it.
    ``least`` and ``most`` bound what a job may put in its place.  ``status`` says how the value was seen: read, from
    memory, derived, common practice; ``overridden`` that the job states its own.
    """

    name: str
    kind: RuleKind
    value: RuleValue
    unit: str
    value_ip: str
    unit_ip: str
    applies_to: str
    level: Level
    reason: str
    source: str
    status: str
    least: float = -math.inf
    most: float = math.inf
    overridden: bool = False


@dataclass(frozen=True, slots=True)
class OverrideFault:
    """Why a job's own value for a rule cannot be used: what was found, and what is allowed."""

    found: str
    allowed: str


@dataclass(frozen=True, slots=True)
class PracticeSet:
    """A named set of rules, with a job's own values in place."""

    name: str
    label: str
    note: str
    rules: tuple[PracticeRule, ...]
    _by_name: Mapping[str, PracticeRule] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_by_name", {rule.name: rule for rule in self.rules})

    def rule(self, name: str) -> PracticeRule:
        """Return one rule; a name that the set has not is a defect of the caller (KeyError)."""
        return self._by_name[name]

    def value(self, name: str) -> float:
        """Return a rule's number.

        Raises
        ------
        KeyError
            If the set has no such rule.
        LookupError
            If its value is not a number.
        """
        value = self._by_name[name].value
        if isinstance(value, float):
            return value
        raise LookupError(f"practice rule {name} is {self._by_name[name].kind}, not a number")

    def range(self, name: str) -> tuple[float, float]:
        """Return a range rule's lower and upper value; raises like ``value``."""
        rule = self._by_name[name]
        value = rule.value
        if rule.kind is RuleKind.RANGE and isinstance(value, tuple):
            low, high = value
            if isinstance(low, float) and isinstance(high, float):
                return low, high
        raise LookupError(f"practice rule {name} is {rule.kind}, not a range")

    def bands(self, name: str) -> Bands:
        """Return a band rule's pairs of upper bound and value; raises like ``value``."""
        rule = self._by_name[name]
        value = rule.value
        if rule.kind is RuleKind.BANDS and isinstance(value, tuple):
            return tuple(pair for pair in value if isinstance(pair, tuple))
        raise LookupError(f"practice rule {name} is {rule.kind}, not bands")

    def band_value(self, name: str, at: float) -> float:
        """Return a band rule's value at ``at``; above the last bound, the last value."""
        bands = self.bands(name)
        return next((value for bound, value in bands if at <= bound), bands[-1][1])

    def text(self, name: str) -> str:
        """Return a text rule's words; raises like ``value``."""
        value = self._by_name[name].value
        if isinstance(value, str):
            return value
        raise LookupError(f"practice rule {name} is {self._by_name[name].kind}, not a text")


def practice_sets() -> tuple[str, ...]:
    """Return the names of the sets that ship with the program."""
    return tuple(sorted(path.stem for path in resource("practices").glob("*.json")))


def rule_names(set_name: str) -> tuple[str, ...]:
    """Return the names of a set's rules, in its order; raises like ``practice_set``."""
    return tuple(rule.name for rule in _shipped(set_name).rules)


def practice_set(name: str, overrides: Iterable[tuple[str, Json]] = ()) -> PracticeSet:
    """Return a practice set with a job's own values in place.

    Raises
    ------
    UserError
        If there is no such set, or an override names no rule of it or has a value that the rule cannot take.
    """
    shipped = _shipped(name)
    own = dict(overrides)
    if not own:
        return shipped
    faults = [(rule, fault) for rule, value in own.items() if (fault := override_fault(name, rule, value)) is not None]
    if faults:
        raise UserError(
            "PRACTICE-02",
            what=f"The job's own value for {_listed(rule for rule, _ in faults)} cannot be used.",
            why="; ".join(f"{rule}: {fault.found}" for rule, fault in faults) + ".",
            remedy="; ".join(f"{rule}: {fault.allowed}" for rule, fault in faults) + ".",
        )
    return replace(
        shipped,
        rules=tuple(
            replace(rule, value=_value(rule.kind, own[rule.name]), overridden=True) if rule.name in own else rule
            for rule in shipped.rules
        ),
    )


def override_fault(set_name: str, rule_name: str, value: Json) -> OverrideFault | None:
    """Return why a job's own value for a rule cannot be used, or None if it can.

    Raises
    ------
    UserError
        If there is no such set.
    """
    shipped = _shipped(set_name)
    names = tuple(rule.name for rule in shipped.rules)
    if rule_name not in names:
        near = get_close_matches(rule_name, names, n=3, cutoff=0.6)
        return OverrideFault(
            f'no rule named "{rule_name}" in the practice set {set_name}',
            f"near names: {', '.join(near)}" if near else "the practice set's rules are listed in the manual",
        )
    rule = shipped.rule(rule_name)
    allowed = _allowed(rule)
    if rule.kind is RuleKind.TEXT:
        return OverrideFault("this rule is a method and has no value of its own", allowed)
    try:
        numbers = _numbers(_value(rule.kind, value))
    except ValueError as error:
        return OverrideFault(str(error), allowed)
    if any(not rule.least <= number <= rule.most for number in numbers):
        return OverrideFault(f"{_shown(value)} is outside what the rule can take", allowed)
    return None


@cache
def _shipped(name: str) -> PracticeSet:
    if name not in practice_sets():
        near = get_close_matches(name, practice_sets(), n=3, cutoff=0.3) or practice_sets()
        raise UserError(
            "PRACTICE-01",
            what=f'There is no practice set named "{name}".',
            why=f"Sets: {', '.join(practice_sets())}.",
            remedy=f"Choose {' or '.join(near)}.",
        )
    loaded: dict[str, Any] = json.loads(resource("practices", f"{name}.json").read_text(encoding="utf-8"))
    rules = {row["name"]: _rule(row) for row in loaded["rules"]}
    if "base" in loaded:
        # A set that stands on another one names only what it has otherwise.
        base = {rule.name: rule for rule in _shipped(loaded["base"]).rules}
        if not rules.keys() <= base.keys():
            raise ValueError(
                f"practice set {name} names rules that {loaded['base']} has not: {rules.keys() - base.keys()}"
            )
        rules = base | rules
    return PracticeSet(name=loaded["set"], label=loaded["label"], note=loaded["note"], rules=tuple(rules.values()))


def _rule(row: dict[str, Any]) -> PracticeRule:
    kind = _kind(row["value"])
    return PracticeRule(
        name=row["name"],
        kind=kind,
        value=row["value"] if kind is RuleKind.TEXT else _value(kind, row["value"]),
        unit=row["unit"],
        value_ip=_words(row["value_ip"]),
        unit_ip=row["unit_ip"],
        applies_to=row["applies_to"],
        level=Level(row["level"]),
        reason=row["reason"],
        source=row["source"],
        status=row["status"],
        least=row.get("least", -math.inf),
        most=row.get("most", math.inf),
    )


def _kind(value: Json) -> RuleKind:
    if isinstance(value, str):
        return RuleKind.TEXT
    if isinstance(value, list):
        return RuleKind.BANDS if isinstance(value[0], list) else RuleKind.RANGE
    return RuleKind.NUMBER


def _value(kind: RuleKind, value: Json) -> RuleValue:
    """Return a JSON value in the form of a rule's kind; ValueError says what was found where it has another."""
    if kind is RuleKind.NUMBER:
        return _number(value)
    if kind is RuleKind.RANGE:
        if not isinstance(value, list) or len(value) != 2:
            raise ValueError(f"{_shown(value)} is not two numbers")
        low, high = (_number(item) for item in value)
        if low > high:
            raise ValueError(f"{_shown(value)} runs downwards")
        return low, high
    if not isinstance(value, list):
        # One number for all bands is the plain way to say "the same everywhere".
        return ((math.inf, _number(value)),)
    pairs: list[tuple[float, float]] = []
    for item in value:
        if not isinstance(item, list) or len(item) != 2:
            raise ValueError(f"{_shown(item)} is not a pair of upper bound and value")
        bound = math.inf if item[0] is None else _number(item[0])
        if pairs and bound <= pairs[-1][0]:
            raise ValueError(f"the bound in {_shown(item)} does not rise")
        pairs.append((bound, _number(item[1])))
    if not pairs:
        raise ValueError("the list is empty")
    return tuple(pairs)


def _number(value: Json) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{_shown(value)} is not a number")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ValueError(f"{_shown(value)} is not a finite number")
    return number


def _numbers(value: RuleValue) -> tuple[float, ...]:
    """Return the numbers that a rule's bounds apply to: of bands the values, not the bounds."""
    if isinstance(value, str):
        return ()
    if isinstance(value, float):
        return (value,)
    return tuple(item[1] if isinstance(item, tuple) else item for item in value)


def _allowed(rule: PracticeRule) -> str:
    bounds = f"{rule.least:g} to {rule.most:g}" + (f" {rule.unit}" if rule.unit != "-" else "")
    if rule.kind is RuleKind.NUMBER:
        return f"a number, {bounds}"
    if rule.kind is RuleKind.RANGE:
        return f"a list of two rising numbers, {bounds}"
    if rule.kind is RuleKind.BANDS:
        return f"a number, or a list of pairs [upper bound or null, value], values {bounds}"
    return "it cannot be overridden; override the numeric rules beside it"


def _words(value: Json) -> str:
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _shown(value: Json) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _listed(names: Iterable[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last
