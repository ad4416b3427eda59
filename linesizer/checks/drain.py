"""The drain from condenser to receiver: liquid runs down by gravity alone, so it must fall, never climb, never sag."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.checks.naming import listed
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.geometry import LegGeometry, line_geometry
from linesizer.domain.remedy import GiveFall, PutFitting
from linesizer.domain.route import Line, Service
from linesizer.solver.fall import fall_in_flow, is_drawn_level
from linesizer.units import Kind

CLIMBS_WORDS = (
    "Drain line {line} climbs {value} along leg {leg}. Nothing drives liquid up there: it stands back in the "
    "condenser until it covers enough tubes to raise the pressure. Let the line fall all the way; practice asks for "
    "{fall}."
)
FLAT_WORDS = (
    "Leg {leg} of drain line {line} falls by {value} only; practice asks for {limit}, so that liquid runs down while "
    "gas runs up beside it. {others}Let it fall, or put the receiver lower."
)
TRAP_WORDS = (
    "A {fitting} stands at {node} of drain line {line}. It holds a plug of liquid that gas cannot pass, so the "
    "receiver no longer breathes back to the condenser and liquid stands in it. Use a plain bend that falls."
)
FORBIDDEN = ("trap", "loop")
"""Fittings that hold a plug of liquid or make it climb."""


def drain(view: CircuitView) -> Iterator[Finding]:
    """Yield findings on drain lines that climb, fall too little, or have a trap."""
    for line in view.circuit.lines:
        if line.service is not Service.DRAIN:
            continue
        legs = line_geometry(line).legs
        climbing = [leg for leg in legs if fall_in_flow(leg) < 0.0]
        if climbing:
            yield _climbs(view, line, max(climbing, key=_climb_m))
        yield from _flat(view, line, [leg for leg in legs if fall_in_flow(leg) >= 0.0])
        yield from _trapped(view, line)


def _climb_m(leg: LegGeometry) -> float:
    return -fall_in_flow(leg) * leg.run_m if is_drawn_level(leg) else leg.rise_m


def _climbs(view: CircuitView, line: Line, leg: LegGeometry) -> Finding:
    return by_rule(
        view,
        "drain_fall",
        code="drain_climbs",
        title=f"{leg.leg.id}: the drain climbs",
        words=CLIMBS_WORDS,
        line=line.id,
        leg=leg.leg.id,
        kind=Kind.LENGTH,
        value=_climb_m(leg),
        limit=0.0,
        fall=Figure(Kind.SLOPE, view.practice.value("drain_fall")),
    )


def _flat(view: CircuitView, line: Line, legs: list[LegGeometry]) -> Iterator[Finding]:
    limit = view.practice.value("drain_fall")
    short = sorted((leg for leg in legs if fall_in_flow(leg) < limit), key=fall_in_flow)
    if not short:
        return
    worst, names = short[0], [leg.leg.id for leg in short[1:]]
    others = f"So do {listed(names)}. " if len(names) > 1 else f"So does {names[0]}. " if names else ""
    level = tuple(leg.leg.id for leg in short if is_drawn_level(leg))
    yield by_rule(
        view,
        "drain_fall",
        code="drain_fall_short",
        title=f"{worst.leg.id}: the drain hardly falls",
        words=FLAT_WORDS,
        line=line.id,
        leg=worst.leg.id,
        kind=Kind.SLOPE,
        value=fall_in_flow(worst),
        limit=limit,
        remedy=GiveFall(line.id, level, limit) if level else None,
        others=others,
    )


def _trapped(view: CircuitView, line: Line) -> Iterator[Finding]:
    held = next((fitting for fitting in line.fittings if fitting.kind in FORBIDDEN), None)
    if held is None:
        return
    at = next((leg.leg.id for leg in line_geometry(line).legs if held.node in (leg.leg.start, leg.leg.end)), None)
    yield by_rule(
        view,
        "drain_fall",
        code="drain_trap",
        title=f"{held.node}: a {held.kind} in the drain",
        words=TRAP_WORDS,
        line=line.id,
        leg=at,
        remedy=PutFitting(line.id, held.node, None),
        fitting=held.kind,
        node=held.node,
    )
