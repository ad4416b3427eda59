"""Subcooling that is left where the liquid line ends: whether liquid reaches the expansion valve."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView, rule_source
from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.remedy import AskForSubcooling
from linesizer.domain.result import LineFlow, LineResult
from linesizer.domain.route import Service
from linesizer.units import ZERO_CELSIUS_K, Kind

STOP_WORDS = (
    "At {condition} the liquid in line {line} boils before its end: it is {short} short of staying liquid ({lift} lost "
    "to lift, {rest} to friction, fittings and parts). The expansion valve gets bubbles and loses capacity. It needs "
    "{needed} of subcooling where it has {subcooling}, or less lift, or less resistance."
)
WARN_WORDS = (
    "At {condition} line {line} leaves {value} of subcooling at its end; practice asks for {limit}. {lift} go to lift, "
    "{rest} to friction, fittings and parts. {needed} of subcooling instead of {subcooling} would meet it."
)


def liquid_margin(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each liquid line that ends with less subcooling than practice asks for."""
    for line in view.lines:
        if line.flow is None or line.line.service is not Service.LIQUID:
            continue
        left = line.flow.outlet_subcooling_K
        if not np.isfinite(left).any():
            continue
        worst = int(np.nanargmin(left))
        found = _short(view, line, line.flow, worst)
        if found is not None:
            yield found


def _short(view: CircuitView, line: LineResult, flow: LineFlow, worst: int) -> Finding | None:
    value = float(flow.outlet_subcooling_K[worst])
    stop, margin = view.practice.value("liquid_margin_stop_K"), view.practice.value("liquid_margin_at_valve_K")
    if value >= max(stop, margin):
        return None
    below = value < stop
    broken = "liquid_margin_stop_K" if below else "liquid_margin_at_valve_K"
    rule, limit = view.practice.rule(broken), view.practice.value(broken)
    condition = view.circuit.conditions[worst]
    start = float(view.table.bubble_temperature(flow.inlet_Pa[worst]))
    without_lift = float(
        view.table.bubble_temperature(flow.inlet_Pa[worst] - (flow.drop_Pa[worst] - flow.static_Pa[worst]))
    )
    end = float(view.table.bubble_temperature(flow.outlet_Pa[worst]))
    subcooling = start - float(view.conditions.liquid_C[worst]) - ZERO_CELSIUS_K
    needed = _needed_K(view, flow, worst, subcooling, max(stop, margin))
    can_ask = condition.subcooling_at is SubcoolingAt.LIQUID_LINE or abs(subcooling - condition.subcooling_K) < 1e-6
    return Finding(
        code="flashing_before_valve" if below else "liquid_margin_short",
        level=rule.level,
        title=f"{line.line.id}: {'liquid boils before the valve' if below else 'little subcooling left at the valve'}",
        words=STOP_WORDS if below else WARN_WORDS,
        circuit=view.circuit.id,
        line=line.line.id,
        condition=view.condition_id(worst),
        kind=Kind.TEMPERATURE_DIFFERENCE,
        value=value,
        limit=limit,
        rule=broken,
        source=rule_source(view.practice, rule),
        figures=(
            ("condition", view.condition_title(worst)),
            ("line", line.line.id),
            ("value", Figure(Kind.TEMPERATURE_DIFFERENCE, value)),
            ("short", Figure(Kind.TEMPERATURE_DIFFERENCE, stop - value)),
            ("limit", Figure(Kind.TEMPERATURE_DIFFERENCE, limit)),
            ("rest", Figure(Kind.TEMPERATURE_DIFFERENCE, start - without_lift)),
            ("lift", Figure(Kind.TEMPERATURE_DIFFERENCE, without_lift - end)),
            ("subcooling", Figure(Kind.TEMPERATURE_DIFFERENCE, subcooling)),
            ("needed", Figure(Kind.TEMPERATURE_DIFFERENCE, needed)),
        ),
        remedy=AskForSubcooling(condition.id, round(needed + 0.05, 1)) if can_ask else None,
    )


def _needed_K(view: CircuitView, flow: LineFlow, worst: int, subcooling_K: float, limit_K: float) -> float:
    """Return the subcooling at the line's start that leaves the limit at its end, [K].

    Colder liquid is denser, so that a lift costs more of it; its smaller flow, which costs less, is left out.
    """
    inlet, outlet = float(flow.inlet_Pa[worst]), float(flow.outlet_Pa[worst])
    bubble, liquid = view.table.bubble_temperature, view.table.liquid_pt
    start = float(bubble(inlet))
    here = float(liquid(inlet, start - subcooling_K).density_kg_m3)
    short = limit_K - float(flow.outlet_subcooling_K[worst])
    needed = subcooling_K + short
    for _ in range(3):
        heavier = float(liquid(inlet, start - needed).density_kg_m3) / here - 1.0
        lost = float(bubble(outlet) - bubble(outlet - heavier * float(flow.static_Pa[worst])))
        needed = subcooling_K + short + lost
    return needed
