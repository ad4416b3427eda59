"""What heat does on the way: gas that condenses in the cold, hot metal in reach, liquid that sweats or boils sooner."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import LineResult
from linesizer.domain.route import Service
from linesizer.solver.dew_point import dew_point_C
from linesizer.solver.insulation import insulation_that_keeps_m
from linesizer.units import ZERO_CELSIUS_K, Kind

CONDENSES_WORDS = (
    "At {condition} the gas in discharge line {line} begins to condense {metres} from its start, in the cold. Liquid "
    "runs back to the compressor when it stops, and oil return is no longer what is shown. {cure}"
)
CURE_WORDS = "About {thickness} of insulation along its cold legs keeps it gas."
NO_CURE_WORDS = "No usual insulation keeps it gas: a shorter way in the cold, a warmer way, or more superheat would."
TOUCH_WORDS = (
    "The surface of leg {leg}, {place}, reaches {value} at {condition}; bare metal in reach burns from {limit}. "
    "Insulate or guard it where people pass."
)
SWEATS_WORDS = (
    "Leg {leg} of liquid line {line} is at {value} at {condition}, below the dew point of the air there ({limit}, at "
    "{humidity} relative humidity): it sweats. Insulate it with a vapour barrier."
)
WARMS_WORDS = (
    "Liquid line {line} takes up heat at {condition} and loses {value} of subcooling by it; the air along it is "
    "warmer than the liquid. Insulation saves it."
)


def line_heat(view: CircuitView) -> Iterator[Finding]:
    """Yield findings on condensing gas, hot surfaces, sweating and warmed liquid; none where lines keep their heat."""
    if not view.circuit.heat_exchange:
        return
    for line in view.lines:
        if line.legs is None or line.flow is None:
            continue
        if line.line.service is Service.DISCHARGE:
            yield from _condenses(view, line)
        else:
            yield from _sweats(view, line)
            yield from _warms(view, line)
        yield from _hot(view, line)


def _condenses(view: CircuitView, line: LineResult) -> Iterator[Finding]:
    flow = line.flow
    if flow is None or not np.isfinite(flow.turns_at_m).any():
        return
    worst = int(np.nanargmin(flow.turns_at_m))
    thickness = insulation_that_keeps_m(view.flow, view.site, view.practice, line.line, worst)
    yield by_rule(
        view,
        "condensing_in_line",
        code="gas_condenses",
        title=f"{line.line.id}: gas condenses in the cold",
        words=CONDENSES_WORDS.replace("{cure}", CURE_WORDS if thickness is not None else NO_CURE_WORDS),
        line=line.line.id,
        condition=worst,
        kind=Kind.LENGTH,
        value=float(flow.turns_at_m[worst]),
        limit=line.length_m,
        metres=Figure(Kind.LENGTH, float(flow.turns_at_m[worst])),
        thickness=Figure(Kind.SMALL_LENGTH, thickness if thickness is not None else 0.0),
    )


def _hot(view: CircuitView, line: LineResult) -> Iterator[Finding]:
    legs = line.legs
    if legs is None:
        return
    limit = view.practice.value("touch_temperature_C")
    surface = np.where(np.isfinite(legs.surface_C), legs.surface_C, -np.inf)
    leg, worst = (int(i) for i in np.unravel_index(int(surface.argmax()), surface.shape))
    if surface[leg, worst] <= limit:
        return
    place = line_geometry(line.line).legs[leg].leg.place
    room = next((room.name or room.id for room in view.site.rooms if room.id == place), place)
    yield by_rule(
        view,
        "touch_temperature_C",
        code="hot_to_touch",
        title=f"{legs.ids[leg]}: hot to the touch",
        words=TOUCH_WORDS,
        line=line.line.id,
        leg=legs.ids[leg],
        condition=worst,
        kind=Kind.TEMPERATURE,
        value=float(surface[leg, worst]),
        limit=limit,
        place=room,
    )


def _sweats(view: CircuitView, line: LineResult) -> Iterator[Finding]:
    legs, around = line.legs, _around(view, line)
    if legs is None or around is None:
        return
    humidity = view.practice.value("air_humidity")
    count = len(view.circuit.conditions)
    dew = dew_point_C(around[:, :count], humidity)
    indoors = np.array([g.leg.place != "outdoor" for g in line_geometry(line.line).legs])
    bare = np.array([g.leg.insulation_m <= 0.0 for g in line_geometry(line.line).legs])
    coldest = np.minimum(legs.start_C, legs.end_C)
    below = np.where((indoors & bare)[:, None] & np.isfinite(coldest), dew - coldest, -np.inf)
    leg, worst = (int(i) for i in np.unravel_index(int(below.argmax()), below.shape))
    if below[leg, worst] <= 0.0:
        return
    yield by_rule(
        view,
        "air_humidity",
        code="liquid_line_sweats",
        title=f"{legs.ids[leg]}: cold enough to sweat",
        words=SWEATS_WORDS,
        line=line.line.id,
        leg=legs.ids[leg],
        condition=worst,
        kind=Kind.TEMPERATURE,
        value=float(coldest[leg, worst]),
        limit=float(dew[leg, worst]),
        humidity=f"{100.0 * humidity:.0f} %",
    )


def _warms(view: CircuitView, line: LineResult) -> Iterator[Finding]:
    if line.flow is None or line.flow.budget is None or line.line.service is not Service.LIQUID:
        return
    heat = line.flow.budget.heat_K
    limit = view.practice.value("liquid_warming_K")
    if not np.isfinite(heat).any() or np.nanmax(heat) <= limit:
        return
    worst = int(np.nanargmax(heat))
    yield by_rule(
        view,
        "liquid_warming_K",
        code="liquid_warms",
        title=f"{line.line.id}: liquid warms on its way",
        words=WARMS_WORDS,
        line=line.line.id,
        condition=worst,
        kind=Kind.TEMPERATURE_DIFFERENCE,
        value=float(heat[worst]),
        limit=limit,
    )


def _around(view: CircuitView, line: LineResult) -> np.ndarray | None:
    """Return the air temperature along a line, (legs, conditions), [C]; None where it keeps its heat."""
    works = view.flow.works(line.line.id)
    found: np.ndarray | None = None
    for work in works:
        if work.built is None or work.built.surroundings is None:
            return None
        air = work.built.surroundings.ambient_K - ZERO_CELSIUS_K
        if work.path is None:
            return np.asarray(air)
        if found is None:
            found = np.empty((len(line.line.legs), air.shape[1]))
        found[list(work.path.places)] = air
    return found
