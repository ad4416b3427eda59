"""Refrigerant that wanders while the compressor stands: from a condenser above it, or warmer than it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from linesizer.catalog.parts import ControlledSide, part_kind
from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.domain.ends import tied_ends
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.geometry import SAME_PLACE_M, Shape, line_geometry
from linesizer.domain.part import Part
from linesizer.domain.remedy import AddPart
from linesizer.domain.route import Line, Service
from linesizer.solver.risers import Arrival, arrivals
from linesizer.solver.surroundings import ambient_C
from linesizer.units import Kind

RULE = "condenser_inlet_check_valve"
CHECK_WORDS = (
    "{condenser} {why}. When the compressor stops, refrigerant runs or condenses back into it through gas line "
    "{line}. A check valve at the condenser's inlet, behind the last riser, keeps it out; crankcase heat alone may "
    "not."
)
LIQUID_WORDS = (
    "{condenser} {why}, and no valve on liquid line {line} shuts by itself when the compressor stops. Liquid then "
    "finds its way through the expansion valve to the evaporator and the compressor, which starts on it. A solenoid "
    "valve that shuts with the compressor, with crankcase heat, keeps it out; where the unit has one inside, draw it."
)
ABOVE_WORDS = "stands {height} above the compressor"
WARMER_WORDS = "may stand in {warm} while the compressor stands in {cool}"


@dataclass(frozen=True, slots=True)
class _Draws:
    """A condenser from which refrigerant comes when the compressor stops: how much higher, how much warmer."""

    condenser: str
    line: Line
    arrival: Arrival
    height_m: float
    warm_C: float | None
    cool_C: float | None

    @property
    def above(self) -> bool:
        return self.height_m > SAME_PLACE_M

    @property
    def warmer(self) -> bool:
        return self.warm_C is not None and self.cool_C is not None and self.warm_C > self.cool_C

    @property
    def why(self) -> str:
        return " and ".join([ABOVE_WORDS] * self.above + [WARMER_WORDS] * self.warmer)


def migration(view: CircuitView) -> Iterator[Finding]:
    """Yield notes on check valves and solenoid valves that keep refrigerant from a compressor that stands."""
    drawing = [draws for line in view.circuit.lines for draws in _draws(view, line) if draws.above or draws.warmer]
    for draws in drawing:
        if not any(part_kind(part.kind).one_way for leg in draws.arrival.since_riser for part in leg.leg.parts):
            last = draws.arrival.legs[-1].leg.id
            remedy = AddPart(draws.line.id, last, "check_valve", 0.8)
            yield _found(view, draws, "condenser_check_valve", CHECK_WORDS, draws.line, last, remedy)
    liquid = [line for line in view.circuit.lines if line.service is Service.LIQUID and line.legs]
    if not drawing or not liquid:
        return
    if not any(_shuts_itself(part) for line in liquid for leg in line.legs for part in leg.parts):
        line = next((line for line in liquid if _ends_at_unit(view, line)), liquid[-1])
        last = line_geometry(line).legs[-1].leg.id
        worst = max(drawing, key=lambda draws: draws.height_m)
        remedy = AddPart(line.id, last, "solenoid_valve", 0.8)
        yield _found(view, worst, "off_cycle_migration", LIQUID_WORDS, line, last, remedy)


def _draws(view: CircuitView, line: Line) -> Iterator[_Draws]:
    if line.service is not Service.DISCHARGE or not line.legs or line_geometry(line).shape is Shape.GATHERS:
        return
    ends = {end.node: end for end in tied_ends(view.circuit, line)}
    start_m = line_geometry(line).legs[0].start_m
    unit = next((end.equipment for end in ends.values() if end.enters), None)
    for arrival in arrivals(line, view.practice.value("oil_return_climb_slope")):
        condenser = ends[arrival.end].equipment
        if condenser is not None and condenser.role is not Role.CONDENSER:
            continue
        warm_C, cool_C = _airs_C(view, condenser, unit)
        yield _Draws(
            condenser="The condenser" if condenser is None else condenser.name or condenser.id,
            line=line,
            arrival=arrival,
            height_m=arrival.legs[-1].end_m[2] - start_m[2],
            warm_C=warm_C,
            cool_C=cool_C,
        )


def _airs_C(
    view: CircuitView, condenser: Equipment | None, unit: Equipment | None
) -> tuple[float | None, float | None]:
    """Return the air around condenser and unit where the condenser is warmest beside it; None where not stated.

    Compared at every condition and on the site's summer day.
    """
    if condenser is None or unit is None:
        return None, None
    first = view.circuit.conditions[0]
    days = (*view.circuit.conditions, replace(first, ambient_C=view.site.summer_ambient_C))
    pairs = [(ambient_C(condenser.place, view.site, day), ambient_C(unit.place, view.site, day)) for day in days]
    known = [(warm, cool) for warm, cool in pairs if warm is not None and cool is not None]
    return max(known, key=lambda pair: pair[0] - pair[1], default=(None, None))


def _shuts_itself(part: Part) -> bool:
    kind = part_kind(part.kind)
    return kind.fast_closing or kind.controlled_side is ControlledSide.OUTLET


def _ends_at_unit(view: CircuitView, line: Line) -> bool:
    ends = (end.equipment for end in tied_ends(view.circuit, line) if not end.enters)
    return any(equipment is not None and equipment.role is Role.UNIT for equipment in ends)


def _found(view: CircuitView, draws: _Draws, code: str, words: str, line: Line, leg: str, remedy: AddPart) -> Finding:
    title = (
        "no check valve at the condenser's inlet"
        if code == "condenser_check_valve"
        else "nothing shuts it when stopped"
    )
    return by_rule(
        view,
        RULE,
        code=code,
        title=f"{line.id}: {title}",
        words=words.replace("{why}", draws.why),
        line=line.id,
        leg=leg,
        kind=Kind.LENGTH if draws.above else Kind.TEMPERATURE,
        value=draws.height_m if draws.above else draws.warm_C,
        limit=0.0 if draws.above else draws.cool_C,
        remedy=remedy,
        condenser=draws.condenser,
        height=Figure(Kind.LENGTH, draws.height_m),
        warm=Figure(Kind.TEMPERATURE, draws.warm_C if draws.warm_C is not None else 0.0),
        cool=Figure(Kind.TEMPERATURE, draws.cool_C if draws.cool_C is not None else 0.0),
    )
