"""The rows of the size table: a line's sweep against the limits that judge it, as a person reads it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.result import LineResult, SizeSweep
from linesizer.domain.route import Line, Service
from linesizer.sizing.exclusion import exclusion_word
from linesizer.ui.panels.limit_bar import share_of_bar
from linesizer.units import Kind, STANDARD_ATMOSPHERE_Pa, System, display, unit_label


@dataclass(frozen=True, slots=True)
class SizeColumn:
    """One figure of the table: what it is called and means, and the rules of the practice set that limit it.

    ``most`` and ``least`` name rules; of several the strictest counts.  ``barred`` is False where the rule judges
    another figure than the one that is shown, so that a tick would mislead.
    """

    name: str
    kind: Kind
    values: str
    meaning: str
    most: tuple[str, ...] = ()
    least: tuple[str, ...] = ()
    excluding: tuple[str, ...] = ()
    barred: bool = True

    def head(self, system: System) -> str:
        """Return the head: name, and the unit in a row of its own."""
        return f"{self.name}\n{unit_label(self.kind, system)}"


@dataclass(frozen=True, slots=True)
class SizeCell:
    """One figure: its text, how much of its bar it fills (None without a bar), whether it breaks its limit."""

    text: str
    share: float | None = None
    broken: bool = False


@dataclass(frozen=True, slots=True)
class SizeRow:
    """One size.

    ``legs`` are those that are built in it, ``whole`` whether that is all of them.  ``verdict`` is ``fits`` or the
    limit that excludes it.
    """

    size: str
    cells: tuple[SizeCell, ...]
    legs: tuple[str, ...]
    whole: bool
    verdict: str
    passes: bool

    @property
    def in_use(self) -> str:
        """What the row says of its use: ``in use``, with the legs where it is not all."""
        if not self.legs:
            return ""
        return "in use" if self.whole else f"in use: {', '.join(self.legs)}"

    @property
    def has_figures(self) -> bool:
        """Whether the flow passes at all."""
        return any(cell.text != "–" for cell in self.cells[:3])


_SHARED = (
    SizeColumn(
        "drop",
        Kind.PRESSURE_DIFFERENCE,
        "pressure_drop_Pa",
        "Pressure at the line's start less that at its end, the column of a climb or fall included; the highest of all "
        "conditions. It has no limit of its own: the penalty judges it.",
    ),
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
    *_SHARED,
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
        "saturation_penalty_K",
        "Saturation temperature that friction, fittings and parts of the line cost, without its climb; the highest of "
        "all conditions. The limit judges tube and fittings alone, so a line with parts may pass with more than it.",
        most=("liquid_penalty_K",),
        excluding=("liquid_penalty_K",),
        barred=False,
    ),
    *_SHARED,
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


def size_rows(result: LineResult, line: Line, practice: PracticeSet, system: System) -> tuple[SizeRow, ...]:
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
    """
    sweep = result.sweep
    if sweep is None:
        return ()
    columns = size_columns(line.service)
    limits = [_limit(column, practice) for column in columns]
    used = sizes_in_use(line)
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
            )
        )
    return tuple(rows)


_Limit = tuple[Callable[[float], bool], float] | None


def _limit(column: SizeColumn, practice: PracticeSet) -> _Limit:
    """Return whether a value breaks a column's limit, and the limit itself."""
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
    if limit is None or not column.barred or not math.isfinite(value):
        return SizeCell(text, None, broken)
    breaks, bound = limit
    return SizeCell(text, share_of_bar(value, bound), broken or breaks(value))
