"""The rows of the size table: a line's sweep against the limits that judge it, as a person reads it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.result import LineResult, SizeSweep
from linesizer.domain.route import DoubleRiser, Line, Service
from linesizer.sizing.exclusion import exclusion_word
from linesizer.ui.panels.limit_bar import share_of_bar
from linesizer.units import Kind, STANDARD_ATMOSPHERE_Pa, System, display, display_with_unit, unit_label


@dataclass(frozen=True, slots=True)
class SizeColumn:
    """One figure of the table: what it is called and means, and the rules of the practice set that limit it.

    ``most`` and ``least`` name rules; of several the strictest counts.  ``demand`` names what of the sweep the figure
    must reach where that is no rule but the job's own; ``beneath`` a second figure of the sweep that stands beneath the
    first where others have their bars; ``aside`` says in words what the job adds to a size's figure.
    """

    name: str
    kind: Kind
    values: str
    meaning: str
    most: tuple[str, ...] = ()
    least: tuple[str, ...] = ()
    excluding: tuple[str, ...] = ()
    demand: str | None = None
    beneath: tuple[Kind, str] | None = None
    aside: Callable[[SizeSweep, int, System], str] | None = None

    def head(self, system: System) -> str:
        """Return the head: name, and the unit in a row of its own."""
        return f"{self.name}\n{unit_label(self.kind, system)}"


@dataclass(frozen=True, slots=True)
class SizeCell:
    """One figure: its text, how much of its bar it fills (None without a bar), whether it breaks its limit.

    ``beneath`` is a second figure in the place of the bar.  ``tip`` is what is known of just this figure beside what
    its column means.
    """

    text: str
    share: float | None = None
    broken: bool = False
    tip: str = ""
    beneath: str = ""


@dataclass(frozen=True, slots=True)
class SizeRow:
    """One size.

    ``legs`` are those that are built in it, ``twins`` the tubes of double risers that are (``small tube of d3``),
    ``whole`` whether that is all of the line.  ``verdict`` is ``fits`` or the limit that excludes it, ``proposed`` what
    the proposal uses the size for (``proposed: level, risers``).
    """

    size: str
    cells: tuple[SizeCell, ...]
    legs: tuple[str, ...]
    whole: bool
    verdict: str
    passes: bool
    twins: tuple[str, ...] = ()
    proposed: str = ""

    @property
    def used(self) -> bool:
        """Whether anything of the line is built in it."""
        return bool(self.legs or self.twins)

    @property
    def in_use(self) -> str:
        """What the row says of its use: ``in use``, with legs and tubes of double risers where it is not all."""
        if not self.used:
            return ""
        return "in use" if self.whole else f"in use: {', '.join((*self.legs, *self.twins))}"

    @property
    def has_figures(self) -> bool:
        """Whether the flow passes at all."""
        return any(cell.text != "–" for cell in self.cells[:3])


def _with_parts(sweep: SizeSweep, index: int, system: System) -> str:
    """Return what the whole line costs with its parts, empty where it has none."""
    whole, tube = float(sweep.saturation_penalty_K[index]), float(sweep.tube_penalty_K[index])
    if not math.isfinite(whole) or whole - tube < 1e-6:
        return ""
    return f"With its parts the line costs {display_with_unit(Kind.TEMPERATURE_DIFFERENCE, whole, system)}."


def _over_the_year(sweep: SizeSweep, index: int, system: System) -> str:
    """Return what the power comes to in a year, empty where no hours are stated."""
    energy_kWh, cost = float(sweep.yearly_kWh[index]), float(sweep.yearly_cost[index])
    if not math.isfinite(energy_kWh):
        return ""
    words = f"Its power over the stated hours: {_round_figure(energy_kWh)} kWh a year"
    return f"{words}, at the site's price {_round_figure(cost)} a year." if math.isfinite(cost) else f"{words}."


def _round_figure(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 10.0 else f"{value:.2f}"


def _pressure_to_bear(sweep: SizeSweep, index: int, system: System) -> str:
    """Return what the tube has to bear, empty where no design pressure is known."""
    if not math.isfinite(sweep.demand_gauge_Pa):
        return ""
    demand = display_with_unit(Kind.PRESSURE, sweep.demand_gauge_Pa + STANDARD_ATMOSPHERE_Pa, system)
    return f"The tick: {demand}, the high side's design pressure, or that of the practice set where none is stated."


_DROP_MEANING = (
    "Pressure at the line's start less that at its end, the column of a climb or fall included; the highest of all "
    "conditions. It has no limit of its own: the penalty judges it."
)
_WEIGHT = (
    SizeColumn(
        "charge",
        Kind.MASS,
        "charge_kg",
        "Refrigerant in the line, the most of all conditions.",
    ),
    SizeColumn("tube", Kind.MASS, "tube_mass_kg", "Mass of the bare tube of the whole line."),
    SizeColumn(
        "rating",
        Kind.PRESSURE,
        "allowable_gauge_Pa",
        "Gauge pressure that the tube may bear with its joints at its rating temperature, or the rating that its maker "
        "lists. A size whose rating lies below the high side's design pressure is out.",
        excluding=("rating_temper",),
        demand="demand_gauge_Pa",
        aside=_pressure_to_bear,
    ),
)

DISCHARGE_COLUMNS = (
    SizeColumn(
        "penalty",
        Kind.TEMPERATURE_DIFFERENCE,
        "saturation_penalty_K",
        "Condensing temperature that friction, fittings and parts of the line cost, without its climb; the highest of "
        "all conditions. The compressor pays for it in power.",
        most=("discharge_penalty_K",),
        excluding=("discharge_penalty_K",),
    ),
    SizeColumn(
        "drop",
        Kind.PRESSURE_DIFFERENCE,
        "pressure_drop_Pa",
        f"{_DROP_MEANING}\nBeneath it the electric power that it costs the compressor, at the condition "
        "where it costs most.",
        beneath=(Kind.POWER, "extra_power_W"),
        aside=_over_the_year,
    ),
    SizeColumn(
        "velocity",
        Kind.VELOCITY,
        "velocity_m_s",
        "Highest velocity of the gas on any leg at any condition.",
        most=("discharge_velocity_max_m_s",),
        excluding=("discharge_velocity_max_m_s",),
    ),
    SizeColumn(
        "oil return",
        Kind.RATIO,
        "oil_return_ratio",
        "Flow over the least flow that carries an oil film up, the worst of all climbing legs and conditions. Below 1 "
        "oil stays in the riser.",
        least=("oil_return_stop_ratio", "oil_return_margin_ratio"),
        excluding=("oil_return_stop_ratio", "oil_return_margin_ratio"),
    ),
    *_WEIGHT,
)
LIQUID_COLUMNS = (
    SizeColumn(
        "penalty",
        Kind.TEMPERATURE_DIFFERENCE,
        "tube_penalty_K",
        "Saturation temperature that friction and fittings of the line cost, without its parts and its climb; the "
        "highest of all conditions. What the parts cost counts in what is left at the end.",
        most=("liquid_penalty_K",),
        excluding=("liquid_penalty_K",),
        aside=_with_parts,
    ),
    SizeColumn("drop", Kind.PRESSURE_DIFFERENCE, "pressure_drop_Pa", _DROP_MEANING),
    SizeColumn(
        "velocity",
        Kind.VELOCITY,
        "velocity_m_s",
        "Highest velocity of the liquid on any leg at any condition.",
        most=("liquid_velocity_max_m_s",),
        excluding=("liquid_velocity_fast_valve_m_s", "liquid_velocity_max_m_s", "drain_velocity_m_s"),
    ),
    SizeColumn(
        "left",
        Kind.TEMPERATURE_DIFFERENCE,
        "outlet_subcooling_K",
        "Subcooling that is left where the line ends, the least of all conditions. Below 0 the liquid boils before the "
        "valve.",
        least=("liquid_margin_stop_K", "liquid_margin_at_valve_K"),
        excluding=("liquid_margin_stop_K", "liquid_margin_at_valve_K"),
    ),
    *_WEIGHT,
)

SIZE_MEANING = (
    "Size of the line's tube catalogue: copper by outside diameter, steel by nominal size. The figures are those of "
    "the whole line built in it, the worst of all conditions."
)


def size_columns(service: Service) -> tuple[SizeColumn, ...]:
    """Return the figures that a line of a service shows beside the size."""
    return DISCHARGE_COLUMNS if service is Service.DISCHARGE else LIQUID_COLUMNS


def column_tip(column: SizeColumn, practice: PracticeSet | None, system: System) -> str:
    """Return what a column means, and where its limit comes from."""
    words = [column.meaning]
    if practice is not None:
        for name in (*column.most, *column.least):
            rule, way = practice.rule(name), "at most" if name in column.most else "at least"
            limit = f"{display(column.kind, practice.value(name), system)} {unit_label(column.kind, system)}".rstrip()
            source = "the job's own value" if rule.overridden else f"{rule.source} ({rule.status})"
            words.append(f"{way.capitalize()} {limit}: practice set {practice.name}, {name}; {source}.")
    return "\n".join(words)


def sizes_in_use(line: Line) -> dict[str, list[str]]:
    """Return the legs that are built in each size of the line's own tube; double risers and other tubes stay out."""
    used: dict[str, list[str]] = {}
    for leg in line.legs:
        size = leg.size or line.default_size
        if size is not None and leg.double_riser is None and leg.tube in (None, line.tube):
            used.setdefault(size, []).append(leg.id)
    return used


