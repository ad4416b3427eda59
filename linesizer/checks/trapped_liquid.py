"""Liquid that valves can shut in without a relief path: it has no room when it warms."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.naming import listed, named_part
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.remedy import AddPart
from linesizer.solver.trapped_liquid import Device, ShutIn, pressure_rise_per_kelvin, shut_in_stretches
from linesizer.units import ZERO_CELSIUS_K, Kind, atmospheric_pressure_Pa

WORDS = (
    "{devices} can shut liquid in along {legs}, {length} of tube, with no way out. Liquid shut in has no room when "
    "it warms: its pressure rises by about {value} for each {step}. {until}Put a relief valve between them that lets "
    "out to the side with room, use a valve with a vented seat, or leave one of them out. Relief is sized and piped "
    "by the local code."
)
UNTIL_WORDS = "Warmed by {warming} from {condition}, it stands at what the tube may bear. "
SOURCE = (
    "ANSI/ASHRAE 15 and EN 378-2 ask that liquid which can be shut in has relief (from memory); rise from the "
    "property table"
)


def trapped_liquid(view: CircuitView) -> Iterator[Finding]:
    """Yield a stop for each stretch of liquid between devices that can shut without a relief path."""
    stretches = shut_in_stretches(view.circuit)
    if not stretches:
        return
    state = view.conditions
    rises = pressure_rise_per_kelvin(view.table, state.liquid_Pa, state.liquid_C + ZERO_CELSIUS_K)
    worst = int(np.argmax(np.where(np.isfinite(rises), rises, -np.inf)))
    for stretch in stretches:
        yield _found(view, stretch, worst, float(rises[worst]))


def _found(view: CircuitView, stretch: ShutIn, worst: int, rise: float) -> Finding:
    line, leg, at = stretch.longest
    warming = _warming_K(view, stretch, worst, rise)
    devices = listed([_named(device) for device in stretch.devices])
    names = [f"{'' if name == line else f'{name} '}{own}" for name, own in stretch.legs]
    return Finding(
        code="trapped_liquid",
        level=Level.STOP,
        title=f"{line}: liquid can be shut in without relief",
        words=WORDS.replace("{until}", UNTIL_WORDS if warming is not None else ""),
        circuit=view.circuit.id,
        line=line,
        leg=leg,
        kind=Kind.PRESSURE_DIFFERENCE,
        value=rise,
        rule="trapped liquid",
        source=SOURCE,
        figures=(
            ("devices", devices[:1].upper() + devices[1:]),
            ("legs", f"{'leg' if len(names) == 1 else 'legs'} {listed(names)}"),
            ("length", Figure(Kind.LENGTH, stretch.length_m)),
            ("value", Figure(Kind.PRESSURE_DIFFERENCE, rise)),
            ("step", Figure(Kind.TEMPERATURE_DIFFERENCE, 1.0)),
            ("warming", Figure(Kind.TEMPERATURE_DIFFERENCE, 0.0 if warming is None else warming)),
            ("condition", view.condition_title(worst)),
        ),
        remedy=AddPart(line, leg, "relief_valve", at),
    )


def _warming_K(view: CircuitView, stretch: ShutIn, worst: int, rise: float) -> float | None:
    """Return the warming that brings the weakest tube of a stretch to its rating, None where that is not known."""
    ratings = []
    for result in view.lines:
        rated = view.ratings.get(result.line.id)
        if result.legs is not None and rated is not None:
            inside = [(result.line.id, leg) in stretch.legs for leg in result.legs.ids]
            ratings += [float(value) for value in rated[inside]]
    if not ratings or not rise > 0.0:
        return None
    gauge = float(view.conditions.liquid_Pa[worst]) - atmospheric_pressure_Pa(view.site.altitude_m)
    warming = (min(ratings) - gauge) / rise
    return warming if warming > 0.0 else None


def _named(device: Device) -> str:
    return f"{named_part(device.part)} ({device.leg})"
