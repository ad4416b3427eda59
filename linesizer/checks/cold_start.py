"""The start in winter: a receiver soaked in the cold must still push its liquid to the valve."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView, gauge_figure
from linesizer.checks.making import by_rule
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Figure, Finding
from linesizer.solver.static_head import GRAVITY
from linesizer.units import ZERO_CELSIUS_K, Kind, atmospheric_pressure_Pa

WORDS = (
    "Receiver {receiver}, soaked at {cold}, stands at {pressure}. After the lift of its liquid {value} are left "
    "above the evaporating pressure of {condition}; practice asks for {limit} at the valve before the condenser has "
    "come up. Keep the receiver warm (indoors, insulated and heated), or hold its pressure back with a check valve "
    "and a low-ambient start."
)


def cold_start(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each receiver that cannot feed the valve after a cold night."""
    unit = next((e for e in view.circuit.equipment if e.role is Role.UNIT), None)
    limit = view.practice.value("cold_start_pressure_Pa")
    for receiver in view.circuit.equipment:
        if receiver.role is not Role.RECEIVER:
            continue
        cold_C = _soaked_C(view, receiver)
        if cold_C is None:
            continue
        cold_K = max(cold_C + ZERO_CELSIUS_K, view.table.minimum_saturation_temperature_K)
        pressure = float(view.table.bubble_pressure(cold_K))
        density = float(view.table.saturated_liquid(pressure).density_kg_m3)
        lift = 0.0 if unit is None else unit.at_m[2] - receiver.at_m[2]
        left = pressure - GRAVITY * density * lift - view.conditions.evaporating_Pa
        worst = int(np.argmin(left))
        if left[worst] >= limit:
            continue
        yield by_rule(
            view,
            "cold_start_pressure_Pa",
            code="cold_start",
            title=f"{receiver.name or receiver.id}: too cold to feed the valve at a winter start",
            words=WORDS,
            condition=worst,
            kind=Kind.PRESSURE_DIFFERENCE,
            value=float(left[worst]),
            limit=limit,
            receiver=receiver.name or receiver.id,
            cold=Figure(Kind.TEMPERATURE, cold_C),
            pressure=gauge_figure(pressure - atmospheric_pressure_Pa(view.site.altitude_m)),
        )


def _soaked_C(view: CircuitView, receiver: Equipment) -> float | None:
    if receiver.place == "outdoor":
        stated = [c.ambient_C for c in view.circuit.conditions if c.ambient_C is not None]
        winter = view.site.winter_ambient_C
        return winter if winter is not None else min(stated, default=None)
    room = next((room for room in view.site.rooms if room.id == receiver.place), None)
    if room is not None and room.ambient_C is not None:
        return room.ambient_C
    return view.site.indoor_ambient_C
