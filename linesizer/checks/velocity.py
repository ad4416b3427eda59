"""Velocities of gas and liquid: noise, drop, drift of oil, surge and sewer flow, each against its customary limit."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.domain.finding import Finding
from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import LegResult, LineResult
from linesizer.domain.route import Service
from linesizer.solver.arrays import BoolArray
from linesizer.solver.surge import upstream_of_fast_valve
from linesizer.units import Kind

TOO_FAST = "The {what} in leg {leg} ({size}) moves at {value} at {condition}; the customary limit is {limit}. {why}"
TOO_SLOW = "The {what} in leg {leg} ({size}) moves at only {value} at {condition}; practice asks for {limit}. {why}"


def velocity(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each line and velocity rule, at its worst leg and condition."""
    for line in view.lines:
        if line.legs is None:
            continue
        legs = line.legs
        every = np.ones(len(legs.ids), dtype=np.bool_)
        if line.line.service is Service.DISCHARGE:
            noise = "Noise, pulsation and pressure drop grow with it; a larger tube slows it."
            yield from _above(view, line, legs, "discharge_velocity_max_m_s", every, "gas", noise, "gas too fast")
            occupied = {room.id for room in view.site.rooms if room.occupied}
            heard = np.array([g.leg.place in occupied for g in line_geometry(line.line).legs], dtype=np.bool_)
            quiet = "The leg passes an occupied room, where it can be heard."
            yield from _above(view, line, legs, "gas_velocity_noise_m_s", heard, "gas", quiet, "heard in a room")
            drift = "This old flat rule is the only test that oil in level and falling runs gets."
            yield from _below(
                view, line, legs, "level_velocity_flat_m_s", ~legs.climbs, drift, "gas slow in a level run"
            )
            flat = "The old flat rule for risers, shown beside the criterion and never instead of it."
            yield from _below(view, line, legs, "riser_velocity_flat_m_s", legs.climbs, flat, "gas slow in a riser")
            low = "The lower end of the recommended range, for information: it never puts a size out."
            yield from _below(view, line, legs, "discharge_velocity_low_m_s", every, low, "gas below the usual range")
        elif line.line.service is Service.LIQUID:
            fast = upstream_of_fast_valve(line.line)
            surge = "A valve that shuts fast stands downstream; the surge when it shuts grows with the velocity."
            yield from _above(
                view, line, legs, "liquid_velocity_fast_valve_m_s", fast, "liquid", surge, "liquid fast before a valve"
            )
            wear = "Noise, wear and pressure drop grow with it; a larger tube slows it."
            yield from _above(view, line, legs, "liquid_velocity_max_m_s", ~fast, "liquid", wear, "liquid too fast")
        elif line.line.service is Service.DRAIN:
            sewer = "Liquid down and gas up share this pipe; faster than that the gas cannot get back."
            yield from _above(view, line, legs, "drain_velocity_m_s", every, "liquid", sewer, "drain too fast")


def _above(
    view: CircuitView, line: LineResult, legs: LegResult, rule: str, where: BoolArray, what: str, why: str, title: str
) -> Iterator[Finding]:
    limit = view.practice.value(rule)
    speeds = np.where(where[:, None], legs.velocity_m_s, -np.inf)
    speeds = np.where(np.isfinite(speeds), speeds, -np.inf)
    leg, condition = np.unravel_index(int(speeds.argmax()), speeds.shape)
    if speeds[leg, condition] > limit:
        yield _found(view, line, legs, rule, int(leg), int(condition), limit, TOO_FAST, what, why, title)


def _below(
    view: CircuitView, line: LineResult, legs: LegResult, rule: str, where: BoolArray, why: str, title: str
) -> Iterator[Finding]:
    limit = view.practice.value(rule)
    speeds = np.where(where[:, None], legs.velocity_m_s, np.inf)
    speeds = np.where(np.isfinite(speeds), speeds, np.inf)
    leg, condition = np.unravel_index(int(speeds.argmin()), speeds.shape)
    if speeds[leg, condition] < limit:
        yield _found(view, line, legs, rule, int(leg), int(condition), limit, TOO_SLOW, "gas", why, title)


def _found(
    view: CircuitView,
    line: LineResult,
    legs: LegResult,
    rule: str,
    leg: int,
    condition: int,
    limit: float,
    words: str,
    what: str,
    why: str,
    title: str,
) -> Finding:
    return by_rule(
        view,
        rule,
        code=rule.removesuffix("_m_s"),
        title=f"{legs.ids[leg]}: {title}",
        words=words,
        line=line.line.id,
        leg=legs.ids[leg],
        condition=condition,
        kind=Kind.VELOCITY,
        value=float(legs.velocity_m_s[leg, condition]),
        limit=limit,
        what=what,
        why=why,
        size=legs.sizes[leg],
    )
