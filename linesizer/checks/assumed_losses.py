"""Losses that nobody has stated: parts at a named default, a condenser without its drop."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.catalog.parts import part_kind
from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.checks.naming import listed, named_part
from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.equipment import Equipment, ReceiverKind, Role
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.result import LineResult
from linesizer.domain.route import Service
from linesizer.units import Kind

PARTS_WORDS = (
    "In line {line} the loss of {parts} is an assumption of the program, named in the parts' list, not a maker's "
    "figure. {cost}Enter the Kv, the drop or the equivalent length from the supplier's sheet where it counts."
)
COST_WORDS = "All parts of the line together cost up to {value} (at {condition}). "
CONDENSER_WORDS = (
    "The drop of {condenser} on the refrigerant's side is not stated and counts as nothing. The stated subcooling is "
    "then right only if it was measured against the pressure at the condenser's outlet; counted from the condensing "
    "temperature, as data sheets often do, {assumed} of drop, which practice would assume, take {value} of it away "
    "at the valve (at {condition}). Enter the maker's drop and the flow that it holds for."
)


def assumed_losses(view: CircuitView) -> Iterator[Finding]:
    """Yield a note for each line with parts whose loss is assumed."""
    for line in view.lines:
        parts = [
            part for leg in line.line.legs for part in leg.parts if part.loss is None and part_kind(part.kind).assumed
        ]
        if parts:
            yield _assumed(view, line, [named_part(part) for part in parts])


def condenser_drop(view: CircuitView) -> Iterator[Finding]:
    """Yield a note for each condenser without a stated drop, where the liquid at the valve would feel it."""
    fed = any(line.service is Service.LIQUID for line in view.circuit.lines)
    through = any(_is_through_receiver(item) for item in view.circuit.equipment)
    own = [condition.subcooling_at is SubcoolingAt.CONDENSER for condition in view.circuit.conditions]
    # Behind a receiver liquid is saturated anyhow; measured in the line it has the condenser's drop behind it.
    if not fed or through:
        return
    pressure, drop = view.conditions.liquid_Pa, view.practice.value("condenser_drop_assumed_Pa")
    lower = np.maximum(pressure - drop, view.table.minimum_pressure_Pa)
    cost = np.where(own, view.table.bubble_temperature(pressure) - view.table.bubble_temperature(lower), -np.inf)
    worst = int(np.argmax(np.where(np.isfinite(cost), cost, -np.inf)))
    for condenser in view.circuit.equipment:
        if condenser.role is Role.CONDENSER and condenser.drop_Pa is None and float(cost[worst]) > 0.0:
            yield _unstated(view, condenser, worst, float(cost[worst]), drop)


def _is_through_receiver(item: Equipment) -> bool:
    return item.role is Role.RECEIVER and item.kind is ReceiverKind.THROUGH


def _assumed(view: CircuitView, line: LineResult, names: list[str]) -> Finding:
    total = None if line.legs is None else line.legs.parts_Pa.sum(axis=0)
    known = total is not None and bool(np.isfinite(total).any())
    worst = int(np.nanargmax(total)) if total is not None and known else None
    value = float(total[worst]) if total is not None and worst is not None else None
    figures: list[tuple[str, Figure | str]] = [("line", line.line.id), ("parts", listed(names))]
    if value is not None and worst is not None:
        figures += [("value", Figure(Kind.PRESSURE_DIFFERENCE, value)), ("condition", view.condition_title(worst))]
    return Finding(
        code="assumed_losses",
        level=Level.NOTE,
        title=f"{line.line.id}: losses of parts are assumed",
        words=PARTS_WORDS.replace("{cost}", "" if value is None else COST_WORDS),
        circuit=view.circuit.id,
        line=line.line.id,
        condition=None if worst is None else view.condition_id(worst),
        kind=None if value is None else Kind.PRESSURE_DIFFERENCE,
        value=value,
        rule="assumed losses",
        source="the catalogue of parts: typical of the trade, or counted as a fitting alike",
        figures=tuple(figures),
    )


def _unstated(view: CircuitView, condenser: Equipment, worst: int, cost: float, drop: float) -> Finding:
    name = condenser.name or condenser.id
    return by_rule(
        view,
        "condenser_drop_assumed_Pa",
        code="condenser_drop_not_stated",
        title=f"{name}: its pressure drop is not stated",
        words=CONDENSER_WORDS,
        condition=worst,
        kind=Kind.TEMPERATURE_DIFFERENCE,
        value=cost,
        condenser=name,
        assumed=Figure(Kind.PRESSURE_DIFFERENCE, drop),
    )
