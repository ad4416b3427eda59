"""How the values of practice rules read, and how the job's own are typed."""

from __future__ import annotations

import math
import re
from typing import Any

from PySide6.QtWidgets import QWidget

from linesizer.catalog.practice import PracticeRule, RuleKind
from linesizer.errors import UserError
from linesizer.ui.fields.commit import Commit
from linesizer.ui.fields.text import TextField
from linesizer.ui.session import Session
from linesizer.units import Kind, System, display_with_unit

_KINDS = {
    ("K", "F"): Kind.TEMPERATURE_DIFFERENCE,
    ("C", "F"): Kind.TEMPERATURE,
    ("m/s", "fpm"): Kind.VELOCITY,
    ("kg/m3", "lb/ft3"): Kind.DENSITY,
    ("m", "ft"): Kind.LENGTH,
    ("m", "in"): Kind.SMALL_LENGTH,
    ("m/m", "in/ft"): Kind.SLOPE,
    ("m/m", "in per 10 ft"): Kind.SLOPE,
    ("Pa", "micron"): Kind.VACUUM,
    ("kg", "lb"): Kind.MASS,
    ("h", "h"): Kind.TIME_YEAR,
}
_ENDINGS = re.compile(r"_(?:kg_m3|m_s|1_K|Pa|m|K|C|kg|h|min)$")
_NUMBER = r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)"
_RANGE = re.compile(rf"\s*({_NUMBER})\s*(?:to|–|-|…|\.\.|;)\s*({_NUMBER})\s*")


def rule_words(name: str) -> str:
    """Return a rule's name as a person says it: without the unit that it ends in."""
    words = _ENDINGS.sub("", name).replace("_", " ")
    return words[:1].upper() + words[1:]


def rule_kind(rule: PracticeRule) -> Kind | None:
    """Return what a rule's number measures, None where that is a plain number or a unit of its own."""
    if (rule.unit, rule.unit_ip) == ("Pa", "psi"):
        return Kind.STRESS if rule.most >= 1e8 else Kind.PRESSURE_DIFFERENCE
    return _KINDS.get((rule.unit, rule.unit_ip))


def value_words(rule: PracticeRule, units: System) -> str:
    """Return a rule's value with its unit."""
    if isinstance(rule.value, float):
        kind = rule_kind(rule)
        if kind is not None:
            return display_with_unit(kind, rule.value, units)
    unit = "" if rule.unit == "-" else f" {rule.unit}"
    return f"{_text(rule.value)}{unit}"


class RuleTextField(TextField):
    """A rule's range (``4.5 to 20``) or its value over bands (one number for all), in the rule's own unit."""

    def __init__(
        self,
        session: Session,
        rule: PracticeRule,
        name: str,
        commit: Commit,
        tip: str = "",
        parent: QWidget | None = None,
    ) -> None:
        self.rule = rule
        super().__init__(session, name, commit, f"{tip} In {rule.unit}.", parent=parent)

    def text_of(self, value: Any) -> str:
        """Return the job's own value."""
        return "" if value is None else _text(value)

    def value_of(self, text: str) -> Any:
        """Return what is typed; ``UserError`` where it is neither a number nor two."""
        plain = text.strip()
        between = _RANGE.fullmatch(plain)
        if self.rule.kind is RuleKind.RANGE:
            if between is not None:
                return [_float(between[1]), _float(between[2])]
            raise self._unread(plain, "two numbers", "4.5 to 20")
        if re.fullmatch(_NUMBER, plain):
            return _float(plain)
        raise self._unread(plain, "one number for all bands", "2.4")

    def _unread(self, text: str, wanted: str, example: str) -> UserError:
        return UserError(
            "FIELD-04",
            what=f'{self.name}: "{text}" cannot be read.',
            why=f'"{text}" is not {wanted}, in {self.rule.unit}.',
            remedy=f"Type for example {example}.",
        )


def _float(text: str) -> float:
    return float(text.replace(",", "."))


def _text(value: Any) -> str:
    if isinstance(value, int | float):
        return f"{value:.6g}"
    if isinstance(value, str):
        return value
    pairs = list(value)
    if len(pairs) == 2 and all(isinstance(item, int | float) for item in pairs):
        return f"{pairs[0]:.6g} to {pairs[1]:.6g}"
    words = []
    for bound, number in pairs:
        over = bound is None or not math.isfinite(bound)
        words.append(f"{number:.6g} {'above' if over else f'up to {bound:.6g}'}")
    return ", ".join(words)
