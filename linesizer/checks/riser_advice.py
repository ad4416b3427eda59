"""Advice from the shape of the gas line: traps, and the inverted loop before a condenser."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.checks.naming import listed
from linesizer.domain.ends import tied_ends
from linesizer.domain.equipment import Role
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.geometry import SAME_PLACE_M, Shape, line_geometry
from linesizer.domain.remedy import PutFitting
from linesizer.domain.result import LineResult
from linesizer.domain.route import Line, Service
from linesizer.solver.risers import LOOP, TRAP, Arrival, Riser, arrivals, risers
from linesizer.units import Kind

FOOT_WORDS = (
    "Riser {legs} of gas line {line} rises {value} from {foot} without a trap at its foot; practice puts one there "
    "above {limit}. It keeps the oil and condensate that run down when the compressor stops off its head, and "
    "gathers oil for the next start."
)
SPACING_WORDS = (
    "Riser {legs} of gas line {line} stands {value} without a trap, and its worst oil-return ratio is {ratio}, below "
    "the margin of {margin}. Custom then asks for a trap every {limit}: {count} more. Split the leg there and put a "
    "trap at the node. A trap does not carry oil up; a smaller size, a double riser or a higher least load does, and "
    "a riser with that margin needs no such traps."
)
LOOP_WORDS = (
    "Gas line {line} reaches {condenser} {how}, and behind its last riser or tee it stands only {value} above that "
    "end; practice asks for an inverted loop of {limit}. It keeps liquid from running back down the riser when the "
    "compressor stops."
)


def riser_advice(view: CircuitView) -> Iterator[Finding]:
    """Yield notes on traps and inverted loops that the gas lines' shape calls for."""
    slope = view.practice.value("oil_return_climb_slope")
    for result in view.lines:
        line = result.line
        if line.service is not Service.DISCHARGE or not line.legs or line_geometry(line).shape is Shape.GATHERS:
            continue
        for riser in risers(line, slope):
            yield from _foot(view, line, riser)
            yield from _spacing(view, result, riser)
        for arrival in arrivals(line, slope):
            yield from _loop(view, line, arrival)


def _foot(view: CircuitView, line: Line, riser: Riser) -> Iterator[Finding]:
    limit = view.practice.value("riser_trap_from_m")
    if riser.trapped or riser.sags or riser.rise_m <= limit + SAME_PLACE_M:
        return
    at_source = riser.foot in line_geometry(line).sources
    yield by_rule(
        view,
        "riser_trap_from_m",
        code="riser_trap",
        title=f"{riser.legs[0].leg.id}: no trap at the foot of the riser",
        words=FOOT_WORDS,
        line=line.id,
        leg=riser.legs[0].leg.id,
        kind=Kind.LENGTH,
        value=riser.rise_m,
        limit=limit,
        remedy=PutFitting(line.id, riser.foot, TRAP),
        legs=_legs(riser),
        foot="the compressor" if at_source else "a level run",
    )


def _spacing(view: CircuitView, result: LineResult, riser: Riser) -> Iterator[Finding]:
    limit, margin = view.practice.value("riser_trap_spacing_m"), view.practice.value("oil_return_margin_ratio")
    if result.legs is None or any(leg.leg.double_riser is not None for leg in riser.legs):
        return
    longest = max(riser.stretches_m)
    if longest <= limit + SAME_PLACE_M:
        return
    places = [result.legs.ids.index(leg.leg.id) for leg in riser.legs]
    ratios = np.concatenate([result.legs.oil_return_ratio[places], result.legs.corner_ratio[places]], axis=1)
    if not np.isfinite(ratios).any() or float(np.nanmin(ratios)) >= margin:
        return
    count = sum(math.ceil((stretch - SAME_PLACE_M) / limit) - 1 for stretch in riser.stretches_m)
    yield by_rule(
        view,
        "riser_trap_spacing_m",
        code="riser_trap_spacing",
        title=f"{riser.legs[0].leg.id}: a tall riser with little reserve and no traps between",
        words=SPACING_WORDS,
        line=result.line.id,
        leg=riser.legs[0].leg.id,
        kind=Kind.LENGTH,
        value=longest,
        limit=limit,
        legs=_legs(riser),
        ratio=Figure(Kind.RATIO, float(np.nanmin(ratios))),
        margin=Figure(Kind.RATIO, margin),
        count=str(count),
    )


def _loop(view: CircuitView, line: Line, arrival: Arrival) -> Iterator[Finding]:
    limit = view.practice.value("inverted_loop_above_condenser_m")
    equipment = next((end.equipment for end in tied_ends(view.circuit, line) if end.node == arrival.end), None)
    if equipment is not None and equipment.role is not Role.CONDENSER:
        return
    if not (arrival.from_above or arrival.branched) or arrival.looped or arrival.over_m >= limit - SAME_PLACE_M:
        return
    last = arrival.legs[-1].leg.id
    yield by_rule(
        view,
        "inverted_loop_above_condenser_m",
        code="inverted_loop",
        title=f"{last}: no inverted loop before the condenser",
        words=LOOP_WORDS,
        line=line.id,
        leg=last,
        kind=Kind.LENGTH,
        value=arrival.over_m,
        limit=limit,
        remedy=PutFitting(line.id, arrival.end, LOOP),
        condenser="the condenser" if equipment is None else equipment.name or equipment.id,
        how="through a common header" if arrival.branched else "from above",
    )


def _legs(riser: Riser) -> str:
    return listed([leg.leg.id for leg in riser.legs])
