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
    """How a rule is spoken of; rules of one ``figure`` limit the same thing, by its ``kind``, from above or below."""

    name: str
    figure: str
    kind: Kind | None
    help: str = ""
    least: bool = True

    def missing(self, one: Exclusion) -> float:
        """Return by how much those that keep every other limit miss this one; 0 where it does not stand alone."""
        if one.nearest is None or one.limit is None:
            return 0.0
        return max(0.0, one.limit - one.nearest if self.least else one.nearest - one.limit)


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
        least=False,
    ),
    "liquid_penalty_K": _Rule(
        "the penalty",
        "penalty",
        Kind.TEMPERATURE_DIFFERENCE,
        "a shorter line or fewer bends would help, or a milder limit of the job's own",
        least=False,
    ),
    "discharge_velocity_max_m_s": _Rule("velocity", "velocity", Kind.VELOCITY, _MILDER, least=False),
    "liquid_velocity_max_m_s": _Rule("velocity", "velocity", Kind.VELOCITY, _MILDER, least=False),
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
    "subcooling": "about {gap} more subcooling where the line begins, or as much less lift",
}


SPLIT_MOVES = (
    "Sizes that meet every limit move the flow from one condenser to the other until they no longer do. State the "
    "condensers' shares, or size one line by hand."
)


def exclusion_sentences(exclusions: Sequence[Exclusion]) -> Said:
    """Return what each limit excludes; first those that alone stand in the way, with what would help, then the rest.

    With none, sizes were found at one split of the flow between condensers and break a limit at the one they give.
    """
    if not exclusions:
        return Said(SPLIT_MOVES)
    words, figures = [], []
    for index, one in enumerate(
        sorted(exclusions, key=lambda one: (_RULES[one.rule].missing(one) == 0.0, -one.combinations))
    ):
        rule = _RULES[one.rule]
        words.append(f"{rule.name[0].upper()}{rule.name[1:]} excludes {one.combinations:,}{_would(one, rule, index)}.")
        if one.nearest is not None and one.limit is not None and rule.kind is not None and rule.missing(one) > 0.0:
            figures += [
                (f"near{index}", Figure(rule.kind, one.nearest)),
                (f"limit{index}", Figure(rule.kind, one.limit)),
            ]
    return Said(" ".join(words), tuple(figures))


def _would(one: Exclusion, rule: _Rule, index: int) -> str:
    """Return how near those come that keep every other limit, and what would let them through."""
    if rule.missing(one) == 0.0:
        return ""
    if rule.kind is None:
        return f"; {RATING_HELP}"
    return f"; those that keep every other limit come to {{near{index}}} against {{limit{index}}}: {rule.help}"


def way_out(exclusions: Sequence[Exclusion]) -> Said | None:
    """Return the least change that would let sizes through; None where no single one would.

    Only limits count that alone stand in the way of some sizes, and of several on one figure the strictest.  The least
    change is the one of the smallest part of its limit; oil return goes with the load, the penalty of a tube with its
    length, subcooling lost with the lift.  Figures of combinations are estimates, so it is "about".
    """
    alone: dict[str, Exclusion] = {}
    for one in exclusions:
        rule = _RULES[one.rule]
        known = alone.get(rule.figure)
        if rule.missing(one) > (0.0 if known is None else _RULES[known.rule].missing(known)):
            alone[rule.figure] = one
    if not alone:
        return None
    figure, least = min(alone.items(), key=lambda item: (item[0] == "rating", _part(item[1])))
    kind, missing = _RULES[least.rule].kind, _RULES[least.rule].missing(least)
    if kind is None or least.nearest is None or least.limit is None:
        return Said("The least that would help: another tube; " + RATING_HELP + ".")
    high, low = max(least.nearest, least.limit), min(least.nearest, least.limit)
    part = high / low - 1.0 if figure == "oil return" and low > 0.0 else 1.0 - low / high if high > 0.0 else 1.0
    return Said(
        f"The least that would help: {_WAYS_OUT[figure]}.",
        (
            ("part", f"{max(100.0 * part, 1.0):.0f} %"),
            ("near", Figure(kind, least.nearest)),
            ("gap", Figure(kind, missing)),
        ),
    )


def _part(one: Exclusion) -> float:
    return _RULES[one.rule].missing(one) / max(abs(one.limit or 0.0), 1.0)