def twins_in_use(line: Line) -> dict[str, list[str]]:
    """Return the tubes of double risers that are built in each size of the line's own tube: ``small tube of d3``."""
    used: dict[str, list[str]] = {}
    for leg in line.legs:
        if leg.double_riser is not None and leg.tube in (None, line.tube):
            used.setdefault(leg.double_riser.small, []).append(f"small tube of {leg.id}")
            used.setdefault(leg.double_riser.large, []).append(f"large tube of {leg.id}")
    return used


def double_riser_words(line: Line) -> str:
    """Return which legs are double risers, and how the table counts them; empty where none is."""
    found = [leg for leg in line.legs if leg.double_riser is not None]
    named = [f"{leg.id} is a double riser of {_sizes_of(leg.double_riser)}" for leg in found]
    if not named:
        return ""
    it = "it" if len(named) == 1 else "them"
    return f"{', '.join(named)}; the figures count {it} as one tube of the row's size, and the whole line keeps {it}."


def _sizes_of(riser: DoubleRiser | None) -> str:
    return f"{riser.small} and {riser.large}" if riser is not None else ""


def size_rows(
    result: LineResult, line: Line, practice: PracticeSet, system: System, proposed: Mapping[str, str] | None = None
) -> tuple[SizeRow, ...]:
    """Return a row for each size of a line's sweep.

    Parameters
    ----------
    result : LineResult
        The line solved; no rows where it has no sweep.
    line : Line
        The line as it is now: its sizes in use.
    practice : PracticeSet
        The limits.
    system : {"si", "ip"}
        Units on the screen.
    proposed : mapping of str to str, optional
        What the row of a size says of its place in the proposal.
    """
    sweep = result.sweep
    if sweep is None:
        return ()
    columns = size_columns(line.service)
    limits = [_limit(column, practice, sweep) for column in columns]
    used, twins = sizes_in_use(line), twins_in_use(line)
    rows = []
    for index, size in enumerate(sweep.sizes):
        excluded = sweep.excluded_by[index]
        legs = tuple(used.get(size, ()))
        rows.append(
            SizeRow(
                size=size,
                cells=tuple(
                    _cell(column, limit, sweep, index, excluded, system)
                    for column, limit in zip(columns, limits, strict=True)
                ),
                legs=legs,
                whole=len(legs) == len(line.legs) and bool(legs),
                verdict=exclusion_word(excluded),
                passes=excluded is None,
                twins=tuple(twins.get(size, ())),
                proposed=(proposed or {}).get(size, ""),
            )
        )
    return tuple(rows)


