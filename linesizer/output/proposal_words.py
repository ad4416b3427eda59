"""What is proposed for a line, in words: the same sentences in the window and on the command line."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.catalog.practice import PracticeSet
from linesizer.checks.naming import listed
from linesizer.checks.size_exclusions import exclusion_sentences, way_out
from linesizer.domain.circuit import Circuit
from linesizer.domain.geometry import line_geometry
from linesizer.domain.job import Site
from linesizer.domain.proposal import Combination, Objective, SizeProposal
from linesizer.domain.route import DoubleRiser, Line, Service
from linesizer.sizing.double_riser_pairs import DEEP_SEAL_m
from linesizer.sizing.groups import Way, way
from linesizer.sizing.limits import Limit, limits
from linesizer.units import Kind, System, display, display_with_unit, unit_label

AIMS = {
    Objective.MASS: "least tube",
    Objective.CHARGE: "least charge",
    Objective.POWER: "least power",
    Objective.YEARLY_COST: "least yearly cost",
}
"""What each objective is called behind "Proposed for"."""

MEANINGS = {
    Objective.MASS: "The sizes that take the least mass of tube, of all that meet every limit at every condition.",
    Objective.CHARGE: "The sizes that hold the least refrigerant, at the condition that holds most.",
    Objective.POWER: "The sizes whose drop costs the compressor the least power, at the condition where it costs most.",
    Objective.YEARLY_COST: "The sizes whose drop costs least over the stated hours of all conditions, at the site's "
    "price of electricity. The price of the tube is not in it.",
}

WAY_WORDS = {Way.LEVEL: "level runs", Way.CLIMBING: "risers", Way.FALLING: "falling legs"}

_SHORT_WAYS = {Way.LEVEL: "level", Way.CLIMBING: "risers", Way.FALLING: "falling"}

NOT_FOUND = "Nothing is proposed for line {line}: it is not calculated by this version, or no size passes its flow."


@dataclass(frozen=True, slots=True)
class FigureColumn:
    """One figure of a combination: its name, kind and attribute; ``limited`` where ``sizing.limits`` judges it."""

    name: str
    kind: Kind | None
    values: str
    limited: bool = False

    def head(self, system: System) -> str:
        """Return the name with its unit."""
        label = "" if self.kind is None else unit_label(self.kind, system)
        return f"{self.name}, {label}" if label else self.name

    def text(self, combination: Combination, system: System) -> str:
        """Return the figure without its unit, a dash where there is none."""
        value: float | None = getattr(combination, self.values)
        return money(value) if self.kind is None else display(self.kind, value, system)

    def with_unit(self, value: float | None, system: System) -> str:
        """Return a value of the figure with its unit."""
        return f"{money(value)} a year" if self.kind is None else display_with_unit(self.kind, value, system)


_PENALTY = FigureColumn("penalty", Kind.TEMPERATURE_DIFFERENCE, "penalty_K", limited=True)
_TUBE = FigureColumn("tube", Kind.MASS, "tube_mass_kg")
_CHARGE = FigureColumn("charge", Kind.MASS, "charge_kg")
_VELOCITY = FigureColumn("velocity", Kind.VELOCITY, "velocity_m_s", limited=True)
_OIL = FigureColumn("oil return", Kind.RATIO, "oil_return_ratio", limited=True)
_LEFT = FigureColumn("subcooling left", Kind.TEMPERATURE_DIFFERENCE, "outlet_subcooling_K", limited=True)
_POWER = FigureColumn("power", Kind.POWER, "extra_power_W")
_COST = FigureColumn("cost", None, "yearly_cost")
_SEAL = FigureColumn("seal", Kind.SEAL, "deepest_seal_m")

_FIRST = {
    Objective.MASS: (_TUBE, "{} of tube"),
    Objective.CHARGE: (_CHARGE, "{} of refrigerant"),
    Objective.POWER: (_POWER, "{} of power"),
    Objective.YEARLY_COST: (_COST, "{}"),
}


def money(value: float | None) -> str:
    """Return an amount in the currency of the site's price, which the job does not name."""
    if value is None:
        return "–"
    return f"{value:,.0f}" if abs(value) >= 10.0 else f"{value:.2f}"


