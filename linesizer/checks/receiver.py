"""Receivers: room for the whole charge, for what floods the condensers in winter, and liquid over the dip tube."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.domain.charge_result import ReceiverLevel
from linesizer.domain.equipment import Role
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.solver.flooding import floods
from linesizer.units import Kind

PUMPED_WORDS = (
    "With the whole charge of {charge} pumped down, receiver {receiver} would be {full} full at {temperature}; "
    "practice leaves room above {most}, since liquid that fills a vessel bursts it when it warms. {needed}; or never "
    "pump the whole charge down into it."
)
SUMMER_WORDS = (
    "In summer, at {condition}, {drained}receiver {receiver} stands {full} full; practice keeps it to {most}. "
    "{beyond}{needed}."
)
ENOUGH = "{volume} of receiver in all would do, run as full"
NEVER = "No larger receiver that runs as full would do; let it run less full"
BEYOND = "What does not fit backs up into the condenser and drives the pressure up. "
DRAINED = "when the condensers have drained what floods them in winter, "
LOW_WORDS = (
    "At {condition} receiver {receiver} stands {full} full; practice asks for {least}, so that the dip tube stays "
    "covered. {why}"
)
LOW_FILL = "Enter a greater operating fill: the charge grows by it."
LOW_CHARGE = "Charge for the condition that needs most, or let less stand in the condensers."
MISSING_WORDS = (
    "Flooding control backs {charge} more into the condensers in winter and lets it out in summer; no receiver is "
    "entered that could take it. Enter the receiver with its volume and operating fill."
)


def receiver(view: CircuitView) -> Iterator[Finding]:
    """Yield findings for receivers that are too small, or run too low, and for one that flooding lacks."""
    for level in view.charge.receivers:
        yield from _pumped_down(view, level)
        yield from _summer(view, level)
        yield from _low(view, level)
    flooded = view.charge.flooding
    if floods(view.circuit) and not any(item.role is Role.RECEIVER for item in view.circuit.equipment):
        most = 0.0 if flooded is None or not np.isfinite(flooded.kg).any() else float(np.nanmax(flooded.kg))
        yield by_rule(
            view,
            "receiver_max_fill_operating",
            code="receiver_missing",
            title=f"{view.circuit.title}: no receiver for what floods the condenser",
            words=MISSING_WORDS,
            level=Level.STOP,
            charge=Figure(Kind.MASS, most) if most > 0.0 else "liquid",
        )


def _pumped_down(view: CircuitView, level: ReceiverLevel) -> Iterator[Finding]:
    limit = view.practice.value("receiver_max_fill_pumpdown")
    if level.pumped_down <= limit:
        return
    name = _name(view, level)
    yield by_rule(
        view,
        "receiver_max_fill_pumpdown",
        code="receiver_pumpdown",
        title=f"{name}: too small to pump the charge down into",
        words=_with_volume(PUMPED_WORDS, level.pumped_volume_m3),
        kind=Kind.FRACTION,
        value=level.pumped_down,
        limit=limit,
        receiver=name,
        full=_percent(level.pumped_down),
        most=_percent(limit),
        charge=Figure(Kind.MASS, max(view.charge.total_kg or 0.0, view.charge.held_kg)),
        temperature=Figure(Kind.TEMPERATURE, view.practice.value("pumpdown_temperature_C")),
        volume=Figure(Kind.VOLUME, level.pumped_volume_m3 or 0.0),
    )


def _summer(view: CircuitView, level: ReceiverLevel) -> Iterator[Finding]:
    limit = view.practice.value("receiver_max_fill_operating")
    if level.summer is None or not level.summer > limit:
        return
    name = _name(view, level)
    yield by_rule(
        view,
        "receiver_max_fill_operating",
        code="receiver_summer",
        title=f"{name}: too full in summer",
        words=_with_volume(SUMMER_WORDS, level.summer_volume_m3),
        level=Level.STOP if level.summer > 1.0 else None,
        condition=level.summer_index,
        kind=Kind.FRACTION,
        value=level.summer,
        limit=limit,
        receiver=name,
        full=_percent(level.summer),
        most=_percent(limit),
        drained=DRAINED if view.charge.flooding is not None else "",
        beyond=BEYOND if level.summer > 1.0 else "",
        volume=Figure(Kind.VOLUME, level.summer_volume_m3 or 0.0),
    )


def _low(view: CircuitView, level: ReceiverLevel) -> Iterator[Finding]:
    limit = view.practice.value("receiver_min_fill")
    if level.running is None or not np.isfinite(level.running).any():
        return
    worst = int(np.nanargmin(level.running))
    lowest = float(level.running[worst])
    # The fill that the person states is exact; what solving adds to it at the governing condition is not.
    if lowest >= limit - 1e-9:
        return
    name = _name(view, level)
    yield by_rule(
        view,
        "receiver_min_fill",
        code="receiver_low",
        title=f"{name}: too little liquid",
        words=LOW_WORDS,
        condition=worst,
        kind=Kind.FRACTION,
        value=max(0.0, lowest),
        limit=limit,
        receiver=name,
        full=_percent(max(0.0, lowest)),
        least=_percent(limit),
        why=LOW_FILL if worst == view.charge.condition_index else LOW_CHARGE,
    )


def _percent(fill: float) -> str:
    return f"{100.0 * fill:.0f} %"


def _name(view: CircuitView, level: ReceiverLevel) -> str:
    return next(item.name or item.id for item in view.circuit.equipment if item.id == level.id)


def _with_volume(words: str, volume_m3: float | None) -> str:
    return words.replace("{needed}", NEVER if volume_m3 is None else ENOUGH)
