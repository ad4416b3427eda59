"""Lengths, heights, charge and sizes against what the unit's maker allows; without his figure, a reminder to ask."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot, isfinite, log

from linesizer.catalog.size_words import same_connection
from linesizer.catalog.tubes import tube_catalogue
from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.checks.naming import listed
from linesizer.domain.ends import tied_ends
from linesizer.domain.equipment import Equipment, MakerLimits, Role
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.geometry import SAME_PLACE_M, line_geometry
from linesizer.domain.result import LineResult
from linesizer.domain.route import DoubleRiser, Line, Service
from linesizer.units import Kind

LONG_WORDS = (
    "{line_words} is {value} long with its fittings' equivalent length. Above {limit} most unit makers set a limit "
    "or ask for changes (oil, charge, sizes): ask, and enter the maker's limits on the unit."
)
LENGTH_WORDS = (
    "{line_words} is {value} long with its fittings' equivalent length, {plain} of tube; the maker of {unit} allows "
    "{limit}. Shorten it, or ask the maker for this case. If the figure is meant for tube alone, enter it with the "
    "fittings' length added."
)
LIFT_WORDS = (
    "The condenser stands {value} above {unit}; its maker allows {limit}. Set it lower, or ask the maker for this case."
)
DROP_WORDS = (
    "The condenser stands {value} below {unit}; its maker allows {limit}. Set it higher, or ask the maker for this "
    "case."
)
CHARGE_WORDS = (
    "The circuit takes {value} in all at {condition}; the maker of {unit} allows {limit}. Shorter or smaller liquid "
    "tube and a smaller receiver lower it; or ask the maker for this case."
)
SIZES_WORDS = (
    "{legs} of line {line} {are} {sizes}; the maker of {unit} permits {permitted} for it. Choose one of these, or "
    "ask the maker for this case."
)
PAIRS_WORDS = (
    "{legs} of line {line} {are} {sizes}; the maker of {unit} permits {permitted} for it. That is said of one tube: "
    "two side by side count here as the size whose bore is nearest to that of both together. Choose a pair that comes "
    "to one of these, or ask the maker for this case."
)
RULE, SOURCE = "the unit maker's limits", "the unit maker's figure as entered in the job"
_SERVICES = (Service.DISCHARGE, Service.LIQUID)


def length_limits(view: CircuitView) -> Iterator[Finding]:
    """Yield findings on what goes beyond the unit maker's limits, and notes on long lines where none is given."""
    for line in view.lines:
        limits = _limits(_unit(view, line.line))
        if line.line.service in _SERVICES and limits.length_m is not None:
            yield from _beyond_length(view, line, limits.length_m)
        else:
            yield from _long(view, line)
        yield from _sizes(view, line)
    for unit in view.circuit.equipment:
        limits = _limits(unit)
        if unit.role is Role.UNIT and limits != MakerLimits():
            yield from _heights(view, unit, limits)
            yield from _charge(view, unit, limits)


def _limits(unit: Equipment | None) -> MakerLimits:
    return MakerLimits() if unit is None or unit.maker_limits is None else unit.maker_limits


def _unit(view: CircuitView, line: Line) -> Equipment | None:
    """Return the unit that a line belongs to: the one that it is tied to, else the circuit's only one."""
    if line.legs:
        for end in tied_ends(view.circuit, line):
            if end.equipment is not None and end.equipment.role is Role.UNIT:
                return end.equipment
    units = [item for item in view.circuit.equipment if item.role is Role.UNIT]
    return units[0] if len(units) == 1 else None


def _with_fittings_m(line: LineResult) -> float:
    equivalent = line.equivalent_length_m
    return line.length_m if equivalent is None or not isfinite(equivalent) else equivalent


def _long(view: CircuitView, line: LineResult) -> Iterator[Finding]:
    limit, length = view.practice.value("equivalent_length_note_m"), _with_fittings_m(line)
    if length <= limit:
        return
    yield by_rule(
        view,
        "equivalent_length_note_m",
        code="long_line",
        title=f"{line.line.id}: a long line",
        words=LONG_WORDS,
        line=line.line.id,
        kind=Kind.LENGTH,
        value=length,
        limit=limit,
        line_words=_titled(line.line),
    )


def _beyond_length(view: CircuitView, line: LineResult, limit: float) -> Iterator[Finding]:
    length = _with_fittings_m(line)
    if length > limit:
        plain = Figure(Kind.LENGTH, line.length_m)
        name, words = _named(_unit(view, line.line)), _titled(line.line)
        title = f"{line.line.id}: longer than the unit's maker allows"
        yield _beyond(
            view, "maker_length", title, LENGTH_WORDS, Kind.LENGTH, length, limit, line.line.id,
            plain=plain, unit=name, line_words=words,
        )  # fmt: skip


