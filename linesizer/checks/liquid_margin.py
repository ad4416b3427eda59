"""Subcooling that is left where the liquid line ends: whether liquid reaches the expansion valve."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.geometry import line_geometry
from linesizer.domain.remedy import AskForSubcooling
from linesizer.domain.result import LineFlow, LineResult, LiquidBudget
from linesizer.domain.route import Service
from linesizer.solver.static_head import GRAVITY
from linesizer.units import Kind

STOP_WORDS = (
    "At {condition} the liquid in line {line} begins to boil {metres} from its start: it is {short} short of staying "
    "liquid ({lift} lost to lift, {tube} to friction and fittings, {parts} to parts{heat}). The expansion "
    "valve gets bubbles, about {vapour} by mass (indicative), and loses capacity. It needs {needed} of subcooling "
    "where it has {subcooling}, or less lift, or less resistance."
)
WARN_WORDS = (
    "At {condition} line {line} leaves {value} of subcooling at its end; practice asks for {limit}. {lift} go to lift, "
    "{tube} to friction and fittings, {parts} to parts{heat}. {needed} of subcooling instead of {subcooling} "
    "would meet it."
)
RECEIVER_WORDS = (
    "Liquid line {line} ends in receiver {receiver}, where its liquid stands saturated, whatever subcooling it "
    "brought. The valve behind it has the column from the receiver down to the unit only: {value} at {condition}; "
    "practice asks for {limit}. Put the receiver before the liquid line, higher above the unit, or a subcooler "
    "behind it."
)


def liquid_margin(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each liquid line that ends with less subcooling than practice asks for."""
    receivers = {e.id: e for e in view.circuit.equipment if e.role is Role.RECEIVER}
    for line in view.lines:
        if line.flow is None or line.flow.budget is None or line.line.service is not Service.LIQUID:
            continue
        sinks = line_geometry(line.line).sinks
        ends = [receivers.get(end.equipment) for end in line.line.ends if end.node in sinks]
        receiver = next((found for found in ends if found is not None), None)
        if receiver is not None:
            yield from _behind_receiver(view, line, line.flow, receiver)
        left = line.flow.outlet_subcooling_K
        if not np.isfinite(left).any():
            continue
        worst = int(np.nanargmin(left))
        found = _short(view, line, line.flow, line.flow.budget, worst, at_receiver=receiver is not None)
        if found is not None:
            yield found


def _short(
    view: CircuitView, line: LineResult, flow: LineFlow, budget: LiquidBudget, worst: int, *, at_receiver: bool
) -> Finding | None:
    value = float(flow.outlet_subcooling_K[worst])
    stop, margin = view.practice.value("liquid_margin_stop_K"), view.practice.value("liquid_margin_at_valve_K")
    if value >= (stop if at_receiver else max(stop, margin)):
        return None
    below = value < stop
    broken = "liquid_margin_stop_K" if below else "liquid_margin_at_valve_K"
    condition = view.circuit.conditions[worst]
    subcooling = float(budget.subcooling_K[worst])
    needed = _needed_K(view, flow, worst, subcooling, max(stop, margin))
    can_ask = condition.subcooling_at is SubcoolingAt.LIQUID_LINE or abs(subcooling - condition.subcooling_K) < 1e-3
    warming = float(budget.heat_K[worst])
    # The little that throttling moves is not worth a word.
    heat = ", {gained} to heat" if abs(warming) >= 0.05 else ""
    fraction = float(flow.indicative_vapour_fraction[worst]) if below else 0.0

    def kelvins(number: float) -> Figure:
        return Figure(Kind.TEMPERATURE_DIFFERENCE, number)

    return by_rule(
        view,
        broken,
        code="flashing_before_valve" if below else "liquid_margin_short",
        title=f"{line.line.id}: {'liquid boils before the valve' if below else 'little subcooling left at the valve'}",
        words=(STOP_WORDS if below else WARN_WORDS).replace("{heat}", heat),
        line=line.line.id,
        condition=worst,
        kind=Kind.TEMPERATURE_DIFFERENCE,
        value=value,
        limit=view.practice.value(broken),
        remedy=AskForSubcooling(condition.id, round(needed + 0.05, 1)) if can_ask else None,
        metres=Figure(Kind.LENGTH, float(flow.turns_at_m[worst]) if below else 0.0),
        short=kelvins(stop - value),
        lift=kelvins(float(budget.lift_K[worst])),
        tube=kelvins(float(budget.friction_K[worst] + budget.fittings_K[worst])),
        parts=kelvins(float(budget.parts_K[worst])),
        gained=kelvins(warming),
        vapour=f"{100.0 * fraction:.1f} %",
        needed=kelvins(needed),
        subcooling=kelvins(subcooling),
    )


def _behind_receiver(view: CircuitView, line: LineResult, flow: LineFlow, receiver: Equipment) -> Iterator[Finding]:
    """Yield a finding where the column behind a receiver at the line's end is not enough for the valve."""
    unit = next((e for e in view.circuit.equipment if e.role is Role.UNIT), None)
    if unit is None:
        return
    density = view.table.saturated_liquid(flow.outlet_Pa).density_kg_m3
    column = GRAVITY * density * (receiver.at_m[2] - unit.at_m[2])
    bubble = view.table.bubble_temperature
    margin = np.asarray(bubble(flow.outlet_Pa + column) - bubble(flow.outlet_Pa))
    asked, stop = view.practice.value("liquid_margin_at_valve_K"), view.practice.value("liquid_margin_stop_K")
    if not np.isfinite(margin).any() or np.nanmin(margin) >= max(asked, stop):
        return
    worst = int(np.nanargmin(margin))
    broken = "liquid_margin_stop_K" if margin[worst] < stop else "liquid_margin_at_valve_K"
    yield by_rule(
        view,
        broken,
        code="receiver_at_line_end",
        title=f"{line.line.id}: the valve has the receiver's column only",
        words=RECEIVER_WORDS,
        line=line.line.id,
        condition=worst,
        kind=Kind.TEMPERATURE_DIFFERENCE,
        value=float(margin[worst]),
        limit=view.practice.value(broken),
        receiver=receiver.name or receiver.id,
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
