"""Pressures and temperatures that the compressor, the cut-out and the valve live with."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView, gauge_figure
from linesizer.checks.making import by_rule
from linesizer.domain.circuit import HeadPressureControlKind
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.route import Service
from linesizer.units import Kind, atmospheric_pressure_Pa

HOT_WORDS = (
    "At {condition} the gas leaves the compressor at {value}; oil suffers from {limit} on. The compressor maker's own "
    "figure goes first. Less superheat, a lower condensing temperature or liquid injection brings it down."
)
CUTOUT_WORDS = (
    "At {condition} the compressor works against {against}, the line's drop and column included. With a "
    "high-pressure cut-out at {fraction} of the design pressure, {cutout}, less than {margin} is left: nuisance "
    "trips on a hot day. A larger discharge line, a larger condenser or a higher-rated high side helps."
)
VALVE_WORDS = (
    "At {condition} the expansion valve has {value} across it, before its distributor takes its share; practice asks "
    "for {limit}. A thermostatic valve starves on less. Hold the condensing pressure up, or choose the valve for it."
)
FLOODED_WORDS = (
    "Discharge line and condenser lose {value} at {condition}, at full flow; the bypass valve of the flooding "
    "control opens at {opens}, so that from {limit} on hot gas passes the condenser all summer. Larger lines, or a "
    "valve with a higher setting."
)


def discharge_temperature(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding where the discharge gas is hotter than oil bears."""
    temperature = view.conditions.discharge_C
    limit = view.practice.value("discharge_temperature_max_C")
    if np.isfinite(temperature).any() and np.nanmax(temperature) > limit:
        worst = int(np.nanargmax(temperature))
        yield by_rule(
            view,
            "discharge_temperature_max_C",
            code="discharge_too_hot",
            title=f"{view.circuit.title}: discharge gas too hot",
            words=HOT_WORDS,
            condition=worst,
            kind=Kind.TEMPERATURE,
            value=float(temperature[worst]),
            limit=limit,
        )


def cutout_margin(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding where the compressor's pressure comes too near to the high-pressure cut-out."""
    if not np.isfinite(view.maximum_gauge_Pa) or not np.isfinite(view.conditions.discharge_Pa).any():
        return
    atmosphere = atmospheric_pressure_Pa(view.site.altitude_m)
    fraction = view.practice.value("hp_cutout_fraction")
    margin = view.practice.value("hp_cutout_margin_Pa")
    cutout = fraction * view.maximum_gauge_Pa
    worst = int(np.nanargmax(view.conditions.discharge_Pa))
    against = float(view.conditions.discharge_Pa[worst]) - atmosphere
    if against <= cutout - margin:
        return
    yield by_rule(
        view,
        "hp_cutout_fraction",
        code="cutout_near",
        title=f"{view.circuit.title}: close to the high-pressure cut-out",
        words=CUTOUT_WORDS,
        condition=worst,
        kind=Kind.PRESSURE_DIFFERENCE,
        value=against,
        limit=cutout - margin,
        against=gauge_figure(against),
        cutout=gauge_figure(cutout),
        fraction=f"{100.0 * fraction:.0f} %",
        margin=Figure(Kind.PRESSURE_DIFFERENCE, margin),
    )


def valve_pressure(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding where the expansion valve has little pressure to work with."""
    limit = view.practice.value("valve_pressure_available_Pa")
    for line in view.lines:
        if line.flow is None or line.line.service is not Service.LIQUID:
            continue
        across = line.flow.outlet_Pa - view.conditions.evaporating_Pa
        if not np.isfinite(across).any() or np.nanmin(across) >= limit:
            continue
        worst = int(np.nanargmin(across))
        yield by_rule(
            view,
            "valve_pressure_available_Pa",
            code="valve_pressure_low",
            title=f"{line.line.id}: little pressure at the expansion valve",
            words=VALVE_WORDS,
            line=line.line.id,
            condition=worst,
            kind=Kind.PRESSURE_DIFFERENCE,
            value=float(across[worst]),
            limit=limit,
        )


def flooded_circuit_drop(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding where a flooding control's bypass would open at full flow in summer."""
    control = view.circuit.head_pressure_control
    if control.kind is not HeadPressureControlKind.FLOODING:
        return
    usual = view.practice.value("bypass_valve_opens_Pa")
    opens = usual if control.differential_Pa is None else control.differential_Pa
    limit = view.practice.value("flooded_circuit_drop_max_Pa") * opens / usual
    lines = [x for x in view.lines if x.flow is not None and x.line.service is Service.DISCHARGE]
    if not lines:
        return
    drops = [x.flow.drop_Pa - x.flow.static_Pa for x in lines if x.flow is not None]
    condenser = view.conditions.condensing_Pa - view.conditions.liquid_Pa
    total = np.max(drops, axis=0) + condenser
    if not np.isfinite(total).any() or np.nanmax(total) <= limit:
        return
    worst = int(np.nanargmax(total))
    yield by_rule(
        view,
        "flooded_circuit_drop_max_Pa",
        code="flooding_bypass_opens",
        title=f"{view.circuit.title}: the flooding control's bypass would stay open",
        words=FLOODED_WORDS,
        line=lines[0].line.id,
        condition=worst,
        kind=Kind.PRESSURE_DIFFERENCE,
        value=float(total[worst]),
        limit=limit,
        opens=Figure(Kind.PRESSURE_DIFFERENCE, opens),
    )
