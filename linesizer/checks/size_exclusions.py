"""In words: what each limit does to the combinations of sizes of a line, and what would let one of them through."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linesizer.domain.finding import Figure
from linesizer.domain.proposal import Exclusion
from linesizer.units import Kind, System

Figures = tuple[tuple[str, Figure | str], ...]


@dataclass(frozen=True, slots=True)
class Said:
    """Sentences with a ``{name}`` for each of their figures, as those of a finding."""

    words: str
    figures: Figures = ()

    def text(self, system: System) -> str:
        """Return the sentences in one system of units."""
        return self.words.format_map(
            {name: figure if isinstance(figure, str) else figure.text(system) for name, figure in self.figures}
        )


@dataclass(frozen=True, slots=True)
class _Rule:
    """How a rule is spoken of; rules of one ``figure`` limit the same thing, by its ``kind``."""

    name: str
    figure: str
    kind: Kind | None
    help: str = ""


_MORE_LOAD = "a least load that is so much higher would help"
_MILDER = "a milder limit of the job's own would help"
_MORE_SUBCOOLING = "so much more subcooling would help, or less lift"
_RULES = {
    "oil_return_stop_ratio": _Rule("oil return", "oil return", Kind.RATIO, _MORE_LOAD),
    "oil_return_margin_ratio": _Rule("the oil-return reserve", "oil return", Kind.RATIO, _MORE_LOAD),
    "rating_temper": _Rule("the tube's rating", "rating", None),
    "discharge_penalty_K": _Rule(
        "the penalty",
        "penalty",
        Kind.TEMPERATURE_DIFFERENCE,
        "a shorter line or fewer bends and parts would help, or a milder limit of the job's own",
    ),
    "liquid_penalty_K": _Rule(
        "the penalty",
        "penalty",
        Kind.TEMPERATURE_DIFFERENCE,
        "a shorter line or fewer bends would help, or a milder limit of the job's own",
    ),
    "discharge_velocity_max_m_s": _Rule("velocity", "velocity", Kind.VELOCITY, _MILDER),
    "liquid_velocity_max_m_s": _Rule("velocity", "velocity", Kind.VELOCITY, _MILDER),
    "liquid_margin_stop_K": _Rule(
        "boiling before the valve", "subcooling", Kind.TEMPERATURE_DIFFERENCE, _MORE_SUBCOOLING
    ),
    "liquid_margin_at_valve_K": _Rule(
        "the subcooling at the valve", "subcooling", Kind.TEMPERATURE_DIFFERENCE, _MORE_SUBCOOLING
    ),
}
RATING_HELP = (
    "with a heavier tube, mechanical joints where their maker rates them, or a rating that the tube's maker lists, "
    "the sizes that keep every other limit would do"
)
_WAYS_OUT = {
    "oil return": "a least load higher by about {part}",
    "penalty": "a line with about {part} less length, fittings and parts counted",
    "velocity": "a limit of {near} set by the job for velocity",
    "subcooling": "{gap} more subcooling where the line begins, or as much less lift",
}


def exclusion_sentences(exclusions: Sequence[Exclusion]) -> Said:
    """Return what each limit excludes; first those that alone stand in the way, with what would help, then the rest."""
    words, figures = [], []
    for index, one in enumerate(sorted(exclusions, key=lambda one: (one.nearest is None, -one.combinations))):
        rule = _RULES[one.rule]
        words.append(f"{rule.name[0].upper()}{rule.name[1:]} excludes {one.combinations:,}{_would(one, rule, index)}.")
        if one.nearest is not None and one.limit is not None and rule.kind is not None:
            figures += [
                (f"near{index}", Figure(rule.kind, one.nearest)),
                (f"limit{index}", Figure(rule.kind, one.limit)),
            ]
    return Said(" ".join(words), tuple(figures))


def _would(one: Exclusion, rule: _Rule, index: int) -> str:
    """Return how near those come that keep every other limit, and what would let them through."""
    if one.nearest is None:
        return ""
    if rule.kind is None:
        return f"; {RATING_HELP}"
    return f"; those that keep every other limit come to {{near{index}}} against {{limit{index}}}: {rule.help}"


def way_out(exclusions: Sequence[Exclusion]) -> Said | None:
    """Return the least change that would let sizes through; None where no single one would.

    Only limits count that alone stand in the way of some sizes, and of several on one figure the strictest.  The least
    change is the one of the smallest part of its limit; oil return goes with the load, the penalty of a tube with its
    length, subcooling lost with the lift.
    """
    alone: dict[str, Exclusion] = {}
    for one in exclusions:
        if one.nearest is not None and one.limit is not None:
            figure = _RULES[one.rule].figure
            if figure not in alone or _gap(one) > _gap(alone[figure]):
                alone[figure] = one
    if not alone:
        return None
    figure, least = min(alone.items(), key=lambda item: (item[0] == "rating", _part(item[1])))
    kind = _RULES[least.rule].kind
    if kind is None or least.nearest is None or least.limit is None:
        return Said("The least that would help: another tube; " + RATING_HELP + ".")
    high, low = max(least.nearest, least.limit), min(least.nearest, least.limit)
    part = high / low - 1.0 if figure == "oil return" and low > 0.0 else 1.0 - low / high if high > 0.0 else 1.0
    return Said(
        f"The least that would help: {_WAYS_OUT[figure]}.",
        (
            ("part", f"{max(100.0 * part, 1.0):.0f} %"),
            ("near", Figure(kind, least.nearest)),
            ("gap", Figure(kind, _gap(least))),
        ),
    )


def _gap(one: Exclusion) -> float:
    return 0.0 if one.nearest is None or one.limit is None else abs(one.limit - one.nearest)


def _part(one: Exclusion) -> float:
    return _gap(one) / max(abs(one.limit or 0.0), 1.0)