def _heights(view: CircuitView, unit: Equipment, limits: MakerLimits) -> Iterator[Finding]:
    heights = [height for line in view.circuit.lines for height in _heights_m(view, unit, line)]
    if not heights:
        condensers = [item for item in view.circuit.equipment if item.role is Role.CONDENSER]
        heights = [item.at_m[2] - unit.at_m[2] for item in condensers]
    name = _named(unit)
    lift, drop = max(heights, default=0.0), -min(heights, default=0.0)
    if limits.lift_m is not None and lift > limits.lift_m + SAME_PLACE_M:
        title = "The condenser stands higher than the unit's maker allows"
        yield _beyond(view, "maker_lift", title, LIFT_WORDS, Kind.LENGTH, lift, limits.lift_m, None, unit=name)
    if limits.drop_m is not None and drop > limits.drop_m + SAME_PLACE_M:
        title = "The condenser stands lower than the unit's maker allows"
        yield _beyond(view, "maker_drop", title, DROP_WORDS, Kind.LENGTH, drop, limits.drop_m, None, unit=name)


def _heights_m(view: CircuitView, unit: Equipment, line: Line) -> list[float]:
    """Return how high a line's far ends stand above its end at the unit, [m]; empty where it has none there."""
    if line.service not in _SERVICES or not line.legs:
        return []
    heights = {node.id: node.at_m[2] for node in line.nodes}
    ends = tied_ends(view.circuit, line)
    own = [heights[end.node] for end in ends if end.equipment is not None and end.equipment.id == unit.id]
    far = [heights[end.node] for end in ends if end.equipment is None or end.equipment.role is Role.CONDENSER]
    return [height - own[0] for height in far] if own else []


def _charge(view: CircuitView, unit: Equipment, limits: MakerLimits) -> Iterator[Finding]:
    if limits.charge_kg is None:
        return
    charge = view.charge
    if charge.total_kg is not None and charge.total_kg > limits.charge_kg:
        title = "More refrigerant than the unit's maker allows"
        yield _beyond(
            view, "maker_charge", title, CHARGE_WORDS, Kind.MASS, charge.total_kg, limits.charge_kg, None,
            unit=_named(unit), condition=view.condition_title(charge.condition_index),
        )  # fmt: skip


def _sizes(view: CircuitView, line: LineResult) -> Iterator[Finding]:
    unit = _unit(view, line.line)
    limits = _limits(unit)
    permitted = {Service.DISCHARGE: limits.discharge_sizes, Service.LIQUID: limits.liquid_sizes}.get(line.line.service)
    if not permitted:
        return
    single: dict[str, str] = {}
    pairs: dict[str, str] = {}
    for leg in line_geometry(line.line).legs:
        riser, tube = leg.leg.double_riser, leg.leg.tube or line.line.tube
        size = (leg.leg.size or line.line.default_size) if riser is None else size_of_both(riser, tube)
        if size is None or any(same_connection(size, allowed, tube) for allowed in permitted):
            continue
        if riser is None:
            single[leg.leg.id] = size
        else:
            pairs[leg.leg.id] = f"{riser.small} + {riser.large}, together as wide as {size}"
    for other, words in ((single, SIZES_WORDS), (pairs, PAIRS_WORDS)):
        if not other:
            continue
        one = len(other) == 1
        kind = "Leg" if other is single else "Double riser"
        yield Finding(
            code="maker_connection",
            level=Level.WARN,
            title=f"{line.line.id}: a size that the unit's maker does not permit",
            words=words,
            circuit=view.circuit.id,
            line=line.line.id,
            leg=next(iter(other)),
            rule=RULE,
            source=SOURCE,
            figures=(
                ("legs", f"{kind if one else f'{kind}s'} {listed(list(other))}"),
                ("line", line.line.id),
                ("are", "is" if one else "are"),
                ("sizes", listed(list(dict.fromkeys(other.values())))),
                ("unit", _named(unit)),
                ("permitted", listed(permitted)),
            ),
        )


def size_of_both(riser: DoubleRiser, tube: str) -> str:
    """Return the size of a tube's catalogue that two tubes side by side come to, by the area of their bores.

    A pair whose bores have the area of one tube between them stands in its place: ASHRAE Handbook - Refrigeration,
    chapter on halocarbon piping, double risers (from memory).
    """
    catalogue = tube_catalogue(tube)
    both_m = hypot(catalogue.find(riser.small).inside_diameter_m, catalogue.find(riser.large).inside_diameter_m)
    return min(catalogue.sizes, key=lambda row: abs(log(row.inside_diameter_m / both_m))).size


def _beyond(
    view: CircuitView,
    code: str,
    title: str,
    words: str,
    kind: Kind,
    value: float,
    limit: float,
    line: str | None,
    **figures: Figure | str,
) -> Finding:
    return Finding(
        code=code,
        level=Level.WARN,
        title=title,
        words=words,
        circuit=view.circuit.id,
        line=line,
        kind=kind,
        value=value,
        limit=limit,
        rule=RULE,
        source=SOURCE,
        figures=(("value", Figure(kind, value)), ("limit", Figure(kind, limit)), *figures.items()),
    )


def _named(unit: Equipment | None) -> str:
    return "the unit" if unit is None else unit.name or unit.id


def _titled(line: Line) -> str:
    return f"{line.service.value.capitalize()} line {line.id}"