def figure_columns(service: Service, combination: Combination) -> tuple[FigureColumn, ...]:
    """Return the figures that exist for a combination of a line, what is weighed against each other first."""
    judged = _OIL if service is Service.DISCHARGE else _LEFT
    columns = (_TUBE, _PENALTY, judged, _VELOCITY, _CHARGE, _POWER, _COST, _SEAL)
    return tuple(column for column in columns if getattr(combination, column.values) is not None)


def why_no_figure(objective: Objective, line: Line, circuit: Circuit, site: Site) -> str | None:
    """Return why an objective has no figure on a line, with what would give it one; None where it has."""
    if objective in (Objective.MASS, Objective.CHARGE):
        return None
    if line.service is not Service.DISCHARGE:
        return f"The drop of a {line.service.value} line costs the compressor no power that is worked out here."
    if objective is Objective.YEARLY_COST:
        if all(condition.hours_per_year is None for condition in circuit.conditions):
            return "No condition states its hours a year. Enter them among the conditions."
        if site.electricity_price_kWh is None:
            return "The site states no price of electricity. Enter it with the site."
    return None


def effective(proposal: SizeProposal) -> Objective:
    """Return what the choice was made by in truth: mass of tube where the line has no figure for what was asked."""
    return proposal.objective if proposal.by(proposal.objective) is not None else Objective.MASS


def builds_words(
    line: Line, combination: Combination, practice: PracticeSet, system: System, *, seals: bool = True
) -> str:
    """Return what legs are built from, by level runs, risers and falling legs: ``1-3/8 level runs, 1-1/8 risers``.

    With ``seals`` the heights of the seals of double risers are in it.
    """
    runs = ways(line, practice)
    by_build: dict[str, list[str]] = {}
    by_way: dict[Way, set[str]] = {}
    heights: dict[str, list[str]] = {}
    for leg, build in combination.sizes:
        name = f"{build.small} + {build.large}" if isinstance(build, DoubleRiser) else build
        by_build.setdefault(name, []).append(leg)
        by_way.setdefault(runs[leg], set()).add(name)
        if isinstance(build, DoubleRiser):
            heights.setdefault(name, []).append(f"{display_with_unit(Kind.SEAL, build.seal_m, system)} at {leg}")
    whole = len(combination.sizes) == len(line.legs)
    if whole and len(by_build) == 1 and not heights:
        return f"{next(iter(by_build))} throughout"
    phrases = []
    for name, legs in by_build.items():
        kinds = list(dict.fromkeys(runs[leg] for leg in legs))
        named = whole and all(by_way[kind] == {name} for kind in kinds)
        words = listed([WAY_WORDS[kind] for kind in kinds]) if named else ""
        where = "" if named else f" ({', '.join(legs)})"
        if name in heights:
            words = f"double {words or 'risers'}"
            if seals:
                where += f" with {'a seal' if len(heights[name]) == 1 else 'seals'} of {listed(heights[name])}"
        phrases.append(f"{name} {words}{where}" if words else f"{name}{where}")
    return ", ".join(phrases)


def size_marks(line: Line, combination: Combination, practice: PracticeSet) -> dict[str, str]:
    """Return where a combination uses each size of the line's own tube: ``level, risers``, empty where throughout."""
    runs, own = ways(line, practice), {leg.id for leg in line.legs if leg.tube in (None, line.tube)}
    places: dict[str, list[str]] = {}
    for leg, build in combination.sizes:
        if leg not in own:
            continue
        word = _SHORT_WAYS[runs[leg]]
        if isinstance(build, DoubleRiser) and build.small == build.large:
            places.setdefault(build.small, []).append(f"both tubes of {word}")
        elif isinstance(build, DoubleRiser):
            places.setdefault(build.small, []).append(f"small tube of {word}")
            places.setdefault(build.large, []).append(f"large tube of {word}")
        else:
            places.setdefault(build, []).append(word)
    if len(places) == 1 and len(combination.sizes) == len(line.legs) == len(own):
        return dict.fromkeys(places, "")
    return {size: ", ".join(dict.fromkeys(words)) for size, words in places.items()}


