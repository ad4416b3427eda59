"""Parallel condensers: whether each is connected, how evenly the flow splits, whether liquid columns can balance it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.checks.naming import listed
from linesizer.domain.condenser_paths import FROM_CONDENSERS, TO_CONDENSERS
from linesizer.domain.ends import tied_ends
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.geometry import SAME_PLACE_M
from linesizer.domain.route import Line
from linesizer.solver.arrays import FloatArray
from linesizer.solver.parallel_flow import ParallelFlow
from linesizer.solver.static_head import GRAVITY
from linesizer.units import Kind

NOT_CONNECTED_WORDS = (
    "No {service} line is tied to {condenser}, so it takes no part here: the flow goes through {others}. Tie an end of "
    "the line to it, or delete it."
)
NO_BALANCE_WORDS = (
    "At {condition} no split of the flow was found that costs the same on the way through {condensers}: {condenser} "
    "would get {gets}. {why}"
)
STARVED_BY_CLIMB = "Its own liquid branch climbs. Let it fall to the header, or bring the condensers to one height."
STARVED_BY_WAY = (
    "Its way costs more than the others' whatever it carries, as where a narrow trunk ends in a tee before wide "
    "branches, or the sizes are very unlike. Make trunk and branches alike, or state the shares."
)
CLIMBS_WORDS = (
    "The liquid branch of {condenser} climbs {value} to where it meets the others. Only the pressure of the other ways "
    "can lift that liquid, so theirs stands as low as it can and gas reaches the header. Let the branch of {condenser} "
    "fall to the header, or give it a line of its own to the unit."
)
GAS_IN_HEADER_WORDS = (
    "At {condition} the ways through {condensers} leave {left} for liquid columns to balance: in the branch of "
    "{condenser} liquid has to stand {value} below full, and it falls by {limit} only before the lines join. Gas then "
    "reaches the header, and liquid stands back in {other}. Let the branch fall by {value} at least before it joins, "
    "make the lines to {other} wider or shorter, or join the condensers' outlets by an equaliser as their maker says."
)
DROP_LEG_WORDS = (
    "Condensers of one size condense alike, whatever their lines cost. With {share} of the flow through {condenser} "
    "the ways leave about {left} at {condition}, which the liquid column in its branch has to balance: about {value}. "
    "It falls by {limit} before the lines join. A drop leg of that height at each condenser, joined at its foot, keeps "
    "gas out of the header."
)
UNEVEN_WORDS = (
    "By equal pressure {condenser} takes {share} of the flow at {condition}, where an equal part is {even}. That is "
    "{off} off; practice asks for {most} at most. One condenser then works above its duty while another idles. Make "
    "the lines to them alike: the same sizes and about the same length, or wider ones to the far condenser."
)


LITTLE_SHARE = 0.005
"""What is less than this is spoken of as nothing."""


def parallel_condensers(view: CircuitView) -> Iterator[Finding]:
    """Yield findings on condensers without lines, on uneven splits and on liquid columns that are too short."""
    yield from _not_connected(view)
    parallel = view.flow.parallel
    if parallel is None:
        return
    yield from _no_balance(view, parallel)
    yield from _uneven(view, parallel)
    for line in view.circuit.lines:
        if line.id in parallel.short_m:
            yield from _columns(view, parallel, line)


def _name(condenser: Equipment) -> str:
    return condenser.name or condenser.id


def _percent(part: float) -> str:
    return f"{100.0 * part:.0f} %"


def _not_connected(view: CircuitView) -> Iterator[Finding]:
    condensers = [item for item in view.circuit.equipment if item.role is Role.CONDENSER]
    if len(condensers) < 2:
        return
    for services, word in ((TO_CONDENSERS, "discharge"), (FROM_CONDENSERS, "liquid or drain")):
        lines = [line for line in view.circuit.lines if line.service in services and line.legs]
        tied = {
            end.equipment.id for line in lines for end in tied_ends(view.circuit, line) if end.equipment is not None
        }
        for condenser in condensers:
            if lines and condenser.id not in tied:
                others = [_name(item) for item in condensers if item.id in tied]
                yield Finding(
                    code="condenser_not_connected",
                    level=Level.STOP,
                    title=f"{_name(condenser)}: no {word} line",
                    words=NOT_CONNECTED_WORDS,
                    circuit=view.circuit.id,
                    rule="each condenser needs a gas and a liquid line",
                    source="the job's own ends of lines",
                    figures=(
                        ("service", word),
                        ("condenser", _name(condenser)),
                        ("others", listed(others) if others else "none"),
                    ),
                )


def _no_balance(view: CircuitView, parallel: ParallelFlow) -> Iterator[Finding]:
    count = len(view.circuit.conditions)
    open_shares = np.array([item.share is None for item in parallel.condensers])
    bad = ~parallel.balances[:count] & view.flow.hot.passes[:count]
    if not bad.any():
        return
    worst = int(np.flatnonzero(bad)[0])
    starved = int(np.where(open_shares, parallel.share[:, worst], np.inf).argmin())
    name, share = _name(parallel.condensers[starved]), float(parallel.share[starved, worst])
    own = [
        work
        for works in parallel.paths.values()
        for work in works
        if work.line.service in FROM_CONDENSERS
        and work.path is not None
        and work.path.condenser == parallel.condensers[starved].id
    ]
    climbs = any(float(work.run.rise_m[list(work.path.own)].sum()) > SAME_PLACE_M for work in own if work.path)
    yield by_rule(
        view,
        "parallel_column",
        code="split_impossible",
        title=f"{name}: no split of the flow balances",
        words=NO_BALANCE_WORDS,
        condition=worst,
        condensers=listed([_name(item) for item in parallel.condensers]),
        condenser=name,
        gets="nothing" if share < LITTLE_SHARE else f"about {_percent(share)}",
        why=STARVED_BY_CLIMB if climbs else STARVED_BY_WAY,
    )


def _uneven(view: CircuitView, parallel: ParallelFlow) -> Iterator[Finding]:
    if any(item.share is not None for item in parallel.condensers):
        return  # somebody has decided
    count, limit = len(view.circuit.conditions), view.practice.value("parallel_share_spread")
    even = 1.0 / len(parallel.condensers)
    off = np.abs(parallel.share[:, :count] / even - 1.0)
    off = np.where(view.flow.hot.passes[:count] & parallel.balances[:count], off, 0.0)
    place, worst = np.unravel_index(int(off.argmax()), off.shape)
    if off[place, worst] <= limit:
        return
    yield by_rule(
        view,
        "parallel_share_spread",
        code="split_uneven",
        title=f"{_name(parallel.condensers[place])}: an uneven part of the flow",
        words=UNEVEN_WORDS,
        condition=int(worst),
        kind=Kind.FRACTION,
        value=float(off[place, worst]),
        limit=limit,
        condenser=_name(parallel.condensers[place]),
        share=_percent(parallel.share[place, worst]),
        even=_percent(even),
        off=_percent(off[place, worst]),
        most=_percent(limit),
    )


def _columns(view: CircuitView, parallel: ParallelFlow, line: Line) -> Iterator[Finding]:
    """Yield what the columns of one liquid or drain line cannot balance, and else what drop legs it should have."""
    works, count = parallel.paths[line.id], len(view.circuit.conditions)
    falls = np.array([-float(w.run.rise_m[list(w.path.own)].sum()) if w.path is not None else 0.0 for w in works])
    places = [parallel.place(w.path.condenser) if w.path is not None else 0 for w in works]
    density = np.stack([w.state.density_kg_m3[0, :count] for w in works if w.state is not None])
    short = np.nan_to_num(parallel.short_m[line.id][:, :count])
    beyond = short - np.maximum(falls, 0.0)[:, None]
    climbing = int(falls.argmin())
    if falls[climbing] < -SAME_PLACE_M and (falls > SAME_PLACE_M).any():
        condenser = _name(parallel.condensers[places[climbing]])
        yield by_rule(
            view,
            "parallel_column",
            code="branch_climbs",
            title=f"{condenser}: its liquid climbs to the header",
            words=CLIMBS_WORDS,
            line=line.id,
            kind=Kind.LENGTH,
            value=-float(falls[climbing]),
            limit=0.0,
            condenser=condenser,
        )
        return
    path, worst = np.unravel_index(int(beyond.argmax()), beyond.shape)
    other = _name(parallel.condensers[places[int(short[:, worst].argmin())]])
    condensers = listed([_name(parallel.condensers[place]) for place in places])
    if beyond[path, worst] > 0.0:
        yield by_rule(
            view,
            "parallel_column",
            code="gas_in_header",
            title=f"{_name(parallel.condensers[places[path]])}: gas reaches the liquid header",
            words=GAS_IN_HEADER_WORDS,
            line=line.id,
            condition=int(worst),
            kind=Kind.LENGTH,
            value=float(short[path, worst]),
            limit=max(float(falls[path]), 0.0),
            left=Figure(Kind.PRESSURE_DIFFERENCE, float(short[path, worst] * density[path, worst] * GRAVITY)),
            condensers=condensers,
            condenser=_name(parallel.condensers[places[path]]),
            other=other,
        )
        return
    if any(item.share is not None for item in parallel.condensers):
        return
    left = _left_at_even_shares(parallel.even_lost_Pa[places, :count], falls, density)
    needed = left / (density * GRAVITY)
    lacks = np.where(view.flow.hot.passes[:count], needed - np.maximum(falls, 0.0)[:, None], -np.inf)
    path, worst = np.unravel_index(int(lacks.argmax()), lacks.shape)
    if lacks[path, worst] > 0.0:
        yield by_rule(
            view,
            "parallel_drop_leg",
            code="drop_leg_short",
            title=f"{_name(parallel.condensers[places[path]])}: a drop leg is missing",
            words=DROP_LEG_WORDS,
            line=line.id,
            condition=int(worst),
            kind=Kind.LENGTH,
            value=float(needed[path, worst]),
            limit=max(float(falls[path]), 0.0),
            left=Figure(Kind.PRESSURE_DIFFERENCE, float(left[path, worst])),
            condenser=_name(parallel.condensers[places[path]]),
            share=_percent(1.0 / len(parallel.condensers)),
        )


def _left_at_even_shares(lost_Pa: FloatArray, falls_m: FloatArray, density: FloatArray) -> FloatArray:
    """Return what each branch's column has to balance if all condensers took equal parts, (paths, conditions), [Pa]."""
    arrives = np.maximum(falls_m, 0.0)[:, None] * density * GRAVITY - lost_Pa
    return np.asarray(arrives - arrives.min(axis=0))