_Limit = tuple[Callable[[float], bool], float] | None


def _limit(column: SizeColumn, practice: PracticeSet, sweep: SizeSweep) -> _Limit:
    """Return whether a value breaks a column's limit, and the limit itself."""
    if column.demand is not None:
        demand = float(getattr(sweep, column.demand))
        return ((lambda value: value < demand), demand) if math.isfinite(demand) else None
    if column.most:
        most = min(practice.value(name) for name in column.most)
        return (lambda value: value > most), most
    if column.least:
        least = max(practice.value(name) for name in column.least)
        return (lambda value: value < least), least
    return None


def _cell(
    column: SizeColumn, limit: _Limit, sweep: SizeSweep, index: int, excluded: str | None, system: System
) -> SizeCell:
    value = float(getattr(sweep, column.values)[index])
    shown = value + STANDARD_ATMOSPHERE_Pa if column.kind is Kind.PRESSURE else value
    text = display(column.kind, shown, system)
    broken = excluded in column.excluding
    tip = column.aside(sweep, index, system) if column.aside is not None else ""
    if limit is None or not math.isfinite(value):
        return SizeCell(text, None, broken, tip, _beneath(column, sweep, index, system))
    breaks, bound = limit
    return SizeCell(text, share_of_bar(value, bound), broken or breaks(value), tip)


def _beneath(column: SizeColumn, sweep: SizeSweep, index: int, system: System) -> str:
    if column.beneath is None:
        return ""
    kind, values = column.beneath
    value = float(getattr(sweep, values)[index])
    return display_with_unit(kind, value, system) if math.isfinite(value) else ""