def ways(line: Line, practice: PracticeSet) -> dict[str, Way]:
    """Return how each leg of a line runs, by its id."""
    slope = practice.value("oil_return_climb_slope")
    return {geometry.leg.id: way(geometry, slope) for geometry in line_geometry(line).legs}


def proposal_sentence(line: Line, proposal: SizeProposal, practice: PracticeSet, system: System) -> str:
    """Return a proposal in one sentence, with the figure that it was chosen by and the penalty."""
    builds = builds_words(line, proposal.chosen, practice, system)
    if not proposal.fits:
        missed = broken_words(line.service, proposal.chosen, practice, system) or ["the rating of its tube"]
        return f"No sizes meet every limit. Nearest: {builds}; out by {listed(missed)}."
    aim = effective(proposal)
    figures = combination_figures(proposal.chosen, aim, system)
    deep = _deep(proposal.chosen)
    shallower = " A seal that deep is seldom built: weigh it against the choices with a lower one." if deep else ""
    return f"Proposed for {AIMS[aim]}: {builds}; {figures}.{shallower}"


def _deep(combination: Combination) -> bool:
    seal_m = combination.deepest_seal_m
    return seal_m is not None and seal_m > DEEP_SEAL_m


def choice_sentence(line: Line, combination: Combination, practice: PracticeSet, system: System) -> str:
    """Return another combination of the front in one sentence, in the words of ``proposal_sentence``."""
    figures = combination_figures(combination, Objective.MASS, system)
    return f"Looked at: {builds_words(line, combination, practice, system)}; {figures}."


def combination_figures(combination: Combination, aim: Objective, system: System) -> str:
    """Return the figure that an objective makes small, and the penalty."""
    column, words = _FIRST[aim]
    first = words.format(column.with_unit(getattr(combination, column.values), system))
    return f"{first}, {_PENALTY.with_unit(combination.penalty_K, system)} penalty"


def figures_words(line: Line, combination: Combination, practice: PracticeSet, system: System) -> list[str]:
    """Return every figure of a combination with its limit: ``penalty 0.91 K (at most 1.00 K)``."""
    rules = strictest(line.service, practice)
    columns = figure_columns(line.service, combination)
    return [_against(column, combination, _rule(column, rules), system) for column in columns]


def broken_words(service: Service, combination: Combination, practice: PracticeSet, system: System) -> list[str]:
    """Return the figures of a combination that break their limits, in the words of ``figures_words``."""
    rules = strictest(service, practice)
    phrases = []
    for column in figure_columns(service, combination):
        rule = _rule(column, rules)
        value: float = getattr(combination, column.values)
        if rule is not None and (value < rule.value if rule.least else value > rule.value):
            phrases.append(_against(column, combination, rule, system))
    return phrases


def _rule(column: FigureColumn, rules: dict[str, Limit]) -> Limit | None:
    return rules.get(column.values) if column.limited else None


def _against(column: FigureColumn, combination: Combination, rule: Limit | None, system: System) -> str:
    words = f"{column.name} {column.with_unit(getattr(combination, column.values), system)}"
    if rule is None:
        return words
    return f"{words} (at {'least' if rule.least else 'most'} {column.with_unit(rule.value, system)})"


def strictest(service: Service, practice: PracticeSet) -> dict[str, Limit]:
    """Return the strictest limit of each figure of a combination, by its attribute."""
    found: dict[str, Limit] = {}
    for rule in limits(service, practice):
        known = found.get(rule.figure)
        if known is None or (rule.value > known.value if rule.least else rule.value < known.value):
            found[rule.figure] = rule
    return found


def exclusion_words(proposal: SizeProposal, system: System) -> tuple[str, str]:
    """Return what excludes what where nothing fits, and the least that would help; empty words where something does."""
    if proposal.fits:
        return "", ""
    out = way_out(proposal.exclusions)
    return exclusion_sentences(proposal.exclusions).text(system), "" if out is None else out.text(system)
